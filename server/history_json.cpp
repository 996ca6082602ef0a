#include <algorithm>
#include <map>
#include <nlohmann/json.hpp>

#include "server/history.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

namespace {

template <class... F>
struct Cases : F... {
  using F::operator()...;
};
template <class... F>
Cases(F...) -> Cases<F...>;

/// What was sown, by planting: a harvest names only its planting.
class Sown {
 public:
  explicit Sown(const std::vector<garden::Recorded>& events) {
    for (const auto& one : events) {
      if (const auto* sown = std::get_if<garden::PlantingSown>(&one.event.payload)) by_name_[sown->planting] = sown;
    }
  }
  const garden::PlantingSown* planting(const std::string& name) const {
    const auto found = by_name_.find(name);
    return found == by_name_.end() ? nullptr : found->second;
  }

 private:
  std::map<std::string, const garden::PlantingSown*> by_name_;
};

class Teller {
 public:
  Teller(const Sown& sown, const pest::Library& library, const words::Style& style) : sown_{sown}, library_{library}, style_{style} {}

  std::string operator()(const garden::Saying& saying) const {
    return std::visit([&](const auto& e) { return words::say(tell(e), style_); }, saying);
  }

 private:
  Term crop(const std::string& planting) const {
    const auto* sown = sown_.planting(planting);
    return Term{sown == nullptr ? "pages.history.planting" : "crop." + sown->crop};
  }
  static Reason with_detail(std::string code, std::vector<Fact> facts, const std::string& detail) {
    if (!detail.empty()) {
      code += "_detail";
      facts.push_back({"detail", detail});
    }
    return {"pages.history." + code, std::move(facts)};
  }
  Reason tell(const garden::BedLaid&) const { return {"pages.history.bed_laid", {}}; }
  Reason tell(const garden::PlantingSown& e) const {
    if (!e.plants) return {"pages.history.planting_sown", {{"crop", Term{"crop." + e.crop}}}};
    return {"pages.history.planting_sown_plants", {{"crop", Term{"crop." + e.crop}}, {"plants", std::int64_t{*e.plants}}}};
  }
  Reason tell(const garden::PlantingRemoved& e) const { return {"pages.history.planting_removed", {{"crop", crop(e.planting)}}}; }
  Reason tell(const garden::CountTaken& e) const {
    const auto* dossier = library_.pest(e.pest);
    return {"pages.history.count_taken",
            {{"pest", Term{dossier == nullptr ? "pest." + e.pest : "pest." + dossier->id + ".name"}},
             {"stage", Term{"stage." + e.stage}},
             {"count", std::int64_t{e.count}},
             {"plants", std::int64_t{e.plants}}}};
  }
  Reason tell(const garden::WorkDone& e) const {
    static const std::map<garden::WorkDone::Kind, std::string> kinds{{garden::WorkDone::Kind::hand_pick, "hand_pick"},
                                                                     {garden::WorkDone::Kind::crush_eggs, "crush_eggs"},
                                                                     {garden::WorkDone::Kind::cover, "cover"},
                                                                     {garden::WorkDone::Kind::uncover, "uncover"},
                                                                     {garden::WorkDone::Kind::pull, "pull"},
                                                                     {garden::WorkDone::Kind::water, "water"},
                                                                     {garden::WorkDone::Kind::release_friends, "release_friends"},
                                                                     {garden::WorkDone::Kind::clean_up, "clean_up"}};
    return with_detail("work", {{"work", Term{"pages.work." + kinds.at(e.kind)}}}, e.detail);
  }
  Reason tell(const garden::Application& e) const {
    // The rate may not have been told.
    const std::vector<Fact> facts{{"product", e.rate.empty() ? e.product : e.product + ", " + e.rate}};
    if (e.outside_label) return with_detail("application_outside", facts, e.detail);
    switch (e.state) {
      case garden::Application::State::planned:
        return {"pages.history.application_planned", facts};
      case garden::Application::State::cancelled:
        return {"pages.history.application_cancelled", facts};
      case garden::Application::State::made:
        return {e.not_judged ? "pages.history.application_unjudged" : "pages.history.application_made", facts};
    }
    return {"pages.history.application_made", facts};
  }
  Reason tell(const garden::HarvestTaken& e) const {
    if (e.early) {
      const bool held = *e.early == garden::HarvestTaken::Early::held;
      return with_detail(held ? "harvest_held" : "harvest_destroyed", {{"crop", crop(e.planting)}}, e.detail);
    }
    if (!e.amount) return with_detail("harvest", {{"crop", crop(e.planting)}}, e.detail);
    const bool us = style_.units == garden::Units::us;
    const Number amount{us ? e.amount->pounds() : e.amount->kilograms(), 1};
    return with_detail(us ? "harvest_lb" : "harvest_kg", {{"crop", crop(e.planting)}, {"amount", amount}}, e.detail);
  }
  Reason tell(const garden::HarvestPlanned& e) const {
    return {"pages.history.harvest_planned", {{"crop", crop(e.planting)}, {"day", e.day}}};
  }
  Reason tell(const garden::BedReleased& e) const {
    return with_detail(e.basis == garden::BedReleased::Basis::destroyed ? "released_destroyed" : "released_authority", {}, e.detail);
  }
  Reason tell(const garden::ApplicationJudged& e) const {
    const bool within = e.verdict == garden::ApplicationJudged::Verdict::within_label;
    return {within ? "pages.history.judged_within" : "pages.history.judged_outside", {}};
  }
  Reason tell(const garden::BedEntered& e) const { return with_detail(e.exception ? "entered_early" : "entered", {}, e.detail); }
  Reason tell(const garden::SprayBegun& e) const { return with_detail("begun", {{"product", e.product}}, e.despite); }
  // Of the whole garden, never of one bed: history_json asks for none of them.
  Reason tell(const garden::GardenDescribed&) const { return {"pages.history.bed_laid", {}}; }
  Reason tell(const garden::CardCopied&) const { return {"pages.history.bed_laid", {}}; }
  Reason tell(const garden::WeatherAdded&) const { return {"pages.history.bed_laid", {}}; }
  Reason tell(const garden::EquipmentKept&) const { return {"pages.history.bed_laid", {}}; }
  Reason tell(const garden::CatchTest&) const { return {"pages.history.bed_laid", {}}; }
  Reason tell(const garden::StockCounted&) const { return {"pages.history.bed_laid", {}}; }
  Reason tell(const garden::AgencyAnswered&) const { return {"pages.history.bed_laid", {}}; }

