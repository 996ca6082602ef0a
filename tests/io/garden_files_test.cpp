#include "io/garden_files.hpp"

#include <algorithm>
#include <filesystem>
#include <map>

#include "core/base/sha256.hpp"
#include "io/dossier_toml.hpp"
#include "io/zone.hpp"
#include "tests/support/data.hpp"

namespace leafturn::io {
namespace {

namespace fs = std::filesystem;

const pest::Library& library() {
  static const pest::Library built_in = built_in_library().value();
  return built_in;
}

using Files = std::map<std::string, std::string>;

Files folder(const std::string& relative) {
  Files files;
  const fs::path root = test::source_path(relative);
  for (const auto& entry : fs::recursive_directory_iterator(root))
    if (entry.is_regular_file()) files[fs::relative(entry.path(), root).generic_string()] = test::read_file(entry.path().string());
  return files;
}

Result<GardenFiles> read(const Files& files) {
  std::vector<NamedBytes> list;
  for (const auto& [name, bytes] : files) list.push_back({name, bytes});
  std::reverse(list.begin(), list.end());  // the order on disk says nothing
  return read_garden_files(list, library());
}

template <class T>
std::vector<std::pair<T, Said>> all(const GardenFiles& g) {
  std::vector<std::pair<T, Said>> out;
  for (const Said& s : g.said)
    if (const T* what = std::get_if<T>(&s.saying)) out.emplace_back(*what, s);
  return out;
}

class GardenFilesTest : public testing::Test {
 protected:
  Files files = folder("tests/io/garden");
  Zone zone = *load_zone("America/Chicago");
  std::string local(Instant t) const { return zone.civil(t).iso(); }
};

TEST_F(GardenFilesTest, ReadsAGarden) {
  const auto g = read(files);
  ASSERT_TRUE(g.has_value()) << g.error().code << " " << g.error().where.file << ":" << g.error().where.line << " "
                             << g.error().where.field;
  const auto described = std::get<garden::GardenDescribed>(g->said.front().saying);
  EXPECT_EQ(described.name, "Two Gates");
  EXPECT_EQ(described.zone, "America/Chicago");
  EXPECT_EQ(described.units, garden::Units::us);
  EXPECT_EQ(described.setting, garden::Setting::agricultural);
  EXPECT_EQ(described.jurisdiction, "US-WI");
  EXPECT_EQ(described.own_day->iso(), "2025-06-20T07:30:00");
  EXPECT_EQ(described.marked, "invented");
  EXPECT_DOUBLE_EQ(described.longitude.degrees(), -89.4);
  EXPECT_DOUBLE_EQ(described.elevation.metres(), 264);
  EXPECT_EQ(local(g->said.front().happened_at), "2025-01-01T00:00:00");

  const auto beds = all<garden::BedLaid>(*g);
  ASSERT_EQ(beds.size(), 3U);
  EXPECT_EQ(beds[2].first.bed, "north edge");
  EXPECT_DOUBLE_EQ(beds[2].first.length.metres(), 12.5);
  EXPECT_EQ(beds[2].second.where.line, 4);

  const auto plantings = all<garden::PlantingSown>(*g);
  ASSERT_EQ(plantings.size(), 4U);
  EXPECT_EQ(plantings[1].first.crop, "BRSOA");
  EXPECT_EQ(plantings[1].first.plants, 30);
  EXPECT_EQ(plantings[1].first.last_harvest, Date::from_ymd(2025, 6, 5));
  EXPECT_EQ(local(plantings[1].second.happened_at), "2025-04-20T00:00:00");
  EXPECT_FALSE(plantings[3].first.set_out || plantings[3].first.plants);
  EXPECT_EQ(local(plantings[3].second.happened_at), "2025-01-01T00:00:00");
  const auto removed = all<garden::PlantingRemoved>(*g);
  ASSERT_EQ(removed.size(), 1U);
  EXPECT_EQ(removed[0].first.planting, "kale-0");
  EXPECT_EQ(local(removed[0].second.happened_at), "2025-06-06T23:59:59");

  const auto counts = all<garden::CountTaken>(*g);
  ASSERT_EQ(counts.size(), 4U);
  EXPECT_EQ(local(counts[0].second.happened_at), "2025-06-03T12:00:00");  // only the day is known
  EXPECT_EQ(local(counts[1].second.happened_at), "2025-06-06T08:10:00");  // on the morning the planting was cleared
  EXPECT_EQ(counts[1].first.pest, "imported-cabbageworm");                // by EPPO code
  EXPECT_EQ(counts[2].second.happened_at, *Instant::parse("2025-06-17T12:15:00Z"));
  EXPECT_EQ(counts[2].second.by, "Ben");
  EXPECT_EQ(counts[3].first.count, 0);
}

TEST_F(GardenFilesTest, SpraysKeepWhatWasWrittenAndTheCardOfTheDay) {
  const auto g = read(files);
  ASSERT_TRUE(g.has_value());
  const auto sprays = all<garden::Application>(*g);
  ASSERT_EQ(sprays.size(), 2U);
  EXPECT_EQ(sprays[0].first.card, sha256(files["cards/demo-oil-one.toml"]));
  EXPECT_EQ(sprays[0].first.rate, "1 floz/gal");
  EXPECT_EQ(local(sprays[0].second.happened_at), "2025-06-12T23:59:59");  // only the day is known: waiting times aren't cut short
  EXPECT_FALSE(sprays[1].first.card);
  EXPECT_FALSE(sprays[1].first.outside_label);
  EXPECT_EQ(sprays[1].first.rate, "a capful");
  const auto work = all<garden::WorkDone>(*g);
  ASSERT_EQ(work.size(), 2U);
  EXPECT_EQ(work[0].first.kind, garden::WorkDone::Kind::hand_pick);
  EXPECT_EQ(work[0].first.detail, "eggs, too");
}

TEST_F(GardenFilesTest, CardsAndWeatherAreBlobsInTheOrderOfTheirSayings) {
  const auto g = read(files);
  ASSERT_TRUE(g.has_value());
  std::vector<Digest> said;
  for (const Said& s : g->said) {
    if (const auto* card = std::get_if<garden::CardCopied>(&s.saying)) said.push_back(card->text);
    if (const auto* weather = std::get_if<garden::WeatherAdded>(&s.saying)) said.push_back(weather->text);
  }
  std::vector<Digest> kept;
  for (const NamedBytes& b : g->blobs) kept.push_back(sha256(b.bytes));
  EXPECT_EQ(said, kept);
  EXPECT_EQ(kept.size(), 3U);
  // A forecast isn't known before it is made.
  for (const auto& [weather, s] : all<garden::WeatherAdded>(*g))
    EXPECT_EQ(local(s.happened_at), weather.name == "forecast.csv" ? "2025-06-20T00:00:00" : "2025-01-01T00:00:00");
}

TEST_F(GardenFilesTest, NotesWhatMeansNothingHere) {
  files["readme.csv"] = "a\n1\n";
  files["beds.csv"] = "bed,x_m,y_m,width_m,length_m,soil\n1,0,0,1,8,clay\n2,2,0,1,8,\nnorth edge,4,0,1,8,\n";
  files["garden.toml"] += "colour = \"green\"\n";
  const auto g = read(files);
  ASSERT_TRUE(g.has_value());
  std::vector<std::string> codes;
  for (const Reason& r : g->notes) codes.push_back(r.code);
  EXPECT_EQ(codes, (std::vector<std::string>{"garden.key_ignored", "garden.column_ignored", "garden.crop_without_dossier",
                                             "garden.file_ignored"}));
}

TEST_F(GardenFilesTest, OnlyGardenAndBedsAreNeeded) {
  const Files two = {{"garden.toml", files["garden.toml"]}, {"beds.csv", files["beds.csv"]}};
  const auto g = read(two);
  ASSERT_TRUE(g.has_value()) << g.error().code;
  EXPECT_EQ(g->said.size(), 4U);
  for (const auto& [name, bytes] : two) {
    Files less = two;
    less.erase(name);
    const auto failed = read(less);
    ASSERT_FALSE(failed.has_value());
    EXPECT_EQ(failed.error().code, "garden.file_missing");
    EXPECT_EQ(failed.error().where.file, name);
  }
}

TEST_F(GardenFilesTest, NamesWhatWasMeant) {
  files["counts.csv"] = "time,bed,pest,stage,plants,count\n2025-06-03,1,imported-cabageworm,egg,10,4\n";
  const auto g = read(files);
  ASSERT_FALSE(g.has_value());
  const auto& facts = g.error().facts;
  const auto nearest = std::find_if(facts.begin(), facts.end(), [](const Fact& f) { return f.name == "nearest"; });
  ASSERT_NE(nearest, facts.end());
  EXPECT_TRUE(std::get<std::string>(nearest->value).starts_with("imported-cabbageworm")) << std::get<std::string>(nearest->value);
}

struct Broken {
  const char* garden;  ///< folder whose files replace those of the good garden
  const char* code;
  const char* file;
  int line;
  const char* field;
};

TEST_F(GardenFilesTest, BrokenGardensAreRefusedWithFileLineAndField) {
  const Broken rows[] = {
      {"no-beds-row", "garden.no_beds", "beds.csv", 1, "bed"},
      {"bed-twice", "garden.bed_twice", "beds.csv", 4, "bed"},
      {"bed-width-text", "garden.not_a_number", "beds.csv", 2, "width_m"},
      {"bed-flat", "garden.bed_without_size", "beds.csv", 2, "length_m"},
      {"beds-column", "garden.column_missing", "beds.csv", 1, "width_m"},
      {"beds-short-row", "csv.row_length", "beds.csv", 3, nullptr},
      {"garden-syntax", "garden.not_toml", "garden.toml", 2, ""},
      {"garden-no-zone", "garden.key_missing", "garden.toml", 1, "zone"},
      {"garden-zone", "zone.unknown", "garden.toml", 4, "zone"},
      {"garden-latitude", "garden.coordinates", "garden.toml", 2, "latitude"},
      {"garden-units", "garden.unknown_word", "garden.toml", 5, "units"},
      {"planting-bed", "garden.no_such_bed", "plantings.csv", 2, "bed"},
      {"planting-twice", "garden.planting_exists", "plantings.csv", 3, "planting"},
      {"planting-crop", "garden.crop_unreadable", "plantings.csv", 2, "crop"},
      {"planting-dates", "garden.dates_reversed", "plantings.csv", 2, "first_harvest"},
      {"planting-day", "garden.not_a_day", "plantings.csv", 2, "set_out"},
      {"count-pest", "garden.unknown_pest", "counts.csv", 2, "pest"},
      {"count-stage", "garden.unknown_stage", "counts.csv", 3, "stage"},
      {"count-before", "garden.count_before_planting", "counts.csv", 2, "time"},
      {"count-gap", "garden.count_before_planting", "counts.csv", 2, "time"},
      {"count-more-plants", "garden.count_impossible", "counts.csv", 2, "plants"},
      {"count-half", "garden.not_whole", "counts.csv", 2, "count"},
      {"count-time", "garden.not_a_time", "counts.csv", 2, "time"},
      {"count-year", "garden.day_far_off", "counts.csv", 2, "time"},
      {"action-word", "garden.unknown_action", "actions.csv", 2, "action"},
      {"action-no-product", "garden.cell_missing", "actions.csv", 2, "product"},
      {"action-product", "garden.product_without_spray", "actions.csv", 2, "product"},
      {"weather-text", nullptr, "weather/station.csv", 3, nullptr},
      {"card-broken", "card.wrong_type", "cards/demo-oil-one.toml", 5, "use[1].pre_harvest_days"},
      {"card-twice", "garden.card_twice", "cards/other.toml", 1, "card.product"},
  };
  for (const Broken& row : rows) {
    Files mixed = files;
    for (auto& [name, bytes] : folder(std::string("tests/io/broken/gardens/") + row.garden)) mixed[name] = bytes;
    const auto g = read(mixed);
    ASSERT_FALSE(g.has_value()) << row.garden;
    if (row.code != nullptr) {
      EXPECT_EQ(g.error().code, row.code) << row.garden;
    }
    EXPECT_EQ(g.error().where.file, row.file) << row.garden;
    EXPECT_EQ(g.error().where.line, row.line) << row.garden;
    if (row.field != nullptr) {
      EXPECT_EQ(g.error().where.field, row.field) << row.garden;
    }
  }
}

TEST_F(GardenFilesTest, AHundredThousandRows) {
  std::string counts = "time,bed,pest,stage,plants,count,by\n";
  for (int i = 0; i < 100'000; ++i)
    counts += "2025-06-" + std::to_string(10 + i % 20) + "T07:" + std::to_string(10 + i % 50) + ",1,imported-cabbageworm,larva,10," +
              std::to_string(i % 7) + ",Ada\n";
  files["counts.csv"] = counts;
  const auto g = read(files);
  ASSERT_TRUE(g.has_value());
  EXPECT_EQ(all<garden::CountTaken>(*g).size(), 100'000U);
}

}  // namespace
}  // namespace leafturn::io
