#include "core/population/march.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "core/base/elementary.hpp"
#include "core/population/in_lanes.hpp"

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
constexpr float crowded = 50.0F;         // a plant: young are halved
constexpr float crowded_live = 300.0F;
// A bed does better or worse than expected for reasons nobody wrote down: a day's luck, and spells of it that last a week or two.
constexpr float days_luck = 0.10F;       // sd
constexpr float spell_stays = 0.90F;     // of it the day after
constexpr float spell_news = 0.019615F;  // sd of a spell 0.045 a day, times √(1 − spell_stays²)
constexpr float few = 16.0F;             // below, individuals are whole
constexpr float residue_reach = 0.3F;    // of the first day's hazard, what a fresh residue goes on doing a day
constexpr float walking = 0.5F;          // of old nymphs left without a plant, those that arrive anywhere
constexpr float finds_a_bed = 0.5F;      // of those that look for another bed, the share that does; the others are gone too
constexpr float least_number = 1e-30F;   // only keeps 0/0 from being asked

struct Spread {
  std::size_t first, last;  ///< substages [first, last)
};
Spread whole(const LifeStage& stage) { return {stage.first, stage.first + stage.count}; }

void scale(std::span<float> x, Spread s, const Lane& by) {
  for (std::size_t i = s.first; i < s.last; ++i)
    for (std::size_t l = 0; l < lanes; ++l) x[i * lanes + l] *= by[l];
}

bool bears_live(const Life& life) { return life.dossier->laying.kind == pest::Laying::Kind::live; }
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
        totals_(beds_ * life_.stages.size() * lanes),
        hazard_(beds_ * life_.stages.size() * lanes),
        young_(beds_),
        for_young_(beds_),
        open_(beds_),
        adult_first_{life_.stages[life_.laying].first},
        adult_last_{life_.substages} {
    for (const LifeStage& stage : life_.stages)
      if (is_adult(stage)) adult_first_ = std::min(adult_first_, stage.first);
    moved_.resize(beds_ * (adult_last_ - adult_first_) * lanes);
  }

  StepNumber next_deed(StepNumber after) const;
  /// One part of a day, in which nothing is done but at its beginning. `first`: nothing is known of this day yet.
  void go(StepNumber at, StepNumber to, bool first);

 private:
  std::span<float> state(std::size_t bed) { return m_.state.bed(block_, bed); }
  Believed& believed(std::size_t bed) { return m_.believed[m_.index(block_, bed)]; }
  const BedDay& there(std::size_t bed, std::int32_t day) const { return c_.on(day, bed); }
  LanePlace place(std::int32_t day, std::size_t bed) const {
    return {chance_.seed,
            static_cast<std::uint32_t>(block_ * lanes),
            day,
            static_cast<std::uint16_t>(bed),
            chance_.pest,
            0,
            num::Use::population_turn};
  }
  void take_wing(std::int32_t day);
  void turn(std::int32_t day, std::size_t bed);
  /// What holds for the rest of a day, also when a march begins in the middle of it. `after_turn`: nothing was done since.
  void prepare(std::int32_t day, std::size_t bed, bool after_turn);
  void develop(std::int32_t day, std::size_t bed, const Run& run);
  bool anything_done(StepNumber at) const;
  void act(StepNumber at);
  void set_open(std::size_t bed, std::int32_t day);
  void move(std::int32_t day);
  void arrive(std::int32_t day, std::size_t bed, const Lane& of_one, const Lane& of_pulse);
  void strike(std::size_t bed, const std::array<Lane, 4>& fine, const std::array<Lane, 4>& rough);
  void scale_and_flush(std::size_t bed, const LifeStage& stage, const LaneVector& by);
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
  std::vector<float> totals_;    ///< [stage][lane] of one bed
  std::vector<float> hazard_;    ///< [bed][stage][lane] a day
  std::vector<Lane> young_;      ///< [bed] young per laying life today
  std::vector<Lane> for_young_;  ///< [bed] today's uniform number for whole masses
  std::vector<Lane> open_;       ///< [bed] share of what flies that gets in or out today
  std::size_t adult_first_, adult_last_;
  std::vector<float> moved_;  ///< [bed][adult substage][lane] that took wing
};

// What a cover, if there is one, lets through of whatever flies.
LEAFTURN_INLINE void Block::set_open(std::size_t bed, std::int32_t day) {
  open_[bed].fill(1.0F);
  const Deed* cover = c_.cover_of(bed, day);
  if (cover == nullptr) return;
  const Lane& efficacy = believed(bed).efficacy;
  const float low = cover->low[life_.arriving];
  const float high = cover->high[life_.arriving];
  for (std::size_t l = 0; l < lanes; ++l) open_[bed][l] = 1.0F - (low + (high - low) * efficacy[l]);
}

