#include "io/garden_files.hpp"

#include <algorithm>
#include <array>
#include <iterator>
#include <map>
#include <optional>
#include <unordered_map>

#include "core/base/sha256.hpp"
#include "io/card_toml.hpp"
#include "io/garden_rows.hpp"
#include "io/garden_toml.hpp"
#include "io/weather_file.hpp"

namespace leafturn::io {
namespace {

using garden::Application;
using garden::WorkDone;

constexpr std::int32_t noon = 12 * 3600;
constexpr std::int32_t last_second = 24 * 3600 - 1;
constexpr int most_plants = 1'000'000;

/// When a planting stood, as far as the rows say.
struct Stand {
  std::string planting, crop;
  std::optional<Date> from, to;
  std::optional<int> plants;
};
struct Bed {
  std::vector<Stand> stands;
  std::vector<Date> pulls;  ///< days on which all that had stood before was pulled

  /// Its last day, as far as anybody said; what was set out on the day of a pull came after it.
  std::optional<Date> end_of(const Stand& stand) const {
    std::optional<Date> end = stand.to;
    for (const Date pull : pulls)
      if ((!stand.from || *stand.from < pull) && (!end || pull < *end)) end = pull;
    return end;
  }
};

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return out;
}

bool is_crop_code(std::string_view code) {
  return (code.size() == 5 || code.size() == 6) &&
         std::all_of(code.begin(), code.end(), [](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); });
}

class Reader {
 public:
  Reader(const std::vector<NamedBytes>& files, const pest::Library& library) : library_{library} {
    for (const NamedBytes& file : files) files_[file.name] = &file;
  }

  Result<GardenFiles> run() {
    for (const auto step : {&Reader::garden, &Reader::beds, &Reader::plantings, &Reader::cards, &Reader::weather, &Reader::pulls,
                            &Reader::counts, &Reader::actions})
      if (auto done = (this->*step)(); !done) return fail(done.error());
    note_other_files();
    put_together();
    return std::move(out_);
  }

 private:
  const NamedBytes* file(const std::string& name) const {
    const auto found = files_.find(name);
    return found == files_.end() ? nullptr : found->second;
  }
  Status needed(const std::string& name) const {
    if (file(name) != nullptr) return {};
    return fail("garden.file_missing", {name, 0, {}}, {{"file", name}}, ErrorKind::not_found);
  }
  std::vector<const NamedBytes*> folder(std::string_view prefix, std::string_view ending) const {
    std::vector<const NamedBytes*> found;
    for (const auto& [name, bytes] : files_)
      if (name.starts_with(prefix) && name.ends_with(ending)) found.push_back(bytes);
    return found;
  }

  void dated(Instant at) {
    if (!first_ || at < *first_) first_ = at;
  }
  void dated(Date day) { dated(zone_.start_of(day)); }

  Status garden() {
    if (auto there = needed("garden.toml"); !there) return there;
    auto read = read_garden_toml(file("garden.toml")->bytes, "garden.toml");
    if (!read) return fail(read.error());
    zone_ = std::move(read->zone);
    described_ = std::move(read->described);
    out_.notes = std::move(read->notes);
    if (described_.own_day) dated(described_.own_day->date);
    return {};
  }

  Status beds() {
    if (auto there = needed("beds.csv"); !there) return there;
    const auto table = GardenTable::read(file("beds.csv")->bytes, "beds.csv", {"bed", "x_m", "y_m", "width_m", "length_m"}, {}, out_.notes);
    if (!table) return fail(table.error());
    for (std::size_t i = 0; i < table->size(); ++i) {
      const auto name = table->text(i, "bed");
      if (!name) return fail(name.error());
      if (!beds_.try_emplace(*name).second) return fail("garden.bed_twice", table->where(i, "bed"), {{"bed", *name}});
      // A plot of ten kilometres and a bed of one bound what a slip of the decimal point can do.
      const auto x = table->number(i, "x_m", -10'000, 10'000);
      const auto y = table->number(i, "y_m", -10'000, 10'000);
      const auto width = table->number(i, "width_m", 0, 1000);
      const auto length = table->number(i, "length_m", 0, 1000);
      for (const auto* value : {&x, &y, &width, &length})
        if (!*value) return fail(value->error());
      for (const auto& [value, column] : {std::pair{*width, "width_m"}, std::pair{*length, "length_m"}})
        if (!(value > 0.0)) return fail("garden.bed_without_size", table->where(i, column), {{"bed", *name}});
      laid_.push_back({garden::BedLaid{*name, Length::metres(*x), Length::metres(*y), Length::metres(*width), Length::metres(*length)},
                       {},
                       {},
                       table->where(i, "bed")});
    }
    if (laid_.empty()) return fail("garden.no_beds", {"beds.csv", 1, "bed"});
    return {};
  }

