#include "app/write_down.hpp"

#include <array>
#include <utility>

#include "app/keep.hpp"
#include "io/quantity_text.hpp"
#include "io/time_text.hpp"

namespace leafturn::app {
namespace {

constexpr const char* writer = "command-line";
constexpr int many = 1'000'000;

Result<Instant> happened(OpenGarden& garden, const WhenAndWho& when, Instant now) {
  if (!when.at) return garden.asked_time(std::nullopt, now);
  const auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  return io::parse_time(*when.at, *zone, "--at");
}

Result<RecordOutcome> write(OpenGarden& garden, const garden::Payload& payload, const WhenAndWho& when, Instant now) {
  const auto at = happened(garden, when, now);
  if (!at) return fail(at.error());
  return record_saying(garden, payload, writer, when.by, *at, now);
}

Status read_day(const std::optional<std::string>& text, const char* field, std::optional<Date>& into) {
  if (!text) return {};
  const auto day = io::parse_day(*text, field);
  if (!day) return fail(day.error());
  into = *day;
  return {};
}

Result<Id> read_id(const std::string& text, const char* field) {
  if (const auto id = Id::parse(text)) return *id;
  return fail("write.id", {{}, 0, field}, {{"given", text}});
}

Result<garden::Application> application_of(garden::Application::State state, const SprayTyped& typed) {
  garden::Application application{.state = state,
                                  .bed = typed.bed,
                                  .planting = typed.planting,
                                  .product = typed.product,
                                  .card = std::nullopt,
                                  .rate = typed.rate,
                                  .pest = typed.pest,
                                  .outside_label = typed.outside_label,
                                  .detail = typed.detail,
                                  .plan = std::nullopt,
                                  .used = {},
                                  .told = {}};
  if (typed.plan) {
    const auto plan = read_id(*typed.plan, "--plan");
    if (!plan) return fail(plan.error());
    application.plan = *plan;
  }
  auto told = told_of(typed.told);
  if (!told) return fail(told.error());
  application.told = std::move(*told);
  auto used = used_of(typed.used);
  if (!used) return fail(used.error());
  application.used = std::move(*used);
  return application;
}

/// The label's least for what stands there.
std::optional<label::ProductRate> least_of(const TreatAnswer& answer) {
  for (const auto& p : answer.plantings)
    if (p.judgement.use)
      if (const auto* least = answer.card.uses[*p.judgement.use].rate_min.value()) return *least;
  return std::nullopt;
}

/// A count of a pest or a stage that no dossier knows would lie in the ledger unread.
Status known_pest_and_stage(const pest::Library& library, const CountTyped& typed) {
  const auto* pest = library.pest(typed.pest);
  std::string known;
  if (pest == nullptr) {
    for (const auto& one : library.pests) known += (known.empty() ? "" : ", ") + one.id;
    return fail("app.no_such_pest", {{}, 0, "--pest"}, {{"given", typed.pest}, {"known", known}}, ErrorKind::not_found);
  }
  if (!pest::stages_for(*pest, typed.stage).stages.empty()) return {};
  for (const auto& stage : pest->stages) known += (known.empty() ? "" : ", ") + stage.key;
  return fail("app.no_such_stage", {{}, 0, "--stage"}, {{"given", typed.stage}, {"pest", pest->id}, {"known", known}},
              ErrorKind::not_found);
}

}  // namespace

Result<RecordOutcome> write_saying(OpenGarden& garden, const garden::Payload& payload, const WhenAndWho& when, Instant now) {
  return write(garden, payload, when, now);
}

Result<RecordOutcome> write_count(OpenGarden& garden, const CountTyped& typed, const WhenAndWho& when, Instant now) {
  if (auto known = known_pest_and_stage(garden.library(), typed); !known) return fail(known.error());
  const auto plants = io::parse_whole(typed.plants, "--plants", 1, many);
  if (!plants) return fail(plants.error());
  const auto count = io::parse_whole(typed.count, "--count", 0, many);
  if (!count) return fail(count.error());
  return write(garden, garden::CountTaken{typed.bed, typed.pest, typed.stage, *plants, *count}, when, now);
}

Result<RecordOutcome> write_planting(OpenGarden& garden, const PlantingTyped& typed, const WhenAndWho& when, Instant now) {
  garden::PlantingSown sown{.planting = typed.planting,
                            .bed = typed.bed,
                            .crop = typed.crop,
                            .plants = {},
                            .set_out = {},
                            .first_harvest = {},
                            .last_harvest = {}};
  if (typed.plants) {
    const auto plants = io::parse_whole(*typed.plants, "--plants", 1, many);
    if (!plants) return fail(plants.error());
    sown.plants = *plants;
  }
  if (auto read = read_day(typed.set_out, "--set-out", sown.set_out); !read) return fail(read.error());
  if (auto read = read_day(typed.first_harvest, "--first-harvest", sown.first_harvest); !read) return fail(read.error());
  if (auto read = read_day(typed.last_harvest, "--last-harvest", sown.last_harvest); !read) return fail(read.error());
  return write(garden, sown, when, now);
}

Result<RecordOutcome> write_removal(OpenGarden& garden, const std::string& planting, const WhenAndWho& when, Instant now) {
  return write(garden, garden::PlantingRemoved{planting}, when, now);
}

Result<RecordOutcome> write_harvest(OpenGarden& garden, const HarvestTyped& typed, const WhenAndWho& when, Instant now) {
  garden::HarvestTaken taken{typed.bed, typed.planting, {}, typed.detail};
  if (typed.early) {
    using Early = garden::HarvestTaken::Early;
    if (*typed.early != "destroyed" && *typed.early != "held")
      return fail("write.told", {{}, 0, "--early"}, {{"given", *typed.early}, {"known", std::string("destroyed, held")}});
    taken.early = *typed.early == "held" ? Early::held : Early::destroyed;
  }
  if (typed.amount) {
    const auto amount = io::parse_mass(*typed.amount, "--amount");
    if (!amount) return fail(amount.error());
    taken.amount = *amount;
  }
  return write(garden, taken, when, now);
}

Result<RecordOutcome> write_harvest_plan(OpenGarden& garden, const std::string& planting, const std::string& day, const WhenAndWho& when,
                                         Instant now) {
  const auto date = io::parse_day(day, "--day");
  if (!date) return fail(date.error());
  return write(garden, garden::HarvestPlanned{planting, *date}, when, now);
}

Result<RecordOutcome> write_work(OpenGarden& garden, const std::string& kind, const std::string& bed, const std::string& detail,
                                 const WhenAndWho& when, Instant now) {
  using Kind = garden::WorkDone::Kind;
  constexpr std::array kinds{std::pair{"hand-pick", Kind::hand_pick},
                             std::pair{"crush-eggs", Kind::crush_eggs},
                             std::pair{"cover", Kind::cover},
                             std::pair{"uncover", Kind::uncover},
                             std::pair{"pull", Kind::pull},
                             std::pair{"water", Kind::water},
                             std::pair{"release-friends", Kind::release_friends},
                             std::pair{"clean-up", Kind::clean_up}};
  for (const auto& [word, value] : kinds)
    if (kind == word) return write(garden, garden::WorkDone{value, bed, detail}, when, now);
  return fail("write.work_kind", {{}, 0, "WORK"}, {{"given", kind}});
}

Result<RecordOutcome> write_release(OpenGarden& garden, const std::string& bed, const std::string& basis, const std::string& detail,
                                    const WhenAndWho& when, Instant now) {
  using Basis = garden::BedReleased::Basis;
  if (basis != "destroyed" && basis != "authority") return fail("write.basis", {{}, 0, "--basis"}, {{"given", basis}});
  return write(garden, garden::BedReleased{basis == "destroyed" ? Basis::destroyed : Basis::authority, bed, detail}, when, now);
}

Result<RecordOutcome> write_beginning(OpenGarden& garden, const BeginningTyped& typed, const WhenAndWho& when, Instant now) {
  const auto plan = read_id(typed.plan, "--plan");
  if (!plan) return fail(plan.error());
  auto seen = at_bed_of(typed.look);
  if (!seen) return fail(seen.error());
  return write(garden, garden::SprayBegun{*plan, typed.bed, typed.product, *seen, typed.despite}, when, now);
}

Result<RecordOutcome> write_agency(OpenGarden& garden, const AgencyTyped& typed, const WhenAndWho& when, Instant now) {
  const auto on = io::parse_day(typed.on, "--on");
  if (!on) return fail(on.error());
  return write(garden, garden::AgencyAnswered{typed.product, typed.allows, *on, typed.words}, when, now);
}

Result<RecordOutcome> write_withdrawal(OpenGarden& garden, const std::string& id, const std::string& reason, const WhenAndWho& when,
                                       Instant now) {
  const auto target = read_id(id, "ID");
  if (!target) return fail(target.error());
  return write(garden, garden::Amended{*target, reason, std::nullopt, std::nullopt}, when, now);
}

Result<SprayOutcome> ask_spray(OpenGarden& garden, const SprayTyped& typed, const WhenAndWho& when, Instant now) {
  const auto on = happened(garden, when, now);
  if (!on) return fail(on.error());
  SprayOutcome outcome{{typed.bed, typed.product, typed.rate, *on, typed.pest}, {}, {}, {}};
  auto told = told_of(typed.told);
  if (!told) return fail(told.error());
  outcome.question.told = std::move(*told);
  auto answer = may_treat(garden, outcome.question);
  if (!answer) return fail(answer.error());
  outcome.answer = std::move(*answer);
  return outcome;
}

Result<SprayOutcome> write_spray(OpenGarden& garden, garden::Application::State state, const SprayTyped& typed, const WhenAndWho& when,
                                 Instant now) {
  auto outcome = ask_spray(garden, typed, when, now);
  if (!outcome) {
    // What was sprayed without a card must still be recordable.
    if (!typed.outside_label || state != garden::Application::State::made) return fail(outcome.error());
    const auto on = happened(garden, when, now);
    if (!on) return fail(on.error());
    outcome = SprayOutcome{{typed.bed, typed.product, typed.rate, *on, typed.pest}, {}, {}, {}};
  }
  auto application = application_of(state, typed);
  if (!application) return fail(application.error());
  if (outcome->answer) application->card = outcome->answer->card_digest;
  outcome->actual = actual_said(*application, outcome->answer ? least_of(*outcome->answer) : std::nullopt);
  auto written = write(garden, *application, when, now);
  if (written) {
    outcome->written = std::move(*written);
  } else if (written.error().code != "treat.refused" && written.error().code != "treat.unknown") {
    return fail(written.error());
  }
  return outcome;
}

Result<RecordOutcome> cancel_spray(OpenGarden& garden, const SprayTyped& typed, const WhenAndWho& when, Instant now) {
  const auto application = application_of(garden::Application::State::cancelled, typed);
  if (!application) return fail(application.error());
  return write(garden, *application, when, now);
}

}  // namespace leafturn::app
