// Patches: each plant is a patch that holds numbers by stage and age class, not insects. Predators (one guild for a pest: syrphids and lady
// beetles on aphids, predatory mites on mites, hunters and wasps on diamondback larvae) find plants with prey, eat by a saturating curve,
// breed on what they ate and come a generation late: they overexploit, the plant is empty, they starve or go, and prey comes back from
// other plants or from outside. Covers keep them out; broad sprays kill them.

#include <algorithm>

#include "tests/gardens/state.hpp"

namespace leafturn::gardens {
namespace {

std::uint64_t as_key(int number) { return static_cast<std::uint64_t>(number); }

constexpr int classes = 3;  ///< of age within a stage, and of the adult's life
constexpr int young_enemies = 3;

struct Guild {
  double eats_a_day;  ///< at 25 °C with plenty
  double half_at;     ///< prey on a plant at which it eats half of that
  double prey_per_egg;
  double arrives;    ///< adults a day for 100 m² at a good prey density
  double good_prey;  ///< prey a plant that draws half of those
  double
      grows_dd;  ///< egg to adult above 8 °C: Podisus 354 above about 11 °C (Can. Entomol.); syrphids, lady beetles about 200-250 (memory)
};
Guild guild_of(std::string_view pest) {
  if (pest == "TETRUR") return {18.0, 25.0, 9.0, 2.5, 60.0, 110.0};
  if (pest == "PLUTMA") return {2.5, 1.5, 3.0, 3.0, 2.0, 240.0};
  return {30.0, 40.0, 22.0, 2.5, 60.0, 220.0};
}

/// One plant.
struct Patch {
  std::array<std::int32_t, most_stages * classes> n{};
  std::int32_t winged = 0;                          ///< aphids that will fly
  std::array<std::int32_t, young_enemies> young{};  ///< enemies
  std::int32_t hunters = 0;
};

class Patches final : public Form {
 public:
  explicit Patches(const World& world);
  std::unique_ptr<Form> clone() const override { return std::make_unique<Patches>(*this); }
  void advance(const Scene& scene) override;
  int cull(const Scene& scene, int pest, int bed, const ByStage& chance, std::uint64_t key, bool by_mass) override;
  void clear(const Scene& scene, int bed, Debris debris) override;
  void poison_enemies(int bed, double share) override;
  void put_eggs(const Scene& scene, int pest, int bed, int number) override;
  void list(const Scene& scene, int pest, int bed, std::vector<Lying>& found) const override;
  ByStage totals(int pest, int bed) const override;
  Tally tally(int pest) const override { return pests_[static_cast<std::size_t>(pest)].tally; }
  double enemies(int bed) const override;

 private:
  struct BedPatches {
    std::vector<Patch> plants;
    double drawn_by = 0.0;  ///< prey a plant as enemies far off have noticed it, a mean over some ten days
    int planting = -1;
  };
  struct Population {
    std::vector<BedPatches> beds;
    int stages = 0;  ///< the adult included
    Tally tally;
  };
  static int prey(const Population& here, const Patch& patch) {
    int sum = patch.winged;
    for (int i = 0; i < here.stages * classes; ++i) sum += patch.n[static_cast<std::size_t>(i)];
    return sum;
  }
  void match_planting(const Scene& scene, int pest, int bed);
  void settle(const Scene& scene, int pest);
  void eat(const Scene& scene, int pest, int bed, Patch& patch, Draw& draw);
  void grow(const Scene& scene, int pest, int bed, Patch& patch, Draw& draw);
  void spread(const Scene& scene, int pest, int bed);
  void move_enemies(const Scene& scene, int pest, int bed);
  void put(const Scene& scene, int pest, int bed, int plant, int number);

