// The directions and the conditions of a card.
#include "io/card_lines_toml.hpp"
#include "io/quantity_text.hpp"
#include "io/spray_text.hpp"

namespace leafturn::io {
namespace {

using label::ProductRate;
using label::Stated;

constexpr double ten_years = 3650.0;
constexpr double year_of_hours = 8784.0;

bool per_area(const ProductRate& rate) {
  return rate.basis == ProductRate::Basis::volume_per_area || rate.basis == ProductRate::Basis::mass_per_area;
}

class UseLines {
 public:
  UseLines(const toml::table& t, std::string path, CardLines& lines) : t_{t}, path_{std::move(path)}, lines_{lines} {}

  label::Use run() {
    u_.line = CardLines::line_of(t_);
    const std::size_t wrong_before = lines_.errors().size();
    lines_.codes(t_, "crops", path_, true, u_.crops);
    if (u_.crops.empty() && lines_.errors().size() == wrong_before) lines_.wrong("card.field_missing", t_, field("crops"));
    lines_.codes(t_, "except", path_, false, u_.except);
    using label::Method;
    u_.method = lines_.word<Method>(t_, "method", path_,
                                    {{"foliar", Method::foliar},
                                     {"soil", Method::soil},
                                     {"chemigation", Method::chemigation},
                                     {"dust", Method::dust},
                                     {"bait", Method::bait},
                                     {"seed", Method::seed}});
    if (const toml::node* node = t_.get("pests")) pests(*node);
    if (const toml::node* node = t_.get("rate")) rate(*node);
    if (const toml::node* node = t_.get("water")) water(*node);
    u_.pre_harvest_days = lines_.number(t_, "pre_harvest_days", path_, ten_years, "days");
    u_.interval_days = lines_.number(t_, "interval_days", path_, ten_years, "days");
    u_.feed_days = lines_.number(t_, "feed_days", path_, ten_years, "days");
    if (const toml::node* node = t_.get("reentry_hours")) reentry(*node);
    u_.max_applications = lines_.count(t_, "max_applications", path_);
    u_.max_consecutive = lines_.count(t_, "max_consecutive", path_);
    u_.max_product = limit("max_product");
    u_.max_active = limit("max_active");
    if (const toml::node* node = t_.get("plant_back")) plant_back(*node);
    if (const toml::node* node = t_.get("growth_stage")) growth_stage(*node);
    u_.bloom_ban = lines_.yes_no(t_, "bloom_ban", path_);
    u_.greenhouse = lines_.yes_no(t_, "greenhouse", path_);
    using label::Adjuvant;
    u_.adjuvant = lines_.word<Adjuvant>(t_, "adjuvant", path_,
                                        {{"required", Adjuvant::required}, {"allowed", Adjuvant::allowed}, {"banned", Adjuvant::banned}});
    if (const auto words = lines_.words(t_, "words", path_); words.value() != nullptr) u_.words = *words.value();
    lines_.keep_unknown(t_, path_, {"crops",           "except",           "method",        "pests",         "rate",
                                    "water",           "pre_harvest_days", "reentry_hours", "interval_days", "max_applications",
                                    "max_consecutive", "max_product",      "max_active",    "plant_back",    "growth_stage",
                                    "bloom_ban",       "greenhouse",       "adjuvant",      "feed_days",     "words"});
    return std::move(u_);
  }

 private:
  std::string field(std::string_view key) const { return path_ + "." + std::string(key); }

  void rate(const toml::node& node) {
    const toml::table* t = node.as_table();
    if (t == nullptr) {
      u_.rate_min = u_.rate_max = lines_.rate(node, field("rate"));
      return;
    }
    if (const toml::node* low = t->get("min")) u_.rate_min = lines_.rate(*low, field("rate.min"));
    if (const toml::node* high = t->get("max")) u_.rate_max = lines_.rate(*high, field("rate.max"));
    lines_.keep_unknown(*t, field("rate"), {"min", "max"});
    in_order(u_.rate_min.value(), u_.rate_max.value(), node, field("rate"));
  }

