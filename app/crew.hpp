#pragma once
/// Today's tasks of the brief, handed out to the people of the garden.

#include "app/brief.hpp"
#include "app/records.hpp"
#include "core/decision/crew.hpp"

namespace leafturn::app {

struct CrewAnswer {
  Stamp stamp;
  Date day;
  decision::Crew crew;
  std::vector<std::string> no_minutes;  ///< people whose minutes nobody wrote down: no card is made for them
};
/// Leaves to turn over, hand work, harvests planned for today and sprays planned for today.
Result<CrewAnswer> crew(OpenGarden& garden, Access& access, const BriefAnswer& brief);

}  // namespace leafturn::app
