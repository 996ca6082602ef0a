#pragma once
/// Calendar days, civil times and instants. A `Date` is a day on a wall calendar and knows no zone; an `Instant` is a
/// point in time (UTC); a `Zone` is a plain table that turns one into the other. Nothing here reads a clock.

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace leafturn {

/// A span of whole calendar days.
struct Days {
  std::int32_t count = 0;
  friend constexpr auto operator<=>(Days, Days) = default;
};

/// A day of the proleptic Gregorian calendar. Default: 1970-01-01.
class Date {
 public:
  constexpr Date() = default;
  /// Days since 1970-01-01.
  static constexpr Date from_serial(std::int32_t days) { return Date{days}; }
  /// Nothing when there is no such day.
  static std::optional<Date> from_ymd(int year, int month, int day);
  /// `2026-05-31` exactly; nothing for anything else.
  static std::optional<Date> parse(std::string_view iso);

  constexpr std::int32_t serial() const { return serial_; }
  int year() const;
  int month() const;        ///< 1–12
  int day() const;          ///< 1–31
  int day_of_year() const;  ///< 1–366
  int weekday() const;      ///< 0 Monday … 6 Sunday
  std::string iso() const;  ///< `2026-05-31`

  friend constexpr Date operator+(Date d, Days n) { return Date{d.serial_ + n.count}; }
  friend constexpr Date operator-(Date d, Days n) { return Date{d.serial_ - n.count}; }
  friend constexpr Days operator-(Date a, Date b) { return Days{a.serial_ - b.serial_}; }
  friend constexpr auto operator<=>(Date, Date) = default;

 private:
  constexpr explicit Date(std::int32_t s) : serial_{s} {}
  std::int32_t serial_ = 0;
};

/// A span of elapsed time, to the microsecond.
struct Duration {
  std::int64_t microseconds = 0;
  static constexpr Duration seconds(std::int64_t n) { return {n * 1'000'000}; }
  static constexpr Duration minutes(std::int64_t n) { return {n * 60'000'000}; }
  static constexpr Duration hours(std::int64_t n) { return {n * 3'600'000'000}; }
  constexpr double in_hours() const { return static_cast<double>(microseconds) / 3.6e9; }
  constexpr double in_days() const { return static_cast<double>(microseconds) / 86.4e9; }
  friend constexpr auto operator<=>(Duration, Duration) = default;
};

/// A point in time: microseconds since 1970-01-01T00:00:00 UTC.
class Instant {
 public:
  constexpr Instant() = default;
  static constexpr Instant from_unix_microseconds(std::int64_t us) { return Instant{us}; }
  /// ISO 8601 with an offset or `Z`: `2026-05-31T06:30-05:00`. Nothing without an offset, because then it isn't an instant.
  static std::optional<Instant> parse(std::string_view iso);
  constexpr std::int64_t unix_microseconds() const { return us_; }
  /// `2026-05-31T11:30:00Z`, with fractions only where there are some.
  std::string iso_utc() const;

  friend constexpr Duration operator-(Instant a, Instant b) { return {a.us_ - b.us_}; }
  friend constexpr Instant operator+(Instant t, Duration d) { return Instant{t.us_ + d.microseconds}; }
  friend constexpr Instant operator-(Instant t, Duration d) { return Instant{t.us_ - d.microseconds}; }
  friend constexpr auto operator<=>(Instant, Instant) = default;

 private:
  constexpr explicit Instant(std::int64_t us) : us_{us} {}
  std::int64_t us_ = 0;
};

/// What a clock on the wall shows: a day and the seconds since its midnight. No zone.
struct CivilTime {
  Date date;
  std::int32_t second_of_day = 0;
  /// `2026-05-31`, `2026-05-31T06:30`, `2026-05-31 06:30:15`; nothing for anything else, nor with an offset.
  static std::optional<CivilTime> parse(std::string_view iso);
  std::string iso() const;  ///< `2026-05-31T06:30:00`
  constexpr double hour() const { return second_of_day / 3600.0; }
  friend constexpr auto operator<=>(const CivilTime&, const CivilTime&) = default;
};

/// Offsets from UTC over time, as a plain table (io/zone fills it from the system's zone files).
/// Laws: `civil(instant(c)) == c` for every civil time that exists; a civil time skipped in spring is read with the
/// offset before the gap, one that happens twice in autumn is read as the first.
class Zone {
 public:
  struct Change {
    Instant from;                     ///< the first instant with this offset
    std::int32_t offset_seconds = 0;  ///< civil minus UTC
  };
  Zone() = default;  ///< UTC
  /// `changes` sorted by `from`; before the first, its offset holds too.
  Zone(std::string name, std::vector<Change> changes);
  static Zone fixed(std::int32_t offset_seconds);

  const std::string& name() const { return name_; }
  std::int32_t offset_seconds(Instant t) const;
  CivilTime civil(Instant t) const;
  Instant instant(const CivilTime& c) const;
  Instant start_of(Date d) const { return instant({d, 0}); }
  /// ISO 8601 with this zone's offset: `2026-05-31T06:30:00-05:00`.
  std::string iso(Instant t) const;

 private:
  std::string name_ = "UTC";
  std::vector<Change> changes_;
};

}  // namespace leafturn