  const Sown& sown_;
  const pest::Library& library_;
  const words::Style& style_;
};

/// What was sprayed stays sprayed, and a planned spray is called off, not withdrawn; a bed and an amendment are put right, not withdrawn.
bool may_withdraw(const garden::Payload& payload) {
  if (const auto* application = std::get_if<garden::Application>(&payload))
    return application->state == garden::Application::State::cancelled;
  return !std::holds_alternative<garden::BedLaid>(payload) && !std::holds_alternative<garden::Amended>(payload) &&
         !std::holds_alternative<garden::ApplicationJudged>(payload);
}

ordered_json amendment_value(const garden::Recorded* one, const Zone& zone, const Names& names) {
  if (one == nullptr) return nullptr;
  const auto& amended = std::get<garden::Amended>(one->event.payload);
  return {{"withdrawn", !amended.replacement.has_value()},
          {"reason", amended.reason},
          {"by", one->event.heading.by},
          {"by_name", names.shown(one->event.heading.by)},
          {"at", zone.iso(one->event.heading.at())}};
}

/// What the writer's clock said, where the server reads another time; null where it reads the same.
ordered_json clock_value(const garden::Heading& heading, const Zone& zone, const words::Style& style) {
  if (heading.at() == heading.happened_at) return nullptr;
  const std::int64_t minutes = (heading.happened_at - heading.at()).microseconds / 60'000'000;
  const char* key = minutes > 0 ? "pages.history.clock_ahead" : "pages.history.clock_behind";
  return {{"said", zone.iso(heading.happened_at)},
          {"offset_s", (heading.happened_at - heading.at()).microseconds / 1'000'000},
          {"text", words::say({key, {{"said", zone.civil(heading.happened_at)}, {"minutes", std::abs(minutes)}}}, style)}};
}

}  // namespace

std::string history_json(const std::vector<garden::Recorded>& events, Instant at, const Zone& zone, const pest::Library& library,
                         const Names& names, const words::Style& style) {
  const Sown sown{events};
  const Teller tell{sown, library, style};
  std::map<Id, const garden::Recorded*> by_id;
  std::map<Id, const garden::Recorded*> amended;  // by target; of several the latest holds
  for (const auto& one : events) {
    by_id[one.event.heading.id] = &one;
    if (const auto* amendment = std::get_if<garden::Amended>(&one.event.payload)) {
      auto& latest = amended[amendment->target];
      if (latest == nullptr || latest->seq < one.seq) latest = &one;
    }
  }
  std::vector<std::pair<const garden::Recorded*, std::string>> lines;
  for (const auto& one : events) {
    if (one.event.heading.at() > at) continue;
    if (const auto saying = garden::saying_of(one.event.payload)) {
      lines.emplace_back(&one, tell(*saying));
      continue;
    }
    const auto& amendment = std::get<garden::Amended>(one.event.payload);
    const auto target = by_id.find(amendment.target);
    if (target == by_id.end()) continue;
    const auto was = garden::saying_of(target->second->event.payload);
    if (!was) continue;
    lines.emplace_back(
        &one, amendment.replacement
                  ? words::say({"pages.history.amended", {{"now", tell(*amendment.replacement)}, {"reason", amendment.reason}}}, style)
                  : words::say({"pages.history.withdrawn", {{"was", tell(*was)}, {"reason", amendment.reason}}}, style));
  }
  std::stable_sort(lines.begin(), lines.end(), [](const auto& a, const auto& b) {
    const auto &x = *a.first, &y = *b.first;
    return std::pair{y.event.heading.at(), y.seq} < std::pair{x.event.heading.at(), x.seq};
  });
  ordered_json out = ordered_json::array();
  for (const auto& [one, text] : lines) {
    const auto& heading = one->event.heading;
    const auto by_whom = amended.find(heading.id);
    const auto* amendment = by_whom == amended.end() ? nullptr : by_whom->second;
    out.push_back({{"id", heading.id.text()},
                   {"seq", one->seq},
                   {"kind", garden::kind_word(one->event.payload)},
                   {"at", zone.iso(heading.at())},
                   {"clock", clock_value(heading, zone, style)},
                   {"by", heading.by},
                   {"by_name", names.shown(heading.by)},
                   {"text", text},
                   {"amendment", amendment_value(amendment, zone, names)},
                   {"may_withdraw", amendment == nullptr && may_withdraw(one->event.payload)}});
  }
  return out.dump();
}

}  // namespace leafturn::server
