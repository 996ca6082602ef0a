#include "io/garden_toml.hpp"

#include <toml++/toml.h>
#include <algorithm>
#include <cmath>
#include <optional>

#include "core/base/text.hpp"
#include "io/zone.hpp"

namespace leafturn::io {
namespace {

constexpr std::size_t most_text_bytes = 80;
constexpr std::int32_t seven_o_clock = 7 * 3600;

class Reader {
 public:
  Reader(const toml::table& root, const std::string& file) : root_{root}, file_{file} {}

  Result<GardenToml> run() {
    garden::GardenDescribed& g = out_.described;
    g.name = text("name", true);
    const double latitude = number("latitude", 90.0, "garden.coordinates", true);
    const double longitude = number("longitude", 180.0, "garden.coordinates", true);
    g.latitude = Angle::degrees(latitude);
    g.longitude = Angle::degrees(longitude);
    // From the Dead Sea's shore to the highest fields, with room on both sides.
    g.elevation = Length::metres(number("elevation_m", 9000.0, "garden.elevation", false));
    g.zone = text("zone", true);
    g.jurisdiction = text("jurisdiction", false);
    g.units = word<garden::Units>("units", {{"metric", garden::Units::metric}, {"si", garden::Units::metric}, {"us", garden::Units::us}})
                  .value_or(garden::Units::metric);
    g.setting =
        word<garden::Setting>("setting", {{"residential", garden::Setting::residential}, {"agricultural", garden::Setting::agricultural}});
    if (const std::string marked = text("marked", false); !marked.empty()) g.marked = marked;
    g.own_day = own_day();
    for (const auto& [key, node] : root_) {
      constexpr std::string_view known[] = {"name",         "latitude", "longitude", "elevation_m", "zone",
                                            "jurisdiction", "units",    "setting",   "marked",      "own_day"};
      if (std::find(std::begin(known), std::end(known), key.str()) == std::end(known))
        out_.notes.push_back({"garden.key_ignored", {{"file", file_}, {"key", std::string(key.str())}}});
    }
    if (error_) return fail(std::move(*error_));
    auto zone = load_zone(g.zone);
    if (!zone) {
      Error error = zone.error();
      error.where = {file_, line_of(*root_.get("zone")), "zone"};
      return fail(std::move(error));
    }
    out_.zone = std::move(*zone);
    return std::move(out_);
  }

 private:
  static int line_of(const toml::node& node) { return static_cast<int>(node.source().begin.line); }

  void wrong(std::string code, int line, std::string_view field, std::vector<Fact> facts = {}) {
    if (!error_) error_ = Error{std::move(code), {file_, line, std::string(field)}, std::move(facts), ErrorKind::bad_input};
  }
  const toml::node* node(std::string_view key, bool needed) {
    const toml::node* n = root_.get(key);
    if (n == nullptr && needed) wrong("garden.key_missing", 1, key, {{"key", std::string(key)}});
    return n;
  }

  std::string text(std::string_view key, bool needed) {
    const toml::node* n = node(key, needed);
    if (n == nullptr) return {};
    if (const auto* s = n->as_string()) {
      if (needed && s->get().find_first_not_of(" \t") == std::string::npos)
        wrong("garden.key_missing", line_of(*n), key, {{"key", std::string(key)}});
      if (s->get().size() > most_text_bytes || !is_plain_text(s->get()))
        wrong("garden.wrong_type", line_of(*n), key, {{"wanted", Term{"garden.wanted.text"}}});
      return s->get();
    }
    wrong("garden.wrong_type", line_of(*n), key, {{"wanted", Term{"garden.wanted.text"}}});
    return {};
  }

  double number(std::string_view key, double most, std::string code, bool needed) {
    const toml::node* n = node(key, needed);
    if (n == nullptr) return 0.0;
    const auto value = n->is_number() ? n->value<double>() : std::nullopt;
    if (!value) {
      wrong("garden.wrong_type", line_of(*n), key, {{"wanted", Term{"garden.wanted.number"}}});
      return 0.0;
    }
    if (std::abs(*value) <= most) return *value;
    wrong(std::move(code), line_of(*n), key, {{"key", std::string(key)}, {"most", Number{most, 0}}});
    return 0.0;
  }

  template <class T>
  std::optional<T> word(std::string_view key, std::initializer_list<std::pair<std::string_view, T>> words) {
    const std::string given = text(key, false);
    if (given.empty()) return std::nullopt;
    std::string all;
    for (const auto& [name, value] : words) {
      if (name == given) return value;
      all += (all.empty() ? "" : ", ") + std::string(name);
    }
    wrong("garden.unknown_word", line_of(*root_.get(key)), key, {{"word", given}, {"words", all}});
    return std::nullopt;
  }

  /// A local date-time, or a day: its morning.
  std::optional<CivilTime> own_day() {
    const toml::node* n = root_.get("own_day");
    if (n == nullptr) return std::nullopt;
    const auto date_of = [](const toml::date& d) { return Date::from_ymd(d.year, d.month, d.day); };
    std::optional<CivilTime> out;
    if (const auto* d = n->as_date()) {
      if (const auto date = date_of(d->get())) out = CivilTime{*date, seven_o_clock};
    } else if (const auto* t = n->as_date_time(); t != nullptr && !t->get().offset) {
      if (const auto date = date_of(t->get().date))
        out = CivilTime{*date, t->get().time.hour * 3600 + t->get().time.minute * 60 + t->get().time.second};
    } else if (const auto* s = n->as_string()) {
      out = CivilTime::parse(s->get());
      if (out && Date::parse(s->get())) out->second_of_day = seven_o_clock;
    }
    if (!out) wrong("garden.wrong_type", line_of(*n), "own_day", {{"wanted", Term{"garden.wanted.local_time"}}});
    return out;
  }

  const toml::table& root_;
  const std::string& file_;
  GardenToml out_;
  std::optional<Error> error_;
};

}  // namespace

Result<GardenToml> read_garden_toml(std::string_view bytes, const std::string& name) {
  try {
    return Reader(toml::parse(bytes, name), name).run();
  } catch (const toml::parse_error& e) {
    return fail("garden.not_toml", {name, static_cast<int>(e.source().begin.line), {}}, {{"why", std::string(e.description())}});
  }
}

}  // namespace leafturn::io