  std::vector<Population> pests_;
  double enemies_dd_ = 0.0;  ///< today's degree-days between 8 and 30 °C
};

Patches::Patches(const World& world) {
  for (const PestHere& here : world.pests) {
    Population population;
    population.stages = here.species().adult() + 1;
    population.beds.resize(world.beds.size());
    pests_.push_back(std::move(population));
  }
}

void Patches::put(const Scene& scene, int pest, int bed, int plant, int number) {
  Population& here = pests_[static_cast<std::size_t>(pest)];
  BedPatches& on = here.beds[static_cast<std::size_t>(bed)];
  if (plant < 0 || plant >= static_cast<int>(on.plants.size())) plant = scene.pleasing_plant(pest, bed, 0.5);
  on.plants[static_cast<std::size_t>(plant)].n[static_cast<std::size_t>((here.stages - 1) * classes)] += number;
}

// A new planting has new, empty plants.
void Patches::match_planting(const Scene& scene, int pest, int bed) {
  BedPatches& on = pests_[static_cast<std::size_t>(pest)].beds[static_cast<std::size_t>(bed)];
  if (on.planting == scene.bed(bed).planting) return;
  on.planting = scene.bed(bed).planting;
  on.plants.assign(static_cast<std::size_t>(scene.plants(bed)), Patch{});
  on.drawn_by = 0.0;
}

void Patches::put_eggs(const Scene& scene, int pest, int bed, int number) {
  match_planting(scene, pest, bed);
  Population& here = pests_[static_cast<std::size_t>(pest)];
  Draw draw{scene.world.spec.seed, 0x9077, as_key(pest), as_key(bed), as_key(scene.day)};
  for (int i = 0; i < number; ++i)
    ++here.beds[static_cast<std::size_t>(bed)].plants[static_cast<std::size_t>(scene.pleasing_plant(pest, bed, draw.unit()))].n[0];
  here.tally.arrived += number;
  here.tally.alive += number;
}

// Migrants from outside, few, in a season with a peak of its own.
void Patches::settle(const Scene& scene, int pest) {
  Population& here = pests_[static_cast<std::size_t>(pest)];
  const PestHere& drawn = scene.world.pest(pest);
  const Species& bio = drawn.species();
  const double sum = scene.world.degree_days[static_cast<std::size_t>(pest)][static_cast<std::size_t>(scene.day)];
  Draw season{scene.world.spec.seed, 0x5EA5, as_key(pest)};
  const double start = bio.spring_dd * season.between(0.7, 1.3), peak_day = season.between(150.0, 190.0), late = season.between(0.1, 0.5);
  for (int b = 0; b < scene.bed_count(); ++b) {
    match_planting(scene, pest, b);
    const double quality = scene.bed(b).covered ? 0.0 : scene.quality(pest, b);
    if (quality <= 0.0 || sum < start) continue;
    const double off = (scene.day - peak_day) / 22.0, rate = exp_of(-0.5 * off * off) + 0.15 * late;
    Draw draw{scene.world.spec.seed, 0x5E77, as_key(pest), as_key(b), as_key(scene.day)};
    const double expected = bio.arrivals * drawn.arrivals * scene.world.bed(b).area() / 100.0 / 55.0;
    const int n = draw.poisson(expected * rate * quality);
    for (int i = 0; i < n; ++i) put(scene, pest, b, scene.pleasing_plant(pest, b, draw.unit()), 1);
    here.tally.arrived += n;
    here.tally.alive += n;
  }
}

void Patches::eat(const Scene& scene, int pest, int bed, Patch& patch, Draw& draw) {
  const int hunters = patch.hunters;
  const int mouths = 2 * hunters + patch.young[1] + 2 * patch.young[2];
  Population& here = pests_[static_cast<std::size_t>(pest)];
  const PestHere& drawn = scene.world.pest(pest);
  const Guild guild = guild_of(drawn.species().key);
  const int n = prey(here, patch);
  const double warmth = std::min(1.2, scene.world.heat_on(pest, scene.day).warmth + 0.1);
  if (mouths > 0 && n > 0) {
    const double wanted = 0.5 * mouths * guild.eats_a_day * warmth * n / (n + guild.half_at);
    const double share = 1.0 - exp_of(-wanted / n);
    int eaten = 0;
    for (int i = 0; i < here.stages * classes; ++i) {
      // Eggs of moths and grown moths are not what these eat.
      const bool safe = drawn.species().key == "PLUTMA" && (i < classes || i >= (here.stages - 1) * classes);
      const int taken = safe ? 0 : draw.binomial(patch.n[static_cast<std::size_t>(i)], share);
      patch.n[static_cast<std::size_t>(i)] -= taken;
      eaten += taken;
    }
    const int winged = draw.binomial(patch.winged, share);
    patch.winged -= winged;
    eaten += winged;
    here.tally.died += eaten;
    here.tally.alive -= eaten;
    patch.young[0] += draw.poisson(drawn.enemies * eaten * (2.0 * hunters / mouths) / guild.prey_per_egg);
  }
  if (hunters + patch.young[0] + patch.young[1] + patch.young[2] == 0) return;
  double poison = 0.0;
  for (std::size_t i = 0; i < products().size(); ++i)
    poison = std::max(poison, 0.5 * scene.bed(bed).residue[i] * kills_enemies(products()[i].active));
  const double goes_on = std::min(0.9, young_enemies * enemies_dd_ / guild.grows_dd), starving = n < 3 ? 0.25 : 0.0;
  for (int c = young_enemies - 1; c >= 0; --c) {
    auto& young = patch.young[static_cast<std::size_t>(c)];
    young -= draw.binomial(young, 1.0 - (1.0 - 0.05) * (1.0 - (c == 0 ? 0.0 : starving)) * (1.0 - poison));
    const int moved = draw.binomial(young, goes_on);
    young -= moved;
    (c == young_enemies - 1 ? patch.hunters : patch.young[static_cast<std::size_t>(c) + 1]) += moved;
  }
  patch.hunters -= draw.binomial(patch.hunters, 1.0 - (1.0 - 0.06) * (1.0 - poison));
}

void Patches::grow(const Scene& scene, int pest, int bed, Patch& patch, Draw& draw) {
  Population& here = pests_[static_cast<std::size_t>(pest)];
  const PestHere& drawn = scene.world.pest(pest);
  const Species& bio = drawn.species();
  const Heat& heat = scene.world.heat_on(pest, scene.day);
  const BedState& ground = scene.bed(bed);
  const int n = prey(here, patch), adult = here.stages - 1;
  const double crowd = n / bio.plant_holds;
  const bool beating = !ground.covered && scene.world.real[static_cast<std::size_t>(scene.day)].rain_mm > 15.0;
  int died = 0, born = 0, left = 0;
  for (int s = adult; s >= 0; --s) {
    const double base = s == adult ? bio.adult_mortality : bio.stages[static_cast<std::size_t>(s)].mortality;
    double lives = 1.0 - std::min(0.9, base * drawn.mortality * (0.6 + 0.4 * ground.generalists) + 0.4 * heat.scorch);
    if (bio.eats(s) > 0.0) lives *= 1.0 - std::min(0.5, 0.3 * crowd * crowd);
    if (bio.small(s) && beating) lives *= 0.8;
    lives *= 1.0 - scene.poisoned(pest, bed, s);
    for (int c = classes - 1; c >= 0; --c) {
      auto& cell = patch.n[static_cast<std::size_t>(s * classes + c)];
      if (cell == 0) continue;
      const int dead = draw.binomial(cell, 1.0 - lives);
      cell -= dead;
      died += dead;
      if (s == adult) {
        const double vigour = c == 0 ? 0.6 : c == 1 ? 1.0 : 0.4;
        born += draw.poisson(cell * bio.female_share * bio.laid_per_day * heat.warmth * drawn.fecundity * std::max(0.0, 1.0 - 0.5 * crowd) *
                             vigour);
      }
    }
  }
  // Age classes pass on at the stage's pace, one class at a time: twice a day, so that quick stages aren't held up. An adult's life is
  // spent over about 220 degree-days.
  const bool resting = scene.autumn(pest);
  for (int half = 0; half < 2; ++half)
    for (int s = adult; s >= 0; --s) {
      const double pace =
          0.5 * classes * (s == adult ? heat.degree_days / 220.0 : heat.develops / bio.stages[static_cast<std::size_t>(s)].share);
      for (int c = classes - 1; c >= 0; --c) {
        auto& cell = patch.n[static_cast<std::size_t>(s * classes + c)];
        if (cell == 0) continue;
        const int on = draw.binomial(cell, std::min(1.0, pace));
        cell -= on;
        if (s == adult && c == classes - 1) {
          died += on;
        } else if (s + 1 == adult && c == classes - 1) {
          const int winged = bio.laying == Laying::live ? draw.binomial(on, std::clamp(0.02 + 0.9 * (crowd - 0.1), 0.02, 0.8)) : 0;
          if (resting) {
            left += on;
          } else {
            patch.winged += winged;
            patch.n[static_cast<std::size_t>(adult * classes)] += on - winged;
          }
        } else {
          patch.n[static_cast<std::size_t>(s * classes + c + 1)] += on;
        }
      }
    }
  patch.n[0] += born;
  here.tally.born += born;
  here.tally.died += died;
  here.tally.left += left;
  here.tally.alive += born - died - left;
}

// To the plants beside when crowded; on wings to other plants and beds, most of them away.
void Patches::spread(const Scene& scene, int pest, int bed) {
  Population& here = pests_[static_cast<std::size_t>(pest)];
  const PestHere& drawn = scene.world.pest(pest);
  const Species& bio = drawn.species();
  BedPatches& on = here.beds[static_cast<std::size_t>(bed)];
  const int adult = here.stages - 1, plants = static_cast<int>(on.plants.size());
  const Heat& heat = scene.world.heat_on(pest, scene.day);
  const bool flier = bio.laying != Laying::live && bio.flight_m > 5.0;
  for (int i = 0; i < plants; ++i) {
    Patch& patch = on.plants[static_cast<std::size_t>(i)];
    const int n = prey(here, patch);
    if (n == 0) continue;
    Draw draw{scene.world.spec.seed, 0x59AD, as_key(pest), as_key(bed), as_key(i) * 512U + as_key(scene.day)};
    const double crowd = n / bio.plant_holds;
    int flying = draw.binomial(patch.winged, std::min(0.6, 0.6 * heat.warmth));
    patch.winged -= flying;
    const double walks = flier ? 0.0 : std::min(0.5, (0.01 + 0.25 * crowd) * drawn.mobility * heat.warmth);
    const double flies = !flier || scene.bed(bed).covered ? 0.0 : std::min(0.8, bio.leaves_per_day * drawn.mobility * heat.warmth);
    for (int c = 0; c < classes; ++c) {
      auto& cell = patch.n[static_cast<std::size_t>(adult * classes + c)];
      const int go = draw.binomial(cell, flies), walk = draw.binomial(cell - go, flier ? 0.3 : walks);
      cell -= go + walk;
      flying += go;
      for (int k = 0; k < walk; ++k) {
        const int to = flier ? scene.pleasing_plant(pest, bed, draw.unit()) : std::clamp(i + (draw.chance(0.5) ? 1 : -1), 0, plants - 1);
        on.plants[static_cast<std::size_t>(to)].n[static_cast<std::size_t>(adult * classes + c)] += 1;
      }
    }
    const double stay = bio.stays_in_garden / (1.0 + bio.stays_in_garden);
    for (int k = 0; k < flying; ++k) {
      int to = draw.chance(stay) ? scene.landing(pest, bed, draw.unit()) : -1;
      if (scene.bed(bed).covered) to = bed;
      const double where = draw.unit();
      if (to < 0 || scene.plants(to) == 0) {
        ++here.tally.left;
        --here.tally.alive;
      } else {
        put(scene, pest, to, scene.pleasing_plant(pest, to, where), 1);
      }
    }
  }
}

void Patches::move_enemies(const Scene& scene, int pest, int bed) {
  Population& here = pests_[static_cast<std::size_t>(pest)];
  const PestHere& drawn = scene.world.pest(pest);
  const Guild guild = guild_of(drawn.species().key);
  BedPatches& on = here.beds[static_cast<std::size_t>(bed)];
  if (on.plants.empty()) return;
  double sum = 0.0;
  int moving = 0, i = 0;
  std::vector<double> sums;
  Draw draw{scene.world.spec.seed, 0xE4E3, as_key(pest), as_key(bed), as_key(scene.day)};
  for (Patch& patch : on.plants) {
    const int n = prey(here, patch);
    sums.push_back(sum += n + 0.05);
    ++i;
    if (patch.hunters == 0) continue;
    const int go = draw.binomial(patch.hunters, 0.15 + 0.6 * guild.half_at / (guild.half_at + 4.0 * n));
    patch.hunters -= go;
    moving += go;
  }
  const double mean = sum / static_cast<double>(on.plants.size());
  on.drawn_by += (mean - on.drawn_by) / 10.0;
  if (!scene.bed(bed).covered) {
    moving -= draw.binomial(moving, mean < 0.3 * guild.good_prey ? 0.35 : 0.1);  // away
    const double seen = on.drawn_by / (on.drawn_by + guild.good_prey);
    moving += draw.poisson(drawn.enemies * guild.arrives * scene.world.bed(bed).area() / 100.0 * (0.05 + seen) *
                           scene.world.heat_on(pest, scene.day).warmth);
  }
  for (int k = 0; k < moving; ++k) {
    const auto at = std::lower_bound(sums.begin(), sums.end(), draw.unit() * sum) - sums.begin();
    ++on.plants[std::min(static_cast<std::size_t>(at), on.plants.size() - 1)].hunters;
  }
}

void Patches::advance(const Scene& scene) {
  const auto today = static_cast<std::size_t>(scene.day);
  enemies_dd_ = 0.0;
  for (const double t : hours_of(scene.world.real[today - 1], scene.world.real[today], scene.world.real[today + 1]))
    enemies_dd_ += std::max(0.0, std::min(t, 30.0) - 8.0) / 24.0;
  for (int p = 0; p < static_cast<int>(pests_.size()); ++p) {
    Population& here = pests_[static_cast<std::size_t>(p)];
    settle(scene, p);
    for (int b = 0; b < scene.bed_count(); ++b) {
      BedPatches& on = here.beds[static_cast<std::size_t>(b)];
      if (scene.world.liking(p, on.planting) <= 0.0) continue;
      for (std::size_t i = 0; i < on.plants.size(); ++i) {
        Draw draw{scene.world.spec.seed, 0xDA77, as_key(p), as_key(b), i * 512U + as_key(scene.day)};
        eat(scene, p, b, on.plants[i], draw);
        if (prey(here, on.plants[i]) > 0) grow(scene, p, b, on.plants[i], draw);
      }
    }
    for (int b = 0; b < scene.bed_count(); ++b) {
      if (scene.world.liking(p, here.beds[static_cast<std::size_t>(b)].planting) <= 0.0) continue;
      spread(scene, p, b);
      move_enemies(scene, p, b);
    }
  }
}

int Patches::cull(const Scene& scene, int pest, int bed, const ByStage& chance, std::uint64_t key, bool) {
  Population& here = pests_[static_cast<std::size_t>(pest)];
  BedPatches& on = here.beds[static_cast<std::size_t>(bed)];
  int killed = 0;
  for (std::size_t i = 0; i < on.plants.size(); ++i) {
    Patch& patch = on.plants[i];
    Draw draw{scene.world.spec.seed, key, as_key(pest), as_key(bed), i};
    for (int at = 0; at < here.stages * classes; ++at) {
      const int n = draw.binomial(patch.n[static_cast<std::size_t>(at)], chance[static_cast<std::size_t>(at / classes)]);
      patch.n[static_cast<std::size_t>(at)] -= n;
      killed += n;
    }
    const int n = draw.binomial(patch.winged, chance[static_cast<std::size_t>(here.stages - 1)]);
    patch.winged -= n;
    killed += n;
  }
  here.tally.died += killed;
  here.tally.alive -= killed;
  return killed;
}

void Patches::clear(const Scene& scene, int bed, Debris debris) {
  for (int p = 0; p < static_cast<int>(pests_.size()); ++p) {
    Population& here = pests_[static_cast<std::size_t>(p)];
    BedPatches& on = here.beds[static_cast<std::size_t>(bed)];
    int winged = 0, all = 0;
    for (const Patch& patch : on.plants) {
      winged += patch.winged;
      all += prey(here, patch);
    }
    on.plants.clear();
    on.planting = -1;
    // Debris left to wilt sends its winged ones to the beds beside.
    Draw draw{scene.world.spec.seed, 0xC1EA, as_key(p), as_key(bed), as_key(scene.day)};
    int moved = 0;
    for (int k = 0; debris == Debris::left && k < winged; ++k) {
      const int to = draw.chance(0.4) ? scene.landing(p, bed, draw.unit()) : -1;
      if (to < 0 || to == bed || here.beds[static_cast<std::size_t>(to)].plants.empty()) continue;
      put(scene, p, to, scene.pleasing_plant(p, to, draw.unit()), 1);
      ++moved;
    }
    here.tally.left += winged - moved;
    here.tally.died += all - winged;
    here.tally.alive -= all - moved;
  }
}

void Patches::poison_enemies(int bed, double share) {
  std::uint64_t p = 0;
  for (Population& here : pests_) {
    std::uint64_t i = 0;
    ++p;
    for (Patch& patch : here.beds[static_cast<std::size_t>(bed)].plants) {
      Draw draw{0x9015, p, as_key(bed), ++i, as_key(patch.hunters)};
      patch.hunters -= draw.binomial(patch.hunters, share);
      for (auto& young : patch.young) young -= draw.binomial(young, share);
    }
  }
}

void Patches::list(const Scene& scene, int pest, int bed, std::vector<Lying>& found) const {
  const Population& here = pests_[static_cast<std::size_t>(pest)];
  const BedPatches& on = here.beds[static_cast<std::size_t>(bed)];
  const int plants = std::min(scene.plants(bed), static_cast<int>(on.plants.size()));
  for (int i = 0; i < plants; ++i) {
    const Patch& patch = on.plants[static_cast<std::size_t>(i)];
    for (int s = 0; s < here.stages; ++s) {
      int n = s == here.stages - 1 ? patch.winged : 0;
      for (int c = 0; c < classes; ++c) n += patch.n[static_cast<std::size_t>(s * classes + c)];
      if (n > 0) found.push_back({i, s, n, 0});
    }
  }
}

ByStage Patches::totals(int pest, int bed) const {
  const Population& here = pests_[static_cast<std::size_t>(pest)];
  ByStage sums{};
  for (const Patch& patch : here.beds[static_cast<std::size_t>(bed)].plants) {
    for (int at = 0; at < here.stages * classes; ++at)
      sums[static_cast<std::size_t>(at / classes)] += patch.n[static_cast<std::size_t>(at)];
    sums[static_cast<std::size_t>(here.stages - 1)] += patch.winged;
  }
  return sums;
}

double Patches::enemies(int bed) const {
  double sum = 0.0;
  for (const Population& here : pests_)
    for (const Patch& patch : here.beds[static_cast<std::size_t>(bed)].plants)
      sum += patch.hunters + patch.young[0] + patch.young[1] + patch.young[2];
  return sum;
}

}  // namespace

std::unique_ptr<Form> make_patches(const World& world) { return std::make_unique<Patches>(world); }

}  // namespace leafturn::gardens
