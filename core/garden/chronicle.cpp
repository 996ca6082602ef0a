#include "core/garden/chronicle.hpp"

#include <algorithm>
#include <string_view>
#include <utility>

namespace leafturn::garden {
namespace {

/// A saying with where it stands.
struct Placed {
  Instant at;
  std::uint64_t seq = 0;
  const Heading& heading;
  bool amended = false;
  std::uint64_t said = 0;
};

bool structural(const Saying& saying) {
  if (const auto* work = std::get_if<WorkDone>(&saying)) return work->kind == WorkDone::Kind::pull;
  return std::holds_alternative<GardenDescribed>(saying) || std::holds_alternative<BedLaid>(saying) ||
         std::holds_alternative<PlantingSown>(saying) || std::holds_alternative<PlantingRemoved>(saying);
}

/// May it change what is to be picked, entered or sprayed?
bool binding(const WorkDone& work) {
  return work.kind != WorkDone::Kind::hand_pick && work.kind != WorkDone::Kind::crush_eggs && work.kind != WorkDone::Kind::water;
}
bool binding(const Payload& payload) {
  if (const auto* work = std::get_if<WorkDone>(&payload)) return binding(*work);
  return !std::holds_alternative<CountTaken>(payload) && !std::holds_alternative<HarvestTaken>(payload);
}

/// Calls `use` with the garden's list of the saying's kind, when it has one.
template <class SomeGarden, class Use>
void with_list(SomeGarden& g, const Saying& saying, const Use& use) {
  struct Which {
    SomeGarden& g;
    const Use& use;
    void operator()(const CountTaken& s) { use(g.counts, s); }
    void operator()(const WorkDone& s) { use(g.work, s); }
    void operator()(const Application& s) { use(g.applications, s); }
    void operator()(const HarvestTaken& s) { use(g.harvests, s); }
    void operator()(const HarvestPlanned& s) { use(g.planned_harvests, s); }
    void operator()(const CardCopied& s) { use(g.cards, s); }
    void operator()(const WeatherAdded& s) { use(g.weather, s); }
    void operator()(const BedReleased& s) { use(g.releases, s); }
    void operator()(const ApplicationJudged& s) { use(g.judgements, s); }
    void operator()(const EquipmentKept& s) { use(g.equipment, s); }
    void operator()(const CatchTest& s) { use(g.catch_tests, s); }
    void operator()(const StockCounted& s) { use(g.stock, s); }
    void operator()(const BedEntered& s) { use(g.entries, s); }
    void operator()(const SprayBegun& s) { use(g.begun, s); }
    void operator()(const AgencyAnswered& s) { use(g.agency_answers, s); }
    void operator()(const GardenDescribed&) {}
    void operator()(const BedLaid&) {}
    void operator()(const PlantingSown&) {}
    void operator()(const PlantingRemoved&) {}
  };
  std::visit(Which{g, use}, saying);
}

template <class Use>
void each_list(Garden& g, const Use& use) {
  use(g.counts), use(g.work), use(g.applications), use(g.harvests), use(g.planned_harvests), use(g.cards), use(g.weather), use(g.releases),
      use(g.judgements), use(g.equipment), use(g.catch_tests), use(g.stock), use(g.entries), use(g.begun), use(g.agency_answers);
}

/// Where something of this time and seq is, or would be put.
template <class T>
std::size_t place_of(const SharedList<T>& list, Instant at, std::uint64_t seq) {
  // What comes last is told last, nearly always.
  if (list.empty() || std::pair{list.back().at, list.back().seq} < std::pair{at, seq}) return list.size();
  const auto found =
      std::partition_point(list.begin(), list.end(), [&](const T& item) { return std::pair{item.at, item.seq} < std::pair{at, seq}; });
  return static_cast<std::size_t>(found - list.begin());
}

/// How many of a list happened by then.
template <class T>
std::size_t until(const SharedList<T>& list, Instant time) {
  if (list.empty() || list.back().at <= time) return list.size();
  return static_cast<std::size_t>(std::partition_point(list.begin(), list.end(), [&](const T& item) { return item.at <= time; }) -
                                  list.begin());
}

void put(ChronicleParts& parts, const Saying& saying, const Placed& p) {
  with_list(parts.all, saying, [&]<class List, class What>(List& list, const What& what) {
    // Better words for a release don't make it know more.
    const std::uint64_t said = std::is_same_v<What, BedReleased> ? p.seq : p.said;
    list.insert(place_of(list, p.at, p.seq), {what, p.at, p.heading.id, p.heading.by, p.amended, said, p.seq});
  });
  if (structural(saying)) parts.structure.insert(place_of(parts.structure, p.at, p.seq), {p.at, p.seq, p.heading.id, saying});
}

void take_out(ChronicleParts& parts, const Saying& of_kind, Instant at, std::uint64_t seq) {
  const auto from = [&](auto& list) {
    const std::size_t place = place_of(list, at, seq);
    if (place < list.size() && list[place].seq == seq) list.erase(place);
  };
  with_list(parts.all, of_kind, [&](auto& list, const auto&) { from(list); });
  from(parts.structure);
}

/// Beds and plantings from what was said of them, in the order it happened.
class Layout {
 public:
  explicit Layout(Garden& garden) : garden_{garden} {
    garden_.described.reset();
    garden_.beds.clear();
  }
  void apply(const Structural& s) {
    now_ = &s;
    std::visit([this](const auto& what) { take(what); }, s.saying);
  }
  void finish() {
    const auto set_out = [&](const Planting& p) { return p.sown.set_out.value_or(solar_day(garden_, p.at)); };
    std::stable_sort(plantings_.begin(), plantings_.end(), [&](const Planting& a, const Planting& b) { return set_out(a) < set_out(b); });
    garden_.plantings = SharedList<Planting>(std::move(plantings_));
  }

