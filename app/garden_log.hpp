#pragma once
/// What was picked, who went in, and what was done without a product, line by line.

#include "app/records.hpp"

namespace leafturn::app {

struct LogQuestion {
  std::string of;                       ///< `harvests`, `entries`, `work`
  std::optional<std::string> from, to;  ///< as in RecordsQuestion
  std::optional<Instant> at;
};
struct LogLine {
  Instant at;
  std::string bed, by, detail;
  std::vector<std::string> crops;  ///< harvests: EPPO codes of what stood there, or of the planting named
  std::optional<Mass> amount;      ///< harvests
  bool before_wait = false;        ///< harvests: picked before the wait of a spray had ended, or could be known to have
  std::optional<Term> fate;        ///< harvests before their day: made away with, or held
  std::optional<Term> what;        ///< work, and the exception of an entry
  std::optional<Duration> stayed;  ///< entries
  bool amended = false;
};
struct LogAnswer {
  Stamp stamp;
  std::string of;
  Date from, to;
  std::vector<LogLine> lines;
};
/// Errors: `log.no_such`, those of the days, and the ledger's.
Result<LogAnswer> garden_log(OpenGarden& garden, Access& access, const LogQuestion& question, Instant now);

/// The days a question is about: `records.day`, `records.days_reversed`.
struct Stretch {
  Date from, to;
};
Result<Stretch> stretch_of(const std::optional<std::string>& from, const std::optional<std::string>& to, Date today);

}  // namespace leafturn::app
