#include "core/population/count_mixture.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <utility>

#include "core/base/elementary.hpp"
#include "core/population/assimilate.hpp"

namespace leafturn::population {
namespace {

constexpr double ln2 = 0.69314718055994530942;
constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr std::size_t never_joined = 16;
constexpr double k_classes = 8.0;  // per doubling
constexpr std::int64_t exact_below = 4096;
constexpr std::int64_t block = 64;  // counts between looks at which parts still matter
constexpr double nodes_per_sd = 8.0;
constexpr double nodes_per_count = 16.0;  // at least, relative to the count itself
constexpr double nothing_left = 1e-13;

// How far apart in their own standard deviations members of one cell may be. What joining misses is skewness, and there is less of it the
// larger k.
double cell_width(double k) { return k < 4.0 ? 0.125 : k < 64.0 ? 0.25 : 0.5; }

// Members of one cell are joined. The k class comes first; within it the mean is measured where one standard deviation is 1
// everywhere: ∫ dm/√(m + m²/k) = 2√k·asinh√(m/k).
std::pair<std::int64_t, std::int64_t> cell(NegativeBinomial member) {
  constexpr std::int64_t poisson_class = 1000;
  std::int64_t k_class = poisson_class;
  double of_class = infinite;
  double place = 2.0 * num::sqrt(member.mean);
  if (member.k < 1e9) {
    const double of_k = std::floor(k_classes * num::log(member.k) / ln2);
    k_class = static_cast<std::int64_t>(std::max(of_k, -1000.0));
    of_class = num::exp((static_cast<double>(k_class) + 0.5) * ln2 / k_classes);
    const double x = num::sqrt(member.mean / of_class);
    place = 2.0 * num::sqrt(of_class) * num::log1p(x + x * x / (1.0 + num::sqrt(1.0 + x * x)));
  }
  return {k_class, static_cast<std::int64_t>(place / cell_width(of_class))};
}

// The first count that matters: a count's lower tail is lighter than the normal's, so less than 1e-16 lies below.
std::int64_t first_count(NegativeBinomial counts) {
  return static_cast<std::int64_t>(std::max(0.0, counts.mean - 8.5 * num::sqrt(variance(counts))));
}

// The parts that matter in a block of counts, as arrays: p(n + 1) = p(n)·(a + b·n)/(n + 1).
struct Lanes {
  std::vector<double> p, a, b;

