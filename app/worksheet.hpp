#pragma once
/// Everything to have in hand before a tank is filled: what the card allows here, how much goes in, in what order, and what to wear.

#include "app/records.hpp"
#include "core/spray/kept.hpp"
#include "core/spray/mix.hpp"
#include "core/spray/tank.hpp"

namespace leafturn::app {

/// As typed.
struct WorksheetQuestion {
  std::vector<std::string> beds;
  std::string product, rate, equipment, nozzle;
  std::string by;                       ///< who sprays: a person's reference or name
  std::optional<std::string> water_ph;  ///< measured
  std::optional<std::string> hours;     ///< the spray may stand in the tank; 4 if not given
  std::optional<Instant> at;
};

/// An active in this water.
struct InTank {
  std::string active;
  const pest::Active::InWater* water = nullptr;  ///< of the library; null: nothing published at this pH
  double left = 1.0;                             ///< share after the hours, by the shorter half-life
};

struct WorksheetAnswer {
  Stamp stamp;
  std::vector<std::string> beds;
  std::vector<std::string> crops;
  std::vector<std::size_t> uses;  ///< of the card, that apply
  Area area;
  label::Card card;
  std::string rate, person;
  std::optional<label::ProductRate> least;
  std::vector<Reason> conditions;                  ///< what the card leaves for a person to see to
  std::optional<garden::EquipmentKept> equipment;  ///< as last told; absent: nobody wrote it down
  std::string equipment_name, nozzle;
  spray::Calibration calibration;
  std::optional<spray::Mixed> mixed;        ///< absent: calibrate first
  std::optional<label::ProductRate> other;  ///< the rate in the other measure, at this carrier
  std::string formulation;                  ///< as copied; empty: not copied
  std::optional<spray::Step> step;
  std::optional<double> water_ph;
  double hours = 4.0;
  std::vector<InTank> in_tank;
  std::vector<spray::Shelf> shelf;                           ///< lots of this product
  std::vector<std::pair<std::string, std::string>> on_card;  ///< protective equipment, first aid, storage: field and the card's words
  std::optional<Instant> entry_from, harvest_from;           ///< if it ended now
};

/// Errors: `worksheet.no_bed`, `worksheet.not_allowed` (the card refuses, or can't say, for one of the beds: facts bed, rule), those of
/// may_treat, the rates, and spray::mix (`spray.dose_too_small` says how many beds to combine);
/// `worksheet.water_outside`, `worksheet.over_area_limit` where the label limits spray or product on an area as well.
Result<WorksheetAnswer> worksheet(OpenGarden& garden, Access& access, const WorksheetQuestion& question, Instant now);

}  // namespace leafturn::app
