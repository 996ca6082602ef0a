// Walkers: every insect is an agent with its own speed of development. Adults fly from bed to bed by distance and by how good the crop
// is, larvae stay on their plant, older nymphs walk to the plants beside it. An agent's luck on a day is a function of its name and the
// day.

#include <algorithm>

#include "tests/gardens/state.hpp"

namespace leafturn::gardens {
namespace {

enum Purpose : std::uint64_t { dies = 1, departs, lands, roosts, walks, lays, hatches, shelters, burns, rains_off };

struct Agent {
  std::uint64_t name, mass;
  float age;  ///< within the stage, 0 … 1; adults: degree-days since the last moult
  float speed;
  float ready;  ///< eggs in the making, in masses (single: eggs)
  float laid;
  std::uint16_t plant;
  std::uint8_t bed, stage;
  bool female, rests;
};

struct Comer {
  double degree_days;
  std::uint64_t name;
};

class Walkers final : public Form {
 public:
  explicit Walkers(const World& world);
  std::unique_ptr<Form> clone() const override { return std::make_unique<Walkers>(*this); }
  void advance(const Scene& scene) override;
  int cull(const Scene& scene, int pest, int bed, const ByStage& chance, std::uint64_t key, bool by_mass) override;
  void clear(const Scene& scene, int bed, Debris debris) override;
  void poison_enemies(int, double) override {}
  void put_eggs(const Scene& scene, int pest, int bed, int number) override;
  void list(const Scene& scene, int pest, int bed, std::vector<Lying>& found) const override;
  ByStage totals(int pest, int bed) const override;
  Tally tally(int pest) const override;
  double enemies(int) const override { return -1.0; }

 private:
  struct Population {
    std::vector<Agent> agents;
    std::vector<Comer> comers;  ///< in order
    std::size_t came = 0;
    Tally tally;
  };
  void arrive(const Scene& scene, int pest);
  void crowd(const Scene& scene, int pest);
  bool develop(const Scene& scene, int pest, Agent& agent);
  double death(const Scene& scene, int pest, const Agent& agent) const;
  bool live_as_adult(const Scene& scene, int pest, Agent& agent, std::vector<Agent>& born);
  void lay(const Scene& scene, int pest, Agent& mother, std::vector<Agent>& born);
  template <class Keep>
  void sweep(int pest, Keep keep);
  static Agent hatchling(const Species& bio, std::uint64_t name, std::uint64_t mass, int bed, int plant);

