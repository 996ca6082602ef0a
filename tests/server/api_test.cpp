// Every route of the document against its real answers on the demo garden, and every way of going wrong against the one error shape.
#include <gtest/gtest.h>

#include <nlohmann/json.hpp>
#include <set>

#include "app/import_garden.hpp"
#include "app/open_garden.hpp"
#include "server/routes.hpp"
#include "tests/server/json_schema.hpp"
#include "tests/support/data.hpp"

namespace leafturn::server {
namespace {

using nlohmann::json;

const Instant now = *Instant::parse("2027-01-15T12:00:00Z");

class Api : public testing::Test {
 protected:
  void SetUp() override {
    const auto* info = testing::UnitTest::GetInstance()->current_test_info();
    const std::string folder = test::fresh_folder(std::string("server_") + info->name());
    const auto made = app::make_demo(folder + "/garden", now);
    ASSERT_TRUE(made) << made.error().code;
    auto opened = app::OpenGarden::open(folder + "/garden");
    ASSERT_TRUE(opened) << opened.error().code;
    garden_ = std::move(*opened);
    auto access = app::Access::open(folder + "/garden");
    ASSERT_TRUE(access) << access.error().code;
    access_ = std::move(*access);
    router_ = make_router(*garden_, *access_, [] { return now; });
    document_ = json::parse(call("GET", "/api/openapi.json").body);
  }

  Response call(const std::string& method, const std::string& path, const std::string& body = {},
                std::map<std::string, std::string> query = {}) {
    Request request;
    request.method = method;
    request.path = path;
    request.loopback = true;
    request.query = std::move(query);
    request.body = body;
    request.headers = {{"host", "127.0.0.1:8080"}};
    request.loopback = true;
    if (method == "POST") request.headers["content-type"] = "application/json";
    return router_.handle(request);
  }

  /// The answer must be of the status and fit what the document says of this route and status.
  json expect(int status, const std::string& method, const std::string& pattern, const Response& response) {
    EXPECT_EQ(response.status, status) << method << " " << pattern << ": " << response.body.substr(0, 500);
    const json value = json::parse(response.body, nullptr, false);
    EXPECT_FALSE(value.is_discarded()) << response.body.substr(0, 200);
    std::string verb = method;
    for (char& c : verb) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    const json::json_pointer schema = json::json_pointer("/paths") / pattern / verb / "responses" / std::to_string(response.status) /
                                      "content" / "application/json" / "schema";
    EXPECT_TRUE(document_.contains(schema)) << "the document has no " << response.status << " for " << method << " " << pattern;
    if (!document_.contains(schema)) return value;
    for (const auto& problem : test::schema_problems(document_, document_[schema], value))
      ADD_FAILURE() << method << " " << pattern << problem;
    EXPECT_EQ(response.body.find("⟦"), std::string::npos) << "words are missing: " << response.body.substr(response.body.find("⟦"), 80);
    return value;
  }
  json error(int status, const std::string& code, const std::string& method, const std::string& pattern, const Response& response) {
    json value = expect(status, method, pattern, response);
    EXPECT_EQ(value.value("error", json::object()).value("code", ""), code);
    return value;
  }

  json garden() { return json::parse(call("GET", "/api/garden").body); }
  std::string event(const std::string& kind, json fields, const std::string& id, int seq) {
    json e{{"v", 1},
           {"id", "0190a1b2-c3d4-7000-8000-0000000000" + id},
           {"writer", "test"},
           {"writer_seq", seq},
           {"happened_at", garden()["at"]},
           {"kind", kind}};
    e.update(fields);
    return e.dump();
  }
  /// A bed that has something in it, with its brief.
  std::string planted_bed() {
    const json described = garden();
    for (const auto& bed : described["beds"])
      if (!bed["plantings"].empty()) return bed["bed"];
    ADD_FAILURE() << "the demo has no planted bed";
    return {};
  }

