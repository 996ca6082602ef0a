// The catalogue against itself (both languages alike) and against the sources (every code has its words).
#include <gtest/gtest.h>

#include <algorithm>
#include <map>
#include <regex>
#include <set>

#include "tests/support/sources.hpp"
#include "words/catalogue.hpp"
#include "words/load_toml.hpp"
#include "words/template.hpp"

namespace leafturn::words {
namespace {

const std::vector<std::string> rooms{"core", "io", "store", "fetch", "app", "paper", "render", "server", "cli", "words"};

bool ends_with(const std::string& text, std::string_view end) {
  return text.size() >= end.size() && text.compare(text.size() - end.size(), end.size(), end) == 0;
}

/// All matches of `pattern`'s first group in the C++ of every room, with the files they are in.
std::map<std::string, std::string> literals(const std::string& pattern) {
  const std::regex wanted(pattern);
  std::map<std::string, std::string> found;
  for (const auto& room : rooms)
    for (const auto& file : test::source_files(room, {".cpp", ".hpp"})) {
      const std::string text = test::without_comments(file.text);
      for (std::sregex_iterator it(text.begin(), text.end(), wanted), end; it != end; ++it) found.emplace((*it)[1].str(), file.path);
    }
  return found;
}

TEST(Catalogue, files_are_well_formed_and_keys_are_there_once) {
  for (const char* language : {"en", "es"}) {
    const Loaded loaded = load_language(language);
    EXPECT_GT(loaded.entries.size(), 40U);
    for (const auto& problem : loaded.problems) ADD_FAILURE() << problem;
  }
}

TEST(Catalogue, a_broken_file_or_a_second_equal_key_is_told) {
  Loaded loaded;
  add_file("a.toml", "[x]\ny = \"1\"\nz = 3\n", loaded);
  add_file("b.toml", "x.y = \"2\"\n", loaded);
  add_file("c.toml", "x = \n", loaded);
  ASSERT_EQ(loaded.problems.size(), 3U);
  EXPECT_EQ(loaded.problems[0], "a.toml: x.z is not a text");
  EXPECT_EQ(loaded.problems[1], "b.toml: x.y is there twice");
  EXPECT_EQ(loaded.problems[2].substr(0, 15), "c.toml: line 1:");
  EXPECT_EQ(loaded.entries.at("x.y"), "1");
}

TEST(Catalogue, both_languages_have_the_same_keys) {
  for (const auto& [key, text] : all(Language::en)) EXPECT_TRUE(has_key(key, Language::es)) << key << " has no Spanish";
  for (const auto& [key, text] : all(Language::es)) EXPECT_TRUE(has_key(key, Language::en)) << key << " has no English";
}

TEST(Catalogue, every_template_is_well_formed_and_asks_for_the_same_facts) {
  for (const auto& [key, text] : all(Language::en)) {
    const auto facts = facts_of(text);
    EXPECT_TRUE(facts) << "en " << key << ": " << text;
    const auto other = all(Language::es).find(key);
    if (other == all(Language::es).end()) continue;
    const auto spanish = facts_of(other->second);
    EXPECT_TRUE(spanish) << "es " << key << ": " << other->second;
    EXPECT_EQ(facts, spanish) << key << " asks for other facts in Spanish\n  " << text << "\n  " << other->second;
  }
}

TEST(Catalogue, no_text_is_empty_or_untidy) {
  for (const Language language : {Language::en, Language::es})
    for (const auto& [key, text] : all(language)) {
      const std::string where = std::string(code_for(language)) + " " + key + ": \"" + text + "\"";
      EXPECT_FALSE(text.empty()) << where;
      if (text.empty()) continue;
      EXPECT_FALSE(text.front() == ' ' || text.back() == ' ') << where << " has a space at its end";
      EXPECT_EQ(text.find("  "), std::string::npos) << where << " has two spaces";
      if (key.rfind("error.", 0) == 0 && ends_with(key, ".what")) {
        EXPECT_NE(text.back(), '.') << where << ": the place and a colon follow";
      }
    }
}

TEST(Catalogue, spanish_is_not_left_in_english) {
  // Long sentences that are equal in both languages were not translated.
  for (const auto& [key, text] : all(Language::en)) {
    const auto other = all(Language::es).find(key);
    if (other == all(Language::es).end() || std::count(text.begin(), text.end(), ' ') < 4) continue;
    EXPECT_NE(text, other->second) << key;
  }
}

TEST(Catalogue, errors_come_as_what_and_do) {
  for (const auto& [key, text] : all(Language::en)) {
    if (key.rfind("error.", 0) != 0) continue;
    ASSERT_TRUE(ends_with(key, ".what") || ends_with(key, ".do")) << key;
    const std::string stem = key.substr(0, key.rfind('.'));
    EXPECT_TRUE(has_key(stem + ".what", Language::en) && has_key(stem + ".do", Language::en)) << stem;
  }
}

TEST(Catalogue, every_error_in_the_sources_has_its_words) {
  for (const auto& [code, file] : literals(R"re(\bfail\(\s*"([^"]+)")re"))
    for (const Language language : {Language::en, Language::es})
      for (const char* part : {".what", ".do"})
        EXPECT_TRUE(has_key("error." + code + part, language)) << file << ": error." << code << part << " has no " << code_for(language);
}

TEST(Catalogue, every_key_named_in_the_sources_is_there) {
  std::set<std::string> topics;
  for (const auto& [key, text] : all(Language::en)) {
    const std::string rest = key.rfind("error.", 0) == 0 ? key.substr(6) : key;
    topics.insert(rest.substr(0, rest.find('.')));
  }
  const std::set<std::string> endings{"toml", "csv", "json", "db", "js", "css", "html", "hpp", "what", "do", "tsv", "md", "ics", "pdf"};
  // Fields of people's files that read like keys.
  const std::set<std::string> fields{"card.setting",      "card.copied_on",   "card.copied_by", "card.product",
                                     "card.registration", "card.formulation", "biofix.stage"};
  for (const auto& [key, file] : literals(R"re("([a-z_]+(?:\.[A-Za-z0-9_-]+)*\.[A-Za-z0-9_-]*[A-Za-z0-9])")re")) {
    if (topics.count(key.substr(0, key.find('.'))) == 0 || endings.count(key.substr(key.rfind('.') + 1)) != 0 || fields.count(key) != 0)
      continue;
    EXPECT_TRUE(has_key(key, Language::en) || has_key("error." + key + ".what", Language::en)) << file << ": " << key << " has no words";
  }
}

}  // namespace
}  // namespace leafturn::words