  void in_order(const ProductRate* low, const ProductRate* high, const toml::node& node, const std::string& where) {
    if (low == nullptr || high == nullptr) return;
    const std::vector<Fact> facts = {{"min", low->as_given}, {"max", high->as_given}};
    if (low->basis != high->basis) return lines_.wrong("card.rate_bases_differ", node, where, facts);
    if (low->value > high->value * (1.0 + 1e-9)) lines_.wrong("card.min_above_max", node, where, facts);
  }

  Stated<double> water_bound(const toml::node& node, const std::string& where) {
    if (CardLines::says_none(node)) return Stated<double>::none_stated();
    const auto* s = node.as_string();
    const auto read = s == nullptr ? Result<spray::SprayVolume>(fail("quantity.empty")) : parse_spray_volume(s->get(), where);
    if (read) return Stated<double>::given(read->litres_per_square_metre());
    lines_.wrong_type(node, where, "water");
    return {};
  }
  void water(const toml::node& node) {
    const toml::table* t = node.as_table();
    if (t == nullptr) {
      u_.water_min = u_.water_max = water_bound(node, field("water"));
      return;
    }
    if (const toml::node* low = t->get("min")) u_.water_min = water_bound(*low, field("water.min"));
    if (const toml::node* high = t->get("max")) u_.water_max = water_bound(*high, field("water.max"));
    lines_.keep_unknown(*t, field("water"), {"min", "max"});
    const double* low = u_.water_min.value();
    const double* high = u_.water_max.value();
    if (low != nullptr && high != nullptr && *low > *high * (1.0 + 1e-9)) lines_.wrong_type(node, field("water"), "water");
  }

  /// `"PLUTMA"`, or `{ pest = "PLUTMA", rate = … }` where the label gives that pest a rate of its own.
  void pests(const toml::node& node) {
    if (CardLines::says_none(node)) {
      u_.pests = Stated<std::vector<label::PestDirection>>::none_stated();
      return;
    }
    std::vector<label::PestDirection> found;
    const auto take = [&](const toml::node& item) {
      label::PestDirection direction;
      const toml::table* t = item.as_table();
      const toml::node* name = t == nullptr ? &item : t->get("pest");
      if (name == nullptr) return lines_.wrong("card.field_missing", item, field("pests.pest"));
      if (auto word = lines_.code(*name, field("pests"), false)) direction.pest = std::move(*word);
      if (t != nullptr) own_rate(*t, direction);
      if (!direction.pest.empty()) found.push_back(std::move(direction));
    };
    if (const toml::array* items = node.as_array())
      for (const toml::node& item : *items) take(item);
    else
      take(node);
    if (!found.empty()) u_.pests = Stated<std::vector<label::PestDirection>>::given(std::move(found));
  }
  void own_rate(const toml::table& t, label::PestDirection& direction) {
    lines_.keep_unknown(t, field("pests"), {"pest", "rate"});
    const toml::node* node = t.get("rate");
    if (node == nullptr) return;
    const std::string where = field("pests.rate");
    const auto end = [&](const toml::node* at) -> std::optional<ProductRate> {
      if (at == nullptr) return std::nullopt;
      const auto read = lines_.rate(*at, where);
      return read.value() == nullptr ? std::nullopt : std::optional{*read.value()};
    };
    const toml::table* ends = node->as_table();
    direction.rate_min = end(ends == nullptr ? node : ends->get("min"));
    direction.rate_max = end(ends == nullptr ? node : ends->get("max"));
    if (direction.rate_min && direction.rate_max) in_order(&*direction.rate_min, &*direction.rate_max, *node, where);
  }

  void reentry(const toml::node& node) {
    const auto* s = node.as_string();
    if (s != nullptr && s->get() == "until-dry") {
      u_.reentry = Stated<label::Reentry>::given({0.0, true});
      return;
    }
    const Stated<double> hours = lines_.number(node, field("reentry_hours"), 0.0, year_of_hours, "reentry");
    if (hours.says_none()) u_.reentry = Stated<label::Reentry>::none_stated();
    if (const double* h = hours.value()) u_.reentry = Stated<label::Reentry>::given({*h, false});
  }