  std::unique_ptr<app::OpenGarden> garden_;
  std::unique_ptr<app::Access> access_;
  Router router_;
  json document_;
};

TEST_F(Api, the_document_and_the_router_name_the_same_routes) {
  std::set<std::string> routed, documented;
  for (const auto& route : router_.routes()) routed.insert(route.method + " " + route.pattern);
  for (const auto& [pattern, verbs] : document_["paths"].items()) {
    for (const auto& [verb, call] : verbs.items()) documented.insert((verb == "get" ? "GET " : "POST ") + pattern);
  }
  EXPECT_EQ(routed, documented);
  EXPECT_EQ(document_["openapi"], "3.1.0");
}

TEST_F(Api, health_and_news) {
  EXPECT_EQ(expect(200, "GET", "/healthz", call("GET", "/healthz")), json({{"ok", true}}));
  const auto news = call("GET", "/api/news");
  EXPECT_EQ(news.status, 200);
  EXPECT_TRUE(news.news);
  EXPECT_EQ(news.type, "text/event-stream");
}

// What is kept between two briefs must not show: a server that has answered before says, byte for byte, what a fresh one says.
TEST_F(Api, a_brief_is_the_same_whatever_was_kept_from_the_one_before) {
  const auto says_as_a_fresh_one = [&](const char* after) {
    Router fresh = make_router(*garden_, *access_, [] { return now; });
    const std::string kept = call("GET", "/api/brief").body;
    std::swap(fresh, router_);
    EXPECT_EQ(kept, call("GET", "/api/brief").body) << after;
    std::swap(fresh, router_);
    return kept;
  };
  const std::string first = says_as_a_fresh_one("nothing");
  const auto count = [&](const char* pest, const char* stage, const char* id, int seq) {
    return call("POST", "/api/events",
                event("count_taken", {{"bed", "1"}, {"pest", pest}, {"stage", stage}, {"plants", 20}, {"count", 40}}, id, seq));
  };
  ASSERT_EQ(count("PIERRA", "egg", "41", 1).status, 201);
  EXPECT_NE(says_as_a_fresh_one("a count"), first);
  // A pest's first find of the year moves its calendar.
  const json pests = garden()["pests"];
  int seq = 1;
  for (const auto& pest : pests) {
    const std::string id = pest["id"], stage = pest["countable"][0]["key"];
    ++seq;
    ASSERT_EQ(count(id.c_str(), stage.c_str(), std::to_string(41 + seq - 1).c_str(), seq).status, 201) << id;
  }
  says_as_a_fresh_one("first finds");
}

TEST_F(Api, every_reading_route_fits_the_document_in_both_languages_and_units) {
  const json described = garden();
  for (const char* lang : {"en", "es"}) {
    for (const char* units : {"metric", "us"}) {
      const std::map<std::string, std::string> query{{"lang", lang}, {"units", units}};
      const json brief = expect(200, "GET", "/api/brief", call("GET", "/api/brief", {}, query));
      EXPECT_EQ(brief["lang"], lang);
      EXPECT_EQ(brief["marked"], "invented");
      expect(200, "GET", "/api/board", call("GET", "/api/board", {}, query));
      expect(200, "GET", "/api/garden", call("GET", "/api/garden", {}, query));
      for (const auto& one : described["beds"]) {
        expect(200, "GET", "/api/beds/{bed}", call("GET", "/api/beds/" + one["bed"].get<std::string>(), {}, query));
      }
      for (const auto& one : described["pests"])
        expect(200, "GET", "/api/pests/{pest}", call("GET", "/api/pests/" + one["id"].get<std::string>(), {}, query));
      const json weather = expect(200, "GET", "/api/weather", call("GET", "/api/weather", {}, query));
      EXPECT_EQ(weather["days"].size(), 30U);
      EXPECT_FALSE(weather["future_days"].empty());
      const json outlook = expect(200, "GET", "/api/outlook", call("GET", "/api/outlook", {}, query));
      EXPECT_EQ(outlook["days"], 21);
      EXPECT_EQ(outlook["pests"].size(), 3U);
      const auto first = outlook["worst"].at(0);
      const std::string bed = "/api/beds/" + first["bed"].get<std::string>();
      const json compared = expect(200, "GET", "/api/beds/{bed}/compare", call("GET", bed + "/compare", {}, query));
      EXPECT_GE(compared["pests"].at(0)["options"].size(), 3U);
      const json pulled = expect(200, "GET", "/api/beds/{bed}/pull", call("GET", bed + "/pull", {}, query));
      EXPECT_FALSE(pulled["pests"].at(0)["cannot_know"].empty());
      const json seasons = expect(200, "GET", "/api/seasons", call("GET", "/api/seasons", {}, query));
      EXPECT_FALSE(seasons["pests"].empty());
      for (const auto& one : seasons["pests"]) {
        const std::string pest = one["pest"];
        expect(200, "GET", "/api/seasons/{pest}", call("GET", "/api/seasons/" + pest, {}, query));
        auto found = query;
        found["found"] = seasons["day"];
        if (one["next"].is_null()) continue;
        found["stage"] = one["next"]["stage"] == "adult-laying" ? json("egg") : one["next"]["stage"];
        expect(200, "GET", "/api/pests/{pest}/hatch", call("GET", "/api/pests/" + pest + "/hatch", {}, found));
      }
      EXPECT_GT(expect(200, "GET", "/api/words", call("GET", "/api/words", {}, query)).size(), 300U);
    }
  }
  expect(200, "GET", "/api/health", call("GET", "/api/health"));
  const json events = expect(200, "GET", "/api/events", call("GET", "/api/events"));
  EXPECT_GT(events["events"].size(), 10U);
  EXPECT_EQ(expect(200, "GET", "/api/events", call("GET", "/api/events", {}, {{"from", "5"}}))["events"][0]["seq"], 5);
}

TEST_F(Api, another_time_gives_another_brief) {
  const json one = json::parse(call("GET", "/api/brief", {}, {{"at", "2026-04-20T06:30"}}).body);
  EXPECT_EQ(one["day"], "2026-04-20");
}

TEST_F(Api, an_outlook_is_kept_until_something_is_written_down) {
  const auto ask = [&](const char* days) { return call("GET", "/api/outlook", {}, {{"days", days}}); };
  const json week = expect(200, "GET", "/api/outlook", ask("7"));
  EXPECT_EQ(week["days"], 7);
  EXPECT_EQ(ask("7").body, ask("7").body);
  const json longer = expect(200, "GET", "/api/outlook", ask("14"));
  const auto& first = week["beds"][0]["pests"][0];
  for (std::size_t i = 0; i < 8; ++i)
    EXPECT_EQ(first["days"][i]["stages"], longer["beds"][0]["pests"][0]["days"][i]["stages"]) << "how far one looks changes nothing";
  for (const char* days : {"0", "31", "soon"}) error(422, "quantity.whole_number", "GET", "/api/outlook", ask(days));
  const int before = first["counts"];
  const std::string bytes = event(
      "count_taken", {{"bed", week["beds"][0]["bed"]}, {"pest", first["pest"]}, {"stage", "adult"}, {"plants", 2}, {"count", 3}}, "01", 1);
  ASSERT_EQ(call("POST", "/api/events", bytes).status, 201);
  EXPECT_EQ(expect(200, "GET", "/api/outlook", ask("7"))["beds"][0]["pests"][0]["counts"], before + 1);
}

TEST_F(Api, what_presses_most_comes_first_in_an_outlook) {
  const json outlook = json::parse(call("GET", "/api/outlook").body);
  std::vector<json> counted;
  bool uncounted = false;
  for (const auto& place : outlook["worst"])
    for (const auto& bed : outlook["beds"])
      for (const auto& pest : bed["pests"]) {
        if (bed["bed"] != place["bed"] || pest["pest"] != place["pest"]) continue;
        EXPECT_EQ(pest["taken"].size(), pest["counts"].get<std::size_t>());
        EXPECT_FALSE(uncounted && pest["counts"] > 0) << "counted before believed";
        uncounted = uncounted || pest["counts"] == 0;
        if (pest["counts"] > 0 && !pest["passing"].is_null()) counted.push_back(pest["passing"]);
      }
  ASSERT_GE(counted.size(), 5U);
  for (std::size_t i = 1; i < counted.size(); ++i) {
    const auto &before = counted[i - 1], &after = counted[i];
    EXPECT_TRUE(before["likely"] || !after["likely"]);
    if (before["likely"] && after["likely"]) {
      EXPECT_LE(before["date"].get<std::string>(), after["date"].get<std::string>());
    }
    if (!before["likely"] && !after["likely"]) {
      EXPECT_GE(before["chance"], after["chance"]);
    }
  }
}

TEST_F(Api, a_bed_without_the_pest_or_without_anything_cannot_be_compared) {
  error(404, "server.no_such_bed", "GET", "/api/beds/{bed}/compare", call("GET", "/api/beds/nowhere/compare"));
  error(404, "server.no_such_bed", "GET", "/api/beds/{bed}/pull", call("GET", "/api/beds/nowhere/pull"));
  error(422, "compare.no_host", "GET", "/api/beds/{bed}/compare",
        call("GET", "/api/beds/1/compare", {}, {{"pest", "colorado-potato-beetle"}}));
}

TEST_F(Api, pages_are_served_and_take_no_inline_script) {
  for (const char* path : {"/", "/beds/7", "/board", "/write/count", "/settings", "/seasons", "/seasons/imported-cabbageworm", "/weather",
                           "/outlook", "/outlook/1/imported-cabbageworm", "/beds/1/pull"}) {
    const auto page = call("GET", path);
    EXPECT_EQ(page.status, 200) << path;
    EXPECT_EQ(page.type, "text/html; charset=utf-8");
    EXPECT_EQ(page.body.find(" style="), std::string::npos);
    EXPECT_EQ(page.body.find("<script>"), std::string::npos);
  }
  EXPECT_EQ(call("GET", "/app.js").type, "text/javascript; charset=utf-8");
  EXPECT_EQ(call("GET", "/app.css").type, "text/css; charset=utf-8");
}

TEST_F(Api, a_count_goes_into_the_ledger_and_is_told_by_its_bed) {
  const std::string bed = planted_bed();
  const json before = json::parse(call("GET", "/api/health").body);
  const std::string bytes =
      event("count_taken", {{"bed", bed}, {"pest", "imported-cabbageworm"}, {"stage", "egg"}, {"plants", 2}, {"count", 3}}, "01", 1);
  const json written = expect(201, "POST", "/api/events", call("POST", "/api/events", bytes));
  EXPECT_EQ(written["receipt"]["seq"], before["events"].get<int>() + 1);
  EXPECT_EQ(written["receipt"]["kind"], "appended");
  const json again = expect(201, "POST", "/api/events", call("POST", "/api/events", bytes));
  EXPECT_EQ(again["receipt"]["kind"], "had-it");
  EXPECT_EQ(again["receipt"]["link"], written["receipt"]["link"]);
  const json page = expect(200, "GET", "/api/beds/{bed}", call("GET", "/api/beds/" + bed));
  EXPECT_EQ(page["history"][0]["kind"], "count_taken");
  EXPECT_EQ(page["history"][0]["id"], written["receipt"]["id"]);
  // The same id with other bytes is kept aside, not lost.
  const std::string other =
      event("count_taken", {{"bed", bed}, {"pest", "imported-cabbageworm"}, {"stage", "egg"}, {"plants", 2}, {"count", 4}}, "01", 1);
  EXPECT_EQ(expect(201, "POST", "/api/events", call("POST", "/api/events", other))["receipt"]["kind"], "quarantined");
}

TEST_F(Api, the_ledger_gives_back_the_bytes_it_got) {
  std::string spaced = event("work_done", {{"work", "water"}, {"bed", planted_bed()}}, "02", 1);
  spaced.insert(1, "  ");
  const json written = expect(201, "POST", "/api/events", call("POST", "/api/events", spaced));
  const auto listed = call("GET", "/api/events", {}, {{"from", std::to_string(written["receipt"]["seq"].get<int>())}});
  EXPECT_NE(listed.body.find(spaced), std::string::npos);
}

TEST_F(Api, every_wrong_question_has_the_error_shape) {
  error(404, "server.no_such_bed", "GET", "/api/beds/{bed}", call("GET", "/api/beds/nowhere"));
  error(404, "server.no_such_pest", "GET", "/api/pests/{pest}", call("GET", "/api/pests/unicorn"));
  for (const char* path : {"/api/brief", "/api/board", "/api/garden", "/api/words"}) {
    error(400, "server.lang_unknown", "GET", path, call("GET", path, {}, {{"lang", "tlh"}}));
    error(400, "server.units_unknown", "GET", path, call("GET", path, {}, {{"units", "cubits"}}));
    error(400, "server.at_unreadable", "GET", path, call("GET", path, {}, {{"at", "yesterday"}}));
  }
  for (const char* from : {"-1", "x", "1x", "99999999999999999999999", ""}) {
    error(400, "server.from_unreadable", "GET", "/api/events", call("GET", "/api/events", {}, {{"from", from}}));
  }
  for (const char* body : {"", "{", "[1", "\xff", "{\"a\":1,}"}) {
    error(400, "server.not_json", "POST", "/api/events", call("POST", "/api/events", body));
    error(400, "server.not_json", "POST", "/api/may-treat", call("POST", "/api/may-treat", body));
  }
  error(400, "server.not_json", "POST", "/api/may-treat", call("POST", "/api/may-treat", "[]"));
  const json missing =
      error(422, "event.missing_field", "POST", "/api/may-treat", call("POST", "/api/may-treat", R"({"bed":"1","product":"x"})"));
  EXPECT_EQ(missing["error"]["where"]["field"], "on");
}

TEST_F(Api, an_event_that_makes_no_sense_is_refused_whole) {
  const json before = json::parse(call("GET", "/api/health").body);
  for (const std::string& body :
       {std::string("[]"), std::string("{}"), event("sang", json::object(), "10", 1), event("count_taken", {{"bed", "nowhere"}}, "11", 1),
        event("count_taken", {{"bed", "nowhere"}, {"pest", "imported-cabbageworm"}, {"stage", "egg"}, {"plants", 2}, {"count", 3}}, "12",
              1),
        event("count_taken", {{"bed", planted_bed()}, {"pest", "imported-cabbageworm"}, {"stage", "egg"}, {"plants", 0}, {"count", -3}},
              "13", 1),
        event("application", {{"state", "made"}, {"bed", planted_bed()}, {"product", "Nothing of the kind"}}, "14", 1)}) {
    const auto response = call("POST", "/api/events", body);
    EXPECT_GE(response.status, 400) << body;
    EXPECT_LT(response.status, 500) << body;
    expect(response.status, "POST", "/api/events", response);
  }
  EXPECT_EQ(json::parse(call("GET", "/api/health").body)["events"], before["events"]);
}

// A card copied again: the earlier text stays readable, and what can't be read is told by its field and not kept.
TEST_F(Api, a_card_is_looked_at_and_kept_beside_the_earlier_text) {
  const json before = expect(200, "GET", "/api/cards", call("GET", "/api/cards"));
  ASSERT_FALSE(before["cards"].empty());
  const std::string was = before["cards"][0]["digest"], product = before["cards"][0]["product"];
  const std::string path = "/api/cards/" + was;
  const json old = expect(200, "GET", "/api/cards/{card}", call("GET", path));
  const std::string bad =
      "[card]\nproduct = \"" + product + "\"\n[[use]]\ncrops = [\"group:4-16B\"]\nexcept = [\"BRSJU\"]\npre_harvest_days = -1\n";
  const json wrong = expect(200, "POST", "/api/cards/check", call("POST", "/api/cards/check", json{{"text", bad}}.dump()));
  ASSERT_EQ(wrong["errors"].size(), 1U);
  EXPECT_EQ(wrong["errors"][0]["field"], "use[1].pre_harvest_days");
  EXPECT_EQ(wrong["errors"][0]["line"], 6);
  error(422, "card.impossible", "POST", "/api/cards", call("POST", "/api/cards", json{{"text", bad}}.dump()));
  const std::string good =
      "[card]\nwhole = true\nproduct = \"" + product + "\"\n[[use]]\ncrops = [\"group:4-16B\"]\nexcept = [\"BRSJU\"]\n";
  const json look = expect(200, "POST", "/api/cards/check", call("POST", "/api/cards/check", json{{"text", good}}.dump()));
  EXPECT_TRUE(look["errors"].empty());
  EXPECT_FALSE(look["missing"].empty());
  bool left_out = false;
  for (const auto& member : look["uses"][0]["crops"][0]["members"])
    left_out = left_out || (member["crop"] == "BRSJU" && member["left_out"]);
  EXPECT_TRUE(left_out);
  expect(201, "POST", "/api/cards", call("POST", "/api/cards", json{{"text", good}}.dump()));
  error(409, "card.had_it", "POST", "/api/cards", call("POST", "/api/cards", json{{"text", good}}.dump()));
  const json after = expect(200, "GET", "/api/cards", call("GET", "/api/cards"));
  EXPECT_EQ(after["cards"].size(), before["cards"].size() + 1);
  EXPECT_EQ(expect(200, "GET", "/api/cards/{card}", call("GET", path))["text"], old["text"]);
  error(404, "treat.no_such_card", "GET", "/api/cards/{card}", call("GET", "/api/cards/" + std::string(64, '0')));
}

TEST_F(Api, a_card_is_asked_and_its_answer_decides) {
  std::set<std::string> verdicts;
  const json described = garden();
  int seq = 0;
  for (const auto& bed : described["beds"]) {
    for (const auto& card : described["cards"]) {
      if (bed["plantings"].empty()) continue;
      const json question{{"bed", bed["bed"]}, {"product", card["product"]}, {"rate", "1 floz/gal"}, {"on", described["at"]}};
      const json answer = expect(200, "POST", "/api/may-treat", call("POST", "/api/may-treat", question.dump()));
      ASSERT_FALSE(answer["plantings"].empty());
      const std::string verdict = answer["plantings"][0]["verdict"];
      verdicts.insert(verdict);
      ++seq;
      const json plan{
          {"state", "planned"}, {"bed", bed["bed"]}, {"product", card["product"]}, {"card", answer["card"]}, {"rate", "1 floz/gal"}};
      const auto tried = call("POST", "/api/events", event("application", plan, std::to_string(10 + seq), seq));
      if (verdict == "refused" || verdict == "unknown") {
        const json no = error(422, "treat." + verdict, "POST", "/api/events", tried);
        ASSERT_TRUE(no.contains("judgement")) << no;
        EXPECT_EQ(no["judgement"]["verdict"], verdict);
        EXPECT_FALSE(no["judgement"]["reasons"].empty());
      }
    }
  }
  EXPECT_TRUE(verdicts.contains("refused")) << "the demo shows no refusal";
  EXPECT_TRUE(verdicts.contains("conditional") || verdicts.contains("allowed")) << "the demo shows no permission";
}

TEST_F(Api, a_spray_outside_the_label_locks_its_bed_until_it_is_released) {
  const std::string bed = planted_bed();
  // Before the demo's own now: a release at the very same instant doesn't count as after it.
  const json sprayed{{"happened_at", "2026-06-11T06:00:00-05:00"}, {"state", "made"},       {"bed", bed},
                     {"product", "A bottle without a card"},       {"outside_label", true}, {"detail", "by mistake"}};
  expect(201, "POST", "/api/events", call("POST", "/api/events", event("application", sprayed, "50", 1)));
  const auto pick = [&] {
    const json board = json::parse(call("GET", "/api/board").body);
    for (const auto& row : board["board"])
      if (row["bed"] == bed) return row["pick"].get<std::string>();
    return std::string("no row");
  };
  EXPECT_NE(pick(), "yes");
  EXPECT_EQ(json::parse(call("GET", "/api/beds/" + bed).body)["brief"]["urgency"], "lock");
  const json released{{"basis", "authority"}, {"bed", bed}, {"detail", "letter of today"}};
  expect(201, "POST", "/api/events", call("POST", "/api/events", event("bed_released", released, "51", 2)));
  EXPECT_NE(json::parse(call("GET", "/api/beds/" + bed).body)["brief"]["urgency"], "lock");
}

// A plan locks; made under its id, the sprayed bed's own waits hold instead; called off, the bed is as it was.
TEST_F(Api, a_planned_spray_is_carried_out_or_called_off_by_its_id) {
  const json described = garden();
  json question;
  json judged;
  for (const auto& bed : described["beds"]) {
    for (const auto& card : described["cards"]) {
      if (bed["plantings"].empty() || !question.is_null()) continue;
      const json asked{{"bed", bed["bed"]}, {"product", card["product"]}, {"rate", "1 floz/gal"}, {"on", described["at"]}};
      judged = json::parse(call("POST", "/api/may-treat", asked.dump()).body);
      const std::string verdict = judged["plantings"][0]["verdict"];
      if (verdict == "allowed" || verdict == "conditional") question = asked;
    }
  }
  ASSERT_FALSE(question.is_null());
  const std::string bed = question["bed"];
  const auto page = [&] { return expect(200, "GET", "/api/beds/{bed}", call("GET", "/api/beds/" + bed)); };
  const json untouched = page()["brief"];
  const auto spray = [&](const char* state, const char* id, int seq, json more) {
    json fields{{"state", state}, {"bed", bed}, {"product", question["product"]}, {"card", judged["card"]}, {"rate", "1 floz/gal"}};
    fields.update(more);
    return expect(201, "POST", "/api/events", call("POST", "/api/events", event("application", fields, id, seq)))["receipt"]["id"];
  };
  const json first = spray("planned", "60", 1, json::object());
  ASSERT_EQ(page()["plans"].size(), 1U);
  EXPECT_EQ(page()["plans"][0]["id"], first);
  EXPECT_EQ(page()["brief"]["entry_clear"], "unknown");
  spray("cancelled", "61", 2, {{"plan", first}});
  EXPECT_TRUE(page()["plans"].empty());
  EXPECT_EQ(page()["brief"]["entry_clear"], untouched["entry_clear"]);
  EXPECT_EQ(page()["brief"]["harvest_clear"], untouched["harvest_clear"]);

  const json second = spray("planned", "62", 3, json::object());
  const json made = spray("made", "63", 4, {{"plan", second}});
  EXPECT_TRUE(page()["plans"].empty());
  EXPECT_NE(page()["brief"]["entry_clear"], "unknown");
  EXPECT_NE(page()["brief"]["entry_clear"], untouched["entry_clear"]);
  for (const json& line : page()["history"]) {
    if (line["id"] == made || line["id"] == second) {
      EXPECT_FALSE(line["may_withdraw"].get<bool>()) << line;
    }
  }
  error(422, "treat.made_stays", "POST", "/api/events",
        call("POST", "/api/events", event("amended", {{"target", made}, {"reason", "typed wrong"}}, "65", 6)));
  json again{{"state", "made"},        {"bed", bed},           {"product", question["product"]},
             {"card", judged["card"]}, {"rate", "1 floz/gal"}, {"plan", second}};
  error(422, "garden.plan_finished", "POST", "/api/events", call("POST", "/api/events", event("application", again, "64", 5)));
}

TEST_F(Api, a_withdrawn_saying_stays_in_its_beds_history_with_the_reason_and_who) {
  const std::string bed = planted_bed();
  const json work =
      expect(201, "POST", "/api/events", call("POST", "/api/events", event("work_done", {{"work", "water"}, {"bed", bed}}, "70", 1)));
  const json id = work["receipt"]["id"];
  const auto line = [&] {
    const json answer = json::parse(call("GET", "/api/beds/" + bed).body);
    for (const json& one : answer["history"])
      if (one["id"] == id) return one;
    return json();
  };
  EXPECT_EQ(line()["may_withdraw"], true);
  EXPECT_EQ(line()["amendment"], nullptr);
  error(422, "garden.text_empty", "POST", "/api/events",
        call("POST", "/api/events", event("amended", {{"target", id}, {"reason", ""}, {"by", "lead"}}, "71", 2)));
  expect(201, "POST", "/api/events",
         call("POST", "/api/events", event("amended", {{"target", id}, {"reason", "It was bed 4."}, {"by", "lead"}}, "72", 3)));
  EXPECT_EQ(line()["amendment"]["withdrawn"], true);
  EXPECT_EQ(line()["amendment"]["reason"], "It was bed 4.");
  EXPECT_EQ(line()["amendment"]["by"], "lead");
  EXPECT_EQ(line()["may_withdraw"], false);
  expect(200, "GET", "/api/beds/{bed}", call("GET", "/api/beds/" + bed));
}

}  // namespace
}  // namespace leafturn::server
