#pragma once
/// What events add up to, straight from the words of garden.hpp and docs/events.md: everything is kept, everything is sorted, everything is
/// applied. Slow, and for comparing with.

#include <algorithm>
#include <map>
#include <utility>

#include "core/garden/garden.hpp"

namespace leafturn::garden::test {

class NaiveFold {
 public:
  explicit NaiveFold(std::span<const Recorded> events) {
    for (const Recorded& r : events) {
      last_seq_ = std::max(last_seq_, r.seq);
      if (const auto* amended = std::get_if<Amended>(&r.event.payload)) {
        auto& latest = amendments_[amended->target];
        if (latest.first <= r.seq) latest = {r.seq, amended};
      } else {
        told_[r.event.heading.id] = &r;
      }
    }
  }

  Garden at(Instant time) const {
    std::vector<Standing> standing;
    for (const auto& [id, r] : told_) {
      Standing s{read_time(r->event.heading), r->seq, &r->event.heading, *saying_of(r->event.payload), false, r->seq};
      if (const auto found = amendments_.find(id); found != amendments_.end()) {
        const auto& [seq, amended] = found->second;
        if (!amended->replacement) continue;
        if (amended->replacement->index() == s.saying.index()) {
          s.saying = *amended->replacement;
          s.at = amended->happened_at.value_or(s.at);
          s.amended = true;
          s.said = std::max(s.seq, seq);
        }
      }
      if (s.at <= time) standing.push_back(s);
    }
    std::sort(standing.begin(), standing.end(),
              [](const Standing& a, const Standing& b) { return std::pair{a.at, a.seq} < std::pair{b.at, b.seq}; });
    Garden garden;
    garden.last_seq = last_seq_;
    std::vector<Planting> plantings;
    for (const Standing& s : standing) apply(s, garden, plantings);
    const auto set_out = [&](const Planting& p) { return p.sown.set_out.value_or(solar_day(garden, p.at)); };
    std::stable_sort(plantings.begin(), plantings.end(), [&](const Planting& a, const Planting& b) { return set_out(a) < set_out(b); });
    garden.plantings = SharedList<Planting>(plantings);
    return garden;
  }

 private:
  struct Standing {
    Instant at;
    std::uint64_t seq;
    const Heading* heading;
    Saying saying;
    bool amended;
    std::uint64_t said;
  };

  /// As docs/events.md has it: less the offset of the writer's clock, where that is a minute or more.
  static Instant read_time(const Heading& h) {
    const std::int64_t offset = h.clock_offset ? h.clock_offset->microseconds : 0;
    return offset < 60'000'000 && offset > -60'000'000 ? h.happened_at
                                                       : Instant::from_unix_microseconds(h.happened_at.unix_microseconds() - offset);
  }

  static void apply(const Standing& s, Garden& g, std::vector<Planting>& plantings) {
    const auto keep = [&](auto& list, const auto& what, std::uint64_t said) {
      list.push_back({what, s.at, s.heading->id, s.heading->by, s.amended, said, s.seq});
    };
    const auto remove = [&](const auto& which) {
      for (Planting& p : plantings)
        if (!p.removed && which(p)) p.removed = s.at;
    };
    if (const auto* described = std::get_if<GardenDescribed>(&s.saying)) g.described = *described;
    if (const auto* bed = std::get_if<BedLaid>(&s.saying)) {
      const auto same = std::find_if(g.beds.begin(), g.beds.end(), [&](const BedLaid& old) { return old.bed == bed->bed; });
      if (same == g.beds.end())
        g.beds.push_back(*bed);
      else
        *same = *bed;
    }
    if (const auto* sown = std::get_if<PlantingSown>(&s.saying)) plantings.push_back({*sown, s.at, s.heading->id, std::nullopt});
    if (const auto* gone = std::get_if<PlantingRemoved>(&s.saying))
      remove([&](const Planting& p) { return p.sown.planting == gone->planting; });
    if (const auto* work = std::get_if<WorkDone>(&s.saying)) {
      keep(g.work, *work, s.said);
      const Date today = solar_day(g, s.at + Duration::hours(3));
      if (work->kind == WorkDone::Kind::pull)
        remove([&](const Planting& p) { return p.sown.bed == work->bed && (!p.sown.set_out || *p.sown.set_out <= today); });
    }
    if (const auto* count = std::get_if<CountTaken>(&s.saying)) keep(g.counts, *count, s.said);
    if (const auto* spray = std::get_if<Application>(&s.saying)) keep(g.applications, *spray, s.said);
    if (const auto* harvest = std::get_if<HarvestTaken>(&s.saying)) keep(g.harvests, *harvest, s.said);
    if (const auto* plan = std::get_if<HarvestPlanned>(&s.saying)) keep(g.planned_harvests, *plan, s.said);
    if (const auto* card = std::get_if<CardCopied>(&s.saying)) keep(g.cards, *card, s.said);
    if (const auto* weather = std::get_if<WeatherAdded>(&s.saying)) keep(g.weather, *weather, s.said);
    if (const auto* release = std::get_if<BedReleased>(&s.saying)) keep(g.releases, *release, s.seq);
    if (const auto* judged = std::get_if<ApplicationJudged>(&s.saying)) keep(g.judgements, *judged, s.said);
    if (const auto* equipment = std::get_if<EquipmentKept>(&s.saying)) keep(g.equipment, *equipment, s.said);
    if (const auto* test = std::get_if<CatchTest>(&s.saying)) keep(g.catch_tests, *test, s.said);
    if (const auto* stock = std::get_if<StockCounted>(&s.saying)) keep(g.stock, *stock, s.said);
    if (const auto* entered = std::get_if<BedEntered>(&s.saying)) keep(g.entries, *entered, s.said);
    if (const auto* begun = std::get_if<SprayBegun>(&s.saying)) keep(g.begun, *begun, s.said);
    if (const auto* answer = std::get_if<AgencyAnswered>(&s.saying)) keep(g.agency_answers, *answer, s.said);
  }

  std::map<Id, const Recorded*> told_;
  std::map<Id, std::pair<std::uint64_t, const Amended*>> amendments_;
  std::uint64_t last_seq_ = 0;
};

}  // namespace leafturn::garden::test
