// The dossiers built in: every figure traceable, every word there in both languages, and what people call stages.
#include <gtest/gtest.h>

#include <regex>

#include "io/dossier_toml.hpp"
#include "words/catalogue.hpp"

namespace leafturn {
namespace {

const pest::Library& library() {
  static const auto found = io::built_in_library();
  if (!found) ADD_FAILURE() << found.error().code << " " << found.error().where.file << ":" << found.error().where.line;
  return *found;
}

void expect_word(const std::string& key) {
  for (const auto language : {words::Language::en, words::Language::es})
    EXPECT_TRUE(words::has_key(key, language)) << key << " has no word in " << words::code_for(language);
}

void expect_source(const pest::Source& source, const std::string& what) {
  EXPECT_FALSE(source.citation.empty()) << what;
  EXPECT_EQ(source.known == pest::Known::practice, source.citation == "common practice, no source") << what;
  if (source.known == pest::Known::fitted) {
    EXPECT_FALSE(source.note.empty()) << what << " is fitted to nothing named";
  }
}

TEST(Library, holds_the_first_three_pests_and_at_least_twelve_crops) {
  for (const char* id : {"harlequin-bug", "imported-cabbageworm", "colorado-potato-beetle"}) ASSERT_NE(library().pest(id), nullptr) << id;
  EXPECT_EQ(library().pest("pierra"), library().pest("Imported Cabbageworm"));
  EXPECT_EQ(library().pest("LPTNDE"), library().pest("colorado-potato-beetle"));
  EXPECT_EQ(library().pest(""), nullptr);
  EXPECT_EQ(library().pest("no-such-pest"), nullptr);
  EXPECT_GE(library().crops.size(), 12U);
  EXPECT_EQ(library().crop("brsoc"), library().crop("kale"));
  EXPECT_EQ(library().crop("XXXXX"), nullptr);
}

TEST(Library, every_figure_says_where_it_comes_from_and_how_it_is_known) {
  for (const auto& d : library().pests) {
    if (!d.eppo.empty()) expect_source(d.eppo_source, d.id + " eppo");
    expect_source(d.biofix.source, d.id + " biofix");
    if (d.diapause) expect_source(d.diapause->critical_hours.source, d.id + " diapause");
    if (d.laying.per_mass) expect_source(d.laying.per_mass->source, d.id + " per_mass");
    if (d.laying.fecundity) expect_source(d.laying.fecundity->source, d.id + " fecundity");
    for (const auto& s : d.stages) {
      const std::string where = d.id + " " + s.key;
      expect_source(pest::source_of(s.rate.model), where);
      if (const auto* linear = s.rate.linear()) {
        expect_source(linear->lower.source, where);
        if (linear->upper) expect_source(linear->upper->source, where);
        if (linear->lethal) expect_source(linear->lethal->source, where);
      }
      if (s.share) expect_source(s.share->source, where + " share");
      expect_source(s.spread.source, where);
    }
    for (const auto& h : d.hosts) expect_source(h.source, d.id + " host " + h.crop);
    for (const auto& t : d.thresholds) expect_source(t.value.source, d.id + " threshold");
    for (const auto& e : d.efficacies) expect_source(e.source, d.id + " " + e.means);
    for (const auto& f : d.figures) expect_source(f.source, d.id + " " + f.what);
    if (d.laying.interval_days) expect_source(d.laying.interval_days->source, d.id + " interval_days");
    if (d.migrant_north_of) expect_source(d.migrant_north_of->source, d.id + " migrant");
    if (d.winter_kill) expect_source(d.winter_kill->source, d.id + " winter_kill");
    for (const auto& one : d.sets) expect_source(pest::source_of(one.model), d.id + " set " + one.id);
    for (const auto& one : d.dispersions) expect_source(one.source, d.id + " dispersion");
    for (const auto& one : d.sampling) expect_source(one.source, d.id + " sampling");
    for (const auto& one : d.damages) expect_source(one.source, d.id + " damage");
    for (const auto& one : d.signs) expect_source(one.source, d.id + " sign");
    for (const auto& one : d.look_alikes) expect_source(one.source, d.id + " look-alike " + one.id);
    for (const auto& one : d.enemies) expect_source(one.source, d.id + " enemy " + one.scientific);
    EXPECT_FALSE(d.gaps.empty()) << d.id << " claims to know everything";
  }
  for (const auto& f : library().friends) {
    for (const auto& one : f.prey) expect_source(one.source, f.id + " prey " + one.pest);
    for (const auto& s : f.stages) expect_source(pest::source_of(s.rate.model), f.id + " " + s.key);
    for (const auto& one : f.signs) expect_source(one.source, f.id + " sign");
    for (const auto& one : f.figures) expect_source(one.source, f.id + " " + one.what);
    EXPECT_FALSE(f.gaps.empty()) << f.id << " claims to know everything";
  }
  for (const auto& c : library().crops) {
    expect_source(c.eppo_source, c.id);
    for (const auto& g : c.label_groups) expect_source(g.source, c.id + " " + g.group);
    for (const auto& g : c.part_groups) expect_source(g.source, c.id + " " + g.group);
  }
}

TEST(Library, an_active_ingredient_is_offered_on_cited_efficacy_only) {
  // Memory and custom may say that hands work; a spray needs somebody's measurement.
  for (const auto& d : library().pests)
    for (const auto& e : d.efficacies)
      if (e.is_active) {
        EXPECT_TRUE(e.source.known == pest::Known::seen || e.source.known == pest::Known::seen_second) << d.id << " " << e.means;
      }
}

TEST(Library, codes_are_well_formed) {
  const std::regex species("[A-Z]{5}[A-Z]?");
  const std::regex family("1[A-Z]{3}F");
  const std::regex family_long("1[A-Z]{4,5}");
  for (const auto& d : library().pests) EXPECT_TRUE(d.eppo.empty() || std::regex_match(d.eppo, species)) << d.id;
  for (const auto& c : library().crops) {
    EXPECT_TRUE(std::regex_match(c.eppo, species)) << c.id;
    EXPECT_TRUE(std::regex_match(c.family, family) || std::regex_match(c.family, family_long)) << c.id << " " << c.family;
  }
}

TEST(Library, everything_has_its_words_in_both_languages) {
  for (const auto& d : library().pests) {
    for (const char* what : {".name", ".plural", ".the", ".damage"}) expect_word("pest." + d.id + what);
    for (const auto& s : d.stages) {
      expect_word("stage." + s.key);
      expect_word("stage." + std::string(pest::word_for(s.group)));
      expect_word("place." + s.place);
      expect_word("pest." + d.id + ".look." + s.key);
    }
    for (const auto& t : d.thresholds) {
      expect_word("stage." + t.stage);
      if (!t.growth.empty()) expect_word("growth." + t.growth);
    }
    for (const auto& e : d.efficacies)
      if (!e.is_active) expect_word("means." + e.means);
    for (const auto& one : d.signs) expect_word("sign." + one.character + "." + one.state);
    for (const auto& one : d.look_alikes) {
      expect_word("look_alike." + one.id + ".name");
      expect_word("look_alike." + one.id + ".tell");
    }
  }
  for (const auto& f : library().friends) {
    for (const char* what : {".name", ".plural", ".look", ".spare"}) expect_word("friend." + f.id + what);
    for (const auto& one : f.signs) expect_word("sign." + one.character + "." + one.state);
  }
  for (const auto& c : library().crops) {
    expect_word("crop." + c.eppo);
    expect_word("family." + c.family);
    for (const auto& p : c.parts) expect_word("part." + p);
  }
  for (const char* known : {"seen", "seen-2nd", "memory", "fitted", "practice"}) expect_word(std::string("known.") + known);
}

TEST(Library, a_group_of_one_part_never_stands_for_the_whole_plant) {
  const auto& turnip = *library().crop("turnip");
  EXPECT_TRUE(turnip.label_groups.empty());
  EXPECT_FALSE(turnip.part_groups.empty());
}

std::vector<std::string> keys(const char* pest, std::string_view word) {
  const auto& d = *library().pest(pest);
  std::vector<std::string> out;
  for (const auto i : pest::stages_for(d, word).stages) out.push_back(d.stages[i].key);
  return out;
}

using Keys = std::vector<std::string>;

TEST(StageWords, keys_groups_and_plurals) {
  for (const char* word : {"egg", "eggs", "EGGS"}) EXPECT_EQ(keys("harlequin-bug", word), Keys{"egg"}) << word;
  EXPECT_EQ(keys("harlequin-bug", "nymphs").size(), 5U);
  EXPECT_EQ(keys("harlequin-bug", "larvae"), Keys{});
  EXPECT_EQ(keys("imported-cabbageworm", "caterpillars").size(), 5U);
  EXPECT_EQ(keys("colorado-potato-beetle", "caterpillars"), Keys{});
  for (const char* word : {"adult", "adults", "beetle", "Beetles"})
    EXPECT_EQ(keys("colorado-potato-beetle", word), (Keys{"adult-new", "adult-laying"})) << word;
  EXPECT_EQ(keys("imported-cabbageworm", "beetle"), Keys{});
  EXPECT_EQ(keys("imported-cabbageworm", "butterflies").size(), 2U);
  EXPECT_EQ(keys("imported-cabbageworm", "adult laying"), Keys{"adult-laying"});
}

TEST(StageWords, instars_in_all_their_spellings) {
  for (const char* word :
       {"larva-3", "larva 3", "larva3", "L3", "l3", "instar-3", "instar 3", "3rd instar", "third instar", "third_instar_larvae"})
    EXPECT_EQ(keys("imported-cabbageworm", word), Keys{"larva-3"}) << word;
  for (const char* word : {"N5", "nymph5", "instar 5", "fifth instar nymph"})
    EXPECT_EQ(keys("harlequin-bug", word), Keys{"nymph-5"}) << word;
  for (const char* word : {"L5", "L0", "L33", "N1", "third", "3", "stage"}) EXPECT_EQ(keys("colorado-potato-beetle", word), Keys{}) << word;
}

TEST(StageWords, sizes_split_before_the_last_two_instars) {
  EXPECT_EQ(keys("colorado-potato-beetle", "small larvae"), (Keys{"larva-1", "larva-2"}));
  EXPECT_EQ(keys("colorado-potato-beetle", "large-larva"), (Keys{"larva-3", "larva-4"}));
  EXPECT_EQ(keys("harlequin-bug", "small nymphs"), (Keys{"nymph-1", "nymph-2", "nymph-3"}));
  EXPECT_EQ(keys("harlequin-bug", "small adults"), Keys{});
  EXPECT_EQ(keys("harlequin-bug", "feeding").size(), 7U);
}

TEST(StageWords, masses_only_where_eggs_are_laid_in_masses) {
  const auto word = pest::stages_for(*library().pest("harlequin-bug"), "egg masses");
  EXPECT_TRUE(word.masses);
  EXPECT_EQ(word.stages.size(), 1U);
  EXPECT_FALSE(pest::stages_for(*library().pest("harlequin-bug"), "eggs").masses);
  EXPECT_TRUE(pest::stages_for(*library().pest("imported-cabbageworm"), "egg masses").stages.empty());
}

}  // namespace
}  // namespace leafturn