  /// `{ amount = "6 qt/acre", per = "season" }`.
  Stated<label::AmountLimit> limit(std::string_view key) {
    const toml::node* node = t_.get(key);
    if (node == nullptr) return {};
    if (CardLines::says_none(*node)) return Stated<label::AmountLimit>::none_stated();
    const toml::table* t = node->as_table();
    const toml::node* amount = t == nullptr ? nullptr : t->get("amount");
    if (amount == nullptr) {
      lines_.wrong_type(*node, field(key), "limit");
      return {};
    }
    lines_.keep_unknown(*t, field(key), {"amount", "per"});
    const auto most = lines_.rate(*amount, field(key) + ".amount");
    using label::Scope;
    const auto per =
        lines_.word<Scope>(*t, "per", field(key),
                           {{"application", Scope::application}, {"crop", Scope::crop}, {"season", Scope::season}, {"year", Scope::year}});
    if (most.value() == nullptr) return {};
    if (!per.value() || !per_area(*most.value())) {
      lines_.wrong_type(*node, field(key), "limit");
      return {};
    }
    return Stated<label::AmountLimit>::given({*most.value(), *per.value()});
  }

  /// `[{ crop = "BRSOK", days = 30 }, { crop = "other", days = 120 }]`.
  void plant_back(const toml::node& node) {
    if (CardLines::says_none(node)) {
      u_.plant_back = Stated<std::vector<label::PlantBack>>::none_stated();
      return;
    }
    const toml::array* items = node.as_array();
    if (items == nullptr || items->empty()) return lines_.wrong_type(node, field("plant_back"), "plant_back");
    std::vector<label::PlantBack> found;
    for (const toml::node& item : *items) {
      const toml::table* t = item.as_table();
      const toml::node* crop = t == nullptr ? nullptr : t->get("crop");
      const Stated<double> days = t == nullptr ? Stated<double>{} : lines_.number(*t, "days", field("plant_back"), ten_years, "days");
      if (crop == nullptr || days.value() == nullptr) return lines_.wrong_type(item, field("plant_back"), "plant_back");
      const auto* any = crop->as_string();
      std::string code;
      if (any == nullptr || any->get() != "other") {
        auto read = lines_.code(*crop, field("plant_back"), true);
        if (!read) return;
        code = std::move(*read);
      }
      found.push_back({std::move(code), *days.value()});
    }
    u_.plant_back = Stated<std::vector<label::PlantBack>>::given(std::move(found));
  }

  void growth_stage(const toml::node& node) {
    if (CardLines::says_none(node)) {
      u_.growth_stage = Stated<label::StageWindow>::none_stated();
      return;
    }
    const toml::array* ends = node.as_array();
    const auto stage = [&](std::size_t i) { return ends->get(i)->value<int>().value_or(-1); };
    if (ends == nullptr || ends->size() != 2 || stage(0) < 0 || stage(1) > 99 || stage(0) > stage(1))
      return lines_.wrong_type(node, field("growth_stage"), "stages");
    u_.growth_stage = Stated<label::StageWindow>::given({stage(0), stage(1)});
  }

  const toml::table& t_;
  std::string path_;
  CardLines& lines_;
  label::Use u_;
};

class ConditionLines {
 public:
  ConditionLines(const toml::table& t, CardLines& lines) : t_{t}, lines_{lines} {}

