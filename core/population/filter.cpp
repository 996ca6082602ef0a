#include "core/population/filter.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstring>
#include <deque>

#include "core/base/elementary.hpp"
#include "core/population/cloud.hpp"
#include "core/population/pool.hpp"
#include "core/population/put_right.hpp"

namespace leafturn::population {
namespace {

constexpr double least_size = 0.5;  // of the members, as an effective number, before they are picked anew
constexpr StepNumber between_checkpoints = 7 * steps_a_day;

/// Everything that changes as time goes on.
struct Now {
  StepNumber at = 0;
  Members members;
  std::vector<std::vector<double>> log_weights;  ///< [bed][member], sum of weights 1
  std::vector<BedsAlike> alike;                  ///< [unknown]
  PutRight put_right;
  Pool pool{0, 0.0};
  std::vector<std::array<Gathered, unknown_count>> gathered;  ///< [bed]
  std::uint32_t visits = 0;
  std::size_t folded = 0;  ///< sightings, in order of time
};

std::vector<double> exponentials(std::span<const double> logs) {
  std::vector<double> w(logs.begin(), logs.end());
  normalise(w, w);
  return w;
}

// Members for a mixture: all when they are few; of many, those at `enough` even steps of weight when ordered by their mean (to one part in
// 128). What is left out is as good as said by its neighbours.
constexpr std::size_t enough = 512;

// Counts of one step folded together. Each keeps every member's expectation until all have been heard; no scout takes so many in an hour,
// and a flood of them must not take the memory.
constexpr std::size_t most_at_once = 256;

std::vector<std::uint32_t> evenly_by_mean(const std::vector<float>& mean, std::span<const double> weights) {
  constexpr int fine = 16;  // lowest bits of a float left out of the order
  const auto place = [&](float m) { return std::bit_cast<std::uint32_t>(m) >> fine; };
  std::vector<std::uint32_t> begin((std::size_t{1} << (31 - fine)) + 1, 0);
  for (const float m : mean) ++begin[place(m) + 1];
  for (std::size_t i = 1; i < begin.size(); ++i) begin[i] += begin[i - 1];
  std::vector<std::uint32_t> order(mean.size());
  for (std::size_t i = 0; i < mean.size(); ++i) order[begin[place(mean[i])]++] = static_cast<std::uint32_t>(i);
  std::vector<std::uint32_t> picked;
  picked.reserve(enough);
  double sum = 0.0;
  const double step = 1.0 / static_cast<double>(enough);
  for (const std::uint32_t member : order) {
    sum += weights.empty() ? 1.0 / static_cast<double>(mean.size()) : weights[member];
    while (picked.size() < enough && (static_cast<double>(picked.size()) + 0.5) * step < sum) picked.push_back(member);
  }
  return picked;
}

NegativeBinomial of_member(const Expected& expected, std::size_t i) {
  return {static_cast<double>(expected.mean[i]), static_cast<double>(expected.k[i])};
}

// Of members equally likely.
std::vector<NegativeBinomial> all_members(const Expected& expected) {
  std::vector<NegativeBinomial> members;
  if (expected.mean.size() > enough) {
    for (const std::uint32_t i : evenly_by_mean(expected.mean, {})) members.push_back(of_member(expected, i));
    return members;
  }
  for (std::size_t i = 0; i < expected.mean.size(); ++i) members.push_back(of_member(expected, i));
  return members;
}

std::optional<CountMixture> mixture(const Expected& expected, std::span<const double> weights) {
  if (expected.mean.size() <= enough) return CountMixture::of(all_members(expected), weights);
  std::vector<NegativeBinomial> members;
  for (const std::uint32_t i : evenly_by_mean(expected.mean, weights)) members.push_back(of_member(expected, i));
  return CountMixture::of(members, {});
}

// Members that say enough where only the shares of a pool are learned.
std::vector<NegativeBinomial> some_members(const Expected& expected, std::span<const double> weights) {
  std::array<std::uint32_t, 48> picked{};
  std::vector<NegativeBinomial> members;
  if (!resample(weights, 0.5, picked)) return members;
  for (const std::uint32_t i : picked) members.push_back(of_member(expected, i));
  return members;
}

/// A bed looked at, at one time.
struct Visit {
  std::size_t bed = 0;
  std::vector<Sighting> sightings;
  std::vector<Scored> scored;
  std::vector<Expected> expected;                        ///< of each, before it was put right
  std::vector<std::vector<NegativeBinomial>> put_right;  ///< of each, after
  std::vector<double> weights;                           ///< before the visit
  std::array<Reweighing, unknown_count> said;
};

}  // namespace

struct Filter::Inside {
  Setup setup;
  Chance chance;
  std::vector<Sighting> sightings;  ///< all, by time
  std::vector<Scored> scored;       ///< of those folded
  Now now;
  std::deque<Now> checkpoints;  ///< oldest first