// What a pulled crop leaves without a plant looks for another bed, nearer and better ones first; where there is none it is lost.
void Block::scatter(std::size_t from, std::int32_t day, std::size_t first, std::size_t last, std::span<const float> what, bool flying) {
  if (m_.counted[from] == 0) return;
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
    const float part = (flying ? finds_a_bed : 1.0F) * share[to] / static_cast<float>(all);
    if (!(part > least_share)) continue;
    const std::span<float> x = state(to);
    for (std::size_t i = 0; i < (last - first) * lanes; ++i) x[first * lanes + i] += part * what[i];
  }
}

// Those that leave look for another bed with this pest's crop; where there is none they are lost. What leaves a bed that was never counted
// is not followed (Members::counted).
LEAFTURN_INLINE void Block::move(std::int32_t day) {
  const std::size_t first = adult_first_ * lanes;
  const std::size_t width = (adult_last_ - adult_first_) * lanes;
  const float activity = c_.activity(block_, day);
  for (std::size_t b = 0; b < beds_; ++b) {
    set_open(b, day);
    const Believed& belief = believed(b);
    const BedDay& bed = there(b, day);
    const bool crop = bed.plants > 0.0F;
    const float missing = 1.0F + 2.0F * (1.0F - bed.liking);
    const float lively = std::max(activity, 0.1F);
    const float followed = m_.counted[b] != 0 ? finds_a_bed : 0.0F;
    const LaneVector restless = crop ? get(belief.leaving.data()) * missing : all(leaves_bare_bed);
    const LaneVector leave = least(restless * lively, all(most_leaving)) * get(open_[b].data());
    const LaneVector stay = 1.0F - leave;
    const LaneVector found = followed * leave * get(belief.to_neighbours.data());
    float* x = state(b).data() + first;
    float* moved = moved_.data() + b * width;
    for (std::size_t i = 0; i < width; i += lanes) {
      const LaneVector v = get(x + i);
      put(moved + i, found * v);
      put(x + i, stay * v);
    }
  }
  const std::span<const float> landing = c_.landing(day);
  for (std::size_t to = 0; to < beds_; ++to) {
    float* x = state(to).data() + first;
    for (std::size_t i = 0; i < width; i += lanes) {
      LaneVector sum = get(x + i);
      for (std::size_t from = 0; from < beds_; ++from) sum = sum + landing[from * beds_ + to] * get(moved_.data() + from * width + i);
      put(x + i, sum);
    }
  }
}

// Few flights bring many: a day's arrivals against the mean are ½·u^−½, whose mean is 1 (steps of 1/512 in u: at most 16).
LEAFTURN_INLINE void Block::arrive(std::int32_t day, std::size_t bed, const Lane& of_one, const Lane& of_pulse) {
  const BedDay& here = there(bed, day);
  if (!(here.plants > 0.0F)) return;
  const Believed& belief = believed(bed);
  const float season = here.plants * here.liking * c_.activity(block_, day);
  Lane pulse;
  for (std::size_t l = 0; l < lanes; ++l) pulse[l] = 0.5F / std::sqrt(of_pulse[l]);
  float* x = state(bed).data() + life_.stages[life_.arriving].first * lanes;
  const LaneVector expected = get(belief.arrival.data()) * season * get(pulse.data()) * get(open_[bed].data());
  const LaneVector whole = whole_part(least(expected, all(few)) + get(of_one.data()));
  put(x, get(x) + (expected < few ? whole : expected));
}

