#pragma once
/// The moving part of a true garden, and what a form of population dynamics must offer. Private to this folder.

#include <array>
#include <map>

#include "tests/gardens/draw.hpp"
#include "tests/gardens/world.hpp"

namespace leafturn::gardens {

constexpr int most_stages = 8;  ///< the adult included
using ByStage = std::array<double, most_stages>;

struct BedState {
  int planting = -1;
  bool covered = false;
  std::array<double, 3> residue{};  ///< by product, 1 = fresh
  double generalists = 1.0;         ///< enemies living at large
  double return_days = 6.0;         ///< of the generalists
  double eaten = 0.0;               ///< share of the leaves
  double mean_eaten = 0.0;          ///< of the last three weeks
  int picked_from = 0;              ///< earliest day of picking, by waiting times
  int counted_on = -1;              ///< the day of the last walk to it
  BedLedger ledger;
};

/// What a form sees of the garden.
struct Scene {
  const World& world;
  const std::vector<BedState>& beds;
  int day;
  const BedState& bed(int i) const { return beds[static_cast<std::size_t>(i)]; }
  int bed_count() const { return static_cast<int>(beds.size()); }
  /// How good the bed is for a pest today: liking × age of the crop × leaves left; 0 when bare.
  double quality(int pest, int bed) const;
  int plants(int bed) const { return this->bed(bed).planting < 0 ? 0 : world.planting(this->bed(bed).planting).plants; }
  /// A plant of a bed for a number in (0, 1), pleasing ones oftener.
  int pleasing_plant(int pest, int bed, double unit) const;
  /// Chance a day that residue on a bed kills an individual of a stage.
  double poisoned(int pest, int bed, int stage) const;
  /// Whether a new adult (or pupa) feels autumn: shrinking days, shorter than its species' measure; `shift`: its own, in hours.
  bool autumn(int pest, double shift = 0.0) const;
  /// For an adult on the wing: a bed by quality, plants and distance from `from` (-1: from outside), -1 when none; covered beds are closed.
  int landing(int pest, int from, double unit) const;
};

/// Individuals that lie together: on one plant, of one stage, of one mass (0: laid singly).
struct Lying {
  int plant, stage, number;
  std::uint64_t mass;
};

class Form {
 public:
  virtual ~Form() = default;
  virtual std::unique_ptr<Form> clone() const = 0;
  /// Nature from this morning to the next.
  virtual void advance(const Scene& scene) = 0;
  /// Each individual (or whole mass, all or none) dies with the chance of its stage.
  virtual int cull(const Scene& scene, int pest, int bed, const ByStage& chance, std::uint64_t key, bool by_mass) = 0;
  /// The bed is cleared this evening, before its planting is forgotten.
  virtual void clear(const Scene& scene, int bed, Debris debris) = 0;
  virtual void poison_enemies(int bed, double share) = 0;
  /// An experiment: so many new eggs (young), singly, on plants as they please. Counted as arrived.
  virtual void put_eggs(const Scene& scene, int pest, int bed, int number) = 0;
  virtual void list(const Scene& scene, int pest, int bed, std::vector<Lying>& found) const = 0;
  virtual ByStage totals(int pest, int bed) const = 0;
  virtual Tally tally(int pest) const = 0;
  virtual double enemies(int bed) const = 0;  ///< -1: none of its own
};
std::unique_ptr<Form> make_walkers(const World& world);
std::unique_ptr<Form> make_pulses(const World& world);
std::unique_ptr<Form> make_patches(const World& world);

struct State {
  std::shared_ptr<const World> world;
  int day = first_day;
  std::vector<BedState> beds;
  std::vector<int> removed;  ///< by planting: the day, -1 while it stands or is to come
  std::vector<History::Count> counts;
  std::vector<History::Action> actions;
  std::unique_ptr<Form> form;

  State() = default;
  State(const State& other);
  State& operator=(const State&) = delete;
  Scene scene() const { return {*world, beds, day}; }
  BedState& bed(int i) { return beds[static_cast<std::size_t>(i)]; }
  const BedState& bed(int i) const { return beds[static_cast<std::size_t>(i)]; }
};

/// people.cpp
bool stage_matches(const Species& bio, int stage, std::string_view word);
double detection_of(const PestHere& pest, int person, Group group);
int look_at(const State& state, int bed, int pest, std::string_view word, int plants, int person);
void do_rounds(State& state, Garden& garden);

/// loss.cpp: today's feeding, growing and picking.
void feed_and_pick(State& state);
void forgo_rest(State& state, int bed);
double potential_value(const World& world, int planting);

/// history.cpp
std::vector<std::string> card_texts();

}  // namespace leafturn::gardens
