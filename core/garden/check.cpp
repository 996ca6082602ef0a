#include <algorithm>
#include <cmath>

#include "core/base/text.hpp"
#include "core/garden/garden.hpp"

namespace leafturn::garden {
namespace {

constexpr std::size_t most_name_bytes = 80;
constexpr std::size_t most_detail_bytes = 2000;
constexpr int most_plants = 1'000'000;
constexpr std::int64_t most_a_plant = 20'000;  // mites on a large plant; common practice, no source
// A wall clock may be up to three hours from the sun (zone width and summer time), so days are judged with that slack.
constexpr Duration clock_slack = Duration::hours(3);
// A plan tells the hour it is meant for, which may be later that day (ours).
constexpr Duration plan_slack = Duration::hours(12);

Status refuse(const char* code, const char* field, std::vector<Fact> facts = {}) {
  return fail(code, Where{{}, 0, field}, std::move(facts));
}

/// The first refusal of several checks.
class First {
 public:
  First& then(Status status) {
    if (result_) result_ = std::move(status);
    return *this;
  }
  First& unless(bool good, const char* code, const char* field, std::vector<Fact> facts = {}) {
    return good ? *this : then(refuse(code, field, std::move(facts)));
  }
  bool good() const { return result_.has_value(); }
  Status result() const { return result_; }

 private:
  Status result_;
};

Status check_text(const std::string& text, const char* field, std::size_t most, bool lines) {
  if (text.size() > most) return refuse("garden.text_too_long", field, {{"most", static_cast<std::int64_t>(most)}});
  if (!is_plain_text(text, lines)) return refuse("garden.text_characters", field);
  return {};
}
Status name(const std::string& text, const char* field) {
  if (text.empty()) return refuse("garden.text_empty", field);
  return check_text(text, field, most_name_bytes, false);
}
Status name_or_empty(const std::string& text, const char* field) { return check_text(text, field, most_name_bytes, false); }
Status detail(const std::string& text, const char* field) { return check_text(text, field, most_detail_bytes, true); }

bool within(double value, double low, double high) { return std::isfinite(value) && value >= low && value <= high; }

/// The saying's time and, when it replaces one, which.
struct When {
  Instant at;
  std::optional<Id> replaces;
};

class Checker {
 public:
  Checker(const Garden& garden, const When& when) : g_{garden}, when_{when} {}

  Status operator()(const GardenDescribed& s) const {
    return First{}
        .then(name(s.name, "name"))
        .unless(within(s.latitude.degrees(), -90, 90), "garden.coordinates", "latitude_deg")
        .unless(within(s.longitude.degrees(), -180, 180), "garden.coordinates", "longitude_deg")
        .unless(within(s.elevation.metres(), -500, 9000), "garden.elevation", "elevation_m")
        .then(name(s.zone, "zone"))
        .then(name_or_empty(s.jurisdiction, "jurisdiction"))
        .then(name_or_empty(s.marked.value_or(""), "marked"))
        .unless(!s.own_day || s.marked == "invented", "garden.own_day", "own_day")
        .result();
  }

  Status operator()(const BedLaid& s) const {
    return First{}
        .then(name(s.bed, "bed"))
        .unless(within(s.x.metres(), -1e5, 1e5), "garden.bed_measures", "x_m")
        .unless(within(s.y.metres(), -1e5, 1e5), "garden.bed_measures", "y_m")
        .unless(within(s.width.metres(), 0.01, 1000), "garden.bed_measures", "width_m")
        .unless(within(s.length.metres(), 0.01, 1000), "garden.bed_measures", "length_m")
        .result();
  }

  Status operator()(const PlantingSown& s) const {
    const Planting* same = g_.planting(s.planting);
    const bool taken = same != nullptr && when_.replaces != same->id;
    const auto in_order = [](std::optional<Date> a, std::optional<Date> b) { return !a || !b || *a <= *b; };
    return First{}
        .then(name(s.planting, "planting"))
        .then(known_bed(s.bed))
        .then(name(s.crop, "crop"))
        .unless(!taken, "garden.planting_exists", "planting", {{"planting", s.planting}})
        .unless(!s.plants || (*s.plants >= 1 && *s.plants <= most_plants), "garden.plants_impossible", "plants")
        .unless(in_order(s.set_out, s.first_harvest), "garden.dates_reversed", "first_harvest")
        .unless(in_order(s.first_harvest, s.last_harvest) && in_order(s.set_out, s.last_harvest), "garden.dates_reversed", "last_harvest")
        .result();
  }