  std::vector<Population> pests_;
  std::vector<std::vector<int>> load_;  ///< feeding individuals on each plant, this pest, this day
};

double luck(std::uint64_t name, std::uint64_t day, Purpose purpose) {
  return unit_of(name ^ (day * 0x9E3779B97F4A7C15ULL + purpose * 0x632BE59BD9B4E019ULL));
}

Walkers::Walkers(const World& world) {
  for (std::size_t p = 0; p < world.pests.size(); ++p) {
    const PestHere& here = world.pests[p];
    const Species& bio = here.species();
    Population population;
    Draw draw{world.spec.seed, 0xA991, p};
    const double expected = bio.arrivals * here.arrivals * world.host_m2(static_cast<int>(p)) / 100.0;
    // First comers about the spring sum; later generations of the neighbourhood about a generation (egg to adult and a little) apart.
    const double generation = 1.15 * bio.birth_to_adult_dd / here.speed, wild = bio.winter == Winter::pupae ? 0.7 : 0.2;
    for (int g = 0; g < 5; ++g) {
      const double sum = bio.spring_dd * draw.between(0.8, 1.2) + g * generation, spread = g == 0 ? 0.25 * bio.spring_dd : 0.2 * generation;
      const int n = draw.poisson(expected * (g == 0 ? 1.0 : wild * pow_of(1.2, g - 1)));
      for (int i = 0; i < n; ++i)
        population.comers.push_back({std::max(1.0, sum + spread * draw.normal()),
                                     key_of({world.spec.seed, 0xC0DE, p, static_cast<std::uint64_t>(g), static_cast<std::uint64_t>(i)})});
    }
    std::sort(population.comers.begin(), population.comers.end(),
              [](const Comer& a, const Comer& b) { return a.degree_days < b.degree_days; });
    pests_.push_back(std::move(population));
  }
}

template <class Keep>
void Walkers::sweep(int pest, Keep keep) {
  auto& agents = pests_[static_cast<std::size_t>(pest)].agents;
  std::size_t to = 0;
  for (std::size_t i = 0; i < agents.size(); ++i)
    if (keep(agents[i])) agents[to++] = agents[i];
  agents.resize(to);
}

void Walkers::arrive(const Scene& scene, int pest) {
  Population& here = pests_[static_cast<std::size_t>(pest)];
  const Species& bio = scene.world.pest(pest).species();
  const auto day = static_cast<std::size_t>(scene.day);
  const double sum = scene.world.degree_days[static_cast<std::size_t>(pest)][day] + scene.world.heat_on(pest, scene.day).degree_days;
  for (; here.came < here.comers.size() && here.comers[here.came].degree_days <= sum; ++here.came) {
    const std::uint64_t name = here.comers[here.came].name;
    const int bed = scene.landing(pest, -1, luck(name, 0, lands));
    // Nothing to land on, or the season is past: it goes elsewhere and was never here.
    if (bed < 0 || scene.autumn(pest)) continue;
    Agent agent{name, 0, static_cast<float>(bio.before_laying_dd * luck(name, 1, hatches)), 1.0F, 0.0F, 0.0F, 0, 0, 0, false, false};
    agent.bed = static_cast<std::uint8_t>(bed);
    agent.plant = static_cast<std::uint16_t>(scene.pleasing_plant(pest, bed, luck(name, 2, roosts)));
    agent.stage = static_cast<std::uint8_t>(bio.adult());
    agent.female = luck(name, 3, lays) < bio.female_share;
    here.agents.push_back(agent);
    ++here.tally.arrived;
  }
}

void Walkers::crowd(const Scene& scene, int pest) {
  const Species& bio = scene.world.pest(pest).species();
  load_.resize(scene.beds.size());
  for (int b = 0; b < scene.bed_count(); ++b)
    load_[static_cast<std::size_t>(b)].assign(static_cast<std::size_t>(std::max(1, scene.plants(b))), 0);
  for (const Agent& agent : pests_[static_cast<std::size_t>(pest)].agents)
    if (bio.eats(agent.stage) > 0.0 && agent.plant < load_[agent.bed].size()) ++load_[agent.bed][agent.plant];
}

double Walkers::death(const Scene& scene, int pest, const Agent& agent) const {
  const PestHere& here = scene.world.pest(pest);
  const Species& bio = here.species();
  const BedState& bed = scene.bed(agent.bed);
  const Heat& heat = scene.world.heat_on(pest, scene.day);
  const bool adult = agent.stage == bio.adult();
  double rate = (adult ? bio.adult_mortality : bio.stages[agent.stage].mortality) * here.mortality;
  // Half of what kills an exposed young insect has six or eight legs or wings.
  if (!adult && !bio.hidden(agent.stage)) rate *= 0.5 + 0.5 * here.enemies * bed.generalists;
  rate += (adult ? 0.1 : 0.4) * heat.scorch;
  double lives = 1.0 - std::min(0.95, rate);
  if (!adult && !bio.hidden(agent.stage)) {
    const double load = load_[agent.bed][std::min<std::size_t>(agent.plant, load_[agent.bed].size() - 1)] / bio.plant_holds;
    if (bio.eats(agent.stage) > 0.0) lives *= 1.0 - std::min(0.5, 0.25 * load * load) - (bed.eaten > 0.9 ? 0.3 : 0.0);
    if (bio.small(agent.stage) && !bed.covered && scene.world.real[static_cast<std::size_t>(scene.day)].rain_mm > 15.0) lives *= 0.85;
  }
  return 1.0 - lives * (1.0 - scene.poisoned(pest, agent.bed, agent.stage));
}

// False: it left to rest for the winter.
bool Walkers::develop(const Scene& scene, int pest, Agent& agent) {
  const Species& bio = scene.world.pest(pest).species();
  const double way = scene.world.heat_on(pest, scene.day).develops * static_cast<double>(agent.speed);
  double left = way;
  while (agent.stage < bio.adult() && !agent.rests) {
    // Within a stage an individual is a little quicker or slower again.
    const double own = 1.0 + 0.2 * (luck(agent.name, agent.stage, hatches) - 0.5);
    const double share = bio.stages[agent.stage].share / own;
    const double need = (1.0 - static_cast<double>(agent.age)) * share;
    if (left < need) {
      agent.age += static_cast<float>(left / share);
      break;
    }
    left -= need;
    agent.age = 0.0F;
    ++agent.stage;
    if (scene.autumn(pest, 0.6 * (luck(agent.name, 9, shelters) - 0.5))) {
      if (bio.winter == Winter::pupae && agent.stage + 1 == bio.adult()) agent.rests = true;
      if (bio.winter == Winter::adults && agent.stage == bio.adult()) return false;
    }
    if (agent.stage == bio.adult()) agent.mass = 0;
  }
  return true;
}

// An egg, with the speed of its own that it keeps for life.
Agent Walkers::hatchling(const Species& bio, std::uint64_t name, std::uint64_t mass, int bed, int plant) {
  Draw draw{name};
  Agent egg{};
  egg.name = name;
  egg.mass = mass;
  egg.speed = static_cast<float>(std::max(0.6, 1.0 + 0.08 * draw.normal()));
  egg.plant = static_cast<std::uint16_t>(plant);
  egg.bed = static_cast<std::uint8_t>(bed);
  egg.female = draw.chance(bio.female_share);
  return egg;
}

void Walkers::put_eggs(const Scene& scene, int pest, int bed, int number) {
  Population& here = pests_[static_cast<std::size_t>(pest)];
  for (int i = 0; i < number; ++i) {
    const std::uint64_t name = key_of({scene.world.spec.seed, 0x9077, static_cast<std::uint64_t>(pest), static_cast<std::uint64_t>(bed),
                                       static_cast<std::uint64_t>(scene.day), static_cast<std::uint64_t>(i)});
    here.agents.push_back(hatchling(scene.world.pest(pest).species(), name, 0, bed, scene.pleasing_plant(pest, bed, unit_of(name + 7))));
  }
  here.tally.arrived += number;
}

void Walkers::lay(const Scene& scene, int pest, Agent& mother, std::vector<Agent>& born) {
  const PestHere& here = scene.world.pest(pest);
  const Species& bio = here.species();
  const Heat& heat = scene.world.heat_on(pest, scene.day);
  const bool wet = scene.world.real[static_cast<std::size_t>(scene.day)].rain_mm > 3.0;
  const double most = bio.lifetime_eggs * here.fecundity;
  double eggs = bio.laid_per_day * heat.warmth * here.fecundity;
  if (bio.laying == Laying::single && wet) eggs *= 0.4;  // few on overcast days: Gossard & Jones 1977
  eggs *= std::max(0.2, 1.0 - scene.bed(mother.bed).eaten);
  const auto day = static_cast<std::uint64_t>(scene.day);
  const auto add = [&](std::uint64_t name, std::uint64_t mass, int plant) {
    born.push_back(hatchling(bio, name, mass, mother.bed, plant));
  };
  if (bio.laying == Laying::masses) {
    mother.ready += static_cast<float>(eggs / bio.mass_size);
    if (mother.ready < 1.0F || static_cast<double>(mother.laid) > most) return;
    mother.ready -= 1.0F;
    const std::uint64_t mass = key_of({mother.name, day, lays});
    const int size = std::max(2, static_cast<int>(bio.mass_size * (0.5 + unit_of(mass)) + 0.5));
    const int plant = scene.pleasing_plant(pest, mother.bed, unit_of(mass + 1));
    for (int i = 0; i < size; ++i) add(key_of(mass, static_cast<std::uint64_t>(i)), mass, plant);
    mother.laid += static_cast<float>(size);
    return;
  }
  Draw draw{mother.name, day, lays};
  const int n = std::min(draw.poisson(eggs), std::max(0, static_cast<int>(most - static_cast<double>(mother.laid))));
  for (int i = 0; i < n; ++i) {
    const std::uint64_t name = key_of({mother.name, day, hatches, static_cast<std::uint64_t>(i)});
    add(name, 0, scene.pleasing_plant(pest, mother.bed, unit_of(name + 7)));
  }
  mother.laid += static_cast<float>(n);
}

// False: it left the garden.
bool Walkers::live_as_adult(const Scene& scene, int pest, Agent& agent, std::vector<Agent>& born) {
  const PestHere& here = scene.world.pest(pest);
  const Species& bio = here.species();
  const auto day = static_cast<std::uint64_t>(scene.day);
  const Heat& heat = scene.world.heat_on(pest, scene.day);
  agent.age += static_cast<float>(heat.degree_days);
  const double quality = scene.quality(pest, agent.bed);
  const double crowd = load_[agent.bed][std::min<std::size_t>(agent.plant, load_[agent.bed].size() - 1)] / bio.plant_holds;
  double departing =
      std::min(0.95, bio.leaves_per_day * here.mobility * std::min(1.5, 0.3 + heat.warmth) * (1.0 + crowd) * (quality < 0.3 ? 2.5 : 1.0));
  if (quality <= 0.0) departing = 0.95;
  if (!scene.bed(agent.bed).covered && luck(agent.name, day, departs) < departing) {
    const double stay = bio.stays_in_garden / (1.0 + bio.stays_in_garden);
    const int bed = luck(agent.name, day, shelters) < stay ? scene.landing(pest, agent.bed, luck(agent.name, day, lands)) : -1;
    if (bed < 0) return false;
    agent.bed = static_cast<std::uint8_t>(bed);
    agent.plant = static_cast<std::uint16_t>(scene.pleasing_plant(pest, bed, luck(agent.name, day, roosts)));
  } else if (scene.plants(agent.bed) > 0 && luck(agent.name, day, walks) < 0.35) {
    agent.plant = static_cast<std::uint16_t>(scene.pleasing_plant(pest, agent.bed, luck(agent.name, day, roosts)));
  }
  if (agent.female && static_cast<double>(agent.age) > bio.before_laying_dd && scene.plants(agent.bed) > 0) lay(scene, pest, agent, born);
  return true;
}

void Walkers::advance(const Scene& scene) {
  const auto day = static_cast<std::uint64_t>(scene.day);
  for (int p = 0; p < static_cast<int>(pests_.size()); ++p) {
    Population& here = pests_[static_cast<std::size_t>(p)];
    const Species& bio = scene.world.pest(p).species();
    arrive(scene, p);
    crowd(scene, p);
    std::vector<Agent> born;
    sweep(p, [&](Agent& agent) {
      if (luck(agent.name, day, dies) < death(scene, p, agent)) {
        ++here.tally.died;
        return false;
      }
      const bool adult = agent.stage == bio.adult();
      if (!(adult ? live_as_adult(scene, p, agent, born) : develop(scene, p, agent))) {
        ++here.tally.left;
        return false;
      }
      if (bio.group(agent.stage) == Group::nymph && !bio.small(agent.stage) && luck(agent.name, day, walks) < 0.12) {
        const int n = scene.plants(agent.bed), step = luck(agent.name, day, roosts) < 0.5 ? -1 : 1;
        if (n > 1) agent.plant = static_cast<std::uint16_t>(std::clamp(agent.plant + step, 0, n - 1));
      }
      return true;
    });
    here.tally.born += static_cast<std::int64_t>(born.size());
    here.agents.insert(here.agents.end(), born.begin(), born.end());
  }
}

int Walkers::cull(const Scene& scene, int pest, int bed, const ByStage& chance, std::uint64_t key, bool by_mass) {
  const Species& bio = scene.world.pest(pest).species();
  int killed = 0;
  sweep(pest, [&](const Agent& agent) {
    if (agent.bed != bed || bio.hidden(agent.stage)) return true;
    const std::uint64_t who = by_mass && agent.mass != 0 && agent.stage == 0 ? agent.mass : agent.name;
    if (unit_of(key_of(who, key)) >= chance[agent.stage]) return true;
    ++killed;
    return false;
  });
  pests_[static_cast<std::size_t>(pest)].tally.died += killed;
  return killed;
}

void Walkers::clear(const Scene& scene, int bed, Debris debris) {
  const auto day = static_cast<std::uint64_t>(scene.day);
  for (int p = 0; p < static_cast<int>(pests_.size()); ++p) {
    Population& here = pests_[static_cast<std::size_t>(p)];
    const Species& bio = scene.world.pest(p).species();
    sweep(p, [&](Agent& agent) {
      if (agent.bed != bed) return true;
      const bool adult = agent.stage == bio.adult(), nymph = bio.group(agent.stage) == Group::nymph && !bio.small(agent.stage);
      if (bio.hidden(agent.stage)) return true;  // in the ground, whatever stands on it
      // Adults fly; older nymphs walk to a neighbour; on debris left lying some caterpillars do too; the rest dies.
      const double moves = adult ? 0.8 : nymph ? 0.5 : bio.group(agent.stage) == Group::egg || debris == Debris::removed ? 0.0 : 0.15;
      const int to = luck(agent.name, day, shelters) < moves ? scene.landing(p, bed, luck(agent.name, day, lands)) : -1;
      if (to < 0 || to == bed || (!adult && scene.world.distance_m(bed, to) > 6.0)) {
        ++(adult ? here.tally.left : here.tally.died);
        return false;
      }
      agent.bed = static_cast<std::uint8_t>(to);
      agent.plant = static_cast<std::uint16_t>(scene.pleasing_plant(p, to, luck(agent.name, day, roosts)));
      return true;
    });
  }
}

void Walkers::list(const Scene& scene, int pest, int bed, std::vector<Lying>& found) const {
  const int plants = scene.plants(bed);
  for (const Agent& agent : pests_[static_cast<std::size_t>(pest)].agents)
    if (agent.bed == bed && plants > 0)
      found.push_back({std::min<int>(agent.plant, plants - 1), agent.stage, 1, agent.stage == 0 ? agent.mass : 0});
}

ByStage Walkers::totals(int pest, int bed) const {
  ByStage sums{};
  for (const Agent& agent : pests_[static_cast<std::size_t>(pest)].agents)
    if (agent.bed == bed) sums[agent.stage] += 1.0;
  return sums;
}

Tally Walkers::tally(int pest) const {
  Tally sum = pests_[static_cast<std::size_t>(pest)].tally;
  sum.alive = static_cast<std::int64_t>(pests_[static_cast<std::size_t>(pest)].agents.size());
  return sum;
}

}  // namespace

std::unique_ptr<Form> make_walkers(const World& world) { return std::make_unique<Walkers>(world); }

}  // namespace leafturn::gardens
