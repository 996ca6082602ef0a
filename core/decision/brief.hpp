#pragma once
/// What to do today, bed by bed, and why: the end of the street.

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/fact.hpp"
#include "core/garden/garden.hpp"
#include "core/label/judge.hpp"
#include "core/pest/dossier.hpp"
#include "core/weather/daily.hpp"

namespace leafturn::decision {

/// What the forecast rests on past the last recorded day.
enum class Future { forecast, past_years, last_fortnight };

/// Weather as it can be known at the brief's time.
struct WeatherKnown {
  weather::DailySeries recorded;              ///< up to yesterday at most, ending on a complete day
  std::vector<weather::DailySeries> members;  ///< equally likely: from the day after the last recorded one until `horizon` past today
  Future future = Future::last_fortnight;
  std::optional<Date> forecast_last;  ///< last day a forecast covers
};

struct PestNumbers;  // numbers.hpp
class DayCalendars;  // day_calendars.hpp

struct BriefRequest {
  const garden::Garden* garden = nullptr;  ///< folded to `at`
  const pest::Library* library = nullptr;
  std::map<Digest, label::Card> cards;  ///< by the digest of their text
  WeatherKnown weather;
  Zone zone;
  Instant at;
  /// What the population model says, by dossier id; where its gate is passed, a pest's densities are its (docs/decisions/0014). Null =
  /// nothing.
  const std::map<std::string, PestNumbers>* numbers = nullptr;
  /// Of this weather, place and day: used, and filled with what it lacked. Null = everything is computed.
  DayCalendars* calendars = nullptr;
};

/// On what a pest's answer rests: stages by the weather and counts carried along them, or the population model where it has earned it.
enum class Basis { timing, population };
/// `timing`, `population`.
std::string_view word_for(Basis basis);

/// Mean with the interval that holds 90 %.
struct Estimate {
  double mean = 0.0, p05 = 0.0, p95 = 0.0;
};

/// Where one stage stands now and next, over the ensemble of futures.
struct StageStand {
  std::string stage;                  ///< stage key
  double present = 0.0;               ///< share of the season's living, by timing alone, that is in this stage now
  std::optional<Date> from, mid, to;  ///< when 5, 50, 95 % of the running generation's unit enter it
  int generation = 1;
  double ahead = 0.0;  ///< share of that unit that enters it between today and the horizon
};

struct PestOutlook {
  std::string pest;  ///< dossier id
  Basis basis = Basis::timing;
  std::vector<StageStand> stages;
  std::optional<Reason> timing_unknown;      ///< why there are no dates: no biofix, no weather, a migrant
  std::optional<std::string> counted_stage;  ///< what `density` counts: the threshold's stage if it could be carried there
  std::optional<Estimate> density;           ///< per plant, carried from the last counts to now
  std::optional<Estimate> density_soon;      ///< the same, at its highest in the next `horizon` days
  std::optional<Date> soon;                  ///< the day of that
  std::optional<Date> counted_on;
  const pest::Threshold* threshold = nullptr;  ///< published, of the library
  std::optional<double> p_over;                ///< probability that it is past the threshold now
  std::optional<double> p_over_soon;
  std::vector<Reason> why;
};

/// Something that could be done about a pest in a bed.
struct Option {
  std::string means;  ///< `hand-pick`, `crush-eggs`, `cover`, `pull`, `wait`, or the product of a card
  std::string pest;
  std::optional<Digest> card;    ///< sprays
  double low = 0.0, high = 0.0;  ///< share removed where it was tried
  pest::Source source;
  std::vector<std::string> stages;            ///< stages present that it works on
  std::optional<label::Judgement> judgement;  ///< sprays
  int minutes = 0;                            ///< of work, rough; 0 = not known
  std::vector<Reason> why;
  int order = 0;  ///< 0 prevent, 1 physical, 2 biological, 3 chemical, 4 rated from memory only: gentler first
};

/// When something is free again. `from` absent and not clear = not known.
struct Clearance {
  bool clear = true;
  std::optional<Instant> from;
  Reason why;
};

/// How pressing a bed is, worst first.
enum class Urgency { lock, act, look, wait, none };
/// `lock`, `act`, `look`, `wait`, `none`: the word in JSON and the catalogue.
std::string_view word_for(Urgency urgency);

struct BedBrief {
  std::string bed;
  std::optional<std::string> planting, crop;
  Urgency urgency = Urgency::none;
  Reason headline;  ///< the one sentence
  std::vector<PestOutlook> pests;
  std::vector<Option> options;  ///< offered, gentlest first
  std::vector<Option> refused;  ///< sprays a card refuses or can't say, with why
  std::vector<Reason> act;      ///< what to do today, in order
  Clearance harvest, entry;
};

/// Leaves to turn over.
struct Visit {
  std::string bed, pest;
  std::string stage;  ///< what to look for: a group (`egg`, `larva`) or a threshold's own word
  std::string look;   ///< stage key whose description helps to find it
  std::optional<std::string> planting, crop;
  int plants = 0;
  int minutes = 0;
  std::string place;  ///< catalogue key of where on the plant
  Reason why;
};

struct LeftAlone {
  std::string bed;
  Reason why;
};

struct Brief {
  Instant at;
  Date day;
  std::string garden;
  std::optional<std::string> marked;
  std::vector<BedBrief> beds;  ///< worst first
  std::vector<Visit> walk;     ///< at most three
  std::vector<LeftAlone> leave;
  std::optional<Visit> deciding_count;  ///< the one count that would change the advice
  Future future = Future::last_fortnight;
  std::optional<Date> forecast_last;  ///< last day a forecast covers
  std::optional<Date> weather_last;   ///< last recorded day
  std::vector<weather::Gap> gaps;
  std::vector<Reason> notes;  ///< weather missing, cards unread, …
};

/// Days ahead that a brief looks.
inline constexpr int horizon = 10;

/// What there is to say of the weather on which answers rest.
struct WeatherSaid {
  std::optional<Date> last;        ///< last recorded day
  std::vector<weather::Gap> gaps;  ///< of this year
  std::vector<Reason> notes;       ///< `note.no_weather`, `note.gap`, `note.weather_old`, `note.future_…`
};
WeatherSaid say_weather(const WeatherKnown& known, Date today);

Brief make_brief(const BriefRequest& request);

}  // namespace leafturn::decision