  Status operator()(const PlantingRemoved& s) const {
    const Planting* p = g_.planting(s.planting);
    if (p == nullptr) return no_such_planting(s.planting);
    if (start_of(*p) > latest_day()) return refuse("garden.removed_before_planting", "happened_at", {{"planting", s.planting}});
    // A bed pulled and its planting noted as removed on the same day is one deed told twice.
    const bool same_day = p->removed && solar_day(g_, *p->removed) == solar_day(g_, when_.at);
    if (p->removed && !same_day && !when_.replaces) return refuse("garden.removed_already", "planting", {{"planting", s.planting}});
    return {};
  }

  Status operator()(const CountTaken& s) const {
    First first;
    first.then(known_bed(s.bed)).then(name(s.pest, "pest")).then(name(s.stage, "stage"));
    first.unless(s.plants >= 1 && s.plants <= most_plants, "garden.count_impossible", "plants")
        .unless(s.count >= 0 && s.count <= most_a_plant * std::int64_t{s.plants}, "garden.count_impossible", "count");
    if (!first.good()) return first.result();
    const auto present = present_in(s.bed);
    if (present.empty()) return nothing_stands(s.bed);
    std::int64_t stand = 0;
    for (const Planting* p : present) {
      if (!p->sown.plants) return {};
      stand += *p->sown.plants;
    }
    return First{}.unless(s.plants <= stand, "garden.count_impossible", "plants", {{"bed", s.bed}, {"standing", stand}}).result();
  }

  Status operator()(const SprayBegun& s) const {
    First first;
    first.then(known_bed(s.bed)).then(name(s.product, "product")).then(detail(s.despite, "despite"));
    // A look may reach the ledger after the spray it came before.
    const bool late = std::any_of(g_.applications.begin(), g_.applications.end(), [&](const auto& a) {
      return a.what.plan == s.plan && a.what.state == Application::State::made && a.at >= when_.at;
    });
    if (!late) first.then(open_plan(s.plan, s.bed, s.product));
    for (const auto& a : g_.applications)
      if (a.id == s.plan) first.unless(when_.at + plan_slack >= a.at, "garden.begun_before_plan", "happened_at", {{"product", s.product}});
    const AtBed& b = s.seen;
    first.unless(!b.wind || within(b.wind->metres_per_second(), 0, 60), "garden.at_bed_impossible", "wind_m_s");
    first.unless(!b.temperature || within(b.temperature->celsius(), -40, 60), "garden.at_bed_impossible", "temperature_c");
    first.unless(!b.humidity || within(*b.humidity, 0.01, 1), "garden.at_bed_impossible", "humidity");
    return first.unless(!b.nozzle_height || within(b.nozzle_height->metres(), 0, 10), "garden.at_bed_impossible", "nozzle_height_m")
        .result();
  }
  Status operator()(const AgencyAnswered& s) const {
    const bool known = std::any_of(g_.cards.begin(), g_.cards.end(), [&](const auto& c) { return c.what.product == s.product; });
    return First{}
        .then(name(s.product, "product"))
        .unless(known, "garden.no_such_product", "product", {{"product", s.product}})
        .unless(s.on <= latest_day(), "garden.in_the_future", "on")
        .then(s.words.empty() ? refuse("garden.text_empty", "words") : detail(s.words, "words"))
        .result();
  }

  Status operator()(const WorkDone& s) const {
    First first;
    if (!first.then(known_bed(s.bed)).then(detail(s.detail, "detail")).good()) return first.result();
    return s.kind == WorkDone::Kind::pull && present_in(s.bed).empty() ? nothing_stands(s.bed) : Status{};
  }

