// Pulses: cohorts that age together in degree-days with a horizontal cutoff, each insect quick or slow for its whole life (a Weibull spread
// of the sum it needs), fed by few flights from outside at days of their own with heavy-tailed sizes. Next to nobody moves between beds: a
// new adult stays in its bed or is gone. Shocks (a cohort's own frailty, beating rain) hit all of a batch together.

#include <algorithm>

#include "tests/gardens/state.hpp"

namespace leafturn::gardens {
namespace {

std::uint64_t as_key(int number) { return static_cast<std::uint64_t>(number); }

struct Member {
  std::uint32_t name;
  float pace;  ///< of the cohort's sum it has made its own
  std::uint16_t plant;
  std::uint16_t mass;  ///< number of the mass within the cohort, 0: laid singly
};

struct Cohort {
  std::uint64_t name;
  int bed;
  double way;      ///< shares of the way from egg to adult
  double frailty;  ///< multiplies its mortality
  std::vector<Member> members;
};

struct Adults {
  std::uint64_t name;
  int bed, number;
  double age_dd, laid;
};

struct Flight {
  int day;
  double size;
};

class Pulses final : public Form {
 public:
  explicit Pulses(const World& world);
  std::unique_ptr<Form> clone() const override { return std::make_unique<Pulses>(*this); }
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
    std::vector<Cohort> cohorts;
    std::vector<Adults> adults;
    std::vector<Flight> flights;
    std::array<double, most_stages> until{};  ///< way at which a stage ends
    int adult = 0;
    Tally tally;
    int stage(const Cohort& c, const Member& m) const {
      const double way = c.way * static_cast<double>(m.pace);
      int s = 0;
      while (s < adult && way >= until[static_cast<std::size_t>(s)]) ++s;
      return s;
    }
  };
  void fly_in(const Scene& scene, int pest);
  void age(const Scene& scene, int pest);
  void breed(const Scene& scene, int pest);
  int adult_plant(const Scene& scene, int pest, const Adults& group, int i) const;

