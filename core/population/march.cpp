#include "core/population/march.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/base/elementary.hpp"

namespace leafturn::population {
namespace {

using pest::StageGroup;

// What no source gives. Each is common practice or plain guessing, and wide unknowns lie above it.
constexpr float leaves_bare_bed = 0.7F;  // adults a day, where their crop is gone
constexpr float most_leaving = 0.9F;
constexpr float starving = 0.5F;         // hazard a day of what feeds and has no crop
constexpr float enemies_rise = 0.15F;    // a day, with prey in plenty
constexpr float enemies_fade = 0.05F;    // a day
constexpr float prey_half = 2.0F;        // prey a plant at which enemies rise half as fast
constexpr float prey_half_live = 40.0F;  // the same of what bears live young, which is small and many
constexpr float crowded = 100.0F;        // a plant: young are halved
constexpr float crowded_live = 1000.0F;
constexpr float weather_and_all = 0.06F;  // sd of a day's good or bad luck of a whole bed
constexpr float few = 16.0F;              // below, individuals are whole
constexpr float residue_reach = 0.3F;     // of the first day's hazard, what a fresh residue goes on doing a day
constexpr float walking = 0.5F;           // of old nymphs left without a plant, those that arrive anywhere
constexpr double least_share = 1e-4;

float least(float a, float b) { return a < b ? a : b; }
float most(float a, float b) { return a > b ? a : b; }

struct Spread {
  std::size_t first, last;  ///< substages [first, last)
};
Spread whole(const LifeStage& stage) { return {stage.first, stage.first + stage.count}; }

void scale(std::span<float> x, Spread s, const Lane& by) {
  for (std::size_t i = s.first; i < s.last; ++i)
    for (std::size_t l = 0; l < lanes; ++l) x[i * lanes + l] *= by[l];
}

bool is_adult(const LifeStage& stage) { return stage.group == StageGroup::adult; }
bool feeds(const LifeStage& stage) {
  return stage.group == StageGroup::nymph || stage.group == StageGroup::larva || stage.group == StageGroup::adult;
}

/// One block at work.
class Block {
 public:
  Block(const Course& course, const Chance& chance, Members& members, std::size_t block, Lanes width)
      : c_{course},
        life_{course.life()},
        chance_{chance},
        m_{members},
        block_{block},
        width_{width},
        beds_{course.world().beds.size()},
        totals_(life_.stages.size() * lanes),
        hazard_(beds_ * life_.stages.size() * lanes),
        young_(beds_),
        adult_first_{life_.stages[life_.laying].first},
        adult_last_{life_.substages} {
    for (const LifeStage& stage : life_.stages)
      if (is_adult(stage)) adult_first_ = std::min(adult_first_, stage.first);
    moved_.resize(beds_ * (adult_last_ - adult_first_) * lanes);
  }

  void midnight(std::int32_t day);
  void prepare(std::int32_t day);
  bool act(StepNumber at);  ///< whether anything was done
  StepNumber next_deed(StepNumber after) const;
  void develop(StepNumber from, StepNumber to);

 private:
  std::span<float> state(std::size_t bed) { return m_.state.bed(block_, bed); }
  Believed& believed(std::size_t bed) { return m_.believed[m_.index(block_, bed)]; }
  const BedDay& there(std::size_t bed, std::int32_t day) const { return c_.on(day, bed); }
  float open(std::size_t bed, std::int32_t day, std::size_t lane) const;
  void move(std::int32_t day);
  void arrive(std::int32_t day, std::size_t bed, const std::array<Lane, 4>& u);
  void strike(std::int32_t day, std::size_t bed, const std::array<Lane, 4>& u, const std::array<Lane, 4>& v);
  void grow_enemies(std::int32_t day, std::size_t bed);
  void set_hazards(std::int32_t day, std::size_t bed);
  void add_residues(std::int32_t day, std::size_t bed);
  void set_young(std::int32_t day, std::size_t bed, const Lane& u);
  void kill(const Deed& deed);
  void pull(const Deed& deed);
  void scatter(std::size_t from, std::int32_t day, std::size_t first, std::size_t last, std::span<const float> what, bool flying);