  Status operator()(const Application& s) const {
    First first;
    first.then(known_bed(s.bed)).then(name(s.product, "product")).then(name_or_empty(s.rate, "rate")).then(name_or_empty(s.pest, "pest"));
    first.then(detail(s.detail, "detail")).then(planting_in(s.planting, s.bed));
    if (s.state != Application::State::cancelled)
      first.unless(s.card.has_value() || s.outside_label || s.not_judged, "garden.no_card", "card", {{"product", s.product}});
    // Label law has no override: what would be outside the label can be recorded once it was done, never planned.
    first.unless(s.state != Application::State::planned || !s.outside_label, "garden.planned_outside_label", "outside_label");
    first.unless(s.state != Application::State::planned || !s.not_judged, "garden.planned_unjudged", "not_judged");
    first.unless(s.state != Application::State::cancelled || s.plan.has_value(), "garden.cancel_needs_plan", "plan");
    // What was done is written down whatever became of its plan; a plan called off undoes no spray.
    const bool whatever = s.state == Application::State::made && (s.not_judged || s.outside_label);
    if (s.plan && !whatever) first.then(open_plan(*s.plan, s.bed, s.product));
    return first.then(used(s.used)).then(told(s.told)).result();
  }

  Status operator()(const HarvestTaken& s) const {
    First first;
    first.then(known_bed(s.bed)).then(planting_in(s.planting, s.bed)).then(detail(s.detail, "detail"));
    first.unless(!s.amount || (within(s.amount->grams(), 0, 1e8) && s.amount->grams() > 0), "garden.amount_impossible", "amount_g");
    if (!first.good()) return first.result();
    const auto present = present_in(s.bed);
    if (present.empty()) return nothing_stands(s.bed);
    const bool there = s.planting.empty() ||
                       std::any_of(present.begin(), present.end(), [&](const Planting* p) { return p->sown.planting == s.planting; });
    return First{}.unless(there, "garden.not_standing", "planting", {{"planting", s.planting}, {"bed", s.bed}}).result();
  }

  Status operator()(const HarvestPlanned& s) const {
    const Planting* p = g_.planting(s.planting);
    if (p == nullptr) return no_such_planting(s.planting);
    return First{}
        .unless(!p->removed || *p->removed > when_.at, "garden.removed_already", "planting", {{"planting", s.planting}})
        .unless(s.day >= start_of(*p), "garden.dates_reversed", "day")
        .result();
  }

  Status operator()(const CardCopied& s) const { return name(s.product, "product"); }
  Status operator()(const WeatherAdded& s) const {
    return First{}.then(name(s.name, "name")).then(name_or_empty(s.station, "station")).result();
  }

  Status operator()(const BedReleased& s) const {
    return First{}
        .then(known_bed(s.bed))
        .then(s.detail.empty() ? refuse("garden.text_empty", "detail") : detail(s.detail, "detail"))
        .unless(when_.replaces || g_.locked_by(s.bed) != nullptr, "garden.bed_not_locked", "bed", {{"bed", s.bed}})
        .result();
  }

  Status operator()(const ApplicationJudged& s) const {
    const bool there = std::any_of(g_.applications.begin(), g_.applications.end(), [&](const auto& a) { return a.id == s.application; });
    return First{}.unless(there, "garden.judges_nothing", "application").then(name_or_empty(s.rule, "rule")).result();
  }

  Status operator()(const EquipmentKept& s) const {
    return First{}
        .then(name(s.equipment, "equipment"))
        .then(name_or_empty(s.nozzle, "nozzle"))
        .then(detail(s.detail, "detail"))
        .unless(!s.tank || within(s.tank->litres(), 0.05, 1e4), "garden.amount_impossible", "tank_l")
        .result();
  }

  Status operator()(const CatchTest& s) const {
    const bool known =
        std::any_of(g_.equipment.begin(), g_.equipment.end(), [&](const auto& e) { return e.what.equipment == s.equipment; });
    return First{}
        .then(name(s.equipment, "equipment"))
        .unless(known, "garden.no_such_equipment", "equipment", {{"equipment", s.equipment}})
        .then(name_or_empty(s.nozzle, "nozzle"))
        .then(detail(s.detail, "detail"))
        .unless(within(s.caught.litres(), 0.001, 1e4), "garden.amount_impossible", "caught_l")
        .unless(within(s.area.square_metres(), 0.1, 1e5), "garden.amount_impossible", "area_m2")
        .result();
  }