  Result<Bed*> bed(const GardenTable& table, std::size_t row) {
    const auto name = table.text(row, "bed");
    if (!name) return fail(name.error());
    const auto found = beds_.find(*name);
    if (found != beds_.end()) return &found->second;
    std::vector<std::string> names;
    for (const auto& [known, stands] : beds_) names.push_back(known);
    return fail("garden.no_such_bed", table.where(row, "bed"), {{"bed", *name}, {"nearest", nearest_words(*name, std::move(names), 3)}});
  }

  Status plantings() {
    if (file("plantings.csv") == nullptr) return {};
    const auto table = GardenTable::read(file("plantings.csv")->bytes, "plantings.csv", {"planting", "bed", "crop"},
                                         {"plants", "set_out", "first_harvest", "last_harvest", "removed"}, out_.notes);
    if (!table) return fail(table.error());
    std::unordered_map<std::string, int> lines;
    for (std::size_t i = 0; i < table->size(); ++i) {
      const auto name = table->text(i, "planting");
      if (!name) return fail(name.error());
      if (const auto [at, fresh] = lines.try_emplace(*name, table->line(i)); !fresh)
        return fail("garden.planting_exists", table->where(i, "planting"), {{"planting", *name}, {"line", std::int64_t{at->second}}});
      const auto in = bed(*table, i);
      if (!in) return fail(in.error());
      auto crop = table->text(i, "crop");
      if (!crop) return fail(crop.error());
      std::transform(crop->begin(), crop->end(), crop->begin(),
                     [](char c) { return c >= 'a' && c <= 'z' ? static_cast<char>(c - 'a' + 'A') : c; });
      if (!is_crop_code(*crop))
        return fail("garden.crop_unreadable", table->where(i, "crop"), {{"crop", std::string(table->cell(i, "crop"))}});
      if (library_.crop(*crop) == nullptr && strange_crops_.insert({*crop, true}).second)
        out_.notes.push_back({"garden.crop_without_dossier", {{"crop", *crop}}});
      if (auto done = planting(*table, i, *name, *crop, **in); !done) return done;
    }
    return {};
  }

  Status planting(const GardenTable& table, std::size_t i, const std::string& name, const std::string& crop, Bed& in) {
    garden::PlantingSown sown{name, std::string(table.cell(i, "bed")), crop, {}, {}, {}, {}};
    if (!table.cell(i, "plants").empty()) {
      const auto plants = table.whole(i, "plants", 1, most_plants);
      if (!plants) return fail(plants.error());
      sown.plants = *plants;
    }
    std::array<std::optional<Date>, 4> days;
    constexpr std::array columns = {"set_out", "first_harvest", "last_harvest", "removed"};
    std::optional<Date> earliest;
    std::string before;
    std::optional<Date> latest;
    for (std::size_t k = 0; k < columns.size(); ++k) {
      const auto day = table.day(i, columns[k]);
      if (!day) return fail(day.error());
      days[k] = *day;
      if (!*day) continue;
      dated(**day);
      if (!earliest) earliest = *day;
      if (latest && **day < *latest)
        return fail("garden.dates_reversed", table.where(i, columns[k]), {{"earlier", std::string(columns[k])}, {"later", before}});
      latest = *day;
      before = columns[k];
    }
    sown.set_out = days[0];
    sown.first_harvest = days[1];
    sown.last_harvest = days[2];
    in.stands.push_back({name, crop, days[0], days[3], sown.plants});
    // Without any day the planting has stood as long as the garden; `put_together` gives it that time.
    const std::optional<Instant> at = earliest ? std::optional{zone_.start_of(*earliest)} : std::nullopt;
    planted_.push_back({std::move(sown), at, {}, table.where(i, "planting")});
    // A planting that was cleared stood until the day's end: counts of that morning belong to it.
    if (days[3]) planted_.push_back({garden::PlantingRemoved{name}, zone_.instant({*days[3], last_second}), {}, table.where(i, "removed")});
    return {};
  }