  void add(NegativeBinomial counts, double weight, std::int64_t n) {
    p.push_back(weight * probability(counts, n));
    a.push_back(counts.mean / (1.0 + counts.mean / counts.k));
    b.push_back(a.back() / counts.k);
  }
  // Σ p, and one count on.
  double step(double n) {
    const double per = 1.0 / (n + 1.0);
    const std::size_t size = p.size();
    double lane[4] = {};
    std::size_t i = 0;
    for (; i + 4 <= size; i += 4)
      for (std::size_t j = 0; j < 4; ++j) {
        lane[j] += p[i + j];
        p[i + j] *= (a[i + j] + b[i + j] * n) * per;
      }
    for (std::size_t j = 0; i < size; ++i, ++j) {
      lane[j] += p[i];
      p[i] *= (a[i] + b[i] * n) * per;
    }
    return (lane[0] + lane[2]) + (lane[1] + lane[3]);
  }
  // Leaves out the parts of which next to nothing is left from n on.
  void prune(double n) {
    std::size_t kept = 0;
    for (std::size_t i = 0; i < p.size(); ++i) {
      const double ratio = std::max((a[i] + b[i] * n) / (n + 1.0), b[i]);
      if (ratio < 1.0 && p[i] < 1e-18 * (1.0 - ratio)) continue;
      p[kept] = p[i];
      a[kept] = a[i];
      b[kept++] = b[i];
    }
    p.resize(kept);
    a.resize(kept);
    b.resize(kept);
  }
};

}  // namespace

std::optional<CountMixture> CountMixture::of(std::span<const NegativeBinomial> members, std::span<const double> weights) {
  if (!weights.empty() && weights.size() != members.size()) return std::nullopt;
  for (const NegativeBinomial& member : members)
    if (!(member.mean >= 0.0 && member.mean < infinite && member.k > 0.0)) return std::nullopt;
  for (const double w : weights)
    if (!(w >= 0.0 && w < infinite)) return std::nullopt;
  const double total = weights.empty() ? static_cast<double>(members.size()) : tree_sum(weights);
  if (!(total > 0.0)) return std::nullopt;
  CountMixture mixture;
  mixture.join(members, weights, total);
  mixture.tabulate();
  return mixture;
}

void CountMixture::join(std::span<const NegativeBinomial> members, std::span<const double> weights, double total) {
  struct Placed {
    std::pair<std::int64_t, std::int64_t> cell;
    std::size_t member;
  };
  std::vector<Placed> placed;
  placed.reserve(members.size());
  const bool apart = members.size() <= never_joined;
  for (std::size_t i = 0; i < members.size(); ++i) {
    if (!weights.empty() && !(weights[i] > 0.0)) continue;
    placed.push_back({apart ? std::pair{std::int64_t{0}, static_cast<std::int64_t>(i)} : cell(members[i]), i});
  }
  std::sort(placed.begin(), placed.end(),
            [](const Placed& x, const Placed& y) { return std::pair{x.cell, x.member} < std::pair{y.cell, y.member}; });
  for (std::size_t from = 0; from < placed.size();) {
    std::size_t to = from;
    const double near = members[placed[from].member].mean;
    double weight = 0.0, off = 0.0, off_square = 0.0, spread = 0.0;
    for (; to < placed.size() && placed[to].cell == placed[from].cell; ++to) {
      const NegativeBinomial& member = members[placed[to].member];
      const double w = weights.empty() ? 1.0 / total : weights[placed[to].member] / total;
      weight += w;
      off += w * (member.mean - near);
      off_square += w * (member.mean - near) * (member.mean - near);
      spread += w * (member.mean / member.k * member.mean);
    }
    Part part{members[placed[from].member], weight};
    if (to - from > 1) {
      const double shift = off / weight;
      part.counts.mean = near + shift;
      const double beyond_poisson = (off_square / weight - shift * shift) + spread / weight;
      part.counts.k = beyond_poisson > 0.0 ? part.counts.mean * part.counts.mean / beyond_poisson : infinite;
      if (!(part.counts.k > 0.0)) part.counts.k = infinite;  // a mean of 0
    }
    parts_.push_back(part);
    from = to;
  }
  std::sort(parts_.begin(), parts_.end(),
            [](const Part& x, const Part& y) { return std::pair{x.counts.mean, x.counts.k} < std::pair{y.counts.mean, y.counts.k}; });
  for (const Part& part : parts_) mean_ += part.weight * part.counts.mean;
  for (const Part& part : parts_) {
    const double off_mean = part.counts.mean - mean_;
    variance_ += part.weight * (population::variance(part.counts) + off_mean * off_mean);
  }
}

void CountMixture::tabulate() {
  struct Start {
    std::int64_t at;
    std::size_t part;
  };
  std::vector<Start> starts;
  for (std::size_t i = 0; i < parts_.size(); ++i) starts.push_back({first_count(parts_[i].counts), i});
  std::sort(starts.begin(), starts.end(), [](const Start& x, const Start& y) { return std::pair{x.at, x.part} < std::pair{y.at, y.part}; });
  Lanes lanes;
  std::size_t next = 0;
  double sum = 0.0;
  for (std::int64_t n = 0; n < exact_below; n += block) {
    for (; next < starts.size() && starts[next].at < n + block; ++next)
      lanes.add(parts_[starts[next].part].counts, parts_[starts[next].part].weight, n);
    for (std::int64_t i = n; i < n + block; ++i) {
      sum += lanes.step(static_cast<double>(i));
      up_to_.push_back(std::min(sum, 1.0));
    }
    lanes.prune(static_cast<double>(n + block));
    if (next == starts.size() && lanes.p.empty()) {
      while (up_to_.size() > 1 && !(up_to_[up_to_.size() - 2] < up_to_.back())) up_to_.pop_back();
      return;
    }
  }
  add_nodes();
}

void CountMixture::add_nodes() {
  std::vector<Part> waiting = parts_;  // by rising start
  std::sort(waiting.begin(), waiting.end(), [](const Part& x, const Part& y) { return first_count(x.counts) < first_count(y.counts); });
  std::vector<Part> alive;
  std::size_t next = 0;
  double done = 0.0;
  constexpr std::int64_t most = std::int64_t{1} << 50;
  for (std::int64_t n = exact_below - 1; n < most;) {
    for (; next < waiting.size() && first_count(waiting[next].counts) <= n; ++next) alive.push_back(waiting[next]);
    const auto at = static_cast<double>(n);
    Node node{n, done, 0.0};
    std::size_t kept = 0;
    double narrowest = 0.0;
    for (const Part& part : alive) {
      const NegativeBinomial& c = part.counts;
      const double reached = population::probability_up_to(c, n);
      node.up_to += part.weight * reached;
      if (at > c.mean && 1.0 - reached < nothing_left) {
        done += part.weight;
        continue;
      }
      // Half of this count's probability and half of the next one's.
      const double ratio = c.mean / (1.0 + c.mean / c.k) * (1.0 + at / c.k) / (at + 1.0);
      node.slope += part.weight * probability(c, n) * 0.5 * (1.0 + ratio);
      narrowest = std::max(narrowest, c.k);
      alive[kept++] = part;
    }
    // Rounding may not make a sum of probabilities fall.
    node.up_to = std::clamp(node.up_to, nodes_.empty() ? 0.0 : nodes_.back().up_to, 1.0);
    nodes_.push_back(node);
    alive.resize(kept);
    if (alive.empty() && next == waiting.size()) break;
    if (alive.empty()) {
      // Nothing happens until the next part begins.
      n = std::max(n + 1, first_count(waiting[next].counts));
      continue;
    }
    const double step = std::min(num::sqrt(at + at * at / narrowest) / nodes_per_sd, at / nodes_per_count);
    std::int64_t to = n + std::max(std::int64_t{1}, static_cast<std::int64_t>(step));
    if (next < waiting.size()) to = std::min(to, std::max(n + 1, first_count(waiting[next].counts)));
    n = to;
  }
}

// Hermite's cubic, its slopes kept below three times the mean one so that it never falls (Fritsch & Carlson 1980, from memory).
double CountMixture::between(const Node& a, const Node& b, double n) const {
  const double width = static_cast<double>(b.count - a.count);
  const double rise = b.up_to - a.up_to;
  const double from_slope = std::min(width * a.slope, 3.0 * rise);
  const double to_slope = std::min(width * b.slope, 3.0 * rise);
  const double t = (n - static_cast<double>(a.count)) / width;
  const double rest = 1.0 - t;
  return a.up_to + rise * t * t * (3.0 - 2.0 * t) + t * rest * (from_slope * rest - to_slope * t);
}

double CountMixture::probability_up_to(std::int64_t n) const {
  if (n < 0) return 0.0;
  if (n < static_cast<std::int64_t>(up_to_.size())) return up_to_[static_cast<std::size_t>(n)];
  if (nodes_.empty() || n >= nodes_.back().count) return nodes_.empty() ? up_to_.back() : nodes_.back().up_to;
  const auto after =
      std::upper_bound(nodes_.begin(), nodes_.end(), n, [](std::int64_t count, const Node& node) { return count < node.count; });
  return between(*(after - 1), *after, static_cast<double>(n));
}

double CountMixture::log_probability(std::int64_t n) const {
  if (set_right_) return num::log(std::max(1e-17, probability_up_to(n) - probability_up_to(n - 1)));
  double top = -infinite;
  std::vector<double> logs;
  logs.reserve(parts_.size());
  for (const Part& part : parts_) {
    logs.push_back(num::log(part.weight) + population::log_probability(part.counts, n));
    top = std::max(top, logs.back());
  }
  return top > -infinite ? log_sum_exp(logs) : top;
}

std::int64_t CountMixture::quantile(double p) const {
  if (p <= up_to_.back()) return std::lower_bound(up_to_.begin(), up_to_.end(), p) - up_to_.begin();
  std::int64_t below = static_cast<std::int64_t>(up_to_.size()) - 1;
  std::int64_t at = below;
  const auto reached = std::lower_bound(nodes_.begin(), nodes_.end(), p, [](const Node& node, double level) { return node.up_to < level; });
  if (nodes_.empty() || reached == nodes_.end()) return nodes_.empty() ? below : nodes_.back().count;
  at = reached->count;
  if (reached != nodes_.begin()) below = (reached - 1)->count;
  while (at - below > 1) {
    const std::int64_t middle = below + (at - below) / 2;
    (probability_up_to(middle) < p ? below : at) = middle;
  }
  return at;
}

std::int64_t CountMixture::sample(double u) const {
  if (set_right_) return quantile(u);
  for (std::size_t i = 0; i < parts_.size(); ++i) {
    if (u < parts_[i].weight || i + 1 == parts_.size())
      return population::quantile(parts_[i].counts, std::clamp(u / parts_[i].weight, 0.0, 1.0 - 0x1p-40));
    u -= parts_[i].weight;
  }
  return 0;
}

// Σ (F − 1{n ≥ came})² over the counts from a's to the one before b's.
double CountMixture::interval_score_sum(const Node& a, const Node& b, std::int64_t came) const {
  const auto miss = [&](double n, bool after) { return between(a, b, n) - (after ? 1.0 : 0.0); };
  const bool inside = came > a.count && came < b.count;
  if (inside || b.count - a.count <= 16) {
    double sum = 0.0;
    for (std::int64_t n = a.count; n < b.count; ++n) {
      const double m = miss(static_cast<double>(n), n >= came);
      sum += m * m;
    }
    return sum;
  }
  // A polynomial of degree six: Gauss's four points integrate it exactly, Euler & Maclaurin's first two terms make a sum of it.
  const bool after = a.count >= came;
  constexpr std::array<std::pair<double, double>, 2> gauss{
      {{0.33998104358485626480, 0.65214515486254614263}, {0.86113631159405257522, 0.34785484513745385737}}};
  const auto from = static_cast<double>(a.count);
  const double half = 0.5 * static_cast<double>(b.count - a.count);
  double integral = 0.0;
  for (const auto& [x, weight] : gauss)
    for (const double side : {-1.0, 1.0}) {
      const double m = miss(from + half * (1.0 + side * x), after);
      integral += half * weight * m * m;
    }
  const double first = a.up_to - (after ? 1.0 : 0.0);
  const double last = b.up_to - (after ? 1.0 : 0.0);
  return integral - 0.5 * (last * last - first * first) + (last * b.slope - first * a.slope) / 6.0;
}

double CountMixture::crps(std::int64_t came) const {
  double score = 0.0;
  const auto exact = static_cast<std::int64_t>(nodes_.empty() ? up_to_.size() : up_to_.size() - 1);
  for (std::int64_t n = 0; n < exact; ++n) {
    const double miss = up_to_[static_cast<std::size_t>(n)] - (n >= came ? 1.0 : 0.0);
    score += miss * miss;
  }
  for (std::size_t i = 0; i + 1 < nodes_.size(); ++i) score += interval_score_sum(nodes_[i], nodes_[i + 1], came);
  const std::int64_t end = nodes_.empty() ? exact : nodes_.back().count;
  return came > end ? score + static_cast<double>(came - end) : score;
}

}  // namespace leafturn::population
