#pragma once
/// May this be sprayed? Judged from a card's file alone, without a garden.

#include <optional>
#include <string>
#include <vector>

#include "app/told.hpp"
#include "core/label/judge.hpp"

namespace leafturn::app {

/// As typed.
struct JudgeQuestion {
  std::string card;                 ///< path
  std::string crop;                 ///< a dossier's name or EPPO code
  std::string on;                   ///< end of the application: a time, or a day alone
  std::optional<std::string> rate;  ///< `2 floz/gal`; without one the rate rule answers 'unknown'
  std::vector<std::string> harvests;
  std::optional<std::string> history;       ///< path of a CSV; without one earlier applications are unknown
  std::optional<std::string> setting;       ///< `residential`, `agricultural`
  std::optional<std::string> jurisdiction;  ///< `US-WI`, `EU-FR`
  std::optional<std::string> pest;          ///< a dossier's name or EPPO code
  std::optional<std::string> growth_stage;  ///< BBCH
  ToldTyped told = {};
  std::string zone = "UTC";  ///< of bare times and of the answer's times
};

struct JudgeAnswer {
  JudgeQuestion asked;
  label::Card card;
  label::Judgement judgement;
  Zone zone;
};

/// History: columns `date,product`, or those of a garden's actions.csv (`time,bed,action,product,rate,detail`, of which rows with action
/// `spray` count). Product names are compared without case and surrounding blanks; other products don't count. Errors: those of the files,
/// times, rate, zone and told_of; `judge.setting`, `judge.history_columns`, `judge.crop` (not an EPPO code's form).
Result<JudgeAnswer> judge_card(const JudgeQuestion& question);

}  // namespace leafturn::app
