#pragma once
/// The hours to come, and the runs of them long enough for the work. A forecast window is never permission: what counts is measured at the
/// bed (start.hpp).

#include "core/spray/hours.hpp"

namespace leafturn::spray {

struct Window {
  Instant start, end;
  std::optional<double> chance;  ///< that all of it stays open: the share of members in which it does
};

/// Where nothing is clean: the least bad run, what gives, and what that costs.
struct Compromise {
  Instant start, end;
  std::vector<LimitFound> gives;  ///< the worst of each limit that warns in it
  std::vector<Reason> costs;
};

struct HoursRequest {
  const weather::HourlyReadings* told = nullptr;  ///< recorded or forecast, reaching back two hours and on past the end as far as there is
  Instant from;                                   ///< the first hour is the one it lies in
  int hours = 72;
  weather::Site site;
  SprayLimits limits;
  Around around;
  Duration needs = Duration{};                     ///< work without a break; shorter windows are left out
  std::vector<weather::HourlyReadings> members{};  ///< equally likely ways it may go; empty = no chances are told
};

struct SprayHours {
  std::vector<HourFound> hours;
  std::vector<std::optional<double>> chances;  ///< [hour] share of members in which it is open
  std::vector<Window> windows;                 ///< runs of open hours, in order
  std::optional<Compromise> compromise;        ///< only where there is no window
};

SprayHours spray_hours(const HoursRequest& request);

}  // namespace leafturn::spray
