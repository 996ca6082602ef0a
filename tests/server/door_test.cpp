// The door: cookies, sessions and codes as an attacker would try them over HTTP.
#include "server/door.hpp"

#include <gtest/gtest.h>

#include "tests/server/asking.hpp"
#include "tests/support/data.hpp"

namespace leafturn::server {
namespace {

using nlohmann::json;

class Door : public testing::Test {
 protected:
  Door() : asked{std::string("door_") + testing::UnitTest::GetInstance()->current_test_info()->name()} {}
  AskedGarden::Device computer{.loopback = true};
  json value(const Response& response) { return json::parse(response.body); }
  /// A code for a new person of this role, as the lead's page gets it.
  json offered(const std::string& name, const std::string& role = "scout") {
    const auto person = value(asked.ask(computer, "POST", "/api/people", json({{"name", name}, {"role", role}}).dump()));
    const auto pairing = asked.ask(computer, "POST", "/api/pairings", json({{"person", person["id"]}}).dump());
    EXPECT_EQ(pairing.status, 201) << pairing.body;
    return value(pairing);
  }
  Response pair(const std::string& code, const AskedGarden::Device& device = {}) {
    return asked.ask(device, "POST", "/api/pair", json({{"code", code}, {"device", "phone"}}).dump());
  }
  AskedGarden asked;
};

TEST_F(Door, the_computer_itself_is_lead_and_everybody_else_is_nobody) {
  const auto me = value(asked.ask(computer, "GET", "/api/me"));
  EXPECT_EQ(me["role"], "lead");
  EXPECT_TRUE(me["person"].is_null());
  EXPECT_TRUE(me["token"].is_null());
  EXPECT_EQ(error_code(asked.ask({}, "GET", "/api/me")), "access.not_paired");
}

TEST_F(Door, a_phone_pairs_and_is_its_person) {
  const auto code = offered("Ana");
  const auto answer = pair(code["code"]);
  ASSERT_EQ(answer.status, 201) << answer.body;
  const AskedGarden::Device phone{secret_set(answer), value(answer)["token"]};
  const auto me = value(asked.ask(phone, "GET", "/api/me"));
  EXPECT_EQ(me, value(answer));
  EXPECT_EQ(me["name"], "Ana");
  EXPECT_EQ(me["role"], "scout");
  EXPECT_EQ(me["session"]["device"], "phone");
  EXPECT_EQ(me["may"], json({"anyone", "paired", "see_board", "see_garden", "write", "write_count", "write_work", "write_harvest"}));
  EXPECT_EQ(code["address"].get<std::string>(), "http://127.0.0.1:8080/pair#" + code["code"].get<std::string>());
  EXPECT_EQ(code["reachable"], false);
  const auto lead = asked.paired("lead");
  const auto person = json({{"person", me["person"]}}).dump();
  const auto from_a_phone = value(asked.ask({.secret = lead.secret, .token = lead.token, .secure = true}, "POST", "/api/pairings", person));
  EXPECT_EQ(from_a_phone["page"], "https://garden.local:8443/pair") << "a lead's phone shows the address it uses itself";
  EXPECT_EQ(from_a_phone["reachable"], true);
  EXPECT_EQ(code["qr_svg"].get<std::string>().rfind("<svg ", 0), 0U);
}

TEST_F(Door, the_cookie_is_out_of_reach_for_scripts_and_other_sites) {
  const auto plain = pair(offered("Ana")["code"]).headers.at("Set-Cookie");
  for (const char* flag : {"; HttpOnly", "; SameSite=Strict", "; Path=/", "; Max-Age=15552000"})
    EXPECT_NE(plain.find(flag), std::string::npos) << flag << " in " << plain;
  EXPECT_EQ(plain.find("Secure"), std::string::npos);  // over plain http a browser would drop it
  EXPECT_EQ(plain.find("Domain"), std::string::npos);
  EXPECT_NE(pair(offered("Bo")["code"], {.secure = true}).headers.at("Set-Cookie").find("; Secure"), std::string::npos);
}

// Session fixation: an attacker plants a cookie on a phone, the phone is paired, the attacker goes on with the planted one.
TEST_F(Door, a_cookie_from_before_pairing_is_never_the_session) {
  const std::string planted(64, 'a');
  const auto paired = pair(offered("Ana")["code"], {.secret = planted});
  ASSERT_EQ(paired.status, 201);
  EXPECT_NE(secret_set(paired), planted);
  EXPECT_EQ(error_code(asked.ask({.secret = planted}, "GET", "/api/me")), "access.session_ended");
  // Nor does a session of the attacker's own go on on the phone it was planted on.
  const AskedGarden::Device attacker{secret_set(paired), value(paired)["token"]};
  const auto again = pair(offered("Bo")["code"], attacker);
  ASSERT_EQ(again.status, 201);
  EXPECT_NE(secret_set(again), attacker.secret);
  EXPECT_EQ(error_code(asked.ask(attacker, "GET", "/api/me")), "access.session_ended");
}

TEST_F(Door, a_used_wrong_or_old_code_is_told_the_same_way) {
  const std::string code = offered("Ana")["code"];
  EXPECT_EQ(pair(code).status, 201);
  const auto replayed = pair(code);
  EXPECT_EQ(replayed.status, 403);
  EXPECT_EQ(error_code(replayed), "access.code_not_good");
  EXPECT_EQ(replayed.headers.count("Set-Cookie"), 0U);
  const std::string late = offered("Bo")["code"];
  asked.now = asked.now + app::code_life;
  EXPECT_EQ(pair(late).body, replayed.body);
  EXPECT_EQ(pair("00000000").body, replayed.body);
}

TEST_F(Door, guessing_codes_is_slowed_for_one_address_and_for_all_together) {
  const std::string right = offered("Ana")["code"];
  int tried = 0;
  while (pair("00000000").status == 403 && tried < 100) ++tried;
  EXPECT_EQ(tried, 10);
  const auto stopped = pair(right);
  EXPECT_EQ(stopped.status, 429) << "the right code doesn't help either";
  EXPECT_EQ(error_code(stopped), "access.too_often");
  EXPECT_EQ(stopped.headers.at("Retry-After"), "12");
  asked.now = asked.now + Duration::seconds(12);
  EXPECT_EQ(pair("00000000").status, 403);
  EXPECT_EQ(pair("00000000").status, 429);
  // From a thousand addresses.
  int all = 0;
  for (int i = 0; i < 1000; ++i)
    if (pair("short", {.client = "2001:db8::" + std::to_string(i)}).status == 403) ++all;
  EXPECT_EQ(all, 60 - tried + 4 - 1);  // 12 seconds gave four more
  // In an hour nobody gets further than the pace that docs/access.md counts with.
  int hour = 0;
  for (int second = 0; second < 3600; second += 30) {
    asked.now = asked.now + Duration::seconds(30);
    for (int i = 0; i < 40; ++i)
      if (pair("short", {.client = "198.51.100." + std::to_string(i)}).status == 403) ++hour;
  }
  EXPECT_LE(hour, 3600 / 3 + 60);
  EXPECT_GE(hour, 3600 / 3 - 60) << "the loop does ask faster than the limit";
}

TEST_F(Door, a_revoked_session_is_cut_at_the_next_request) {
  auto phone = asked.paired("applicator");
  EXPECT_EQ(asked.ask(phone, "GET", "/api/board").status, 200);
  const auto session = value(asked.ask(phone, "GET", "/api/me"))["session"]["id"].get<std::string>();
  EXPECT_EQ(asked.ask(phone, "POST", "/api/sessions/" + session + "/revoke", "{}").status, 403) << "only a lead revokes";
  EXPECT_EQ(asked.ask(computer, "POST", "/api/sessions/" + session + "/revoke", "{}").status, 200);
  const auto cut = asked.ask(phone, "GET", "/api/board");
  EXPECT_EQ(cut.status, 401);
  EXPECT_EQ(error_code(cut), "access.session_ended");
  EXPECT_NE(cut.headers.at("Set-Cookie").find("leafturn=; "), std::string::npos);
  EXPECT_NE(cut.headers.at("Set-Cookie").find("Max-Age=0"), std::string::npos);
  EXPECT_EQ(asked.ask(phone, "POST", "/api/events", "{}").status, 401);
  EXPECT_EQ(asked.ask(phone, "GET", "/").status, 303);
  // Also when somebody at the computer has its cookie: it isn't taken for the lead.
  phone.loopback = true;
  EXPECT_EQ(asked.ask(phone, "GET", "/api/board").status, 401);
}

TEST_F(Door, an_idle_session_ends) {
  const auto phone = asked.paired("scout");
  asked.now = asked.now + app::session_idle;
  EXPECT_EQ(error_code(asked.ask(phone, "GET", "/api/board")), "access.session_ended");
}

TEST_F(Door, signing_out_ends_the_session_not_only_the_cookie) {
  const auto phone = asked.paired("scout");
  EXPECT_EQ(asked.ask({phone.secret}, "POST", "/api/sign-out", "{}").status, 403) << "another page can't sign anybody out";
  EXPECT_EQ(asked.ask(phone, "POST", "/api/sign-out", "{}").status, 200);
  EXPECT_EQ(asked.ask(phone, "GET", "/api/board").status, 401);
}

TEST_F(Door, a_new_role_holds_at_the_next_request) {
  const auto phone = asked.paired("lead");
  const std::string path = "/api/people/" + asked.reference_of_token.at(phone.token);
  EXPECT_EQ(asked.ask(phone, "GET", "/api/people").status, 200);
  EXPECT_EQ(asked.ask(computer, "POST", path, R"({"role":"picker"})").status, 200);
  EXPECT_EQ(asked.ask(phone, "GET", "/api/people").status, 403);
  EXPECT_EQ(asked.ask(phone, "POST", path, R"({"role":"lead"})").status, 403);
}

TEST_F(Door, erasing_asks_for_the_name_and_ends_everything) {
  const auto phone = asked.paired("scout");
  const std::string path = "/api/people/" + asked.reference_of_token.at(phone.token) + "/erase";
  const auto unsure = asked.ask(computer, "POST", path, R"({"confirm":"somebody"})");
  EXPECT_EQ(unsure.status, 422);
  EXPECT_EQ(error_code(unsure), "access.not_confirmed");
  EXPECT_EQ(asked.ask(phone, "GET", "/api/board").status, 200);
  EXPECT_EQ(asked.ask(computer, "POST", path, R"({"confirm":"scout 1"})").status, 200);
  EXPECT_EQ(asked.ask(phone, "GET", "/api/board").status, 401);
  EXPECT_EQ(asked.ask(computer, "POST", path, R"({"confirm":""})").status, 404);
}

TEST_F(Door, who_wrote_what_shows_by_name_until_the_name_is_erased) {
  const auto phone = asked.paired("scout");
  const std::string reference = asked.reference_of_token.at(phone.token);
  const json event{{"v", 1},
                   {"id", "0190a1b2-c3d4-7000-8000-000000000001"},
                   {"writer", "phone"},
                   {"writer_seq", 1},
                   {"happened_at", "2026-06-10T08:00:00Z"},
                   {"by", reference},
                   {"kind", "work_done"},
                   {"work", "water"},
                   {"bed", "1"}};
  ASSERT_EQ(asked.ask(phone, "POST", "/api/events", event.dump()).status, 201);
  const auto line = [&] {
    const auto history = value(asked.ask(phone, "GET", "/api/beds/1"))["history"];
    for (const auto& one : history)
      if (one["id"] == event["id"]) return one;
    return json{};
  };
  EXPECT_EQ(line()["by"], reference);
  EXPECT_EQ(line()["by_name"], "scout 1");
  const auto seen = value(asked.ask(computer, "GET", "/api/beds/1"))["history"];
  for (const auto& one : seen)
    if (one["id"] != event["id"]) {
      EXPECT_EQ(one["by_name"], one["by"]) << "what was written before there were people stays readable";
    }
  ASSERT_EQ(asked.ask(computer, "POST", "/api/people/" + reference + "/erase", R"({"confirm":"scout 1"})").status, 200);
  const auto after = value(asked.ask(computer, "GET", "/api/beds/1"))["history"];
  bool found = false;
  for (const auto& one : after)
    if (one["id"] == event["id"]) {
      found = true;
      EXPECT_EQ(one["by_name"], "someone no longer here");
    }
  EXPECT_TRUE(found);
}

TEST_F(Door, a_device_that_floods_is_held_back_and_no_other_one) {
  const auto phone = asked.paired("scout"), other = asked.paired("scout");
  int answered = 0;
  while (asked.ask(phone, "GET", "/api/me").status == 200 && answered < 2000) ++answered;
  EXPECT_EQ(answered, 600);
  EXPECT_EQ(asked.ask(phone, "GET", "/api/me").status, 429);
  EXPECT_EQ(asked.ask(other, "GET", "/api/me").status, 200) << "the same address, another device";
  EXPECT_EQ(asked.ask(computer, "GET", "/api/me").status, 200);
  asked.now = asked.now + Duration::seconds(1);
  EXPECT_EQ(asked.ask(phone, "GET", "/api/me").status, 200);
}

TEST_F(Door, cookies_are_read_as_browsers_send_them) {
  Request request;
  const auto secret = [&](const char* cookie) {
    request.headers["cookie"] = cookie;
    return secret_in(request);
  };
  EXPECT_EQ(secret("leafturn=abc"), "abc");
  EXPECT_EQ(secret("a=b; leafturn=abc; c=d"), "abc");
  EXPECT_EQ(secret("notleafturn=abc; leafturn2=x"), "");
  EXPECT_EQ(secret("leafturn="), "");
  EXPECT_EQ(secret(""), "");
  EXPECT_EQ(secret(";;; leafturn"), "");
  // Over TLS only the cookie nobody else can set counts.
  request.secure = true;
  EXPECT_EQ(secret("leafturn=planted; __Host-leafturn=own"), "own");
  EXPECT_EQ(secret("leafturn=planted"), "");
}

TEST_F(Door, people_are_checked_and_a_form_without_its_fields_is_told) {
  EXPECT_EQ(error_code(asked.ask(computer, "POST", "/api/people", R"({"name":"","role":"scout"})")), "access.bad_name");
  EXPECT_EQ(error_code(asked.ask(computer, "POST", "/api/people", R"({"name":"Ana","role":"queen"})")), "access.no_such_role");
  EXPECT_EQ(error_code(asked.ask(computer, "POST", "/api/people", R"({"name":"Ana"})")), "server.field_needed");
  EXPECT_EQ(error_code(asked.ask(computer, "POST", "/api/people", R"({"name":7,"role":"scout"})")), "server.field_needed");
  EXPECT_EQ(error_code(asked.ask(computer, "POST", "/api/people", "[]")), "server.not_json");
  EXPECT_EQ(asked.ask(computer, "POST", "/api/people", R"({"name":"Ana","role":"scout"})").status, 201);
  const auto again = asked.ask(computer, "POST", "/api/people", R"({"name":"Ana","role":"lead"})");
  EXPECT_EQ(again.status, 409);
  EXPECT_EQ(error_code(asked.ask(computer, "POST", "/api/pairings", R"({"person":"nobody"})")), "access.no_such_person");
  EXPECT_EQ(error_code(asked.ask({}, "POST", "/api/pair", R"({"code":"00000000","device":"\u0000"})")), "access.bad_device");
}

}  // namespace
}  // namespace leafturn::server
