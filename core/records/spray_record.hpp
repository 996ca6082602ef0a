#pragma once
/// Everything known of one application that some rule asks for. What isn't known stays empty and is told as missing; nothing is guessed.

#include <optional>
#include <string>
#include <vector>

#include "core/base/result.hpp"
#include "core/garden/garden.hpp"
#include "core/label/judge.hpp"
#include "core/records/dates.hpp"
#include "core/records/rules.hpp"
#include "core/spray/kept.hpp"

namespace leafturn::records {

/// Who applied, as far as the garden keeps it.
struct Applicator {
  std::string name, certificate, address;
};

/// What was done in the bed before, by the order of 7 CFR 205.206: rotation (a)(1), sanitation (a)(2), physical and biological (b).
struct Rung {
  enum class Step { rotation, sanitation, physical } step = Step::physical;
  Date day;
  Term what;  ///< a crop, or a work of `pages.work`
};

struct SprayRecord {
  Id id;
  std::string bed;
  std::optional<garden::BedLaid> laid;
  double latitude_deg = 0.0, longitude_deg = 0.0;  ///< of the garden
  bool placed = false;                             ///< the garden's place is known
  std::string product, registration, rate, pest;   ///< empty: not known
  std::vector<label::Active> actives;
  bool restricted = false;  ///< the card says restricted use
  garden::Used used;
  std::optional<label::ProductRate> actual;  ///< what the amounts come to, in the measure of the rate told
  std::optional<Area> area;                  ///< treated; else the bed's own, and then `whole_bed`
  bool whole_bed = false;
  std::vector<std::string> crops;  ///< EPPO codes of what stood there
  std::optional<Instant> started;
  Instant ended;
  std::optional<double> reentry_hours;
  bool reentry_until_dry = false, reentry_none = false;
  std::optional<Instant> entry_from;
  std::optional<double> pre_harvest_days;
  std::optional<Instant> harvest_from;
  Applicator applicator;
  std::string despite;                                      ///< why it was begun although advice spoke against it
  garden::Told told;                                        ///< with the spray; of a plan carried out, with the plan
  std::optional<Reason> weather;                            ///< as measured at the bed
  std::vector<garden::Dated<garden::CountTaken>> evidence;  ///< of the pest, in this bed, in the 30 days before, latest first
  std::vector<Rung> tried;                                  ///< since the year began; crops before, by rotation
  bool outside_label = false, not_judged = false, amended = false;
  std::optional<Instant> written;  ///< when the ledger received it

  /// Under 1/10 acre.
  bool spot() const { return area && area->acres() < spot_acres; }
};

/// `card`: the one the application names; null when there is none or it can't be read.
SprayRecord spray_record(const garden::Garden& garden, const garden::Dated<garden::Application>& application, const label::Card* card,
                         const pest::Library& library, const Zone& zone);

bool known(const SprayRecord& record, Field field);
/// What a rule asks for and the record doesn't hold, in the rule's order.
std::vector<Asked> missing(const SprayRecord& record, Rule rule);

}  // namespace leafturn::records
