#include "io/saying_json.hpp"

#include <array>

#include "io/told_json.hpp"
#include "io/told_words.hpp"

namespace leafturn::io {
namespace {

using namespace garden;
using Ordered = nlohmann::ordered_json;

const std::vector<std::string> unit_words{"metric", "us"};
const std::vector<std::string> setting_words{"residential", "agricultural"};
const std::vector<std::string> work_words{"hand_pick", "crush_eggs", "cover", "uncover", "pull", "water", "release_friends", "clean_up"};
const std::vector<std::string> state_words{"planned", "made", "cancelled"};
const std::vector<std::string> basis_words{"destroyed", "authority"};
const std::vector<std::string> verdict_words{"within_label", "outside_label"};
const std::vector<std::string> use_type_words{"surface", "closed_space", "seed"};
const std::vector<std::string> early_words{"destroyed", "held"};
const std::vector<std::string> exception_words{"no_contact", "short_task", "emergency"};
const std::vector<std::string> file_unit_words{"F", "C", "us", "si", "tenths"};

// The bounds of what the format can say; whether it makes sense in a garden is garden::check's question.
constexpr double most_degrees = 360.0;
constexpr double most_metres = 1e6;
constexpr double most_grams = 1e9;
constexpr double most_litres = 1e7;
constexpr double most_square_metres = 1e9;
constexpr double most_minutes = 1e5;
constexpr std::int64_t most_things = 1'000'000'000;

template <class Enum>
const std::string& word_of(Enum value, const std::vector<std::string>& words) {
  return words[static_cast<std::size_t>(value)];
}
template <class Enum>
Enum value_of(std::size_t index) {
  return static_cast<Enum>(index);
}

void put_text(Ordered& o, const char* name, const std::string& text) {
  if (!text.empty()) o[name] = text;
}
void put_date(Ordered& o, const char* name, const std::optional<Date>& date) {
  if (date) o[name] = date->iso();
}
std::optional<int> as_int(std::optional<std::int64_t> value) { return value ? std::optional<int>(static_cast<int>(*value)) : std::nullopt; }

void write(const GardenDescribed& s, Ordered& o) {
  o["name"] = s.name;
  o["latitude_deg"] = s.latitude.degrees();
  o["longitude_deg"] = s.longitude.degrees();
  o["elevation_m"] = s.elevation.metres();
  o["zone"] = s.zone;
  o["units"] = word_of(s.units, unit_words);
  put_text(o, "jurisdiction", s.jurisdiction);
  if (s.setting) o["setting"] = word_of(*s.setting, setting_words);
  if (s.own_day) o["own_day"] = s.own_day->iso();
  if (s.marked) o["marked"] = *s.marked;
  if (s.produce) o["produce"] = word_of(*s.produce, produce_words);
}
Saying read_garden_described(Fields& f) {
  GardenDescribed s;
  s.name = f.text("name");
  s.latitude = Angle::degrees(f.number("latitude_deg", -most_degrees, most_degrees));
  s.longitude = Angle::degrees(f.number("longitude_deg", -most_degrees, most_degrees));
  s.elevation = Length::metres(f.number("elevation_m", -most_metres, most_metres));
  s.zone = f.text("zone");
  s.units = value_of<Units>(f.word("units", unit_words));
  s.jurisdiction = f.text_or_empty("jurisdiction");
  if (const auto word = f.maybe_word("setting", setting_words)) s.setting = value_of<Setting>(*word);
  s.own_day = f.maybe_civil("own_day");
  s.marked = f.maybe_text("marked");
  if (const auto word = f.maybe_word("produce", produce_words)) s.produce = value_of<Produce>(*word);
  return s;
}

void write(const BedLaid& s, Ordered& o) {
  o["bed"] = s.bed;
  o["x_m"] = s.x.metres();
  o["y_m"] = s.y.metres();
  o["width_m"] = s.width.metres();
  o["length_m"] = s.length.metres();
  if (s.organic) o["organic"] = *s.organic;
  if (s.enclosed) o["enclosed"] = *s.enclosed;
}
Saying read_bed_laid(Fields& f) {
  const auto metres = [&](const char* name) { return Length::metres(f.number(name, -most_metres, most_metres)); };
  BedLaid s;
  s.bed = f.text("bed");
  s.x = metres("x_m");
  s.y = metres("y_m");
  s.width = metres("width_m");
  s.length = metres("length_m");
  s.organic = f.maybe_flag("organic");
  s.enclosed = f.maybe_flag("enclosed");
  return s;
}

void write(const PlantingSown& s, Ordered& o) {
  o["planting"] = s.planting;
  o["bed"] = s.bed;
  o["crop"] = s.crop;
  if (s.plants) o["plants"] = *s.plants;
  put_date(o, "set_out", s.set_out);
  put_date(o, "first_harvest", s.first_harvest);
  put_date(o, "last_harvest", s.last_harvest);
}
Saying read_planting_sown(Fields& f) {
  PlantingSown s;
  s.planting = f.text("planting");
  s.bed = f.text("bed");
  s.crop = f.text("crop");
  s.plants = as_int(f.maybe_whole("plants", -most_things, most_things));
  s.set_out = f.maybe_date("set_out");
  s.first_harvest = f.maybe_date("first_harvest");
  s.last_harvest = f.maybe_date("last_harvest");
  return s;
}

void write(const PlantingRemoved& s, Ordered& o) { o["planting"] = s.planting; }
Saying read_planting_removed(Fields& f) { return PlantingRemoved{f.text("planting")}; }

void write(const CountTaken& s, Ordered& o) {
  o["bed"] = s.bed;
  o["pest"] = s.pest;
  o["stage"] = s.stage;
  o["plants"] = s.plants;
  o["count"] = s.count;
}
Saying read_count_taken(Fields& f) {
  CountTaken s;
  s.bed = f.text("bed");
  s.pest = f.text("pest");
  s.stage = f.text("stage");
  s.plants = static_cast<int>(f.whole("plants", -most_things, most_things));
  s.count = static_cast<int>(f.whole("count", -most_things, most_things));
  return s;
}

void write(const WorkDone& s, Ordered& o) {
  o["work"] = word_of(s.kind, work_words);
  o["bed"] = s.bed;
  put_text(o, "detail", s.detail);
}
Saying read_work_done(Fields& f) {
  WorkDone s;
  s.kind = value_of<WorkDone::Kind>(f.word("work", work_words));
  s.bed = f.text("bed");
  s.detail = f.text_or_empty("detail");
  return s;
}

void put_litres(Ordered& o, const char* name, const std::optional<Volume>& volume) {
  if (volume) o[name] = volume->litres();
}
std::optional<Volume> maybe_litres(Fields& f, const char* name) {
  const auto litres = f.maybe_number(name, -most_litres, most_litres);
  return litres ? std::optional(Volume::litres(*litres)) : std::nullopt;
}
void put_amount(Ordered& o, const std::optional<Amount>& amount) {
  if (!amount) return;
  if (const auto* mass = std::get_if<Mass>(&*amount))
    o["amount_g"] = mass->grams();
  else
    o["amount_l"] = std::get<Volume>(*amount).litres();
}
/// One of the two, or neither.
std::optional<Amount> maybe_amount(Fields& f) {
  const auto litres = maybe_litres(f, "amount_l");
  const auto grams = f.maybe_number("amount_g", -most_grams, most_grams);
  if (litres && grams) f.refuse("event.amount_twice", "amount_g");
  if (grams) return Mass::grams(*grams);
  if (litres) return *litres;
  return std::nullopt;
}

void write(const Used& s, Ordered& o) {
  put_amount(o, s.amount);
  if (s.area) o["area_m2"] = s.area->square_metres();
  put_litres(o, "mixed_l", s.mixed);
  put_litres(o, "leftover_l", s.leftover);
  put_text(o, "lot", s.lot);
  put_text(o, "equipment", s.equipment);
  put_text(o, "nozzle", s.nozzle);
  put_text(o, "method", s.method);
  if (s.type) o["use_type"] = word_of(*s.type, use_type_words);
  if (s.growth_stage) o["growth_stage"] = *s.growth_stage;
  put_text(o, "why", s.why);
  put_text(o, "system_plan", s.system_plan);
}
Used read_used(Fields& f) {
  Used s;
  s.amount = maybe_amount(f);
  if (const auto metres = f.maybe_number("area_m2", -most_square_metres, most_square_metres)) s.area = Area::square_metres(*metres);
  s.mixed = maybe_litres(f, "mixed_l");
  s.leftover = maybe_litres(f, "leftover_l");
  s.lot = f.text_or_empty("lot");
  s.equipment = f.text_or_empty("equipment");
  s.nozzle = f.text_or_empty("nozzle");
  s.method = f.text_or_empty("method");
  if (const auto word = f.maybe_word("use_type", use_type_words)) s.type = value_of<Used::Type>(*word);
  s.growth_stage = as_int(f.maybe_whole("growth_stage", -most_things, most_things));
  s.why = f.text_or_empty("why");
  s.system_plan = f.text_or_empty("system_plan");
  return s;
}

void write(const Application& s, Ordered& o) {
  o["state"] = word_of(s.state, state_words);
  o["bed"] = s.bed;
  put_text(o, "planting", s.planting);
  o["product"] = s.product;
  if (s.card) o["card"] = s.card->hex();
  put_text(o, "rate", s.rate);
  put_text(o, "pest", s.pest);
  if (s.outside_label) o["outside_label"] = true;
  put_text(o, "detail", s.detail);
  if (s.plan) o["plan"] = s.plan->text();
  if (s.not_judged) o["not_judged"] = true;
  write(s.used, o);
  if (s.told.any()) write_told(s.told, o["told"] = Ordered::object());
}
Saying read_application(Fields& f) {
  Application s;
  s.state = value_of<Application::State>(f.word("state", state_words));
  s.bed = f.text("bed");
  s.planting = f.text_or_empty("planting");
  s.product = f.text("product");
  s.card = f.maybe_digest("card");
  s.rate = f.text_or_empty("rate");
  s.pest = f.text_or_empty("pest");
  s.outside_label = f.flag_or_false("outside_label");
  s.detail = f.text_or_empty("detail");
  s.plan = f.maybe_id("plan");
  s.not_judged = f.flag_or_false("not_judged");
  s.used = read_used(f);
  s.told = read_told_within(f);
  return s;
}

void write(const HarvestTaken& s, Ordered& o) {
  o["bed"] = s.bed;
  put_text(o, "planting", s.planting);
  if (s.amount) o["amount_g"] = s.amount->grams();
  put_text(o, "detail", s.detail);
  if (s.early) o["early"] = word_of(*s.early, early_words);
}
Saying read_harvest_taken(Fields& f) {
  HarvestTaken s;
  s.bed = f.text("bed");
  s.planting = f.text_or_empty("planting");
  if (const auto grams = f.maybe_number("amount_g", -most_grams, most_grams)) s.amount = Mass::grams(*grams);
  s.detail = f.text_or_empty("detail");
  if (const auto word = f.maybe_word("early", early_words)) s.early = value_of<HarvestTaken::Early>(*word);
  return s;
}

void write(const HarvestPlanned& s, Ordered& o) {
  o["planting"] = s.planting;
  o["day"] = s.day.iso();
}
Saying read_harvest_planned(Fields& f) {
  HarvestPlanned s;
  s.planting = f.text("planting");
  s.day = f.date("day");
  return s;
}

void write(const CardCopied& s, Ordered& o) {
  o["product"] = s.product;
  o["text"] = s.text.hex();
}
Saying read_card_copied(Fields& f) {
  CardCopied s;
  s.product = f.text("product");
  s.text = f.digest("text");
  return s;
}

void write(const WeatherAdded& s, Ordered& o) {
  o["name"] = s.name;
  o["text"] = s.text.hex();
  if (s.units) o["units"] = word_of(*s.units, file_unit_words);
  put_text(o, "station", s.station);
}
Saying read_weather_added(Fields& f) {
  WeatherAdded s;
  s.name = f.text("name");
  s.text = f.digest("text");
  if (const auto units = f.maybe_word("units", file_unit_words)) s.units = value_of<FileUnits>(*units);
  s.station = f.text_or_empty("station");
  return s;
}

void write(const BedReleased& s, Ordered& o) {
  o["basis"] = word_of(s.basis, basis_words);
  o["bed"] = s.bed;
  put_text(o, "detail", s.detail);
}
Saying read_bed_released(Fields& f) {
  BedReleased s;
  s.basis = value_of<BedReleased::Basis>(f.word("basis", basis_words));
  s.bed = f.text("bed");
  s.detail = f.text_or_empty("detail");
  return s;
}

void write(const ApplicationJudged& s, Ordered& o) {
  o["application"] = s.application.text();
  o["bed"] = s.bed;
  o["verdict"] = word_of(s.verdict, verdict_words);
  if (s.card) o["card"] = s.card->hex();
  put_text(o, "rule", s.rule);
}
Saying read_application_judged(Fields& f) {
  ApplicationJudged s;
  s.application = f.id("application");
  s.bed = f.text("bed");
  s.verdict = value_of<ApplicationJudged::Verdict>(f.word("verdict", verdict_words));
  s.card = f.maybe_digest("card");
  s.rule = f.text_or_empty("rule");
  return s;
}

void write(const EquipmentKept& s, Ordered& o) {
  o["equipment"] = s.equipment;
  put_text(o, "nozzle", s.nozzle);
  put_litres(o, "tank_l", s.tank);
  put_text(o, "detail", s.detail);
}
Saying read_equipment_kept(Fields& f) {
  EquipmentKept s;
  s.equipment = f.text("equipment");
  s.nozzle = f.text_or_empty("nozzle");
  s.tank = maybe_litres(f, "tank_l");
  s.detail = f.text_or_empty("detail");
  return s;
}

void write(const CatchTest& s, Ordered& o) {
  o["equipment"] = s.equipment;
  put_text(o, "nozzle", s.nozzle);
  o["caught_l"] = s.caught.litres();
  o["area_m2"] = s.area.square_metres();
  put_text(o, "detail", s.detail);
}
Saying read_catch_test(Fields& f) {
  CatchTest s;
  s.equipment = f.text("equipment");
  s.nozzle = f.text_or_empty("nozzle");
  s.caught = Volume::litres(f.number("caught_l", -most_litres, most_litres));
  s.area = Area::square_metres(f.number("area_m2", -most_square_metres, most_square_metres));
  s.detail = f.text_or_empty("detail");
  return s;
}

void write(const StockCounted& s, Ordered& o) {
  o["product"] = s.product;
  put_text(o, "lot", s.lot);
  put_amount(o, s.amount);
  put_date(o, "opened", s.opened);
  put_date(o, "expires", s.expires);
  put_text(o, "detail", s.detail);
}
Saying read_stock_counted(Fields& f) {
  StockCounted s;
  s.product = f.text("product");
  s.lot = f.text_or_empty("lot");
  if (const auto amount = maybe_amount(f))
    s.amount = *amount;
  else
    f.refuse("event.amount_missing", "amount_l");
  s.opened = f.maybe_date("opened");
  s.expires = f.maybe_date("expires");
  s.detail = f.text_or_empty("detail");
  return s;
}

void write(const BedEntered& s, Ordered& o) {
  o["bed"] = s.bed;
  if (s.exception) o["exception"] = word_of(*s.exception, exception_words);
  if (s.stayed) o["stayed_min"] = s.stayed->microseconds / 60'000'000;
  put_text(o, "detail", s.detail);
}
Saying read_bed_entered(Fields& f) {
  BedEntered s;
  s.bed = f.text("bed");
  if (const auto word = f.maybe_word("exception", exception_words)) s.exception = value_of<BedEntered::Exception>(*word);
  if (const auto minutes = f.maybe_whole("stayed_min", 0, static_cast<std::int64_t>(most_minutes))) s.stayed = Duration::minutes(*minutes);
  s.detail = f.text_or_empty("detail");
  return s;
}

void write(const SprayBegun& s, Ordered& o) {
  o["plan"] = s.plan.text();
  o["bed"] = s.bed;
  o["product"] = s.product;
  write_at_bed(s.seen, o);
  put_text(o, "despite", s.despite);
}
Saying read_spray_begun(Fields& f) {
  SprayBegun s;
  s.plan = f.id("plan");
  s.bed = f.text("bed");
  s.product = f.text("product");
  s.seen = read_at_bed(f);
  s.despite = f.text_or_empty("despite");
  return s;
}

void write(const AgencyAnswered& s, Ordered& o) {
  o["product"] = s.product;
  o["allows"] = s.allows;
  o["on"] = s.on.iso();
  o["words"] = s.words;
}
Saying read_agency_answered(Fields& f) {
  AgencyAnswered s;
  s.product = f.text("product");
  const auto allows = f.maybe_flag("allows");
  if (!allows) f.refuse("event.missing_field", "allows");
  s.allows = allows.value_or(false);
  s.on = f.date("on");
  s.words = f.text("words");
  return s;
}

using Reader = Saying (*)(Fields&);
// In the order of the variant, whose words kind_word gives.
constexpr std::array<Reader, std::variant_size_v<Saying>> readers{
    read_garden_described, read_bed_laid,     read_planting_sown,      read_planting_removed, read_count_taken,
    read_work_done,        read_application,  read_harvest_taken,      read_harvest_planned,  read_card_copied,
    read_weather_added,    read_bed_released, read_application_judged, read_equipment_kept,   read_catch_test,
    read_stock_counted,    read_bed_entered,  read_spray_begun,        read_agency_answered};

template <std::size_t I = 0>
std::optional<std::size_t> index_of(const std::string& kind) {
  if constexpr (I < std::variant_size_v<Saying>) {
    if (kind_word(Payload{std::variant_alternative_t<I, Saying>{}}) == kind) return I;
    return index_of<I + 1>(kind);
  } else {
    return std::nullopt;
  }
}

}  // namespace

void write_saying(const Saying& saying, Ordered& object) {
  std::visit(
      [&](const auto& s) {
        object["kind"] = std::string(kind_word(Payload{s}));
        write(s, object);
      },
      saying);
}

std::optional<Saying> read_saying_of(const std::string& kind, Fields& fields) {
  const auto index = index_of(kind);
  if (index) return readers[*index](fields);
  fields.refuse("event.unknown_kind", "kind", {{"kind", kind}});
  return std::nullopt;
}

std::optional<Saying> read_saying(Fields& fields) { return read_saying_of(fields.text("kind"), fields); }

}  // namespace leafturn::io
