#pragma once
/// All that was said about a garden, as it now stands, kept up event by event. Copies share what they have in common, so that a reader
/// keeps the garden it asked for while the next event is added.

#include <map>
#include <string>
#include <vector>

#include "core/garden/garden.hpp"

namespace leafturn::garden {

/// What makes beds and plantings come and go, in the order it happened; the rest of a garden is lists.
struct Structural {
  Instant at;
  std::uint64_t seq = 0;
  Id id;
  Saying saying;  ///< GardenDescribed, BedLaid, PlantingSown, PlantingRemoved or a pull
};

/// The amendment that holds for an event, and where that put the event.
struct AmendedPlace {
  Id target;
  std::uint64_t seq = 0;  ///< of the amendment
  Instant at;             ///< when the target happened, as it now stands
  bool withdrawn = false;
};

/// Everything a chronicle is made of: what a snapshot keeps (io/chronicle_bytes).
struct ChronicleParts {
  /// The lists hold everything ever said, sorted by (at, seq); `beds`, `plantings` and `described` are made from `structure`.
  Garden all;
  SharedList<Structural> structure;                         ///< sorted by (at, seq)
  SharedList<AmendedPlace> amended;                         ///< sorted by target
  std::vector<Recorded> early;                              ///< amendments that came before what they amend
  std::map<std::string, std::uint64_t> writers;             ///< the highest number of each
  std::map<std::string, SharedList<std::uint64_t>> of_bed;  ///< seqs that tell of a bed as first told, amendments among them; ascending
};

/// Laws: `add`ing a ledger event by event gives, at any time, what `fold` gives for all; the order in which events were appended (`seq`)
/// changes nothing but which amendment holds (equal happened_at: by seq) and whether a release knew of an application.
class Chronicle {
 public:
  /// Events come in the order of their `seq`. `target`: for an amendment, the event it names as first told, where the ledger holds it.
  void add(const Recorded& recorded, const Recorded* target = nullptr);
  /// Brings beds and plantings up to date after `add`; `at` does without, more slowly.
  void settle();

  /// The garden at a time as far as is known now: sayings that happened later are left out; amendments count whenever they were made. An
  /// amendment whose replacement is of another kind, or whose target is unknown or an amendment, changes nothing.
  Garden at(Instant time) const;
  std::uint64_t last_seq() const { return parts_.all.last_seq; }
  /// The latest event that may change what is to be picked, entered or sprayed: all but counts, hand work, watering and what was harvested.
  /// Of what a snapshot brought, its last.
  std::uint64_t last_binding() const { return last_binding_; }
  /// The highest number this writer gave an event; 0 when it has none here.
  std::uint64_t last_of(const std::string& writer) const;
  /// Whether anything said takes effect after `from` and not after `to`.
  bool changes_between(Instant from, Instant to) const;
  /// The same of what may change what is to be picked, entered or sprayed.
  bool binds_between(Instant from, Instant to) const;
  /// When the garden was first described.
  std::optional<Instant> beginning() const;
  /// Events that tell of a bed, as first told, and what amends them: seqs, ascending.
  SharedList<std::uint64_t> told_of(const std::string& bed) const;

  const ChronicleParts& parts() const { return parts_; }
  static Chronicle restore(ChronicleParts parts);

 private:
  void say(const Recorded& recorded);
  void amend(const Recorded& amendment, const Recorded& target);
  void note_bed(const Saying& saying, std::uint64_t seq);

  ChronicleParts parts_;
  std::uint64_t last_binding_ = 0;
  bool settled_ = true;
};

}  // namespace leafturn::garden