  Status cards() {
    for (const NamedBytes* card_file : folder("cards/", ".toml")) {
      auto card = read_card_toml(card_file->bytes, card_file->name);
      if (!card) return fail(card.error());
      const Digest digest = sha256(card_file->bytes);
      if (!digests_.try_emplace(lower(card->product), digest).second)
        return fail("garden.card_twice", {card_file->name, 1, "card.product"}, {{"product", card->product}});
      documents_.push_back({garden::CardCopied{card->product, digest}, {}, card->copied_by, {card_file->name, 1, {}}});
      out_.blobs.push_back(*card_file);
    }
    return {};
  }

  Status weather() {
    WeatherReading in_own_units;
    in_own_units.units = described_.units == garden::Units::us ? UnitsChoice::us : UnitsChoice::si;
    for (const NamedBytes* weather_file : folder("weather/", ".csv")) {
      auto daily = read_weather(weather_file->bytes, weather_file->name);
      if (!daily && daily.error().code == "weather.units_needed")
        daily = read_weather(weather_file->bytes, weather_file->name, in_own_units);
      if (!daily) return fail(daily.error());
      // A forecast wasn't known before it was made; what was recorded is dated by its own days, whenever the file came.
      const std::optional<Instant> at = daily->issued ? std::optional{zone_.start_of(*daily->issued)} : std::nullopt;
      const std::string name = weather_file->name.substr(std::string_view{"weather/"}.size());
      documents_.push_back({garden::WeatherAdded{name, sha256(weather_file->bytes)}, at, {}, {weather_file->name, 1, {}}});
      out_.blobs.push_back(*weather_file);
    }
    return {};
  }

  const pest::Dossier* pest_called(const std::string& name) {
    const auto [at, fresh] = pests_.try_emplace(name, nullptr);
    if (fresh) at->second = library_.pest(name);
    return at->second;
  }

  /// Pulls end plantings, so counts are held against them. What is wrong with the file is said when all of it is read.
  Status pulls() {
    if (file("actions.csv") == nullptr) return {};
    std::vector<Reason> said_later;
    const auto table = GardenTable::read(file("actions.csv")->bytes, "actions.csv", {"time", "bed", "action"}, {}, said_later);
    for (std::size_t i = 0; table && i < table->size(); ++i) {
      const auto in = beds_.find(std::string(table->cell(i, "bed")));
      if (table->cell(i, "action") != "pull" || in == beds_.end()) continue;
      if (const auto at = table->time(i, "time", zone_, noon)) in->second.pulls.push_back(zone_.civil(*at).date);
    }
    return {};
  }

  /// A planting can't be pulled and stand on.
  Status pull_agrees(const GardenTable& table, std::size_t row, const Bed& in, Date day) const {
    for (const Stand& s : in.stands)
      if (s.to && (!s.from || *s.from < day) && *s.to > day + Days{1})
        return fail("garden.pulled_and_standing", table.where(row, "time"),
                    {{"bed", std::string(table.cell(row, "bed"))}, {"planting", s.planting}, {"day", day}, {"removed", *s.to}});
    return {};
  }

  /// Counted where nothing stands that it lives on: kept, since somebody saw it, but nothing can be made of it.
  void note_without_host(const GardenTable& table, std::size_t row, const Bed& in, Date day, const pest::Dossier& dossier) {
    for (const Stand& s : in.stands) {
      const auto end = in.end_of(s);
      const bool stood = (!s.from || *s.from <= day) && (!end || *end >= day);
      if (stood &&
          std::any_of(dossier.hosts.begin(), dossier.hosts.end(), [&](const auto& h) { return h.crop == s.crop && h.preference > 0; }))
        return;
    }
    out_.notes.push_back({"garden.count_without_host",
                          {{"line", std::int64_t{table.line(row)}},
                           {"bed", std::string(table.cell(row, "bed"))},
                           {"pest", Term{"pest." + dossier.id + ".name"}}}});
  }

