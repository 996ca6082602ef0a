// Every route of the OpenAPI document with every role and with none: nobody gets what the role doesn't have. The document says what a route
// asks for (x-may), docs/access.md who has it (tests/app compares that table with the program's).
#include <gtest/gtest.h>

#include <set>

#include "app/may.hpp"
#include "tests/server/asking.hpp"

namespace leafturn::server {
namespace {

using nlohmann::json;

struct Route {
  std::string method, pattern, may;
  json operation;
};

std::vector<Route> routes_of(const json& document) {
  std::vector<Route> found;
  for (const auto& [pattern, verbs] : document["paths"].items())
    for (const auto& [verb, operation] : verbs.items())
      found.push_back({verb == "get" ? "GET" : "POST", pattern, operation.value("x-may", ""), operation});
  return found;
}

/// A path that leads to something where it can without harm: a bed and a pest that are there, a person and a session that aren't.
std::string path_of(const std::string& pattern) {
  std::string path = pattern;
  const std::map<std::string, std::string> parts{{"{bed}", "1"},
                                                 {"{pest}", "imported-cabbageworm"},
                                                 {"{what}", "menu"},
                                                 {"{card}", std::string(64, '0')},
                                                 {"{person}", "0190a1b2-c3d4-7000-8000-00000000dead"},
                                                 {"{session}", "0190a1b2-c3d4-7000-8000-00000000dead"}};
  for (const auto& [name, value] : parts)
    for (std::size_t at = path.find(name); at != std::string::npos; at = path.find(name)) path.replace(at, name.size(), value);
  EXPECT_EQ(path.find('{'), std::string::npos) << pattern << ": say what stands for this part";
  return path;
}

bool is_page(const Route& route) { return route.method == "GET" && route.pattern.rfind("/api/", 0) != 0; }

bool has(const std::string& role, const std::string& action) {
  for (const auto known : app::all_actions)
    if (app::word_for(known) == action) return app::may(*app::parse_role(role), known);
  ADD_FAILURE() << "no such action: " << action;
  return false;
}

class Roles : public testing::Test {
 protected:
  Roles() : asked{std::string("roles_") + testing::UnitTest::GetInstance()->current_test_info()->name()} {}
  /// What an escalation would change.
  std::string state() {
    std::string all = std::to_string(asked.garden->ledger().last_seq().value());
    const auto people = asked.access->people().value();
    const auto sessions = asked.access->sessions(asked.now).value();
    for (const auto& person : people) all += " " + person.name + "=" + std::string(app::word_for(person.role));
    for (const auto& session : sessions) all += " " + session.id.text() + (session.live ? "+" : "-");
    return all;
  }
  AskedGarden asked;
};

TEST_F(Roles, every_route_says_what_it_asks_for) {
  std::set<std::string> actions;
  for (const auto& route : routes_of(asked.document)) {
    EXPECT_FALSE(route.may.empty()) << route.method << " " << route.pattern << " has no x-may";
    actions.insert(route.may);
  }
  EXPECT_GE(actions.size(), 7U);
}

TEST_F(Roles, without_pairing_there_is_nothing_but_the_pairing_page) {
  const auto before = state();
  int open = 0;
  for (const auto& route : routes_of(asked.document)) {
    const auto answer = asked.ask({}, route.method, path_of(route.pattern), "{}");
    if (route.may == "anyone") {
      ++open;
      EXPECT_NE(answer.status, 401) << route.pattern;
      EXPECT_NE(answer.status, 303) << route.pattern;
    } else if (is_page(route)) {
      EXPECT_EQ(answer.status, 303) << route.pattern;
      EXPECT_EQ(answer.headers.at("Location"), "/pair");
      EXPECT_EQ(answer.body, "");
    } else {
      EXPECT_EQ(answer.status, 401) << route.pattern;
      EXPECT_EQ(error_code(answer), "access.not_paired") << route.pattern;
    }
  }
  EXPECT_EQ(state(), before);
  // The pairing page, its script and style, its words, and the call that pairs.
  EXPECT_GE(open, 5);
}

TEST_F(Roles, no_role_gets_what_it_does_not_have) {
  for (const auto role : app::all_roles) {
    const std::string word(app::word_for(role));
    auto device = asked.paired(word);
    const auto before = state();
    for (const auto& route : routes_of(asked.document)) {
      const std::string what = word + " " + route.method + " " + route.pattern;
      if (route.pattern == "/api/sign-out") continue;  // ends the session: asked in its own test
      const auto answer = asked.ask(device, route.method, path_of(route.pattern), "{}");
      if (has(word, route.may)) {
        EXPECT_TRUE(answer.status < 300 || answer.status == 400 || answer.status == 404 || answer.status == 422 || route.may == "anyone")
            << what << ": " << answer.status << " " << answer.body.substr(0, 200);
      } else {
        EXPECT_EQ(answer.status, 403) << what;
        if (!is_page(route)) {
          EXPECT_EQ(error_code(answer), "access.not_your_role") << what;
        }
      }
    }
    EXPECT_EQ(state(), before) << word;
  }
}

TEST_F(Roles, no_role_writes_a_kind_of_event_it_does_not_have) {
  const json kinds = asked.document["paths"]["/api/events"]["post"]["x-may-by-kind"];
  const std::map<std::string, json> fields{
      {"garden_described",
       {{"name", "x"}, {"latitude_deg", 1}, {"longitude_deg", 1}, {"elevation_m", 1}, {"zone", "UTC"}, {"units", "us"}}},
      {"bed_laid", {{"bed", "99"}, {"x_m", 0}, {"y_m", 0}, {"width_m", 1}, {"length_m", 1}}},
      {"planting_sown", {{"planting", "new"}, {"bed", "1"}, {"crop", "LACSA"}}},
      {"planting_removed", {{"planting", "nothing"}}},
      {"count_taken", {{"bed", "1"}, {"pest", "imported-cabbageworm"}, {"stage", "egg"}, {"plants", 1}, {"count", 0}}},
      {"work_done", {{"work", "water"}, {"bed", "1"}}},
      {"application", {{"state", "made"}, {"bed", "1"}, {"product", "x"}, {"outside_label", true}}},
      {"harvest_taken", {{"bed", "1"}}},
      {"harvest_planned", {{"planting", "nothing"}, {"day", "2027-02-01"}}},
      {"card_copied", {{"product", "x"}, {"text", std::string(64, '0')}}},
      {"weather_added", {{"name", "x"}, {"text", std::string(64, '0')}}},
      {"bed_released", {{"basis", "destroyed"}, {"bed", "1"}, {"detail", "x"}}},
      {"equipment_kept", {{"equipment", "knapsack"}}},
      {"catch_test", {{"equipment", "knapsack"}, {"caught_l", 1}, {"area_m2", 30}}},
      {"stock_counted", {{"product", "x"}, {"amount_l", 1}}},
      {"bed_entered", {{"bed", "1"}}},
      {"spray_begun", {{"plan", "0190a1b2-c3d4-7000-8000-00000000dead"}, {"bed", "1"}, {"product", "x"}}},
      {"agency_answered", {{"product", "x"}, {"allows", true}, {"on", "2026-05-01"}, {"words", "x"}}},
      {"amended", {{"target", "0190a1b2-c3d4-7000-8000-00000000dead"}, {"reason", "x"}}}};
  EXPECT_EQ(kinds.size(), fields.size()) << "all but application_judged, which the server alone writes (treat.judged_here)";
  int number = 0;
  for (const auto role : app::all_roles) {
    const std::string word(app::word_for(role));
    const auto device = asked.paired(word);
    for (const auto& [kind, may] : kinds.items()) {
      ASSERT_TRUE(fields.count(kind)) << kind;
      json event{{"v", 1},
                 {"id", "0190a1b2-c3d4-7000-8000-" + std::to_string(100000000000 + ++number)},
                 {"writer", "phone"},
                 {"writer_seq", number},
                 {"happened_at", "2026-06-10T08:00:00Z"},
                 {"by", asked.reference_of_token.at(device.token)},
                 {"kind", kind}};
      event.update(fields.at(kind));
      const auto before = asked.garden->ledger().last_seq().value();
      const auto answer = asked.ask(device, "POST", "/api/events", event.dump());
      if (has(word, may.get<std::string>())) {
        EXPECT_TRUE(answer.status == 201 || answer.status == 422 || answer.status == 404)
            << word << " " << kind << ": " << answer.status << answer.body;
        EXPECT_NE(error_code(answer).rfind("event.", 0), 0U) << "the test's own event is broken: " << answer.body;
      } else {
        EXPECT_EQ(answer.status, 403) << word << " " << kind << ": " << answer.body;
        EXPECT_EQ(error_code(answer), "access.not_your_role") << word << " " << kind;
        EXPECT_EQ(asked.garden->ledger().last_seq().value(), before);
      }
    }
  }
}

TEST_F(Roles, no_write_goes_without_the_pages_token) {
  const auto lead = asked.paired("lead"), other = asked.paired("lead");
  const auto before = state();
  int writes = 0;
  for (const auto& route : routes_of(asked.document)) {
    if (route.method != "POST" || route.may == "anyone") continue;
    ++writes;
    for (const std::string& token : {std::string{}, std::string("x"), lead.secret, other.token}) {
      const auto answer = asked.ask({lead.secret, token}, "POST", path_of(route.pattern), "{}");
      EXPECT_EQ(answer.status, 403) << route.pattern;
      EXPECT_EQ(error_code(answer), "access.no_token") << route.pattern;
    }
  }
  EXPECT_GE(writes, 8);
  EXPECT_EQ(state(), before);
}

}  // namespace
}  // namespace leafturn::server