  Status operator()(const StockCounted& s) const {
    return First{}
        .then(name(s.product, "product"))
        .then(name_or_empty(s.lot, "lot"))
        .then(detail(s.detail, "detail"))
        .unless(amount_possible(s.amount), "garden.amount_impossible", "amount")
        .unless(!s.opened || *s.opened <= latest_day(), "garden.in_the_future", "opened")
        .unless(!s.opened || !s.expires || *s.opened <= *s.expires, "garden.dates_reversed", "expires")
        .result();
  }

  Status operator()(const BedEntered& s) const {
    return First{}
        .then(known_bed(s.bed))
        .then(detail(s.detail, "detail"))
        .unless(!s.stayed || (*s.stayed > Duration{} && *s.stayed <= Duration::hours(24)), "garden.amount_impossible", "stayed_min")
        .result();
  }

 private:
  static double base_of(const Amount& amount) {
    const auto* mass = std::get_if<Mass>(&amount);
    return mass != nullptr ? mass->grams() : std::get<Volume>(amount).litres();
  }
  // An empty shelf is counted as 0.
  static bool amount_possible(const Amount& amount) { return within(base_of(amount), 0, std::holds_alternative<Mass>(amount) ? 1e7 : 1e4); }

  static Status used(const Used& u) {
    First first;
    first.then(name_or_empty(u.lot, "lot")).then(name_or_empty(u.equipment, "equipment")).then(name_or_empty(u.nozzle, "nozzle"));
    first.then(name_or_empty(u.method, "method")).then(detail(u.why, "why")).then(name_or_empty(u.system_plan, "system_plan"));
    first.unless(!u.amount || (amount_possible(*u.amount) && base_of(*u.amount) > 0.0), "garden.used_impossible", "amount");
    first.unless(!u.area || within(u.area->square_metres(), 0.01, 1e7), "garden.used_impossible", "area_m2");
    first.unless(!u.mixed || within(u.mixed->litres(), 0.001, 1e5), "garden.used_impossible", "mixed_l");
    first.unless(!u.leftover || (u.mixed && within(u.leftover->litres(), 0, u.mixed->litres())), "garden.used_impossible", "leftover_l");
    return first.unless(!u.growth_stage || (*u.growth_stage >= 0 && *u.growth_stage <= 99), "garden.growth_stage", "growth_stage").result();
  }

  static Status told(const Told& t) {
    constexpr std::size_t most_things = 40;
    First first;
    if (t.handler && t.handler->protection) {
      first.unless(t.handler->protection->size() <= most_things, "garden.text_too_long", "told.protection");
      for (const std::string& thing : *t.handler->protection) first.then(name(thing, "told.protection"));
    }
    first.unless(!t.nearest_person || within(t.nearest_person->metres(), 0, 1e5), "garden.used_impossible", "told.nearest_person_m");
    first.unless(!t.release_height || within(t.release_height->metres(), 0, 100), "garden.used_impossible", "told.release_height_m");
    return first.unless(!t.water || within(*t.water, 0, 10), "garden.used_impossible", "told.water_l_m2").result();
  }

  Status known_bed(const std::string& bed) const {
    if (Status good = name(bed, "bed"); !good) return good;
    if (g_.bed(bed) == nullptr) return refuse("garden.no_such_bed", "bed", {{"bed", bed}});
    return {};
  }
  static Status no_such_planting(const std::string& planting) {
    if (Status good = name(planting, "planting"); !good) return good;
    return refuse("garden.no_such_planting", "planting", {{"planting", planting}});
  }
  Status planting_in(const std::string& planting, const std::string& bed) const {
    if (planting.empty()) return {};
    const Planting* p = g_.planting(planting);
    if (p == nullptr) return no_such_planting(planting);
    return First{}
        .unless(p->sown.bed == bed, "garden.planting_elsewhere", "planting", {{"planting", planting}, {"bed", p->sown.bed}})
        .result();
  }
  // What was done elsewhere, or with another product, leaves the plan and its lock as they are.
  Status open_plan(const Id& plan, const std::string& bed, const std::string& product) const {
    const Dated<Application>* planned = nullptr;
    for (const auto& a : g_.applications) {
      if (a.id == plan && a.what.state == Application::State::planned) planned = &a;
      if (a.what.plan == plan && when_.replaces != a.id) return refuse("garden.plan_finished", "plan");
    }
    if (planned == nullptr) return refuse("garden.no_such_plan", "plan");
    const bool same = planned->what.bed == bed && planned->what.product == product;
    return First{}
        .unless(same, "garden.plan_of_another", "plan", {{"bed", planned->what.bed}, {"product", planned->what.product}})
        .result();
  }