  Status counts() {
    if (file("counts.csv") == nullptr) return {};
    const auto table =
        GardenTable::read(file("counts.csv")->bytes, "counts.csv", {"time", "bed", "pest", "stage", "plants", "count"}, {"by"}, out_.notes);
    if (!table) return fail(table.error());
    said_.reserve(table->size());
    for (std::size_t i = 0; i < table->size(); ++i) {
      const auto at = table->time(i, "time", zone_, noon);
      if (!at) return fail(at.error());
      const auto in = bed(*table, i);
      if (!in) return fail(in.error());
      const auto pest = table->text(i, "pest");
      if (!pest) return fail(pest.error());
      const pest::Dossier* dossier = pest_called(*pest);
      if (dossier == nullptr)
        return fail("garden.unknown_pest", table->where(i, "pest"), {{"pest", *pest}, {"nearest", nearest_pests(*pest, library_)}});
      const auto stage = table->text(i, "stage");
      if (!stage) return fail(stage.error());
      if (!has_stage(*dossier, *stage))
        return fail("garden.unknown_stage", table->where(i, "stage"),
                    {{"stage", *stage}, {"pest", dossier->id}, {"words", stage_words(*dossier)}});
      const auto plants = table->whole(i, "plants", 1, most_plants);
      if (!plants) return fail(plants.error());
      const auto count = table->whole(i, "count", 0, most_plants);
      if (!count) return fail(count.error());
      const Date day = zone_.civil(*at).date;
      if (auto stands = standing(*table, i, **in, day, *plants); !stands) return stands;
      note_without_host(*table, i, **in, day, *dossier);
      dated(*at);
      said_.push_back({garden::CountTaken{std::string(table->cell(i, "bed")), dossier->id, *stage, *plants, *count}, *at,
                       std::string(table->cell(i, "by")), table->where(i, "count")});
    }
    return {};
  }

  /// Something must have stood there on that day, and not fewer plants than were looked at.
  Status standing(const GardenTable& table, std::size_t row, const Bed& in, Date day, int looked_at) const {
    const std::string name(table.cell(row, "bed"));
    const Stand* next = nullptr;
    std::int64_t plants = 0;
    bool any = false;
    bool all_known = true;
    for (const Stand& s : in.stands) {
      if (const auto end = in.end_of(s); end && *end < day) continue;
      if (s.from && *s.from > day) {
        if (next == nullptr || *s.from < *next->from) next = &s;
        continue;
      }
      any = true;
      all_known = all_known && s.plants.has_value();
      plants += s.plants.value_or(0);
    }
    if (!any && next != nullptr)
      return fail("garden.count_before_planting", table.where(row, "time"),
                  {{"bed", name}, {"planting", next->planting}, {"day", *next->from}});
    if (!any) return fail("garden.bed_empty", table.where(row, "bed"), {{"bed", name}, {"day", day}});
    if (all_known && looked_at > plants)
      return fail("garden.count_impossible", table.where(row, "plants"), {{"bed", name}, {"standing", plants}});
    return {};
  }

  bool has_stage(const pest::Dossier& dossier, const std::string& word) {
    const auto [at, fresh] = stages_.try_emplace({&dossier, word}, false);
    if (fresh) at->second = !pest::stages_for(dossier, word).stages.empty();
    return at->second;
  }
  Status actions() {
    if (file("actions.csv") == nullptr) return {};
    const auto table =
        GardenTable::read(file("actions.csv")->bytes, "actions.csv", {"time", "bed", "action"}, {"product", "rate", "detail"}, out_.notes);
    if (!table) return fail(table.error());
    for (std::size_t i = 0; i < table->size(); ++i) {
      const auto action = table->text(i, "action");
      if (!action) return fail(action.error());
      const bool spray = *action == "spray";
      // A spray known only by its day is taken at the day's end, so that no waiting time is cut short.
      const auto at = table->time(i, "time", zone_, spray ? last_second : noon);
      if (!at) return fail(at.error());
      const auto in = bed(*table, i);
      if (!in) return fail(in.error());
      auto saying = spray ? application(*table, i) : work(*table, i, *action);
      if (!saying) return fail(saying.error());
      if (*action == "pull")
        if (auto agrees = pull_agrees(*table, i, **in, zone_.civil(*at).date); !agrees) return agrees;
      dated(*at);
      said_.push_back({std::move(*saying), *at, {}, table->where(i, "action")});
    }
    return {};
  }