  explicit Inside(Setup s) : setup{std::move(s)}, chance{setup.seed, setup.pest} { restart(); }

  Course course(std::span<const Deed> extra = {}) const { return {*setup.life, setup.world, setup.futures, extra}; }
  std::size_t beds() const { return setup.world.beds.size(); }
  std::size_t blocks() const { return setup.members / lanes; }

  void each(std::size_t count, const std::function<void(std::size_t)>& task) const {
    if (setup.workers) return setup.workers(count, task);
    for (std::size_t i = 0; i < count; ++i) task(i);
  }

  void restart() {
    now = Now{};
    now.pool = Pool{beds(), growth_per_day(*setup.life, Temperature::celsius(22.0)).value_or(0.1)};
    now.members = draw_members(*setup.life, setup.world, setup.prior, setup.members, chance);
    now.log_weights.assign(beds(), std::vector<double>(setup.members, -num::log(static_cast<double>(setup.members))));
    now.alike.assign(unknown_count, BedsAlike(beds(), setup.prior.likeness));
    now.gathered.assign(beds(), {});
    const Course meets = course();
    each(blocks(), [&](std::size_t block) { begin(meets, now.members, block); });
  }

  void run_to(const Course& meets, StepNumber to) {
    each(blocks(), [&](std::size_t block) { march(meets, chance, now.members, block, now.at, to, setup.lanes); });
    now.at = to;
  }

  /// Scores a visit, then weighs the bed's members by it.
  void weigh_visit(const Course& meets, Visit& visit, std::uint32_t number) {
    Members& members = now.members;
    std::vector<double>& logs = now.log_weights[visit.bed];
    visit.weights = exponentials(logs);
    const std::vector<double>& before = visit.weights;
    std::vector<Looking> looking;
    for (const Sighting& s : visit.sightings) looking.emplace_back(meets, s);
    Expected expected;
    const auto ask = [&](const Looking& look, std::span<const double> weights) {
      expected.mean.resize(setup.members);
      for (std::size_t block = 0; block < blocks(); ++block) look.ask(members, block, expected);
      look.spread(members, weights, expected);
    };
    for (const Looking& look : looking) {
      ask(look, before);
      const Sighting& s = look.sighting();
      visit.expected.push_back(expected);
      now.put_right.apply(s, before, expected);
      visit.put_right.push_back(some_members(expected, before));
      const auto was = mixture(expected, before);
      if (!was) continue;
      num::Draws draws{{chance.seed, static_cast<std::uint32_t>(s.stages.front()), s.at, static_cast<std::uint16_t>(s.bed), chance.pest, 0,
                        num::Use::population_score}};
      visit.scored.push_back(
          {s, *was, was->crps(s.count), was->log_score(s.count), randomised_pit(was->pit_interval(s.count), draws.uniform())});
    }
    add_newcomers(looking, members, logs, chance, number, setup.unforeseen);
    const std::vector<double> with_newcomers = exponentials(logs);
    for (const Looking& look : looking) {
      ask(look, with_newcomers);
      weigh(look.sighting(), expected, logs);
    }
    std::vector<double> after(logs.size());
    if (!normalise(logs, after)) {
      logs.assign(logs.size(), -num::log(static_cast<double>(logs.size())));
      after = exponentials(logs);
    }
    for (std::size_t i = 0; i < logs.size(); ++i) logs[i] = after[i] > 0.0 ? num::log(after[i]) : -1e4;
    visit.said = reweighed(members, visit.bed, before, after);
  }

