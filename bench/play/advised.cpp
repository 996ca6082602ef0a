#include "bench/play/advised.hpp"

#include <algorithm>
#include <map>

#include "app/compare.hpp"
#include "bench/gardens/told.hpp"
#include "core/decision/advice.hpp"

namespace leafturn::play {
namespace {

using decision::Option;

constexpr std::size_t members = 128;
constexpr double worth_a_look = 0.2;  // chance to be past the threshold before the next look from which numbers could change anything

/// One morning's numbers, run when first asked for.
class Numbers {
 public:
  Numbers(const decision::BriefRequest& request, int& gated) : request_{request}, gated_{gated} {}

  /// The pest's season where the model has earned its seat; null where it hasn't.
  const app::PestRun* seated(const pest::Dossier& dossier) {
    if (!ground_) ground_ = app::population_ground(request_);
    const auto [run, fresh] = runs_.try_emplace(&dossier);
    if (fresh && counts(dossier) >= decision::least_counts && !ground_->air.members.empty()) {
      run->second = app::run_pest(*ground_, dossier, app::compare_days + 1, workers_, members);
      gated_ += run->second->gate.passed;
    }
    return run->second && run->second->gate.passed ? &*run->second : nullptr;
  }
  const app::PopulationGround& ground() const { return *ground_; }

 private:
  std::ptrdiff_t counts(const pest::Dossier& dossier) const {
    return std::count_if(request_.garden->counts.begin(), request_.garden->counts.end(),
                         [&](const auto& count) { return count.what.pest == dossier.id || count.what.pest == dossier.eppo; });
  }
  const decision::BriefRequest& request_;
  int& gated_;
  app::WorkerPool workers_{1};
  std::optional<app::PopulationGround> ground_;
  std::map<const pest::Dossier*, std::optional<app::PestRun>> runs_;
};

/// What is to be done in a bed, whoever says so.
struct ToDo {
  bool pick = false, eggs = false;
  std::optional<std::string> product;
  std::optional<Date> look;
  bool any() const { return pick || eggs || product; }
};

ToDo by_timing(const decision::Advice& advice) {
  ToDo out;
  for (const Option& o : advice.act) {
    out.pick = out.pick || o.means == "hand-pick";
    out.eggs = out.eggs || o.means == "crush-eggs";
    if (o.card) out.product = o.means;
  }
  out.look = advice.look;
  return out;
}

// True gardens know no hose, and what is done is hand work, a spray, or nothing: the first of these in the order advised.
ToDo by_numbers(const app::PestCompared& compared) {
  ToDo out;
  for (const decision::Ranked& r : compared.comparison.options) {
    if (r.act->means == "nothing") return out;
    if (r.act->card && r.act->on > compared.acts.possible.front().on) continue;  // another day's spray is for another day's brief
    if (r.act->card) {
      out.product = r.act->means;
      return out;
    }
    if (r.act->means != "hand-pick" && r.act->means != "crush-eggs") continue;
    out.pick = r.act->means == "hand-pick";
    out.eggs =
        std::any_of(compared.acts.possible.begin(), compared.acts.possible.end(), [](const auto& a) { return a.means == "crush-eggs"; });
    return out;
  }
  return out;
}

void carry_out(Played& played, int bed, const ToDo& todo) {
  for (const auto& product : gardens::products())
    if (todo.product == product.product) spray(played, bed, product);
  if (todo.pick || todo.eggs) by_hand(played, bed, todo.pick, todo.eggs);
  if (!todo.look) return;
  const int day = played.garden.today() + (*todo.look - Date::parse(played.garden.date(played.garden.today())).value()).count;
  int& again = played.look_again[static_cast<std::size_t>(bed)];
  again = again < 0 ? day : std::min(again, day);
}

void advise_bed(Played& played, int bed, const decision::Context& context, Numbers& numbers) {
  const decision::BriefRequest& request = *context.request;
  const decision::BedContext here = decision::bed_context(context, request.garden->beds[static_cast<std::size_t>(bed)].bed);
  if (here.standing.empty()) return;
  ToDo worst;
  for (const pest::Dossier& dossier : request.library->pests) {
    const garden::Planting* host = decision::best_host(here, dossier);
    if (host == nullptr) continue;
    const auto weighed = decision::weigh(here, dossier, *host, visit_every);
    if (!weighed || std::max(weighed->p_now, weighed->p_soon) < worth_a_look) continue;
    const app::PestRun* run = numbers.seated(dossier);
    ToDo todo;
    if (run != nullptr) {
      todo = by_numbers(app::compare_pest(numbers.ground(), here, *run));
    } else {
      decision::Choices choices = decision::choices(here, dossier, decision::outlook(here, dossier, *host), *host);
      std::erase_if(choices.offered, [](const Option& o) { return o.means == "water"; });
      todo = by_timing(decision::advise(here, dossier, *host, choices, visit_every));
    }
    if ((todo.any() && !worst.any()) || (todo.look && !worst.any() && !worst.look)) worst = todo;
  }
  carry_out(played, bed, worst);
}

}  // namespace

void advised_morning(Played& played, const pest::Library& library) {
  std::vector<int> looked;
  for (int bed = 0; bed < played.garden.beds(); ++bed)
    if (due(played, bed)) {
      look_over(played, bed);
      looked.push_back(bed);
    }
  if (looked.empty()) return;
  gardens::History history = played.garden.history(played.garden.today());
  // Three earlier years make three futures: enough for a season's play.
  std::erase_if(history.past_years, [&](const auto& day) { return day.year < history.year - 3; });
  const auto told = bench::told(history, library);
  const decision::Context context = decision::context_of(told->request);
  Numbers numbers{told->request, played.season.acts["gate passed"]};
  for (const int bed : looked) advise_bed(played, bed, context, numbers);
}

}  // namespace leafturn::play
