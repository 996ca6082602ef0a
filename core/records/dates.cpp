#include "core/records/dates.hpp"

namespace leafturn::records {

Date years_after(Date day, int years) {
  const auto same = Date::from_ymd(day.year() + years, day.month(), day.day());
  return same ? *same : *Date::from_ymd(day.year() + years, 3, 1);
}

Due due(Rule rule, const Times& t) {
  Due d;
  d.rule = rule;
  switch (rule) {
    case Rule::us_restricted:
      d.make_by = t.applied + Days{14};
      d.keep_until = years_after(t.applied, 2);
      break;
    case Rule::us_worker: {
      const Date from = t.reentry_ends.value_or(t.applied);
      d.display_by = t.ended + Duration::hours(24);
      d.display_until = from + Days{30};
      d.keep_until = years_after(from, 2);
      break;
    }
    case Rule::us_organic:
      d.keep_until = years_after(t.written, 5);
      break;
    case Rule::eu: {
      d.make_by = t.applied;
      d.electronic_by = t.converts_yearly ? *Date::from_ymd(t.applied.year() + 1, 1, 31) : t.applied + Days{30};
      const bool german = t.jurisdiction.starts_with("EU-DE");
      d.keep_until = years_after(german ? *Date::from_ymd(t.applied.year() + 1, 1, 1) : t.applied, 3);
      break;
    }
  }
  return d;
}

SignTimes sign_times(Instant begins, std::optional<Instant> reentry_ends) {
  SignTimes times{begins - Duration::hours(24), {}};
  if (reentry_ends) times.down_by = *reentry_ends + Duration::hours(72);
  return times;
}

}  // namespace leafturn::records
