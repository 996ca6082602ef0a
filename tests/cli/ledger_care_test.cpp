// `ledger restore`, `ledger guests` and `doctor` through the program: exit codes, one JSON value, Spanish whole.
#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>

#include "tests/cli/answers.hpp"

namespace leafturn::test {
namespace {

using nlohmann::json;

class LedgerCommands : public testing::Test {
 protected:
  static void SetUpTestSuite() {
    top() = fresh_folder("ledger-commands-" + std::to_string(getpid()));
    ASSERT_EQ(leafturn({"demo", garden()}).exit_code, 0);
    ASSERT_EQ(leafturn({"ledger", "backup", "--garden", garden(), "--to", backup()}).exit_code, 0);
  }
  static std::string& top() {
    static std::string folder;
    return folder;
  }
  static std::string garden() { return top() + "/g"; }
  static std::string backup() { return top() + "/copy.db"; }
};

TEST_F(LedgerCommands, restore_says_what_a_backup_holds_and_how_old_it_is) {
  const json tried = answer({"ledger", "restore", backup(), "--check"});
  EXPECT_EQ(tried["ok"], true);
  EXPECT_EQ(tried["events"], 54);
  EXPECT_EQ(tried["beds"], 12);
  EXPECT_EQ(tried["garden"], "Invented garden");
  EXPECT_TRUE(tried["folder"].is_null());
  EXPECT_GE(tried["age_days"], 0.0);
  EXPECT_LT(tried["age_days"], 1.0);
  const std::string into = top() + "/back";
  EXPECT_EQ(answer({"ledger", "restore", backup(), "--into", into, "--head", tried["head"]})["folder"], into);
  EXPECT_EQ(answer({"ledger", "verify", "--garden", into})["head"], tried["head"]);
}

TEST_F(LedgerCommands, restore_answers_no_and_refuses_by_the_contract) {
  const auto no = leafturn({"ledger", "restore", backup(), "--check", "--head", std::string(64, 'a'), "--json"});
  EXPECT_EQ(no.exit_code, 1);
  EXPECT_EQ(json::parse(no.out)["ok"], false);
  EXPECT_EQ(leafturn({"ledger", "restore", backup()}).exit_code, 2);
  EXPECT_EQ(leafturn({"ledger", "restore", backup(), "--check", "--into", top() + "/x"}).exit_code, 2);
  EXPECT_EQ(leafturn({"ledger", "restore", top() + "/none.db", "--check"}).exit_code, 2);
  EXPECT_EQ(leafturn({"ledger", "restore", garden() + "/../g", "--check"}).exit_code, 3) << "a folder can't be opened";
  const auto there = leafturn({"ledger", "restore", backup(), "--into", garden()});
  EXPECT_EQ(there.exit_code, 2);
  EXPECT_NE(there.err.find("leafturn: "), std::string::npos);
}

TEST_F(LedgerCommands, the_doctor_answers_no_without_a_backup_and_yes_with_one) {
  const auto without = leafturn({"doctor", "--garden", garden(), "--json"});
  EXPECT_EQ(without.exit_code, 1);
  const json told = json::parse(without.out);
  EXPECT_EQ(told["ok"], false);
  for (const json& check : told["checks"]) {
    EXPECT_FALSE(check["text"].get<std::string>().empty());
    EXPECT_EQ(check["do"].is_null(), check["state"] == "good") << check.dump();
  }
  EXPECT_EQ(leafturn({"doctor", "--garden", garden(), "--backups", top()}).exit_code, 0);
  EXPECT_EQ(leafturn({"doctor", "--garden", top() + "/nowhere"}).exit_code, 2);
}

TEST_F(LedgerCommands, speak_spanish_whole) {
  for (const std::vector<std::string>& words : {std::vector<std::string>{"doctor", "--garden", garden()},
                                                {"ledger", "restore", backup(), "--check"},
                                                {"ledger", "guests", "--garden", garden()}}) {
    const auto run = leafturn(words, "es");
    EXPECT_LE(run.exit_code, 1) << run.err;
    for (const char* raw : {"doctor.", "restore.", "guests.", "{", "}", "⟦"})
      EXPECT_EQ(run.out.find(raw), std::string::npos) << raw << "\n" << run.out;
  }
}

}  // namespace
}  // namespace leafturn::test
