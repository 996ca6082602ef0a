#include "app/may.hpp"

#include <algorithm>

namespace leafturn::app {
namespace {

struct Row {
  Action action;
  std::string_view word;
  bool lead, applicator, scout, picker, reader;
};
constexpr std::array<Row, all_actions.size()> table{{
    // clang-format off
    {Action::anyone,        "anyone",        true, true,  true,  true,  true},
    {Action::paired,        "paired",        true, true,  true,  true,  true},
    {Action::see_board,     "see_board",     true, true,  true,  true,  true},
    {Action::see_records,   "see_records",   true, true,  false, false, true},
    {Action::see_garden,    "see_garden",    true, true,  true,  false, true},
    {Action::write,         "write",         true, true,  true,  true,  false},
    {Action::write_count,   "write_count",   true, true,  true,  false, false},
    {Action::write_work,    "write_work",    true, true,  true,  false, false},
    {Action::write_harvest, "write_harvest", true, true,  true,  true,  false},
    {Action::treat,         "treat",         true, true,  false, false, false},
    {Action::lay_out,       "lay_out",       true, false, false, false, false},
    {Action::release_bed,   "release_bed",   true, false, false, false, false},
    {Action::manage_people, "manage_people", true, false, false, false, false},
    // clang-format on
}};

const Row& row_of(Action action) {
  return *std::find_if(table.begin(), table.end(), [&](const Row& row) { return row.action == action; });
}

struct ActionOf {
  Action operator()(const garden::CountTaken&) const { return Action::write_count; }
  Action operator()(const garden::WorkDone& work) const {
    // Pulling ends the plantings of a bed.
    return work.kind == garden::WorkDone::Kind::pull ? Action::lay_out : Action::write_work;
  }
  Action operator()(const garden::HarvestTaken&) const { return Action::write_harvest; }
  Action operator()(const garden::HarvestPlanned&) const { return Action::write_harvest; }
  Action operator()(const garden::Application&) const { return Action::treat; }
  Action operator()(const garden::BedReleased&) const { return Action::release_bed; }
  // Nobody may: app::record takes it from no one.
  Action operator()(const garden::ApplicationJudged&) const { return Action::treat; }
  Action operator()(const garden::Amended& amended) const {
    return amended.replacement ? std::visit(*this, *amended.replacement) : Action::write;
  }
  Action operator()(const garden::GardenDescribed&) const { return Action::lay_out; }
  Action operator()(const garden::BedLaid&) const { return Action::lay_out; }
  Action operator()(const garden::PlantingSown&) const { return Action::lay_out; }
  Action operator()(const garden::PlantingRemoved&) const { return Action::lay_out; }
  Action operator()(const garden::CardCopied&) const { return Action::lay_out; }
  Action operator()(const garden::WeatherAdded&) const { return Action::lay_out; }
  Action operator()(const garden::EquipmentKept&) const { return Action::treat; }
  Action operator()(const garden::CatchTest&) const { return Action::treat; }
  Action operator()(const garden::StockCounted&) const { return Action::treat; }
  Action operator()(const garden::BedEntered&) const { return Action::write_work; }
  Action operator()(const garden::SprayBegun&) const { return Action::treat; }
  Action operator()(const garden::AgencyAnswered&) const { return Action::lay_out; }
};

}  // namespace

bool may(Role role, Action action) {
  const Row& row = row_of(action);
  switch (role) {
    case Role::lead:
      return row.lead;
    case Role::applicator:
      return row.applicator;
    case Role::scout:
      return row.scout;
    case Role::picker:
      return row.picker;
    case Role::reader:
      return row.reader;
  }
  return false;
}

std::vector<Action> actions_of(Role role) {
  std::vector<Action> found;
  std::copy_if(all_actions.begin(), all_actions.end(), std::back_inserter(found), [&](Action action) { return may(role, action); });
  return found;
}

Action action_of(const garden::Payload& payload) { return std::visit(ActionOf{}, payload); }

std::string_view word_for(Role role) {
  switch (role) {
    case Role::lead:
      return "lead";
    case Role::applicator:
      return "applicator";
    case Role::scout:
      return "scout";
    case Role::picker:
      return "picker";
    case Role::reader:
      return "reader";
  }
  return {};
}

std::string_view word_for(Action action) { return row_of(action).word; }

std::optional<Role> parse_role(std::string_view word) {
  for (const Role role : all_roles)
    if (word_for(role) == word) return role;
  return std::nullopt;
}

}  // namespace leafturn::app
