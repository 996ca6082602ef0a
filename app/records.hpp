#pragma once
/// The records of sprays that rules ask for, of a stretch of days, with every amendment beside what it changed and the head of the chain
/// they stand in.

#include <map>

#include "app/access.hpp"
#include "app/open_garden.hpp"
#include "core/records/spray_record.hpp"

namespace leafturn::app {

/// As typed.
struct RecordsQuestion {
  std::string rule = "all";             ///< `us-rup`, `us-worker`, `us-organic`, `eu`, `all`
  std::optional<std::string> from, to;  ///< ISO days, both included; absent: 1 January of the asked time's year, and its day
  std::optional<Instant> at;
};

/// One field that an amendment changed, as the events' bytes have it; empty = not said.
struct Change {
  std::string field, before, after;
};
struct Amendment {
  Instant said;  ///< when the ledger received it
  std::string by, reason;
  bool withdrawn = false;
  std::vector<Change> changes;
};

struct RecordSheet {
  records::SprayRecord record;
  std::vector<Amendment> amendments;  ///< in order
  std::vector<records::Due> due;      ///< of each rule asked for
};

/// What every printed sheet says of where it comes from.
struct Stamp {
  std::string garden;
  std::optional<std::string> marked;
  Zone zone;
  garden::Units units = garden::Units::metric;
  Instant at;   ///< asked about
  Digest head;  ///< link of the last event
  std::uint64_t events = 0;
};
Result<Stamp> stamp_of(OpenGarden& garden, const garden::Garden& state, Instant at);

/// Everything written up to a time, however long ago (a Moment leaves out what is older than two years), with the cards it names.
struct Everything {
  Instant at;
  garden::Garden garden;
  std::map<Digest, label::Card> cards;
  Stamp stamp;
};
/// `at` absent: the garden's own day, else `now`.
Result<Everything> everything_at(OpenGarden& garden, std::optional<Instant> at, Instant now);

/// People by the reference events have in `by`; a name typed before there were people is its own.
struct People {
  std::map<std::string, Person> people;
  std::map<std::string, Particulars> particulars;
  /// Empty where they were erased.
  std::string name(const std::string& by) const;
};
Result<People> people_of(Access& access);

struct RecordsAnswer {
  Stamp stamp;
  std::string asked;  ///< the rule's word, or `all`
  std::vector<records::Rule> rules;
  Date from, to;
  std::string jurisdiction;
  std::vector<RecordSheet> sheets;  ///< by time
};

/// Errors: `records.no_such_rule`, `records.day`, `records.days_reversed`, and the ledger's.
Result<RecordsAnswer> records(OpenGarden& garden, Access& access, const RecordsQuestion& question, Instant now);

}  // namespace leafturn::app