// A day's luck of the bed as a whole, and, where they are few, whole individuals: adults for themselves, everything younger together.
LEAFTURN_INLINE void Block::strike(std::size_t bed, const std::array<Lane, 4>& fine, const std::array<Lane, 4>& rough) {
  float* totals = totals_.data() + bed * life_.stages.size() * lanes;
  stage_totals(life_, state(bed), {totals, life_.stages.size() * lanes}, width_);
  LaneVector adults = all(0.0F);
  LaneVector younger = all(0.0F);
  for (std::size_t s = 0; s < life_.stages.size(); ++s) {
    if (is_adult(life_.stages[s]))
      adults = adults + get(totals + s * lanes);
    else
      younger = younger + get(totals + s * lanes);
  }
  const LaneVector news = 2.0F * (get(rough[1].data()) + get(rough[2].data()) + get(rough[3].data()) - 1.5F);  // sd 1
  float* spells = m_.spell[m_.index(block_, bed)].data();
  const LaneVector spell = spell_stays * get(spells) + spell_news * news;
  put(spells, spell);
  const LaneVector luck = most(1.0F + days_luck * news + spell, all(0.3F));
  const auto whole_of = [&luck](const LaneVector& n, const LaneVector& chance) LEAFTURN_LANE_BODY {
    const LaneVector wanted = n * luck;
    const LaneVector whole = whole_part(least(wanted, all(few)) + chance) / most(n, all(least_number));
    return wanted < few ? whole : luck;  // of nobody: 0
  };
  const LaneVector for_adults = whole_of(adults, get(fine[1].data()));
  const LaneVector for_younger = whole_of(younger, get(fine[2].data()));
  for (std::size_t s = 0; s < life_.stages.size(); ++s) {
    const LaneVector& by = is_adult(life_.stages[s]) ? for_adults : for_younger;
    put(totals + s * lanes, by * get(totals + s * lanes));
    scale_and_flush(bed, life_.stages[s], by);
  }
}

LEAFTURN_INLINE void Block::scale_and_flush(std::size_t bed, const LifeStage& stage, const LaneVector& by) {
  float* x = state(bed).data() + stage.first * lanes;
  for (std::size_t i = 0; i < stage.count * lanes; i += lanes) {
    const LaneVector v = by * get(x + i);
    put(x + i, v < tiny ? all(0.0F) : v);
  }
}

LEAFTURN_INLINE void Block::grow_enemies(std::int32_t day, std::size_t bed) {
  Lane& enemies = m_.enemies[m_.index(block_, bed)];
  const float plants = std::max(1.0F, there(bed, day).plants);
  const float half = bears_live(life_) ? prey_half_live : prey_half;
  LaneVector prey = all(0.0F);
  for (std::size_t s = 0; s < life_.stages.size(); ++s)
    if (life_.stages[s].eaten) prey = prey + get(totals_.data() + (bed * life_.stages.size() + s) * lanes);
  float killed = 0.0F;
  for (const Deed& deed : c_.deeds()) {
    if (deed.bed != bed || deed.kind != Deed::Kind::kill || deed.enemies_killed <= 0.0 || deed.at / steps_a_day > day) continue;
    killed = std::max(killed, static_cast<float>(deed.enemies_killed * c_.residue(deed, day, block_)));
  }
  const LaneVector food = prey / plants;
  const LaneVector now = get(enemies.data());
  const LaneVector rise = enemies_rise * food / (food + half) * (1.0F - now) * get(open_[bed].data());
  put(enemies.data(), (now + rise - enemies_fade * now) * (1.0F - killed));
}

