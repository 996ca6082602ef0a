#include "tests/gardens/garden.hpp"

#include <algorithm>

#include "tests/gardens/state.hpp"

namespace leafturn::gardens {
namespace {

std::unique_ptr<Form> make_form(const World& world) {
  if (world.spec.kind == Kind::walkers) return make_walkers(world);
  return world.spec.kind == Kind::pulses ? make_pulses(world) : make_patches(world);
}

void set_out(State& state) {
  for (int i = 0; i < static_cast<int>(state.world->plantings.size()); ++i) {
    const Planting& p = state.world->planting(i);
    BedState& bed = state.bed(p.bed);
    if (p.set_out != state.day || bed.planting >= 0) continue;
    bed.planting = i;
    bed.eaten = bed.mean_eaten = 0.0;
  }
}

void take_out(State& state, int at, Debris debris) {
  BedState& bed = state.bed(at);
  state.form->clear(state.scene(), at, debris);
  state.removed[static_cast<std::size_t>(bed.planting)] = state.day;
  bed.planting = -1;
  bed.covered = false;
  bed.residue.fill(0.0);
}

void note(State& state, int bed, std::string action, std::string detail = {}) {
  state.actions.push_back({state.day, 600 + 5 * bed, bed, std::move(action), {}, {}, std::move(detail)});
}

constexpr double minute = 1.0 / 60.0;

}  // namespace

std::string_view name_of(Kind kind) {
  if (kind == Kind::walkers) return "walkers";
  return kind == Kind::pulses ? "pulses" : "patches";
}

const std::vector<Product>& products() {
  static const std::vector<Product> all{{"Trial Spin", "spinosad", 1, 7, 4, "2 floz/gal"},
                                        {"Trial Neem", "azadirachtin", 0, 7, 4, "2 floz/gal"},
                                        {"Trial Broad", "lambda-cyhalothrin", 7, 10, 24, "1 floz/gal"}};
  return all;
}

State::State(const State& other)
    : world{other.world},
      day{other.day},
      beds{other.beds},
      removed{other.removed},
      counts{other.counts},
      actions{other.actions},
      form{other.form->clone()} {}

Garden::Garden(Spec spec) : state_{std::make_unique<State>()} {
  state_->world = std::make_shared<const World>(make_world(spec));
  state_->beds.resize(state_->world->beds.size());
  state_->removed.assign(state_->world->plantings.size(), -1);
  state_->form = make_form(*state_->world);
  for (int i = 0; i < static_cast<int>(state_->world->plantings.size()); ++i)
    state_->bed(state_->world->planting(i).bed).ledger.value += potential_value(*state_->world, i);
  set_out(*state_);
}
Garden::Garden(const Garden& other) : state_{std::make_unique<State>(*other.state_)} {}
Garden& Garden::operator=(const Garden& other) {
  if (this != &other) state_ = std::make_unique<State>(*other.state_);
  return *this;
}
Garden::Garden(Garden&&) noexcept = default;
Garden& Garden::operator=(Garden&&) noexcept = default;
Garden::~Garden() = default;

Spec Garden::spec() const { return state_->world->spec; }
int Garden::today() const { return state_->day; }
int Garden::year() const { return state_->world->year; }
std::string Garden::date(int day) const { return iso_date(state_->world->year, day); }
int Garden::beds() const { return static_cast<int>(state_->beds.size()); }

std::vector<std::string> Garden::pests() const {
  std::vector<std::string> keys;
  for (const PestHere& pest : state_->world->pests) keys.emplace_back(pest.species().key);
  return keys;
}

std::vector<std::string> Garden::stage_words(std::string_view pest) const {
  const int at = state_->world->pest_called(pest);
  if (at < 0) return {};
  const PestHere& here = state_->world->pest(at);
  const Species& bio = here.species();
  if (bio.key == "striped-cucumber-beetle") return {"adult"};
  if (bio.laying == Laying::live || bio.key == "TETRUR") return {"nymph", "adult"};
  if (bio.laying == Laying::single) return {"egg", "larva"};
  return {here.counts_masses ? "egg-mass" : "egg", std::string(word_of(bio.group(1))), "adult"};
}

int Garden::planting_in(int bed) const { return state_->bed(bed).planting; }
int Garden::plants_in(int bed) const { return state_->scene().plants(bed); }
bool Garden::covered(int bed) const { return state_->bed(bed).covered; }
bool Garden::is_host(int bed, std::string_view pest) const {
  const int at = state_->world->pest_called(pest);
  return at >= 0 && state_->world->liking(at, state_->bed(bed).planting) > 0.0;
}

std::int64_t Garden::truth(int bed, std::string_view pest, std::string_view stage) const {
  const int at = state_->world->pest_called(pest);
  if (at < 0) return 0;
  const Species& bio = state_->world->pest(at).species();
  if (stage == "egg-mass") {
    std::int64_t sum = 0;
    for (const int n : truth_on_plants(bed, pest, stage)) sum += n;
    return sum;
  }
  const ByStage all = state_->form->totals(at, bed);
  double sum = 0.0;
  for (int s = 0; s <= bio.adult(); ++s)
    if (stage_matches(bio, s, stage)) sum += all[static_cast<std::size_t>(s)];
  return static_cast<std::int64_t>(sum + 0.5);
}

std::vector<int> Garden::truth_on_plants(int bed, std::string_view pest, std::string_view stage) const {
  std::vector<int> on(static_cast<std::size_t>(plants_in(bed)), 0);
  const int at = state_->world->pest_called(pest);
  if (at < 0 || on.empty()) return on;
  const Species& bio = state_->world->pest(at).species();
  std::vector<Lying> lying;
  state_->form->list(state_->scene(), at, bed, lying);
  std::map<std::uint64_t, bool> seen;
  for (const Lying& one : lying) {
    if (!stage_matches(bio, one.stage, stage)) continue;
    if (stage == "egg-mass" && one.mass != 0 && !seen.emplace(one.mass, true).second) continue;
    on[static_cast<std::size_t>(one.plant)] += stage == "egg-mass" && one.mass != 0 ? 1 : one.number;
  }
  return on;
}

double Garden::detection(int person, std::string_view pest, std::string_view stage) const {
  const int at = state_->world->pest_called(pest);
  if (at < 0) return 0.0;
  for (int g = 0; g < groups; ++g)
    if (stage == word_of(static_cast<Group>(g)) || (g == 0 && stage == "egg-mass"))
      return detection_of(state_->world->pest(at), person, static_cast<Group>(g));
  return 0.0;
}

double Garden::degree_days(double base_c) const {
  double sum = 0.0;
  for (int d = 0; d < state_->day; ++d) {
    const auto at = static_cast<std::size_t>(d);
    for (const double t : hours_of(state_->world->real[at > 0 ? at - 1 : 0], state_->world->real[at], state_->world->real[at + 1]))
      sum += std::max(0.0, t - base_c) / 24.0;
  }
  return sum;
}

int Garden::look(int bed, std::string_view pest, std::string_view stage, int plants, int person) const {
  const int at = state_->world->pest_called(pest);
  return at < 0 ? 0 : look_at(*state_, bed, at, stage, plants, person);
}

int Garden::count(int bed, std::string_view pest, std::string_view stage, int plants, int person) {
  const int turned = std::min(plants, plants_in(bed));
  if (turned <= 0) return 0;
  const int found = look(bed, pest, stage, plants, person);
  BedState& here = state_->bed(bed);
  here.ledger.hours += (0.25 * turned + (here.counted_on == state_->day ? 0.0 : 2.0)) * minute;
  here.counted_on = state_->day;
  state_->counts.push_back(
      {state_->day, 420 + 10 * bed, bed, std::string(pest), std::string(stage), turned, found, "scout-" + std::to_string(person + 1)});
  return found;
}

void Garden::hand_pick(int bed) {
  if (planting_in(bed) < 0) return;
  int killed = 0;
  for (int p = 0; p < static_cast<int>(state_->world->pests.size()); ++p) {
    const PestHere& here = state_->world->pest(p);
    const Species& bio = here.species();
    ByStage chance{};
    for (int s = 0; s <= bio.adult(); ++s) {
      const Group group = bio.group(s);
      const bool flies = group == Group::adult && (bio.adult_eats_cm2 <= 0.0 || bio.key == "striped-cucumber-beetle");
      if (group == Group::egg || group == Group::pupa || bio.hidden(s)) continue;
      chance[static_cast<std::size_t>(s)] = 0.9 * detection_of(here, 0, group) * (bio.small(s) ? 0.5 : 1.0) * (flies ? 0.1 : 1.0);
    }
    killed += state_->form->cull(state_->scene(), p, bed, chance, key_of({0x4A2D, static_cast<std::uint64_t>(state_->day)}), false);
  }
  state_->bed(bed).ledger.hours += (2.0 + 0.3 * plants_in(bed) + 0.04 * std::min(killed, 2000)) * minute;
  note(*state_, bed, "hand-pick");
}

void Garden::crush_eggs(int bed) {
  if (planting_in(bed) < 0) return;
  for (int p = 0; p < static_cast<int>(state_->world->pests.size()); ++p) {
    const PestHere& here = state_->world->pest(p);
    const Species& bio = here.species();
    if (bio.group(0) != Group::egg || bio.hidden(0)) continue;
    ByStage chance{};
    chance[0] = 0.9 * detection_of(here, 0, Group::egg) * (bio.small(0) ? 0.5 : 1.0);
    state_->form->cull(state_->scene(), p, bed, chance, key_of({0xE995, static_cast<std::uint64_t>(state_->day)}), true);
  }
  state_->bed(bed).ledger.hours += (2.0 + 0.25 * plants_in(bed)) * minute;
  note(*state_, bed, "crush-eggs");
}

void Garden::spray(int bed, std::string_view product) {
  const auto found = std::find_if(products().begin(), products().end(), [&](const Product& p) { return p.product == product; });
  if (planting_in(bed) < 0 || found == products().end()) return;
  BedState& here = state_->bed(bed);
  for (int p = 0; p < static_cast<int>(state_->world->pests.size()); ++p) {
    const Species& bio = state_->world->pest(p).species();
    ByStage chance{};
    // Seven in ten are wetted; the rest meets residue.
    for (int s = 0; s <= bio.adult(); ++s)
      chance[static_cast<std::size_t>(s)] = bio.hidden(s) ? 0.0 : 0.7 * kill(found->active, bio.key, bio.group(s), bio.small(s));
    state_->form->cull(state_->scene(), p, bed, chance, key_of({0x59A4, static_cast<std::uint64_t>(state_->day)}), false);
  }
  here.residue[static_cast<std::size_t>(found - products().begin())] = 1.0;
  here.generalists *= 1.0 - kills_enemies(found->active);
  here.return_days = std::max(here.return_days, enemies_return_days(found->active));
  state_->form->poison_enemies(bed, kills_enemies(found->active));
  here.picked_from = std::max(here.picked_from, state_->day + found->pre_harvest_days);
  here.ledger.hours += 0.3 + 0.012 * state_->world->bed(bed).area();
  ++here.ledger.sprays;
  state_->actions.push_back({state_->day, 600 + 5 * bed, bed, "spray", found->product, found->rate, {}});
}

void Garden::cover(int bed) {
  if (planting_in(bed) < 0 || covered(bed)) return;
  state_->bed(bed).covered = true;
  state_->bed(bed).ledger.hours += 0.02 * state_->world->bed(bed).area();
  note(*state_, bed, "cover");
}
void Garden::uncover(int bed) {
  if (!covered(bed)) return;
  state_->bed(bed).covered = false;
  state_->bed(bed).ledger.hours += 0.01 * state_->world->bed(bed).area();
  note(*state_, bed, "uncover");
}

void Garden::pull(int bed, Debris debris) {
  if (planting_in(bed) < 0) return;
  state_->bed(bed).ledger.hours += (0.3 * plants_in(bed) + (debris == Debris::removed ? 0.2 * plants_in(bed) : 0.0)) * minute;
  note(*state_, bed, "pull", debris == Debris::removed ? "debris removed" : "debris left");
  forgo_rest(*state_, bed);
  take_out(*state_, bed, debris);
}

void Garden::advance_day(People people) {
  State& s = *state_;
  if (over()) return;
  if (people == People::record) do_rounds(s, *this);
  s.form->advance(s.scene());
  feed_and_pick(s);
  const double rain = s.world->real[static_cast<std::size_t>(s.day)].rain_mm;
  for (int b = 0; b < beds(); ++b) {
    BedState& bed = s.bed(b);
    for (std::size_t i = 0; i < bed.residue.size(); ++i) {
      bed.residue[i] *= pow_of(0.5, 1.0 / half_life_days(products()[i].active));
      if (rain >= 2.5 && !bed.covered) bed.residue[i] *= 1.0 - washed_off(products()[i].active);
    }
    bed.generalists += ((bed.covered ? 0.3 : 1.0) - bed.generalists) * (1.0 - pow_of(0.5, 1.0 / bed.return_days));
    if (bed.generalists > 0.9) bed.return_days = 6.0;
    if (bed.planting < 0 || s.world->planting(bed.planting).removed != s.day) continue;
    const bool tidy = key_of({s.world->spec.seed, 0xDEB2, static_cast<std::uint64_t>(bed.planting)}) % 2 == 0;
    if (people == People::record && s.world->planting(bed.planting).pull_noted)
      s.actions.push_back({s.day, 1080 + b, b, "pull", {}, {}, tidy ? "debris removed" : "debris left"});
    take_out(s, b, tidy ? Debris::removed : Debris::left);
  }
  ++s.day;
  set_out(s);
}

void Garden::run_until(int day, People people) {
  while (today() < day && !over()) advance_day(people);
}

BedLedger Garden::ledger(int bed) const { return state_->bed(bed).ledger; }
BedLedger Garden::totals() const {
  BedLedger sum;
  for (const BedState& bed : state_->beds) {
    const BedLedger& l = bed.ledger;
    sum.potential_kg += l.potential_kg;
    sum.picked_kg += l.picked_kg;
    sum.lost_kg += l.lost_kg;
    sum.waited_kg += l.waited_kg;
    sum.forgone_kg += l.forgone_kg;
    sum.value += l.value;
    sum.lost_value += l.lost_value;
    sum.hours += l.hours;
    sum.sprays += l.sprays;
  }
  return sum;
}

Tally Garden::tally(std::string_view pest) const {
  const int at = state_->world->pest_called(pest);
  return at < 0 ? Tally{} : state_->form->tally(at);
}

double Garden::enemies(int bed) const {
  const double own = state_->form->enemies(bed);
  return own < 0.0 ? state_->bed(bed).generalists : own / std::max(1, plants_in(bed));
}

Garden make(Spec spec) { return Garden{spec}; }

std::vector<std::vector<int>> future_counts(const Garden& garden, const std::vector<int>& leads, const std::vector<Ask>& asks,
                                            People people) {
  Garden later = garden;
  std::vector<std::vector<int>> found;
  for (const int lead : leads) {
    later.run_until(garden.today() + lead, people);
    found.emplace_back();
    for (const Ask& ask : asks) found.back().push_back(later.look(ask.bed, ask.pest, ask.stage, ask.plants, ask.person));
  }
  return found;
}

int future_count(const Garden& garden, int lead, int bed, std::string_view pest, std::string_view stage, int plants, int person,
                 People people) {
  return future_counts(garden, {lead}, {{bed, std::string(pest), std::string(stage), plants, person}}, people).front().front();
}

}  // namespace leafturn::gardens