  /// What is yet to be done to each bed's members, of which those looked at have been reweighed: chance is taken out of what they learned,
  /// and all hear of each other.
  std::vector<std::array<BedsAlike::Move, unknown_count>> spread_news(const std::vector<Visit>& visits) {
    std::vector<std::array<BedsAlike::Move, unknown_count>> moves(beds());
    for (std::size_t u = 0; u < unknown_count; ++u) {
      std::vector<BedsAlike::Word> words;
      for (const Visit& visit : visits) {
        const Reweighing& said = visit.said[u];
        const Gathered::Heard heard = now.gathered[visit.bed][u].hear(said);
        words.push_back({visit.bed, heard.shift, said.before.variance, heard.variance});
        const double as_weighed = std::max(said.after.variance, 1e-3);
        moves[visit.bed][u] = {heard.shift - (said.after.mean - said.before.mean), std::sqrt(heard.variance / as_weighed)};
      }
      const std::vector<BedsAlike::Move> news = now.alike[u].together(words);
      for (std::size_t b = 0; b < beds(); ++b) {
        moves[b][u].shift += news[b].shift;
        moves[b][u].narrow *= news[b].narrow;
      }
    }
    return moves;
  }

  void pick_again(std::size_t bed, const std::vector<double>& weights) {
    num::Draws draws{{chance.seed, 0, now.at, static_cast<std::uint16_t>(bed), chance.pest, 0, num::Use::population_resampling}};
    pick(now.members, bed, weights, draws.uniform());
    now.log_weights[bed].assign(setup.members, -num::log(static_cast<double>(setup.members)));
  }

  void fold_visits(const Course& meets, std::vector<Visit>& visits) {
    const std::uint32_t first = now.visits;
    each(visits.size(), [&](std::size_t v) { weigh_visit(meets, visits[v], first + static_cast<std::uint32_t>(v)); });
    now.visits += static_cast<std::uint32_t>(visits.size());
    const auto moves = spread_news(visits);
    std::vector<bool> looked_at(beds(), false);
    for (const Visit& visit : visits) looked_at[visit.bed] = true;
    const std::vector<std::uint8_t> counted_before = now.members.counted;
    each(beds(), [&](std::size_t bed) {
      const std::vector<double> weights = exponentials(now.log_weights[bed]);
      move_beliefs(*setup.life, setup.prior, now.members, bed, weights, moves[bed], counted_before[bed] == 0 && !looked_at[bed]);
      if (!looked_at[bed]) return;
      if (effective_size(weights) >= least_size * static_cast<double>(setup.members)) return;
      pick_again(bed, weights);
      refresh(*setup.life, setup.prior, now.members, bed, chance, now.at);
    });
    for (const Visit& visit : visits) {
      now.members.counted[visit.bed] = 1;
      now.folded += visit.sightings.size();
      now.pool.learn(visit.sightings, visit.put_right, meets.deeds());
      for (std::size_t i = 0; i < visit.expected.size(); ++i) now.put_right.learn(visit.sightings[i], visit.weights, visit.expected[i]);
      scored.insert(scored.end(), visit.scored.begin(), visit.scored.end());
    }
  }

  void keep_checkpoint() {
    if (setup.checkpoints == 0) return;
    if (!checkpoints.empty() && now.at - checkpoints.back().at < between_checkpoints) return;
    checkpoints.push_back(now);
    if (checkpoints.size() > setup.checkpoints) checkpoints.pop_front();
  }

  /// Folds what isn't folded yet.
  void go_on() {
    const Course meets = course();
    while (now.folded < sightings.size()) {
      const StepNumber at = sightings[now.folded].at;
      keep_checkpoint();
      run_to(meets, std::max(at, now.at));
      std::vector<Visit> visits;
      const std::size_t until = std::min(sightings.size(), now.folded + most_at_once);
      for (std::size_t i = now.folded; i < until && sightings[i].at == at; ++i) {
        const Sighting& s = sightings[i];
        if (visits.empty() || visits.back().bed != s.bed) visits.push_back({s.bed, {}, {}, {}, {}, {}, {}});
        visits.back().sightings.push_back(s);
      }
      fold_visits(meets, visits);
    }
  }

  /// Of a count, by members equally likely: the model's, pooled unless the model knows all.
  std::optional<CountMixture> forecast(const Course& meets, const Now& even, const Sighting& ask, const Expected& expected) const {
    if (!(setup.unforeseen > 0.0)) return CountMixture::of(all_members(expected), {});
    const double days_ahead = static_cast<double>(ask.at - even.at) / steps_a_day;
    const Pool::Forecast pooled = even.pool.of(ask, all_members(expected), meets.deeds(), days_ahead);
    const auto mixture = CountMixture::of(pooled.members, pooled.weights);
    return mixture ? std::optional{mixture->set_right(pooled.a, pooled.b)} : mixture;
  }

