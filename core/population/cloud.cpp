#include "core/population/cloud.hpp"

#include <algorithm>
#include <cmath>

#include "core/base/elementary.hpp"

namespace leafturn::population {
namespace {

constexpr std::uint32_t one_in = 32;
constexpr double width_of_unforeseen = 9.2103;  // log of the range it may lie in: a ten-thousandfold
constexpr double guess_spread = 0.5;            // of a newcomer around what was found, in logarithm
constexpr float hardly_any = 1e-6F;

// Puts about as many as were found into one member; log of the believed density of such numbers over the density they were drawn with.
double set_as_found(const Looking& looking, Members& members, std::size_t member, const Chance& chance) {
  const Sighting& s = looking.sighting();
  num::Draws draws{{chance.seed, static_cast<std::uint32_t>(member), s.at, static_cast<std::uint16_t>(s.bed), chance.pest,
                    static_cast<std::uint16_t>(s.stages.front()), num::Use::population_newcomers}};
  const double eps = draws.normal();
  const auto wanted = static_cast<float>((s.count + 0.5) * looking.individuals_in_count() * num::exp(guess_spread * eps));
  const std::span<float> x = members.state.bed(member / lanes, s.bed);
  float now = 0.0F;
  std::size_t places = 0;
  const auto each = [&](const auto& what) {
    for (const std::size_t stage : s.stages) {
      const LifeStage& life = looking.life().stages[stage];
      for (std::size_t k = life.first; k < life.first + life.count; ++k) what(x[k * lanes + member % lanes]);
    }
  };
  each([&](float v) {
    now += v;
    ++places;
  });
  const float evenly = wanted / static_cast<float>(places);
  const float factor = now > hardly_any ? wanted / now : 0.0F;
  each([&](float& v) { v = now > hardly_any ? v * factor : evenly; });
  return 0.5 * eps * eps + num::log(guess_spread * 2.5066282746310002 / width_of_unforeseen);
}

LEAFTURN_INLINE void believe_inline(const Life& life, const Prior& prior, Members& members, std::size_t block, std::size_t bed) {
  const std::size_t at = members.index(block, bed);
  const Deviates& z = members.z[at];
  Believed& b = members.believed[at];
  const auto of = [&](Unknown unknown) LEAFTURN_LANE_BODY -> const Lane& { return z[static_cast<std::size_t>(unknown)]; };
  const auto value = [&](Unknown unknown, Lane& out) LEAFTURN_LANE_BODY {
    const Belief& belief = prior.beliefs[static_cast<std::size_t>(unknown)];
    const auto spread = static_cast<float>(belief.spread);
    const auto middle = static_cast<float>(belief.middle);
    for (std::size_t l = 0; l < lanes; ++l) out[l] = middle * exp_of(spread * of(unknown)[l]);
  };
  value(Unknown::start, b.start);
  value(Unknown::arrival, b.arrival);
  value(Unknown::reproduction, b.reproduction);
  value(Unknown::mortality, b.mortality);
  value(Unknown::enemies, b.enemies);
  value(Unknown::clumping, b.clumping);
  const auto little = static_cast<float>(life.leave_low);
  const auto usual = static_cast<float>(std::sqrt(life.leave_low * life.leave_high));
  for (std::size_t l = 0; l < lanes; ++l) {
    b.efficacy[l] = 1.0F / (1.0F + exp_of(-static_cast<float>(efficacy_slope) * of(Unknown::efficacy)[l]));
    const Movement how = movement_of(static_cast<double>(of(Unknown::movement)[l]));
    b.leaving[l] = how == Movement::stays ? little : usual;
    b.to_neighbours[l] = how == Movement::leaves ? 0.0F : 1.0F;
    b.goes[l] = how == Movement::leaves ? 1.0F : 0.0F;
  }
}

}  // namespace

void believe(const Life& life, const Prior& prior, Members& members, std::size_t block, std::size_t bed) {
  in_lanes(phenology::widest_lanes(), [&]() LEAFTURN_LANE_BODY { believe_inline(life, prior, members, block, bed); });
}

Members draw_members(const Life& life, const World& world, const Prior& prior, std::size_t count, const Chance& chance) {
  const std::size_t beds = world.beds.size();
  Members m;
  m.state = Ensemble(count, beds, life.substages);
  const std::size_t all = m.state.blocks() * beds;
  m.enemies.assign(all, Lane{});
  m.resting.assign(all, Lane{});
  m.spell.assign(all, Lane{});
  m.counted.assign(beds, 0);
  m.z.resize(all);
  m.believed.resize(all);
  const double common = std::sqrt(prior.likeness);
  const double own = std::sqrt(1.0 - prior.likeness);
  for (std::size_t i = 0; i < count; ++i) {
    num::Place place;
    place.seed = chance.seed;
    place.member = static_cast<std::uint32_t>(i);
    place.pest = chance.pest;
    place.use = num::Use::population_prior;
    place.bed = 0xFFFF;
    num::Draws of_garden{place};
    std::array<double, unknown_count> shared;
    for (double& z : shared) z = of_garden.normal();
    for (std::size_t b = 0; b < beds; ++b) {
      place.bed = static_cast<std::uint16_t>(b);
      num::Draws of_bed{place};
      for (std::size_t u = 0; u < unknown_count; ++u)
        m.z[m.index(i / lanes, b)][u][i % lanes] = static_cast<float>(common * shared[u] + own * of_bed.normal());
    }
  }
  for (std::size_t block = 0; block < m.state.blocks(); ++block)
    for (std::size_t b = 0; b < beds; ++b) believe(life, prior, m, block, b);
  return m;
}

void pick(Members& members, std::size_t bed, std::span<const double> weights, double u0) {
  const std::size_t n = weights.size();
  std::vector<std::uint32_t> picked(n);
  if (!resample(weights, u0, picked)) return;
  std::vector<std::uint32_t> times(n, 0);
  for (const std::uint32_t p : picked) ++times[p];
  std::vector<std::pair<std::uint32_t, std::uint32_t>> copies;  // from, to
  std::size_t hole = 0;
  for (std::uint32_t from = 0; from < n; ++from)
    for (std::uint32_t extra = 1; extra < times[from]; ++extra) {
      while (times[hole] != 0) ++hole;
      copies.emplace_back(from, static_cast<std::uint32_t>(hole++));
    }
  for (const auto& [from, to] : copies) {
    const std::span<float> a = members.state.bed(from / lanes, bed);
    const std::span<float> b = members.state.bed(to / lanes, bed);
    for (std::size_t i = 0; i < members.state.substages(); ++i) b[i * lanes + to % lanes] = a[i * lanes + from % lanes];
    const std::size_t x = members.index(from / lanes, bed);
    const std::size_t y = members.index(to / lanes, bed);
    members.enemies[y][to % lanes] = members.enemies[x][from % lanes];
    members.resting[y][to % lanes] = members.resting[x][from % lanes];
    members.spell[y][to % lanes] = members.spell[x][from % lanes];
    for (std::size_t u = 0; u < unknown_count; ++u) members.z[y][u][to % lanes] = members.z[x][u][from % lanes];
  }
}

void read_z(const Members& members, std::size_t bed, Unknown unknown, std::span<double> out) {
  for (std::size_t i = 0; i < out.size(); ++i)
    out[i] = static_cast<double>(members.z[members.index(i / lanes, bed)][static_cast<std::size_t>(unknown)][i % lanes]);
}

void add_newcomers(std::span<const Looking> visit, Members& members, std::span<double> log_weights, const Chance& chance,
                   std::uint32_t number, double unforeseen) {
  const std::size_t n = members.state.members();
  const bool any = std::any_of(visit.begin(), visit.end(), [](const Looking& l) { return l.sighting().count > 0; });
  if (!any || !(unforeseen > 0.0) || n < 4 * std::size_t{one_in}) return;
  // Who makes room for a newcomer leaves his weight to the others.
  double left = 1.0;
  for (std::size_t i = number % one_in; i < n; i += one_in) left -= num::exp(log_weights[i]);
  if (!(left > 0.0)) return;
  for (double& w : log_weights) w += num::log((1.0 - unforeseen) / left);
  for (std::size_t i = number % one_in; i < n; i += one_in) {
    double log_weight = num::log(unforeseen * one_in / static_cast<double>(n));
    for (const Looking& looking : visit)
      if (looking.sighting().count > 0) log_weight += set_as_found(looking, members, i, chance);
    log_weights[i] = log_weight;
  }
}

std::array<Reweighing, unknown_count> reweighed(const Members& members, std::size_t bed, std::span<const double> before,
                                                std::span<const double> after) {
  std::array<Reweighing, unknown_count> out;
  std::vector<double> z(members.state.members());
  for (std::size_t u = 0; u < unknown_count; ++u) {
    read_z(members, bed, static_cast<Unknown>(u), z);
    out[u] = reweighing(z, before, after);
  }
  return out;
}

void move_beliefs(const Life& life, const Prior& prior, Members& members, std::size_t bed, std::span<const double> weights,
                  const std::array<BedsAlike::Move, unknown_count>& moves, bool with_numbers) {
  std::vector<double> z(members.state.members());
  std::array<float, unknown_count> mean;
  for (std::size_t u = 0; u < unknown_count; ++u) {
    read_z(members, bed, static_cast<Unknown>(u), z);
    mean[u] = static_cast<float>(moments(std::span<const double>(z), weights).mean);
  }
  constexpr auto arrival = static_cast<std::size_t>(Unknown::arrival);
  const double log_change = std::clamp(prior.beliefs[arrival].spread * moves[arrival].shift, -3.0, 3.0);
  const auto numbers = static_cast<float>(num::exp(log_change));
  // Members that no count speaks for are moved with the others, visit after visit: so far out they would run off to infinity.
  constexpr float farthest = 10.0F;
  for (std::size_t block = 0; block < members.state.blocks(); ++block) {
    Deviates& d = members.z[members.index(block, bed)];
    for (std::size_t u = 0; u < unknown_count; ++u) {
      const auto shift = static_cast<float>(moves[u].shift);
      const auto narrow = static_cast<float>(moves[u].narrow);
      for (std::size_t l = 0; l < lanes; ++l) d[u][l] = std::clamp(mean[u] + narrow * (d[u][l] - mean[u]) + shift, -farthest, farthest);
    }
    believe(life, prior, members, block, bed);
    if (with_numbers)
      for (float& v : members.state.bed(block, bed)) v *= numbers;
  }
}

}  // namespace leafturn::population