 private:
  using Places = std::map<std::string_view, std::vector<std::size_t>>;  // names live in the structure

  void take(const GardenDescribed& g) { garden_.described = g; }
  void take(const BedLaid& b) {
    const auto [place, fresh] = beds_.try_emplace(b.bed, garden_.beds.size());
    if (fresh)
      garden_.beds.push_back(b);
    else
      garden_.beds[place->second] = b;
  }
  void take(const PlantingSown& p) {
    by_name_[p.planting].push_back(plantings_.size());
    by_bed_[p.bed].push_back(plantings_.size());
    plantings_.push_back({p, now_->at, now_->id, std::nullopt});
  }
  void take(const PlantingRemoved& r) {
    for (const std::size_t i : by_name_[r.planting])
      if (!plantings_[i].removed) plantings_[i].removed = now_->at;
  }
  void take(const WorkDone& w) {
    // What is set out that day or later takes the place of what is pulled.
    const Date today = solar_day(garden_, now_->at);
    for (const std::size_t i : by_bed_[w.bed]) {
      Planting& p = plantings_[i];
      if (!p.removed && (!p.sown.set_out || *p.sown.set_out < today)) p.removed = now_->at;
    }
  }
  template <class Other>
  void take(const Other&) {}

  Garden& garden_;
  const Structural* now_ = nullptr;
  std::vector<Planting> plantings_;
  std::map<std::string_view, std::size_t> beds_;
  Places by_name_, by_bed_;
};

void lay_out(const SharedList<Structural>& structure, Garden& garden) {
  Layout layout(garden);
  for (const Structural& s : structure) layout.apply(s);
  layout.finish();
}

SharedList<AmendedPlace>::const_iterator find_amended(const ChronicleParts& parts, const Id& target) {
  return std::partition_point(parts.amended.begin(), parts.amended.end(), [&](const AmendedPlace& a) { return a.target < target; });
}

}  // namespace

void Chronicle::add(const Recorded& recorded, const Recorded* target) {
  parts_.all.last_seq = std::max(parts_.all.last_seq, recorded.seq);
  if (binding(recorded.event.payload)) last_binding_ = std::max(last_binding_, recorded.seq);
  std::uint64_t& last = parts_.writers[recorded.event.heading.writer];
  // Numbers nobody counts up to are let lie, or the next one would have no room.
  if (recorded.event.heading.writer_seq <= most_writer_seq) last = std::max(last, recorded.event.heading.writer_seq);
  if (!std::holds_alternative<Amended>(recorded.event.payload)) return say(recorded);
  if (target == nullptr)
    parts_.early.push_back(recorded);
  else if (!std::holds_alternative<Amended>(target->event.payload))
    amend(recorded, *target);
}

void Chronicle::say(const Recorded& recorded) {
  const Heading& heading = recorded.event.heading;
  const Saying saying = *saying_of(recorded.event.payload);
  put(parts_, saying, {heading.at(), recorded.seq, heading, false, recorded.seq});
  settled_ = settled_ && !structural(saying);
  note_bed(saying, recorded.seq);
  // Amendments that came first; rare enough to be looked through.
  for (std::size_t i = 0; i < parts_.early.size();) {
    if (std::get<Amended>(parts_.early[i].event.payload).target != heading.id) {
      ++i;
      continue;
    }
    const Recorded amendment = parts_.early[i];
    parts_.early.erase(parts_.early.begin() + static_cast<std::ptrdiff_t>(i));
    last_binding_ = std::max(last_binding_, recorded.seq);
    amend(amendment, recorded);
  }
}

void Chronicle::amend(const Recorded& amendment, const Recorded& target) {
  const auto& a = std::get<Amended>(amendment.event.payload);
  const Heading& heading = target.event.heading;
  const Saying told = *saying_of(target.event.payload);
  note_bed(told, amendment.seq);
  const auto found = find_amended(parts_, heading.id);
  const bool before = found != parts_.amended.end() && found->target == heading.id;
  const auto place = static_cast<std::size_t>(found - parts_.amended.begin());
  const AmendedPlace was = before ? *found : AmendedPlace{heading.id, 0, heading.at(), false};
  if (amendment.seq < was.seq) return;
  if (!was.withdrawn) take_out(parts_, told, was.at, target.seq);
  AmendedPlace now{heading.id, amendment.seq, heading.at(), !a.replacement};
  if (a.replacement && a.replacement->index() == told.index()) {
    now.at = a.happened_at.value_or(now.at);
    put(parts_, *a.replacement, {now.at, target.seq, heading, true, std::max(target.seq, amendment.seq)});
  } else if (a.replacement) {
    put(parts_, told, {now.at, target.seq, heading, false, target.seq});
  }
  if (before)
    parts_.amended.replace(place, now);
  else
    parts_.amended.insert(place, now);
  // A pull may have become other work, or the other way round.
  settled_ = settled_ && !structural(told) && !(a.replacement && structural(*a.replacement)) && !std::holds_alternative<WorkDone>(told);
}

void Chronicle::note_bed(const Saying& saying, std::uint64_t seq) {
  const auto of_planting = [&](const std::string& name) {
    for (auto s = parts_.structure.rbegin(); s != parts_.structure.rend(); ++s)
      if (const auto* sown = std::get_if<PlantingSown>(&s->saying); sown != nullptr && sown->planting == name) return sown->bed;
    return std::string{};
  };
  const std::string bed = std::visit(
      [&]<class What>(const What& what) -> std::string {
        if constexpr (requires { what.bed; }) {
          if constexpr (std::is_same_v<What, HarvestTaken>)
            return what.bed.empty() ? of_planting(what.planting) : what.bed;
          else
            return what.bed;
        } else if constexpr (requires { what.planting; }) {
          return of_planting(what.planting);
        } else {
          return {};
        }
      },
      saying);
  if (!bed.empty()) parts_.of_bed[bed].push_back(seq);
}

void Chronicle::settle() {
  if (settled_) return;
  lay_out(parts_.structure, parts_.all);
  settled_ = true;
}

Garden Chronicle::at(Instant time) const {
  Garden garden = parts_.all;
  each_list(garden, [&](auto& list) { list = list.slice(0, until(list, time)); });
  const std::size_t structures = until(parts_.structure, time);
  if (!settled_ || structures < parts_.structure.size()) lay_out(parts_.structure.slice(0, structures), garden);
  return garden;
}

std::uint64_t Chronicle::last_of(const std::string& writer) const {
  const auto found = parts_.writers.find(writer);
  return found == parts_.writers.end() ? 0 : found->second;
}

bool Chronicle::changes_between(Instant from, Instant to) const {
  bool changes = until(parts_.structure, from) != until(parts_.structure, to);
  Garden lists = parts_.all;
  each_list(lists, [&](const auto& list) { changes = changes || until(list, from) != until(list, to); });
  return changes;
}

bool Chronicle::binds_between(Instant from, Instant to) const {
  if (until(parts_.structure, from) != until(parts_.structure, to)) return true;
  bool binds = false;
  Garden lists = parts_.all;
  each_list(lists, [&]<class What>(const SharedList<Dated<What>>& list) {
    if constexpr (!std::is_same_v<What, CountTaken> && !std::is_same_v<What, HarvestTaken>)
      for (std::size_t i = until(list, from); i < until(list, to) && !binds; ++i) {
        if constexpr (std::is_same_v<What, WorkDone>)
          binds = binding(list[i].what);
        else
          binds = true;
      }
  });
  return binds;
}

std::optional<Instant> Chronicle::beginning() const {
  for (const Structural& s : parts_.structure)
    if (std::holds_alternative<GardenDescribed>(s.saying)) return s.at;
  return std::nullopt;
}

SharedList<std::uint64_t> Chronicle::told_of(const std::string& bed) const {
  const auto found = parts_.of_bed.find(bed);
  return found == parts_.of_bed.end() ? SharedList<std::uint64_t>{} : found->second;
}

Chronicle Chronicle::restore(ChronicleParts parts) {
  Chronicle chronicle;
  chronicle.parts_ = std::move(parts);
  chronicle.last_binding_ = chronicle.parts_.all.last_seq;
  chronicle.settled_ = false;
  return chronicle;
}

Garden fold(std::span<const Recorded> events, Instant at) {
  std::vector<const Recorded*> in_order;
  std::map<Id, const Recorded*> by_id;
  in_order.reserve(events.size());
  for (const Recorded& recorded : events) {
    in_order.push_back(&recorded);
    by_id.emplace(recorded.event.heading.id, &recorded);
  }
  std::sort(in_order.begin(), in_order.end(), [](const Recorded* a, const Recorded* b) { return a->seq < b->seq; });
  Chronicle chronicle;
  for (const Recorded* recorded : in_order) {
    const auto* amended = std::get_if<Amended>(&recorded->event.payload);
    const auto found = amended == nullptr ? by_id.end() : by_id.find(amended->target);
    const bool told = found != by_id.end() && found->second->seq < recorded->seq;
    chronicle.add(*recorded, told ? found->second : nullptr);
  }
  return chronicle.at(at);
}

}  // namespace leafturn::garden