  /// A state to forecast from: every bed's members equally likely.
  Now evened() const {
    Now even = now;
    each(beds(), [&](std::size_t bed) {
      const std::vector<double> weights = exponentials(even.log_weights[bed]);
      num::Draws draws{{chance.seed, 1, even.at, static_cast<std::uint16_t>(bed), chance.pest, 0, num::Use::population_resampling}};
      pick(even.members, bed, weights, draws.uniform());
      for (std::size_t block = 0; block < blocks(); ++block) believe(*setup.life, setup.prior, even.members, block, bed);
    });
    return even;
  }
};

Filter::Filter(Setup setup) : inside_{std::make_unique<Inside>(std::move(setup))} {}
Filter::Filter(std::unique_ptr<Inside> inside) : inside_{std::move(inside)} {}
Filter::Filter(Filter&&) noexcept = default;
Filter& Filter::operator=(Filter&&) noexcept = default;
Filter::~Filter() = default;
Filter Filter::clone() const { return Filter{std::make_unique<Inside>(*inside_)}; }

const std::vector<Scored>& Filter::scored() const { return inside_->scored; }
StepNumber Filter::now() const { return inside_->now.at; }

void Filter::fold(std::span<const Sighting> sightings) {
  Inside& in = *inside_;
  if (sightings.empty()) return;
  StepNumber earliest = sightings.front().at;
  for (const Sighting& s : sightings) earliest = std::min(earliest, s.at);
  in.sightings.insert(in.sightings.end(), sightings.begin(), sightings.end());
  std::stable_sort(in.sightings.begin(), in.sightings.end(),
                   [](const Sighting& a, const Sighting& b) { return a.at != b.at ? a.at < b.at : a.bed < b.bed; });
  if (earliest <= in.now.at && in.now.folded > 0) {
    while (!in.checkpoints.empty() && in.checkpoints.back().at >= earliest) in.checkpoints.pop_back();
    if (in.checkpoints.empty()) {
      in.restart();
    } else {
      in.now = in.checkpoints.back();
    }
    in.scored.erase(in.scored.begin() + static_cast<std::ptrdiff_t>(std::min(in.scored.size(), in.now.folded)), in.scored.end());
  }
  in.go_on();
}

std::vector<CountMixture> Filter::expect(std::span<const Sighting> asks, std::span<const Deed> extra) const {
  const Inside& in = *inside_;
  const Course meets = in.course(extra);
  Now even = in.evened();
  std::vector<std::size_t> order(asks.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return asks[a].at < asks[b].at; });
  std::vector<StepNumber> stops;
  std::vector<Looking> looking;
  std::vector<Expected> expected(asks.size());
  for (const std::size_t i : order) {
    stops.push_back(std::max(asks[i].at, even.at));
    looking.emplace_back(meets, asks[i]);
    expected[looking.size() - 1].mean.resize(in.setup.members);
  }
  const StepNumber last = stops.empty() ? even.at : stops.back();
  in.each(in.blocks(), [&](std::size_t block) {
    march(meets, in.chance, even.members, block, even.at, last, in.setup.lanes, stops,
          [&](std::size_t stop) { looking[stop].ask(even.members, block, expected[stop]); });
  });
  const std::vector<double> equal(in.setup.members, 1.0 / static_cast<double>(in.setup.members));
  std::vector<std::optional<CountMixture>> found(asks.size());
  in.each(asks.size(), [&](std::size_t i) {
    looking[i].spread(even.members, equal, expected[i]);
    even.put_right.apply(asks[order[i]], {}, expected[i]);
    found[order[i]] = in.forecast(meets, even, asks[order[i]], expected[i]);
  });
  std::vector<CountMixture> out;
  for (auto& one : found) out.push_back(std::move(*one));
  return out;
}

Paths Filter::paths(std::int32_t from, std::int32_t to, std::span<const Deed> extra) const {
  const Inside& in = *inside_;
  const Course meets = in.course(extra);
  Now even = in.evened();
  const std::int32_t today = (even.at + steps_a_day - 1) / steps_a_day;
  from = std::max(from, even.at % steps_a_day <= steps_a_day / 2 ? even.at / steps_a_day : today);
  Paths paths(from, static_cast<std::size_t>(std::max(0, to - from + 1)), in.beds(), in.setup.life->stages.size(), in.setup.members);
  std::vector<StepNumber> stops;
  for (std::int32_t day = from; day <= to; ++day) stops.push_back(day * steps_a_day + steps_a_day / 2);
  if (stops.empty()) return paths;
  const std::size_t stages = in.setup.life->stages.size();
  in.each(in.blocks(), [&](std::size_t block) {
    std::vector<float> totals(stages * lanes);
    march(meets, in.chance, even.members, block, even.at, stops.back(), in.setup.lanes, stops, [&](std::size_t stop) {
      for (std::size_t bed = 0; bed < in.beds(); ++bed) {
        stage_totals(*in.setup.life, even.members.state.bed(block, bed), totals, in.setup.lanes);
        for (std::size_t s = 0; s < stages; ++s)
          std::copy_n(totals.begin() + static_cast<std::ptrdiff_t>(s * lanes), lanes,
                      paths.at(stop, bed, s).begin() + static_cast<std::ptrdiff_t>(block * lanes));
      }
    });
  });
  return paths;
}