  label::Conditions run() {
    c_.temp_min = temperature("min_temp");
    c_.temp_max = temperature("max_temp");
    c_.wind_min = speed("min_wind");
    c_.wind_max = speed("max_wind");
    c_.buffer = length("buffer");
    c_.water_buffer = length("water_buffer");
    const auto percent = lines_.number(t_, "min_humidity", path, 100.0, "percent");
    if (percent.says_none()) c_.humidity_min = Stated<double>::none_stated();
    if (const double* p = percent.value()) c_.humidity_min = Stated<double>::given(*p / 100.0);
    c_.inversion_ban = lines_.yes_no(t_, "inversion_ban", path);
    using label::Droplets;
    c_.droplets = lines_.word<Droplets>(t_, "droplets", path,
                                        {{"very-fine", Droplets::very_fine},
                                         {"fine", Droplets::fine},
                                         {"medium", Droplets::medium},
                                         {"coarse", Droplets::coarse},
                                         {"very-coarse", Droplets::very_coarse},
                                         {"extremely-coarse", Droplets::extremely_coarse},
                                         {"ultra-coarse", Droplets::ultra_coarse}});
    c_.rainfast_hours = lines_.number(t_, "rainfast_hours", path, 1000.0, "hours");
    c_.oil_sulfur_days = lines_.number(t_, "oil_sulfur_days", path, 3650.0, "days");
    bees();
    if (const auto words = lines_.words(t_, "bees_words", path); words.value() != nullptr) c_.bees_words = *words.value();
    return std::move(c_);
  }

 private:
  static constexpr const char* path = "conditions";
  static std::string field(std::string_view key) { return std::string(path) + "." + std::string(key); }

  /// `max_temp = "85F"` as printed, or `max_temp_c = 29.4` in the unit its name says.
  template <class Q>
  Stated<Q> quantity(std::string_view key, std::string_view suffix, double least, double most, std::string_view wanted,
                     Result<Q> (*read)(std::string_view, const std::string&), Q (*make)(double)) {
    if (const toml::node* node = t_.get(key)) {
      if (CardLines::says_none(*node)) return Stated<Q>::none_stated();
      const auto* s = node->as_string();
      const Result<Q> q = s == nullptr ? Result<Q>(fail("quantity.empty")) : read(s->get(), field(key));
      if (q) return Stated<Q>::given(*q);
      lines_.wrong_type(*node, field(key), wanted);
      return {};
    }
    const std::string plain = std::string(key) + std::string(suffix);
    const toml::node* node = t_.get(plain);
    if (node == nullptr) return {};
    const Stated<double> value = lines_.number(*node, field(plain), least, most, wanted);
    if (value.says_none()) return Stated<Q>::none_stated();
    return value.value() == nullptr ? Stated<Q>{} : Stated<Q>::given(make(*value.value()));
  }
  Stated<Temperature> temperature(std::string_view key) {
    return quantity<Temperature>(key, "_c", -50.0, 70.0, "temperature", parse_temperature, Temperature::celsius);
  }
  Stated<Speed> speed(std::string_view key) {
    return quantity<Speed>(key, "_kmh", 0.0, 200.0, "speed", parse_speed, Speed::kilometres_per_hour);
  }
  Stated<Length> length(std::string_view key) { return quantity<Length>(key, "_m", 0.0, 10000.0, "length", parse_length, Length::metres); }

  void bees() {
    const toml::node* node = t_.get("bees");
    if (node == nullptr) return;
    using label::Bees;
    if (CardLines::says_none(*node)) {
      c_.bees = Stated<Bees>::none_stated();
      return;
    }
    const auto* s = node->as_string();
    if (s == nullptr) return lines_.wrong_type(*node, field("bees"), "text");
    const std::string& word = s->get();
    Bees found = Bees::other;
    if (word == "not-while-foraging") found = Bees::foraging;
    if (word == "actively-visiting") found = Bees::actively_visiting;
    if (word == "visiting") found = Bees::visiting;
    if (word == "not-on-open-flowers") found = Bees::open_flowers;
    if (found == Bees::other) c_.bees_words = word;
    c_.bees = Stated<Bees>::given(found);
  }

  const toml::table& t_;
  CardLines& lines_;
  label::Conditions c_;
};

}  // namespace

label::Use read_use(const toml::table& t, const std::string& path, CardLines& lines) { return UseLines(t, path, lines).run(); }

label::Conditions read_conditions(const toml::table& t, CardLines& lines) { return ConditionLines(t, lines).run(); }

}  // namespace leafturn::io