  Date start_of(const Planting& p) const { return p.sown.set_out.value_or(solar_day(g_, p.at)); }
  Date latest_day() const { return solar_day(g_, when_.at + clock_slack); }
  /// As `Garden::standing`, judged by the day: what is set out or removed on a day stood there that day.
  std::vector<const Planting*> present_in(const std::string& bed) const {
    const Date earliest = solar_day(g_, when_.at - clock_slack);
    std::vector<const Planting*> present;
    for (const Planting& p : g_.plantings) {
      const bool gone = p.removed && solar_day(g_, *p.removed + clock_slack) < earliest;
      if (p.sown.bed == bed && start_of(p) <= latest_day() && !gone) present.push_back(&p);
    }
    return present;
  }
  Status nothing_stands(const std::string& bed) const {
    for (const Planting& p : g_.plantings)
      if (p.sown.bed == bed && start_of(p) > latest_day())
        return refuse("garden.count_before_planting", "happened_at", {{"bed", bed}, {"planting", p.sown.planting}, {"day", start_of(p)}});
    return refuse("garden.bed_empty", "bed", {{"bed", bed}});
  }

  const Garden& g_;
  const When& when_;
};

Status check_saying(const Garden& garden, const Saying& saying, const When& when) { return std::visit(Checker(garden, when), saying); }

Status check_not_future(Instant at, Instant now, const char* field) {
  return First{}.unless(at <= now + Duration::minutes(5), "garden.in_the_future", field).result();
}

Status check_amended(const Garden& garden, const Amended& a, Instant now, const std::optional<KnownEvent>& target) {
  First first;
  first.then(a.reason.empty() ? refuse("garden.text_empty", "reason") : detail(a.reason, "reason"));
  if (!first.good()) return first.result();
  if (!target) return refuse("garden.amends_nothing", "target");
  if (target->kind >= std::variant_size_v<Saying>) return refuse("garden.amends_amendment", "target");
  constexpr auto judged = Saying{ApplicationJudged{}}.index();
  if (target->kind == judged) return refuse("garden.judgement_stays", "target");
  if (a.happened_at) first.then(check_not_future(*a.happened_at, now, "right_time"));
  // Withdrawing leaves nothing to put at another time.
  first.unless(a.replacement || !a.happened_at, "garden.withdrawn_has_no_time", "right_time");
  if (!a.replacement || !first.good()) return first.result();
  if (a.replacement->index() != target->kind) return refuse("garden.amends_other_kind", "replacement");
  return check_saying(garden, *a.replacement, {a.happened_at.value_or(target->at), a.target});
}

}  // namespace

Status check(const Garden& garden, const Event& event, Instant now, const std::optional<KnownEvent>& target) {
  const Heading& h = event.heading;
  First first;
  first.then(name(h.writer, "writer")).then(name_or_empty(h.by, "by"));
  first.unless(h.writer_seq >= 1 && h.writer_seq <= most_writer_seq, "garden.writer_seq", "writer_seq")
      .then(check_not_future(h.at(), now, "happened_at"));
  if (!first.good()) return first.result();
  if (const auto* amended = std::get_if<Amended>(&event.payload)) return check_amended(garden, *amended, now, target);
  const When when{h.at(), std::nullopt};
  return std::visit(
      [&](const auto& said) -> Status {
        if constexpr (std::is_same_v<std::decay_t<decltype(said)>, Amended>)
          return {};
        else
          return check_saying(garden, said, when);
      },
      event.payload);
}

}  // namespace leafturn::garden
