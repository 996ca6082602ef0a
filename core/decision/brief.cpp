#include "core/decision/brief.hpp"

#include <algorithm>
#include <iterator>

#include "core/decision/walk.hpp"

namespace leafturn::decision {
namespace {

std::vector<weather::Gap> gaps_this_year(const weather::DailySeries& recorded, int year) {
  std::vector<weather::Gap> gaps;
  for (const weather::Gap& gap : weather::fill_gaps(recorded).gaps())
    if (gap.last.year() == year) gaps.push_back(gap);
  return gaps;
}

void put_worst_first(std::vector<BedParts>& beds) {
  const auto over = [](const BedParts& b) {
    double most = 0.0;
    for (const PestOutlook& p : b.brief.pests) most = std::max({most, p.p_over.value_or(0.0), p.p_over_soon.value_or(0.0)});
    return most;
  };
  std::stable_sort(beds.begin(), beds.end(), [&](const BedParts& a, const BedParts& b) {
    return a.brief.urgency != b.brief.urgency ? a.brief.urgency < b.brief.urgency : over(a) > over(b);
  });
}

}  // namespace

std::string_view word_for(Urgency urgency) {
  switch (urgency) {
    case Urgency::lock:
      return "lock";
    case Urgency::act:
      return "act";
    case Urgency::look:
      return "look";
    case Urgency::wait:
      return "wait";
    case Urgency::none:
      return "none";
  }
  return "";
}

std::string_view word_for(Basis basis) { return basis == Basis::timing ? "timing" : "population"; }

WeatherSaid say_weather(const WeatherKnown& known, Date today) {
  WeatherSaid said;
  if (known.recorded.empty()) {
    said.notes.push_back({"note.no_weather", {}});
    return said;
  }
  said.last = known.recorded.last();
  said.gaps = gaps_this_year(known.recorded, today.year());
  for (const weather::Gap& gap : said.gaps) said.notes.push_back({"note.gap", {{"from", gap.first}, {"to", gap.last}}});
  if (const int behind = (today - *said.last).count; behind > 3) said.notes.push_back({"note.weather_old", {{"last", *said.last}}});
  switch (known.future) {
    case Future::forecast:
      said.notes.push_back({"note.future_forecast", {{"to", *known.forecast_last}}});
      break;
    case Future::past_years:
      said.notes.push_back({"note.future_past_years", {{"years", std::int64_t(known.members.size())}}});
      break;
    case Future::last_fortnight:
      said.notes.push_back({"note.future_last_fortnight", {}});
      break;
  }
  return said;
}

Brief make_brief(const BriefRequest& request) {
  Brief brief;
  brief.at = request.at;
  brief.day = request.zone.civil(request.at).date;
  brief.future = request.weather.future;
  brief.forecast_last = request.weather.forecast_last;
  if (const auto& described = request.garden->described) {
    brief.garden = described->name;
    brief.marked = described->marked;
  } else {
    brief.notes.push_back({"note.not_described", {}});
  }
  WeatherSaid weather = say_weather(request.weather, brief.day);
  brief.weather_last = weather.last;
  brief.gaps = std::move(weather.gaps);
  std::move(weather.notes.begin(), weather.notes.end(), std::back_inserter(brief.notes));

  const Context context = context_of(request);
  std::vector<BedParts> beds;
  for (const garden::BedLaid& bed : request.garden->beds) beds.push_back(bed_brief(context, bed.bed));
  put_worst_first(beds);
  brief.walk = walk(context, beds);
  brief.leave = left_alone(beds, brief.walk);
  brief.deciding_count = deciding_count(context, beds);
  for (BedParts& bed : beds) brief.beds.push_back(std::move(bed.brief));
  return brief;
}

}  // namespace leafturn::decision