LEAFTURN_INLINE void Block::set_hazards(std::int32_t day, std::size_t bed) {
  const Believed& belief = believed(bed);
  const LaneVector eaten = get(belief.enemies.data()) * get(m_.enemies[m_.index(block_, bed)].data());
  const bool bare = !(there(bed, day).plants > 0.0F);
  const float liveliness = 0.5F + 0.5F * c_.activity(block_, day);
  float* hazard = hazard_.data() + bed * life_.stages.size() * lanes;
  for (std::size_t s = 0; s < life_.stages.size(); ++s) {
    const LifeStage& stage = life_.stages[s];
    const auto loss = static_cast<float>(stage.loss_per_day + life_.outdoor_loss_per_day) * liveliness;
    const float hunger = bare && feeds(stage) && !is_adult(stage) ? starving : 0.0F;
    put(hazard + s * lanes, loss * get(belief.mortality.data()) + hunger + (stage.eaten ? eaten : all(0.0F)));
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
LEAFTURN_INLINE void Block::set_young(std::int32_t day, std::size_t bed, const Lane& u) {
  const Believed& belief = believed(bed);
  const BedDay& here = there(bed, day);
  const float room = std::max(1.0F, here.plants) * (bears_live(life_) ? crowded_live : crowded);
  const float aged = c_.aged(block_, day);
  const auto per_life = static_cast<float>(life_.young_per_adult);
  const auto at_once = static_cast<float>(life_.young_at_once);
  const float* totals = totals_.data() + bed * life_.stages.size() * lanes;
  LaneVector younger = all(0.0F);
  for (std::size_t s = 0; s < life_.stages.size(); ++s)
    if (!is_adult(life_.stages[s])) younger = younger + get(totals + s * lanes);
  const float best = here.plants > 0.0F ? per_life * room : 0.0F;
  const LaneVector wanted = best * get(belief.reproduction.data()) / (room + younger);
  const LaneVector masses = get(totals + life_.laying * lanes) * wanted * (aged / at_once);
  const LaneVector whole = whole_part(least(masses, all(few)) + get(u.data())) / most(masses, all(least_number));
  // Where none lay yet, those that begin today do as they would. (Two conditions on one number would not become lanes.)
  const LaneVector none = 1.0F - least(masses / least_number, all(1.0F));
  const LaneVector chance = masses < few ? whole : all(1.0F);
  put(young_[bed].data(), wanted * most(chance, none));
}

void Block::take_wing(std::int32_t day) {
  in_lanes(width_, [&]() LEAFTURN_LANE_BODY { move(day); });
}

void Block::turn(std::int32_t day, std::size_t bed) {
  in_lanes(width_, [&]() LEAFTURN_LANE_BODY {
    std::array<Lane, 4> fine;
    std::array<Lane, 4> rough;
    uniforms_inline(place(day, bed), fine, rough);
    for_young_[bed] = fine[3];
    arrive(day, bed, fine[0], rough[0]);
    strike(bed, fine, rough);
    grow_enemies(day, bed);
  });
}

void Block::prepare(std::int32_t day, std::size_t bed, bool after_turn) {
  in_lanes(width_, [&]() LEAFTURN_LANE_BODY {
    if (!after_turn) {
      std::array<Lane, 4> fine;
      std::array<Lane, 4> rough;
      uniforms_inline(place(day, bed), fine, rough);
      for_young_[bed] = fine[3];
      const std::size_t all_stages = life_.stages.size() * lanes;
      stage_totals(life_, state(bed), std::span<float>(totals_).subspan(bed * all_stages, all_stages), width_);
    }
    set_hazards(day, bed);
    set_young(day, bed, for_young_[bed]);
  });
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

bool Block::anything_done(StepNumber at) const {
  return std::any_of(c_.deeds().begin(), c_.deeds().end(), [&](const Deed& deed) { return deed.at == at; });
}

void Block::act(StepNumber at) {
  for (const Deed& deed : c_.deeds()) {
    if (deed.at != at) continue;
    if (deed.kind == Deed::Kind::kill) kill(deed);
    if (deed.kind == Deed::Kind::pull) pull(deed);
  }
}

StepNumber Block::next_deed(StepNumber after) const {
  for (const Deed& deed : c_.deeds())
    if (deed.at > after) return deed.at;
  return std::numeric_limits<StepNumber>::max();
}

void Block::develop(std::int32_t day, std::size_t bed, const Run& run) {
  Lane laid{};
  BlockRun what;
  what.life = &life_;
  what.run = &run;
  what.hazard = std::span<const float>(hazard_).subspan(bed * life_.stages.size() * lanes, life_.stages.size() * lanes);
  what.young = young_[bed];
  what.laid = laid;
  if (life_.rest_decided) {
    what.resting_share = c_.world().resting[static_cast<std::size_t>(day)];
    what.resting = m_.resting[m_.index(block_, bed)];
  }
  what.x = state(bed);
  advance_block(what, width_);
}

void Block::go(StepNumber at, StepNumber to, bool first) {
  const std::int32_t day = at / steps_a_day;
  const bool midnight = at % steps_a_day == 0;
  Run part;
  if (to - at < steps_a_day) {
    const auto steps = c_.future(block_).steps.day(c_.world().first + Days{day});
    part = run_of(life_, steps.subspan(static_cast<std::size_t>(at % steps_a_day), static_cast<std::size_t>(to - at)));
  }
  const Run& run = to - at < steps_a_day ? part : c_.whole_day(block_, day);
  if (midnight) take_wing(day);
  const bool deeds = anything_done(at);
  if (deeds) {
    // What is done here may move them to beds that have had their turn: all turn first.
    for (std::size_t b = 0; midnight && b < beds_; ++b) turn(day, b);
    act(at);
  }
  // Otherwise one bed after the other, so that each is fetched into the nearest cache once.
  for (std::size_t b = 0; b < beds_; ++b) {
    if (midnight && !deeds) turn(day, b);
    if (first || midnight || deeds) prepare(day, b, midnight && !deeds);
    develop(day, b, run);
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
    StepNumber end = std::min({to, (at / steps_a_day + 1) * steps_a_day, work.next_deed(at)});
    if (next < stops.size()) end = std::min(end, stops[next]);
    work.go(at, end, at == from);
    at = end;
  }
  stop(to);
}

}  // namespace leafturn::population
