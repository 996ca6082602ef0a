#include <algorithm>
#include <utility>

#include "core/garden/garden.hpp"

namespace leafturn::garden {
namespace {

/// A saying as it stands after its amendment.
struct Standing {
  Instant at;
  std::uint64_t seq = 0;
  const Heading* heading = nullptr;
  const Saying* saying = nullptr;
  bool amended = false;
  std::uint64_t said = 0;
};

/// Applies sayings in the order they happened.
class Folder {
 public:
  explicit Folder(Garden& garden) : garden_{garden} {}
  void apply(const Standing& s) {
    now_ = &s;
    std::visit([this](const auto& what) { take(what); }, *s.saying);
  }

 private:
  template <class T>
  void keep(std::vector<Dated<T>>& list, const T& what) {
    list.push_back({what, now_->at, now_->heading->id, now_->heading->by, now_->amended, now_->said});
  }
  void take(const GardenDescribed& g) { garden_.described = g; }
  void take(const BedLaid& b) {
    const auto same = std::find_if(garden_.beds.begin(), garden_.beds.end(), [&](const BedLaid& old) { return old.bed == b.bed; });
    if (same == garden_.beds.end())
      garden_.beds.push_back(b);
    else
      *same = b;
  }
  void take(const PlantingSown& p) { garden_.plantings.push_back({p, now_->at, now_->heading->id, std::nullopt}); }
  void take(const PlantingRemoved& r) {
    for (Planting& p : garden_.plantings)
      if (p.sown.planting == r.planting && !p.removed) p.removed = now_->at;
  }
  void take(const CountTaken& c) { keep(garden_.counts, c); }
  void take(const WorkDone& w) {
    keep(garden_.work, w);
    if (w.kind != WorkDone::Kind::pull) return;
    // A planting that is to be set out later isn't in the bed yet. A garden's clock runs up to three hours ahead of its sun (zone and
    // summer time).
    const Date today = solar_day(garden_, now_->at + Duration::hours(3));
    for (Planting& p : garden_.plantings)
      if (p.sown.bed == w.bed && !p.removed && (!p.sown.set_out || *p.sown.set_out <= today)) p.removed = now_->at;
  }
  void take(const Application& a) { keep(garden_.applications, a); }
  void take(const HarvestTaken& h) { keep(garden_.harvests, h); }
  void take(const HarvestPlanned& h) { keep(garden_.planned_harvests, h); }
  void take(const CardCopied& c) { keep(garden_.cards, c); }
  void take(const WeatherAdded& w) { keep(garden_.weather, w); }
  void take(const BedReleased& r) {
    keep(garden_.releases, r);
    garden_.releases.back().said = now_->seq;  // better words for a release don't make it know more
  }

  Garden& garden_;
  const Standing* now_ = nullptr;
};

constexpr std::size_t amended_index = std::variant_size_v<Payload> - 1;

Saying saying_of(const Payload& payload) {
  return std::visit(
      [](const auto& p) -> Saying {
        if constexpr (std::is_same_v<std::decay_t<decltype(p)>, Amended>)
          return {};
        else
          return p;
      },
      payload);
}

}  // namespace

void Chronicle::add(const Recorded& recorded) {
  last_seq_ = std::max(last_seq_, recorded.seq);
  const Id& id = recorded.event.heading.id;
  if (const auto* amended = std::get_if<Amended>(&recorded.event.payload)) {
    amendment_ids_.insert(id);
    Amendment& latest = amendments_[amended->target];
    if (recorded.seq >= latest.seq) latest = {recorded.seq, *amended};
    return;
  }
  told_[id] = {recorded.seq, recorded.event.heading, saying_of(recorded.event.payload)};
}

Garden Chronicle::at(Instant time) const {
  Garden garden;
  garden.last_seq = last_seq_;
  std::vector<Standing> standing;
  for (const auto& [id, told] : told_) {
    garden.known.emplace(id, KnownEvent{told.saying.index(), told.heading.happened_at});
    Standing s{told.heading.happened_at, told.seq, &told.heading, &told.saying, false, told.seq};
    if (const auto found = amendments_.find(id); found != amendments_.end()) {
      const Amended& a = found->second.amended;
      if (!a.replacement) continue;
      if (a.replacement->index() == told.saying.index()) {
        s.saying = &*a.replacement;
        s.at = a.happened_at.value_or(s.at);
        s.amended = true;
        s.said = std::max(told.seq, found->second.seq);
      }
    }
    if (s.at <= time) standing.push_back(s);
  }
  for (const Id& id : amendment_ids_) garden.known.emplace(id, KnownEvent{amended_index, {}});
  std::sort(standing.begin(), standing.end(),
            [](const Standing& a, const Standing& b) { return std::pair{a.at, a.seq} < std::pair{b.at, b.seq}; });
  Folder folder(garden);
  for (const Standing& s : standing) folder.apply(s);
  const auto set_out = [&](const Planting& p) { return p.sown.set_out.value_or(solar_day(garden, p.at)); };
  std::stable_sort(garden.plantings.begin(), garden.plantings.end(),
                   [&](const Planting& a, const Planting& b) { return set_out(a) < set_out(b); });
  return garden;
}

Chronicle Chronicle::restore(std::map<Id, Told> told, std::map<Id, Amendment> amendments, std::set<Id> amendment_ids,
                             std::uint64_t last_seq) {
  Chronicle chronicle;
  chronicle.told_ = std::move(told);
  chronicle.amendments_ = std::move(amendments);
  chronicle.amendment_ids_ = std::move(amendment_ids);
  chronicle.last_seq_ = last_seq;
  return chronicle;
}

Garden fold(std::span<const Recorded> events, Instant at) {
  Chronicle chronicle;
  for (const Recorded& recorded : events) chronicle.add(recorded);
  return chronicle.at(at);
}

}  // namespace leafturn::garden
