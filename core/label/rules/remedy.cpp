#include <algorithm>
#include <array>

#include "core/label/rules/rules.hpp"

namespace leafturn::label {
namespace {

/// What a reason is about, how the rest of its code begins, and the remedy. The first row that fits counts.
struct Row {
  std::string_view about, begins, remedy;
};
constexpr std::array rows{
    Row{"no_use", "", "copy_use"},
    Row{"crop", "no_uses", "copy_use"},
    Row{"crop", "not_listed", "other_product"},
    Row{"crop", "excepted", "other_product"},
    Row{"crop", "", "find_crop"},
    Row{"method", "", "label_method"},
    Row{"pest", "no_jurisdiction", "set_place"},
    Row{"pest", "not_listed_us", "ask_state"},
    Row{"pest", "", "other_product"},
    Row{"rate", "above", "at_most"},
    Row{"rate", "below", "at_least"},
    Row{"rate", "no_highest", "read_label"},
    Row{"rate", "not_given", "give_rate"},
    Row{"rate", "other_basis", "label_measure"},
    Row{"rate", "weight_or_volume", "label_measure"},
    Row{"water", "", "label_water"},
    Row{"amount", "no_history", "give_history"},
    Row{"amount", "not_known", "know_amounts"},
    Row{"amount", "above_each", "less_each"},
    Row{"amount", "", "not_again"},
    Row{"pre_harvest", "too_soon", "harvest_from"},
    Row{"pre_harvest", "not_before", "harvest_from"},
    Row{"reentry", "harvest", "enter_from"},
    Row{"reentry", "until_dry", "see_dry"},
    Row{"reentry", "hours_and_dry", "see_dry"},
    Row{"work", "until_dry", "see_dry"},
    Row{"work", "not_copied", "copy_line"},
    Row{"work", "", "work_from"},
    Row{"feed", "not_copied", "copy_line"},
    Row{"feed", "none_stated", "read_label"},
    Row{"feed", "", "feed_from"},
    Row{"interval", "too_soon", "wait_clear"},
    Row{"interval", "no_history", "give_history"},
    Row{"max_applications", "no_history", "give_history"},
    Row{"max_applications", "reached", "next_year"},
    Row{"max_applications", "over_year_end", "read_label"},
    Row{"consecutive", "no_group", "copy_group"},
    Row{"consecutive", "past_unknown", "copy_group"},
    Row{"consecutive", "no_history", "give_history"},
    Row{"consecutive", "", "other_group"},
    Row{"rotation", "", "other_group"},
    Row{"oil_sulfur", "", "wait_clear"},
    Row{"plant_back", "", "sow_from"},
    Row{"setting", "not_given", "set_place"},
    Row{"setting", "residential_only", "ask_state"},
    Row{"setting", "agricultural_only", "other_product"},
    Row{"registered", "no_jurisdiction", "set_place"},
    Row{"registered", "none_stated", "ask_state"},
    Row{"registered", "", "other_product"},
    Row{"sale", "agency_allows", "read_answer"},
    Row{"sale", "agency_refuses", "other_product"},
    Row{"sale", "", "ask_state"},
    Row{"organic", "nothing_tried", "prevent_first"},
    Row{"organic", "not_listed", "other_product"},
    Row{"cover", "take_off", "take_off"},
    Row{"cover", "not_greenhouse", "other_product"},
    Row{"growth_stage", "not_given", "look_stage"},
    Row{"growth_stage", "", "wait_stage"},
    Row{"licence", "not_known", "say_person"},
    Row{"licence", "", "licensed_person"},
    Row{"handler", "not_known", "say_person"},
    Row{"handler", "worker_rules", "say_person"},
    Row{"handler", "not_adult", "other_person"},
    Row{"handler", "", "train"},
    Row{"protection", "", "wear"},
    Row{"exclusion", "", "keep_away"},
    Row{"bees", "open_flowers", "no_flowers"},
    Row{"bees", "cucurbit_morning", "evening"},
    Row{"bees", "when_gone", "evening"},
    Row{"bees", "", "look_flowers"},
    Row{"drift", "days_unknown", "copy_line"},
    Row{"drift", "", "shield"},
    Row{"expiry", "", "take_back"},
    Row{"card", "not_checked", "second_person"},
    Row{"card", "old", "compare"},
    Row{"card", "no_copied_on", "compare"},
    Row{"card", "", "copy_line"},
    Row{"copied", "", "copy_line"},
    Row{"other", "bees", "look_flowers"},
};

}  // namespace

Reason remedy_for(const Outcome& outcome) {
  if (outcome.state == State::pass) return {};
  constexpr std::string_view mark = "judge.";
  const std::string_view code = std::string_view(outcome.reason.code).substr(mark.size());
  const std::string_view about = code.substr(0, code.find('.'));
  const std::string_view rest = about.size() == code.size() ? std::string_view{} : code.substr(about.size() + 1);
  const auto row = std::find_if(rows.begin(), rows.end(), [&](const Row& r) { return r.about == about && rest.starts_with(r.begins); });
  if (row != rows.end()) return {"remedy." + std::string(row->remedy), outcome.reason.facts};
  // Every rule names what wasn't copied, and what the label leaves open, in the same words.
  if (rest.ends_with("not_copied")) return {"remedy.copy_line", outcome.reason.facts};
  return {"remedy.read_label", outcome.reason.facts};
}

}  // namespace leafturn::label