  Result<garden::Saying> application(const GardenTable& table, std::size_t i) const {
    const auto product = table.text(i, "product");
    if (!product) return fail(product.error());
    Application a;
    a.bed = std::string(table.cell(i, "bed"));
    a.product = *product;
    // A record stays a record: the rate is kept as written, and without a card nothing is said about the label.
    a.rate = std::string(table.cell(i, "rate"));
    a.detail = std::string(table.cell(i, "detail"));
    if (const auto card = digests_.find(lower(*product)); card != digests_.end()) a.card = card->second;
    return a;
  }

  static Result<garden::Saying> work(const GardenTable& table, std::size_t i, const std::string& action) {
    constexpr std::array<std::pair<std::string_view, WorkDone::Kind>, 6> kinds = {{{"hand-pick", WorkDone::Kind::hand_pick},
                                                                                   {"crush-eggs", WorkDone::Kind::crush_eggs},
                                                                                   {"cover", WorkDone::Kind::cover},
                                                                                   {"uncover", WorkDone::Kind::uncover},
                                                                                   {"pull", WorkDone::Kind::pull},
                                                                                   {"water", WorkDone::Kind::water}}};
    for (const auto& [word, kind] : kinds) {
      if (word != action) continue;
      for (const std::string_view column : {"product", "rate"})
        if (!table.cell(i, column).empty()) return fail("garden.product_without_spray", table.where(i, column), {{"action", action}});
      return WorkDone{kind, std::string(table.cell(i, "bed")), std::string(table.cell(i, "detail"))};
    }
    return fail("garden.unknown_action", table.where(i, "action"),
                {{"action", action}, {"words", std::string("hand-pick, crush-eggs, spray, cover, uncover, pull, water")}});
  }

  void note_other_files() {
    constexpr std::array<std::string_view, 5> known = {"garden.toml", "beds.csv", "plantings.csv", "counts.csv", "actions.csv"};
    for (const auto& [name, bytes] : files_) {
      const bool read = std::find(known.begin(), known.end(), name) != known.end() ||
                        (name.starts_with("cards/") && name.ends_with(".toml")) || (name.starts_with("weather/") && name.ends_with(".csv"));
      if (!read) out_.notes.push_back({"garden.file_ignored", {{"file", name}}});
    }
  }

  /// What has no day of its own has been there since New Year of the first year any row speaks of (of 2000 where none does).
  void put_together() {
    const int year = first_ ? zone_.civil(*first_).date.year() : 2000;
    const Instant founded = zone_.start_of(*Date::from_ymd(year, 1, 1));
    const auto add = [&](std::vector<Undated>& from) {
      for (Undated& u : from) out_.said.push_back({std::move(u.saying), u.at.value_or(founded), std::move(u.by), std::move(u.where)});
    };
    std::vector<Said> rows = std::move(said_);
    out_.said.reserve(1 + laid_.size() + planted_.size() + documents_.size() + rows.size());
    out_.said.push_back({std::move(described_), founded, {}, {"garden.toml", 1, {}}});
    add(laid_);
    add(planted_);
    add(documents_);
    std::move(rows.begin(), rows.end(), std::back_inserter(out_.said));
  }

  struct Undated {
    garden::Saying saying;
    std::optional<Instant> at;
    std::string by;
    Where where;
  };

  const pest::Library& library_;
  std::map<std::string, const NamedBytes*> files_;  ///< by name, so that their order on disk doesn't matter
  GardenFiles out_;
  garden::GardenDescribed described_;
  Zone zone_;
  std::optional<Instant> first_;
  std::map<std::string, Bed> beds_;
  std::map<std::string, bool> strange_crops_;
  std::map<std::string, Digest> digests_;  ///< of cards, by product in lower case
  std::unordered_map<std::string, const pest::Dossier*> pests_;
  std::map<std::pair<const pest::Dossier*, std::string>, bool> stages_;
  std::vector<Undated> laid_, planted_, documents_;
  std::vector<Said> said_;
};

}  // namespace

Result<GardenFiles> read_garden_files(const std::vector<NamedBytes>& files, const pest::Library& library) {
  return Reader(files, library).run();
}

}  // namespace leafturn::io