  std::vector<Population> pests_;
};

// Weibull of shape 2.6 from 0.75 on, scaled to a mean of 1 (three-parameter curve after Wagner et al. 1984; sizes invented).
double weibull_need(double unit) { return (0.75 + 0.28 * pow_of(-log_of(unit), 1.0 / 2.6)) / 0.99869892; }

Pulses::Pulses(const World& world) {
  for (std::size_t p = 0; p < world.pests.size(); ++p) {
    const PestHere& here = world.pests[p];
    const Species& bio = here.species();
    Population population;
    population.adult = bio.adult();
    double way = 0.0;
    for (int s = 0; s < bio.adult(); ++s)
      population.until[static_cast<std::size_t>(s)] = way += bio.stages[static_cast<std::size_t>(s)].share;
    Draw draw{world.spec.seed, 0xF119, p};
    const auto& sums = world.degree_days[p];
    const int spring = static_cast<int>(std::lower_bound(sums.begin(), sums.end(), bio.spring_dd * draw.between(0.8, 1.2)) - sums.begin());
    const int flights = 2 + draw.poisson(3.0);
    const double expected = 2.0 * bio.arrivals * here.arrivals * world.host_m2(static_cast<int>(p)) / 100.0 / flights;
    for (int f = 0; f < flights; ++f) {
      const int day = f % 2 == 0 ? spring + static_cast<int>(12.0 * draw.unit()) : draw.whole(spring, 265);
      // Pareto of tail 1.3, cut at thirty times its least; its mean is about three times the least.
      population.flights.push_back({day, expected / 3.0 * std::min(30.0, pow_of(draw.unit(), -1.0 / 1.3))});
    }
    pests_.push_back(std::move(population));
  }
}

void Pulses::fly_in(const Scene& scene, int pest) {
  Population& here = pests_[static_cast<std::size_t>(pest)];
  for (std::size_t f = 0; f < here.flights.size(); ++f) {
    const Flight& flight = here.flights[f];
    if (flight.day != scene.day || scene.autumn(pest)) continue;  // in autumn they look for winter quarters, not for crops
    for (int b = 0; b < scene.bed_count(); ++b) {
      // Where the wind drops them: patches of its own on each bed.
      Draw draw{scene.world.spec.seed, 0xF1A2, as_key(pest), f, as_key(b)};
      const double share = draw.log_normal(0.8) * scene.world.bed(b).area() / std::max(4.0, scene.world.host_m2(pest));
      const double quality = scene.bed(b).covered ? 0.0 : scene.quality(pest, b);
      const int n = draw.poisson(flight.size * share * quality);
      if (n == 0) continue;
      here.adults.push_back({key_of({scene.world.spec.seed, 0xAD, as_key(pest), f, as_key(b)}), b, n, 0.0, 0.0});
      here.tally.arrived += n;
    }
  }
}

void Pulses::age(const Scene& scene, int pest) {
  Population& here = pests_[static_cast<std::size_t>(pest)];
  const PestHere& drawn = scene.world.pest(pest);
  const Species& bio = drawn.species();
  const Heat& heat = scene.world.heat_on(pest, scene.day);
  const Day& sky = scene.world.real[static_cast<std::size_t>(scene.day)];
  // Parasitoids build up through the season, whatever happens here (a third to two thirds late: Virginia and Florida counts).
  const double parasites = std::min(0.6, 0.5 * drawn.enemies * std::max(0.0, (scene.day - 120) / 150.0));
  std::vector<int> emerged(scene.beds.size(), 0), load(scene.beds.size(), 0);
  for (const Cohort& cohort : here.cohorts) load[static_cast<std::size_t>(cohort.bed)] += static_cast<int>(cohort.members.size());
  for (Cohort& cohort : here.cohorts) {
    const BedState& bed = scene.bed(cohort.bed);
    cohort.way += heat.develops;
    const double crowd = load[static_cast<std::size_t>(cohort.bed)] / (bio.plant_holds * std::max(1, scene.plants(cohort.bed)));
    ByStage dies{};
    for (int s = 0; s < here.adult; ++s) {
      const Stage& stage = bio.stages[static_cast<std::size_t>(s)];
      double rate = stage.mortality * drawn.mortality * cohort.frailty + 0.4 * heat.scorch;
      if (!stage.hidden) rate *= 0.5 + 0.5 * bed.generalists;
      if (stage.eats_cm2 > 0.0) rate += std::min(0.5, 0.3 * crowd * crowd) + (bed.eaten > 0.9 ? 0.3 : 0.0);
      double lives = 1.0 - std::min(0.9, rate);
      if (stage.small && !stage.hidden && !bed.covered && sky.rain_mm > 15.0) lives *= 0.75;
      if (!stage.hidden && bed.planting < 0) lives *= 0.3;
      dies[static_cast<std::size_t>(s)] = 1.0 - lives * (1.0 - scene.poisoned(pest, cohort.bed, s));
    }
    std::size_t to = 0;
    for (const Member& m : cohort.members) {
      const std::uint64_t name = key_of(cohort.name, m.name);
      const int stage = here.stage(cohort, m);
      if (stage == here.adult) {
        const bool taken = unit_of(name + 3) < parasites * (bed.covered ? 0.2 : 1.0);
        const bool rests = scene.autumn(pest, 0.6 * (unit_of(name + 4) - 0.5));
        const bool stays = !rests && (bed.covered || unit_of(name + 5) < drawn.stays_local);
        if (taken)
          ++here.tally.died;
        else if (stays)
          ++emerged[static_cast<std::size_t>(cohort.bed)];
        else
          ++here.tally.left;
        continue;
      }
      if (unit_of(key_of(name, as_key(scene.day))) < dies[static_cast<std::size_t>(stage)]) {
        ++here.tally.died;
        continue;
      }
      cohort.members[to++] = m;
    }
    cohort.members.resize(to);
  }
  std::erase_if(here.cohorts, [](const Cohort& c) { return c.members.empty(); });
  for (std::size_t b = 0; b < emerged.size(); ++b)
    if (emerged[b] > 0)
      here.adults.push_back(
          {key_of({scene.world.spec.seed, 0xE4E9, as_key(pest), as_key(scene.day), b}), static_cast<int>(b), emerged[b], 0.0, 0.0});
}

void Pulses::breed(const Scene& scene, int pest) {
  Population& here = pests_[static_cast<std::size_t>(pest)];
  const PestHere& drawn = scene.world.pest(pest);
  const Species& bio = drawn.species();
  const Heat& heat = scene.world.heat_on(pest, scene.day);
  std::vector<int> eggs(scene.beds.size(), 0);
  for (Adults& group : here.adults) {
    const BedState& bed = scene.bed(group.bed);
    Draw draw{group.name, as_key(scene.day)};
    const double dies = std::min(0.9, bio.adult_mortality * drawn.mortality + 0.1 * heat.scorch);
    const int dead = draw.binomial(group.number, 1.0 - (1.0 - dies) * (1.0 - scene.poisoned(pest, group.bed, bio.adult())));
    const double quality = scene.quality(pest, group.bed);
    const double leaves = bed.covered        ? 0.0
                          : bed.planting < 0 ? 0.9
                                             : std::min(0.9, 0.5 * bio.leaves_per_day * drawn.mobility * (quality < 0.3 ? 2.0 : 1.0));
    const int gone = draw.binomial(group.number - dead, leaves);
    group.number -= dead + gone;
    here.tally.died += dead;
    here.tally.left += gone;
    group.age_dd += heat.degree_days;
    if (group.number == 0 || group.age_dd < bio.before_laying_dd || group.laid > bio.lifetime_eggs * drawn.fecundity || bed.planting < 0)
      continue;
    const double each = bio.laid_per_day * heat.warmth * drawn.fecundity * std::max(0.2, 1.0 - bed.eaten);
    group.laid += each;
    eggs[static_cast<std::size_t>(group.bed)] += draw.poisson(group.number * bio.female_share * each);
  }
  std::erase_if(here.adults, [](const Adults& g) { return g.number == 0; });
  for (int b = 0; b < scene.bed_count(); ++b) {
    const int n = std::min(eggs[static_cast<std::size_t>(b)], 60 * scene.plants(b));
    if (n <= 0) continue;
    Cohort cohort{key_of({scene.world.spec.seed, 0xE995, as_key(pest), as_key(b), as_key(scene.day)}), b, 0.0, 1.0, {}};
    Draw draw{cohort.name};
    cohort.frailty = draw.log_normal(0.35);
    std::uint16_t mass = 0;
    int left_in_mass = 0, plant = 0;
    for (int i = 0; i < n; ++i) {
      if (bio.laying != Laying::masses || left_in_mass == 0) {
        plant = scene.pleasing_plant(pest, b, draw.unit());
        left_in_mass = std::max(2, static_cast<int>(bio.mass_size * draw.between(0.5, 1.5)));
        if (bio.laying == Laying::masses) ++mass;
      }
      --left_in_mass;
      cohort.members.push_back(
          {static_cast<std::uint32_t>(i), static_cast<float>(1.0 / weibull_need(draw.unit())), static_cast<std::uint16_t>(plant), mass});
    }
    here.tally.born += n;
    here.cohorts.push_back(std::move(cohort));
  }
}

void Pulses::put_eggs(const Scene& scene, int pest, int bed, int number) {
  Population& here = pests_[static_cast<std::size_t>(pest)];
  Cohort cohort{key_of({scene.world.spec.seed, 0x9077, as_key(pest), as_key(bed), as_key(scene.day)}), bed, 0.0, 1.0, {}};
  Draw draw{cohort.name};
  for (int i = 0; i < number; ++i) {
    const int plant = scene.pleasing_plant(pest, bed, draw.unit());
    cohort.members.push_back(
        {static_cast<std::uint32_t>(i), static_cast<float>(1.0 / weibull_need(draw.unit())), static_cast<std::uint16_t>(plant), 0});
  }
  here.tally.arrived += number;
  here.cohorts.push_back(std::move(cohort));
}

void Pulses::advance(const Scene& scene) {
  for (int p = 0; p < static_cast<int>(pests_.size()); ++p) {
    fly_in(scene, p);
    age(scene, p);
    breed(scene, p);
  }
}

int Pulses::cull(const Scene& scene, int pest, int bed, const ByStage& chance, std::uint64_t key, bool by_mass) {
  Population& here = pests_[static_cast<std::size_t>(pest)];
  const Species& bio = scene.world.pest(pest).species();
  int killed = 0;
  for (Cohort& cohort : here.cohorts) {
    if (cohort.bed != bed) continue;
    killed += static_cast<int>(std::erase_if(cohort.members, [&](const Member& m) {
      const int stage = here.stage(cohort, m);
      if (bio.hidden(stage)) return false;
      const std::uint64_t who = by_mass && m.mass != 0 ? 0x10000000ULL + m.mass : m.name;
      return unit_of(key_of({cohort.name, who, key})) < chance[static_cast<std::size_t>(stage)];
    }));
  }
  for (Adults& group : here.adults) {
    if (group.bed != bed) continue;
    const int n = Draw{group.name, key}.binomial(group.number, chance[static_cast<std::size_t>(bio.adult())]);
    group.number -= n;
    killed += n;
  }
  here.tally.died += killed;
  return killed;
}

void Pulses::clear(const Scene& scene, int bed, Debris debris) {
  for (int p = 0; p < static_cast<int>(pests_.size()); ++p) {
    Population& here = pests_[static_cast<std::size_t>(p)];
    const Species& bio = scene.world.pest(p).species();
    for (Cohort& cohort : here.cohorts) {
      if (cohort.bed != bed) continue;
      here.tally.died += static_cast<std::int64_t>(std::erase_if(cohort.members, [&](const Member& m) {
        const int stage = here.stage(cohort, m);
        // On debris left lying pupae ripen.
        return !bio.hidden(stage) && (bio.group(stage) != Group::pupa || debris == Debris::removed);
      }));
    }
    for (Adults& group : here.adults) {
      if (group.bed != bed) continue;
      here.tally.left += group.number;
      group.number = 0;
    }
  }
}

int Pulses::adult_plant(const Scene& scene, int pest, const Adults& group, int i) const {
  return scene.pleasing_plant(pest, group.bed, unit_of(key_of({group.name, as_key(scene.day), as_key(i)})));
}

void Pulses::list(const Scene& scene, int pest, int bed, std::vector<Lying>& found) const {
  const Population& here = pests_[static_cast<std::size_t>(pest)];
  const int plants = scene.plants(bed);
  if (plants == 0) return;
  for (const Cohort& cohort : here.cohorts) {
    if (cohort.bed != bed) continue;
    for (const Member& m : cohort.members) {
      const int stage = here.stage(cohort, m);
      const bool in_mass = m.mass != 0 && stage == 0;
      found.push_back({std::min<int>(m.plant, plants - 1), stage, 1, in_mass ? key_of(cohort.name, m.mass) : 0});
    }
  }
  for (const Adults& group : here.adults)
    if (group.bed == bed)
      for (int i = 0; i < group.number; ++i) found.push_back({adult_plant(scene, pest, group, i), here.adult, 1, 0});
}

ByStage Pulses::totals(int pest, int bed) const {
  const Population& here = pests_[static_cast<std::size_t>(pest)];
  ByStage sums{};
  for (const Cohort& cohort : here.cohorts)
    if (cohort.bed == bed)
      for (const Member& m : cohort.members) sums[static_cast<std::size_t>(here.stage(cohort, m))] += 1.0;
  for (const Adults& group : here.adults)
    if (group.bed == bed) sums[static_cast<std::size_t>(here.adult)] += group.number;
  return sums;
}

Tally Pulses::tally(int pest) const {
  const Population& here = pests_[static_cast<std::size_t>(pest)];
  Tally sum = here.tally;
  for (const Cohort& cohort : here.cohorts) sum.alive += static_cast<std::int64_t>(cohort.members.size());
  for (const Adults& group : here.adults) sum.alive += group.number;
  return sum;
}

}  // namespace

std::unique_ptr<Form> make_pulses(const World& world) { return std::make_unique<Pulses>(world); }

}  // namespace leafturn::gardens
