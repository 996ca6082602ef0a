#include "core/decision/work.hpp"

#include <algorithm>

namespace leafturn::decision {

std::vector<WorkEffect> work_done(const BriefRequest& request, std::string_view bed, const pest::Dossier& dossier) {
  std::vector<WorkEffect> effects;
  const auto add = [&](const pest::Efficacy& e, Instant at) {
    std::vector<std::size_t> stages;  // all of its words together: one work takes its share once
    for (const std::string& word : e.stages) {
      const auto meant = pest::stages_for(dossier, word).stages;
      stages.insert(stages.end(), meant.begin(), meant.end());
    }
    std::sort(stages.begin(), stages.end());
    stages.erase(std::unique(stages.begin(), stages.end()), stages.end());
    effects.push_back({request.zone.civil(at), std::move(stages), e.low, e.high});
  };
  // A season's at most; in a year there may be thousands, most of them water, so what is quick to ask is asked first.
  for (const auto& work : garden::within(request.garden->work, request.at - Duration::hours(24 * 366), request.at)) {
    const char* means = work.what.kind == garden::WorkDone::Kind::hand_pick    ? "hand-pick"
                        : work.what.kind == garden::WorkDone::Kind::crush_eggs ? "crush-eggs"
                                                                               : nullptr;
    if (means == nullptr || work.what.bed != bed) continue;
    for (const pest::Efficacy& e : dossier.efficacies)
      if (e.means == means) add(e, work.at);
  }
  for (const auto& spray : request.garden->applications) {
    if (spray.what.bed != bed || spray.what.state != garden::Application::State::made || !spray.what.card) continue;
    const auto card = request.cards.find(*spray.what.card);
    if (card == request.cards.end()) continue;
    for (const label::Active& active : card->second.actives)
      for (const pest::Efficacy& e : dossier.efficacies)
        if (e.is_active && pest::same_active(e.means, active.name)) add(e, spray.at);
  }
  return effects;
}

std::optional<Instant> last_pull(const garden::Garden& garden, std::string_view bed, Instant until) {
  for (auto at = garden.work.rbegin(); at != garden.work.rend(); ++at)
    if (at->at <= until && at->what.kind == garden::WorkDone::Kind::pull && at->what.bed == bed) return at->at;
  return std::nullopt;
}

}  // namespace leafturn::decision