  const Course& c_;
  const Life& life_;
  const Chance& chance_;
  Members& m_;
  std::size_t block_;
  Lanes width_;
  std::size_t beds_;
  std::vector<float> totals_;  ///< [stage][lane] of one bed
  std::vector<float> hazard_;  ///< [bed][stage][lane] a day
  std::vector<Lane> young_;    ///< [bed] young per laying life today
  std::size_t adult_first_, adult_last_;
  std::vector<float> moved_;  ///< [bed][adult substage][lane] that took wing
};

float Block::open(std::size_t bed, std::int32_t day, std::size_t lane) const {
  const Deed* cover = c_.cover_of(bed, day);
  if (cover == nullptr) return 1.0F;
  const std::size_t s = life_.arriving;
  return 1.0F - (cover->low[s] + (cover->high[s] - cover->low[s]) * m_.believed[m_.index(block_, bed)].efficacy[lane]);
}

// What left `from` looks for another bed with this pest's crop, nearer and better ones first; where there is none it is lost.
void Block::scatter(std::size_t from, std::int32_t day, std::size_t first, std::size_t last, std::span<const float> what, bool flying) {
  std::vector<float> share(beds_, 0.0F);
  double all = 0.0;
  for (std::size_t to = 0; to < beds_; ++to) {
    if (to == from || c_.covered(to, day)) continue;
    const BedDay& bed = there(to, day);
    const double weight = (flying ? c_.fly_weight(from, to) : c_.walk_weight(from, to)) * static_cast<double>(bed.plants * bed.liking);
    share[to] = static_cast<float>(weight);
    all += weight;
  }
  if (!(all > 0.0)) return;
  for (std::size_t to = 0; to < beds_; ++to) {
    const float part = share[to] / static_cast<float>(all);
    if (!(part > static_cast<float>(least_share))) continue;
    const std::span<float> x = state(to);
    for (std::size_t i = 0; i < (last - first) * lanes; ++i) x[first * lanes + i] += part * what[i];
  }
}

void Block::move(std::int32_t day) {
  const std::size_t width = (adult_last_ - adult_first_) * lanes;
  const float activity = c_.activity(block_, day);
  for (std::size_t b = 0; b < beds_; ++b) {
    const std::span<float> x = state(b);
    const Believed& belief = believed(b);
    const BedDay& bed = there(b, day);
    Lane stay;
    Lane found;
    for (std::size_t l = 0; l < lanes; ++l) {
      const float restless = bed.plants > 0.0F ? belief.leaving[l] * (1.0F + 2.0F * (1.0F - bed.liking)) : leaves_bare_bed;
      const float leave = least(most_leaving, restless * most(activity, 0.1F)) * open(b, day, l);
      stay[l] = 1.0F - leave;
      found[l] = leave * belief.to_neighbours[l];
    }
    float* moved = moved_.data() + b * width;
    for (std::size_t i = adult_first_; i < adult_last_; ++i)
      for (std::size_t l = 0; l < lanes; ++l) {
        moved[(i - adult_first_) * lanes + l] = found[l] * x[i * lanes + l];
        x[i * lanes + l] *= stay[l];
      }
  }
  for (std::size_t b = 0; b < beds_; ++b)
    scatter(b, day, adult_first_, adult_last_, std::span<const float>(moved_).subspan(b * width, width), true);
}

// Few flights bring many: a day's arrivals against the mean are ½·u^−½, whose mean is 1 (cut at 16).
void Block::arrive(std::int32_t day, std::size_t bed, const std::array<Lane, 4>& u) {
  const BedDay& here = there(bed, day);
  if (!(here.plants > 0.0F)) return;
  const Believed& belief = believed(bed);
  const std::span<float> x = state(bed);
  const float season = here.plants * here.liking * c_.world().flying[static_cast<std::size_t>(day)] * c_.activity(block_, day);
  const std::size_t entry = life_.stages[life_.arriving].first;
  for (std::size_t l = 0; l < lanes; ++l) {
    const float pulse = 0.5F / std::sqrt(most(u[0][l], 1e-3F));
    const float expected = belief.arrival[l] * season * pulse * open(bed, day, l);
    x[entry * lanes + l] += expected < few ? std::floor(expected + u[1][l]) : expected;
  }
}

// A day's luck of the bed as a whole, and, where they are few, whole individuals: adults for themselves, everything younger together.
void Block::strike(std::int32_t day, std::size_t bed, const std::array<Lane, 4>& u, const std::array<Lane, 4>& v) {
  static_cast<void>(day);
  const std::span<float> x = state(bed);
  stage_totals(life_, x, totals_, width_);
  Lane adults{};
  Lane younger{};
  for (std::size_t s = 0; s < life_.stages.size(); ++s) {
    Lane& into = is_adult(life_.stages[s]) ? adults : younger;
    for (std::size_t l = 0; l < lanes; ++l) into[l] += totals_[s * lanes + l];
  }
  Lane for_adults;
  Lane for_younger;
  for (std::size_t l = 0; l < lanes; ++l) {
    const float luck = 1.0F + weather_and_all * 2.0F * (v[0][l] + v[1][l] + v[2][l] - 1.5F);
    const auto whole_of = [&](float n, float chance) {
      const float wanted = n * luck;
      if (!(n > 0.0F)) return 0.0F;
      return wanted < few ? std::floor(wanted + chance) / n : luck;
    };
    for_adults[l] = whole_of(adults[l], u[2][l]);
    for_younger[l] = whole_of(younger[l], u[3][l]);
  }
  scale(x, {0, adult_first_}, for_younger);
  scale(x, {adult_first_, adult_last_}, for_adults);
  flush_tiny(x, width_);
}

void Block::grow_enemies(std::int32_t day, std::size_t bed) {
  Lane& enemies = m_.enemies[m_.index(block_, bed)];
  const float plants = most(1.0F, there(bed, day).plants);
  const float half = life_.young_at_once <= 1.0 && life_.dossier->laying.kind == pest::Laying::Kind::live ? prey_half_live : prey_half;
  Lane prey{};
  for (std::size_t s = 0; s < life_.stages.size(); ++s)
    if (life_.stages[s].eaten)
      for (std::size_t l = 0; l < lanes; ++l) prey[l] += totals_[s * lanes + l];
  float killed = 0.0F;
  for (const Deed& deed : c_.deeds()) {
    if (deed.bed != bed || deed.kind != Deed::Kind::kill || deed.enemies_killed <= 0.0 || deed.at / steps_a_day > day) continue;
    killed = most(killed, static_cast<float>(deed.enemies_killed * c_.residue(deed, day, block_)));
  }
  for (std::size_t l = 0; l < lanes; ++l) {
    const float food = prey[l] / plants;
    const float rise = enemies_rise * food / (food + half) * (1.0F - enemies[l]) * open(bed, day, l);
    enemies[l] = (enemies[l] + rise - enemies_fade * enemies[l]) * (1.0F - killed);
  }
}

void Block::set_hazards(std::int32_t day, std::size_t bed) {
  const Believed& belief = believed(bed);
  const Lane& enemies = m_.enemies[m_.index(block_, bed)];
  const bool bare = !(there(bed, day).plants > 0.0F);
  const float liveliness = 0.5F + 0.5F * c_.activity(block_, day);
  float* hazard = hazard_.data() + bed * life_.stages.size() * lanes;
  for (std::size_t s = 0; s < life_.stages.size(); ++s) {
    const LifeStage& stage = life_.stages[s];
    const auto loss = static_cast<float>(stage.loss_per_day) * liveliness;
    const float hunger = bare && feeds(stage) && !is_adult(stage) ? starving : 0.0F;
    for (std::size_t l = 0; l < lanes; ++l)
      hazard[s * lanes + l] = loss * belief.mortality[l] + hunger + (stage.eaten ? belief.enemies[l] * enemies[l] : 0.0F);
  }
  add_residues(day, bed);
}

void Block::add_residues(std::int32_t day, std::size_t bed) {
  const Believed& belief = believed(bed);
  float* hazard = hazard_.data() + bed * life_.stages.size() * lanes;
  for (const Deed& deed : c_.deeds()) {
    if (deed.bed != bed || deed.kind != Deed::Kind::kill || deed.half_life_days <= 0.0 || deed.at / steps_a_day >= day) continue;
    const double left = c_.residue(deed, day, block_);
    if (left < 0.02) continue;
    for (std::size_t s = 0; s < life_.stages.size(); ++s) {
      if (!(deed.high[s] > 0.0F)) continue;
      for (std::size_t l = 0; l < lanes; ++l) {
        const double taken = std::min(0.98, static_cast<double>(deed.low[s] + (deed.high[s] - deed.low[s]) * belief.efficacy[l]));
        hazard[s * lanes + l] += residue_reach * static_cast<float>(-num::log(1.0 - taken) * left);
      }
    }
  }
}

// Young of a whole laying life, scaled so that what is laid today is whole masses where few are laid.
void Block::set_young(std::int32_t day, std::size_t bed, const Lane& u) {
  const Believed& belief = believed(bed);
  const BedDay& here = there(bed, day);
  const bool live = life_.dossier->laying.kind == pest::Laying::Kind::live;
  const float room = most(1.0F, here.plants) * (live ? crowded_live : crowded);
  const float aged = c_.aged(block_, day);
  const auto per_life = static_cast<float>(life_.young_per_adult);
  const auto at_once = static_cast<float>(life_.young_at_once);
  for (std::size_t l = 0; l < lanes; ++l) {
    float all = 0.0F;
    for (std::size_t s = 0; s < life_.stages.size(); ++s)
      if (!is_adult(life_.stages[s])) all += totals_[s * lanes + l];
    const float wanted = here.plants > 0.0F ? per_life * belief.reproduction[l] * room / (room + all) : 0.0F;
    const float masses = totals_[life_.laying * lanes + l] * wanted * aged / at_once;
    const float chance = masses > 0.0F && masses < few ? std::floor(masses + u[l]) / masses : 1.0F;
    young_[bed][l] = wanted * chance;
  }
}

void Block::midnight(std::int32_t day) {
  move(day);
  for (std::size_t b = 0; b < beds_; ++b) {
    LanePlace place{chance_.seed,
                    static_cast<std::uint32_t>(block_ * lanes),
                    day,
                    static_cast<std::uint16_t>(b),
                    chance_.pest,
                    0,
                    num::Use::population_turn};
    std::array<Lane, 4> u;
    std::array<Lane, 4> v;
    uniforms(place, u);
    place.part = 1;
    uniforms(place, v);
    arrive(day, b, u);
    strike(day, b, u, v);
    grow_enemies(day, b);
  }
}

// What holds for the rest of a day, also when a march begins in the middle of it.
void Block::prepare(std::int32_t day) {
  for (std::size_t b = 0; b < beds_; ++b) {
    LanePlace place{chance_.seed,
                    static_cast<std::uint32_t>(block_ * lanes),
                    day,
                    static_cast<std::uint16_t>(b),
                    chance_.pest,
                    2,
                    num::Use::population_turn};
    std::array<Lane, 4> u;
    uniforms(place, u);
    stage_totals(life_, state(b), totals_, width_);
    set_hazards(day, b);
    set_young(day, b, u[0]);
  }
}

void Block::kill(const Deed& deed) {
  const std::span<float> x = state(deed.bed);
  const Believed& belief = believed(deed.bed);
  for (std::size_t s = 0; s < life_.stages.size(); ++s) {
    if (!(deed.high[s] > 0.0F)) continue;
    Lane left;
    for (std::size_t l = 0; l < lanes; ++l) left[l] = 1.0F - (deed.low[s] + (deed.high[s] - deed.low[s]) * belief.efficacy[l]);
    scale(x, whole(life_.stages[s]), left);
  }
}

void Block::pull(const Deed& deed) {
  const std::span<float> x = state(deed.bed);
  const Believed& belief = believed(deed.bed);
  const std::int32_t day = deed.at / steps_a_day;
  // Adults fly. Those that would stay have nothing to stay on: they look for another bed too.
  std::vector<float> flown((adult_last_ - adult_first_) * lanes);
  for (std::size_t i = adult_first_; i < adult_last_; ++i)
    for (std::size_t l = 0; l < lanes; ++l) {
      flown[(i - adult_first_) * lanes + l] = (1.0F - belief.goes[l]) * x[i * lanes + l];
      x[i * lanes + l] = 0.0F;
    }
  scatter(deed.bed, day, adult_first_, adult_last_, flown, true);
  for (const LifeStage& stage : life_.stages) {
    if (is_adult(stage) || life_.dossier->stages[static_cast<std::size_t>(&stage - life_.stages.data())].in_soil) continue;
    const auto s = static_cast<std::size_t>(&stage - life_.stages.data());
    Lane left;
    for (std::size_t l = 0; l < lanes; ++l) left[l] = 1.0F - (deed.low[s] + (deed.high[s] - deed.low[s]) * belief.efficacy[l]);
    scale(x, whole(stage), left);
    if (!stage.walks) continue;
    std::vector<float> walked(stage.count * lanes);
    for (std::size_t i = 0; i < stage.count * lanes; ++i) {
      walked[i] = walking * x[stage.first * lanes + i];
      x[stage.first * lanes + i] = 0.0F;
    }
    scatter(deed.bed, day, stage.first, stage.first + stage.count, walked, false);
  }
}

bool Block::act(StepNumber at) {
  const auto range = std::equal_range(c_.deeds().begin(), c_.deeds().end(), at, [](const auto& a, const auto& b) {
    const auto time = [](const auto& v) {
      if constexpr (std::is_same_v<std::decay_t<decltype(v)>, Deed>)
        return v.at;
      else
        return v;
    };
    return time(a) < time(b);
  });
  bool any = false;
  for (auto deed = range.first; deed != range.second; ++deed) {
    any = true;
    if (deed->kind == Deed::Kind::kill) kill(*deed);
    if (deed->kind == Deed::Kind::pull) pull(*deed);
  }
  return any;
}

StepNumber Block::next_deed(StepNumber after) const {
  for (const Deed& deed : c_.deeds())
    if (deed.at > after) return deed.at;
  return std::numeric_limits<StepNumber>::max();
}

void Block::develop(StepNumber from, StepNumber to) {
  const std::int32_t day = from / steps_a_day;
  Run part;
  if (to - from < steps_a_day) {
    const auto steps = c_.future(block_).steps.day(c_.world().first + Days{day});
    part = run_of(life_, steps.subspan(static_cast<std::size_t>(from % steps_a_day), static_cast<std::size_t>(to - from)));
  }
  Lane laid{};
  for (std::size_t b = 0; b < beds_; ++b) {
    BlockRun what;
    what.life = &life_;
    what.run = to - from < steps_a_day ? &part : &c_.whole_day(block_, day);
    what.hazard = std::span<const float>(hazard_).subspan(b * life_.stages.size() * lanes, life_.stages.size() * lanes);
    what.young = young_[b];
    what.laid = laid;
    if (life_.rest_decided) {
      what.resting_share = c_.world().resting[static_cast<std::size_t>(day)];
      what.resting = m_.resting[m_.index(block_, b)];
    }
    advance_block(what, state(b), width_);
  }
}

}  // namespace

void begin(const Course& course, Members& members, std::size_t block) {
  const World& world = course.world();
  const LifeStage& entry = course.life().stages[course.life().arriving];
  for (std::size_t b = 0; b < world.beds.size(); ++b) {
    const BedDay& bed = world.on(0, b);
    const std::span<float> x = members.state.bed(block, b);
    const Believed& belief = members.believed[members.index(block, b)];
    for (std::size_t i = 0; i < entry.count; ++i)
      for (std::size_t l = 0; l < lanes; ++l)
        x[(entry.first + i) * lanes + l] = belief.start[l] * bed.plants * bed.liking / static_cast<float>(entry.count);
  }
}

void march(const Course& course, const Chance& chance, Members& members, std::size_t block, StepNumber from, StepNumber to, Lanes width,
           std::span<const StepNumber> stops, const std::function<void(std::size_t)>& at_stop) {
  Block work{course, chance, members, block, width};
  std::size_t next = 0;
  const auto stop = [&](StepNumber at) {
    for (; next < stops.size() && stops[next] <= at; ++next) at_stop(next);
  };
  for (StepNumber at = from; at < to;) {
    stop(at);
    if (at % steps_a_day == 0) work.midnight(at / steps_a_day);
    const bool done = work.act(at);
    if (at == from || at % steps_a_day == 0 || done) work.prepare(at / steps_a_day);
    StepNumber end = std::min({to, (at / steps_a_day + 1) * steps_a_day, work.next_deed(at)});
    if (next < stops.size()) end = std::min(end, stops[next]);
    work.develop(at, end);
    at = end;
  }
  stop(to);
}

}  // namespace leafturn::population