std::vector<double> Filter::weights(std::size_t bed) const { return exponentials(inside_->now.log_weights[bed]); }

Learned Filter::learned(std::size_t bed, Unknown unknown) const {
  const Inside& in = *inside_;
  const std::vector<double> w = weights(bed);
  std::vector<double> z(in.setup.members);
  read_z(in.now.members, bed, unknown, z);
  const Moments m = moments(std::span<const double>(z), w);
  std::vector<std::size_t> order(z.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) { return z[a] < z[b]; });
  const auto quantile = [&](double p) {
    double sum = 0.0;
    for (const std::size_t i : order)
      if ((sum += w[i]) >= p) return value_of(in.setup.prior, unknown, z[i]);
    return value_of(in.setup.prior, unknown, z[order.back()]);
  };
  constexpr double most_left = 0.8;  // of the prior's variance (model.md 5)
  return {m.mean, std::sqrt(m.variance), quantile(0.05), quantile(0.5), quantile(0.95), m.variance < most_left};
}

std::vector<double> Filter::draws(std::size_t bed, Unknown unknown, std::size_t count) const {
  const Inside& in = *inside_;
  std::vector<double> z(in.setup.members);
  read_z(in.now.members, bed, unknown, z);
  num::Draws chance{{in.chance.seed, 2, in.now.at, static_cast<std::uint16_t>(bed), in.chance.pest, 0, num::Use::population_resampling}};
  std::vector<std::uint32_t> picked(count);
  if (!resample(weights(bed), chance.uniform(), picked)) return {};
  std::vector<double> out;
  for (const std::uint32_t i : picked) out.push_back(z[i]);
  return out;
}

std::array<double, 3> Filter::movement(std::size_t bed) const {
  const std::vector<double> w = weights(bed);
  std::vector<double> z(w.size());
  read_z(inside_->now.members, bed, Unknown::movement, z);
  std::array<double, 3> share{};
  for (std::size_t i = 0; i < z.size(); ++i) share[static_cast<std::size_t>(movement_of(z[i]))] += w[i];
  return share;
}

std::vector<Movement> Filter::ways(std::size_t bed) const {
  std::vector<double> z(inside_->setup.members);
  read_z(inside_->evened().members, bed, Unknown::movement, z);
  std::vector<Movement> out;
  for (const double one : z) out.push_back(movement_of(one));
  return out;
}

std::uint64_t Filter::digest() const {
  std::uint64_t hash = 0xcbf29ce484222325U;
  const auto add = [&](std::span<const float> x) {
    for (const float v : x) {
      std::uint32_t bits = 0;
      std::memcpy(&bits, &v, sizeof bits);
      hash = (hash ^ bits) * 0x100000001b3U;
    }
  };
  const Members& m = inside_->now.members;
  for (std::size_t block = 0; block < inside_->blocks(); ++block)
    for (std::size_t bed = 0; bed < inside_->beds(); ++bed) {
      add(m.state.bed(block, bed));
      for (const Lane& z : m.z[m.index(block, bed)]) add(z);
      add(m.enemies[m.index(block, bed)]);
    }
  return hash;
}

Paths::Paths(std::int32_t first_day, std::size_t days, std::size_t beds, std::size_t stages, std::size_t members)
    : first_day_{first_day}, days_{days}, beds_{beds}, stages_{stages}, members_{members}, x_(days * beds * stages * members) {}

std::span<const float> Paths::at(std::size_t day, std::size_t bed, std::size_t stage) const {
  return std::span<const float>(x_).subspan(((day * beds_ + bed) * stages_ + stage) * members_, members_);
}
std::span<float> Paths::at(std::size_t day, std::size_t bed, std::size_t stage) {
  return std::span<float>(x_).subspan(((day * beds_ + bed) * stages_ + stage) * members_, members_);
}

}  // namespace leafturn::population
