#include "io/fields_json.hpp"

#include "core/base/text.hpp"

#include <cmath>

namespace leafturn::io {
namespace {

using Json = nlohmann::json;

// Days a garden's record can be about; anything else is a slip of the clock or of the keyboard.
constexpr int first_year = 1900;
constexpr int last_year = 2199;

bool sensible(Date d) { return d.year() >= first_year && d.year() <= last_year; }
bool sensible(Instant t) {
  constexpr std::int64_t day_us = 86'400'000'000;
  const std::int64_t days = t.unix_microseconds() / day_us;
  return days > -30'000 && days < 90'000 && sensible(Date::from_serial(static_cast<std::int32_t>(days)));
}

template <class T>
std::optional<T> only_sensible(std::optional<T> value) {
  return value && sensible(*value) ? value : std::nullopt;
}

}  // namespace

Fields::Fields(const Json& object, std::string prefix) : object_{object}, prefix_{std::move(prefix)} {}

void Fields::refuse(const char* code, const std::string& name, std::vector<Fact> facts) {
  if (!error_) error_ = Error{code, Where{{}, 0, prefix_ + name}, std::move(facts)};
}

const Json* Fields::find(const char* name) {
  asked_.insert(name);
  const auto found = object_.find(name);
  return found == object_.end() ? nullptr : &*found;
}

const Json* Fields::need(const char* name) {
  const Json* value = find(name);
  if (value == nullptr) refuse("event.missing_field", name);
  return value;
}

template <class T, class Parse>
std::optional<T> Fields::parsed(const Json* value, const char* name, const char* expected, const Parse& parse) {
  if (value == nullptr) return std::nullopt;
  std::optional<T> result;
  if (value->is_string()) result = parse(value->get_ref<const std::string&>());
  if (!result) refuse("event.wrong_type", name, {{"expected", Term{expected}}});
  return result;
}

std::optional<std::string> Fields::maybe_text(const char* name) {
  return parsed<std::string>(find(name), name, "event.type.text", [](const std::string& s) { return std::optional{s}; });
}
std::string Fields::text(const char* name) {
  return parsed<std::string>(need(name), name, "event.type.text", [](const std::string& s) { return std::optional{s}; }).value_or("");
}
std::string Fields::text_or_empty(const char* name) { return maybe_text(name).value_or(""); }

std::optional<double> Fields::maybe_number(const char* name, double low, double high) {
  const Json* value = find(name);
  if (value == nullptr) return std::nullopt;
  if (!value->is_number()) {
    refuse("event.wrong_type", name, {{"expected", Term{"event.type.number"}}});
    return std::nullopt;
  }
  const auto number = value->get<double>();
  if (std::isfinite(number) && number >= low && number <= high) return number;
  refuse("event.out_of_range", name, {{"low", Number{low, 0}}, {"high", Number{high, 0}}});
  return std::nullopt;
}
double Fields::number(const char* name, double low, double high) {
  need(name);
  return maybe_number(name, low, high).value_or(0.0);
}

std::optional<std::int64_t> Fields::maybe_whole(const char* name, std::int64_t low, std::int64_t high) {
  const Json* value = find(name);
  if (value == nullptr) return std::nullopt;
  if (!value->is_number_integer()) {
    refuse("event.wrong_type", name, {{"expected", Term{"event.type.whole"}}});
    return std::nullopt;
  }
  const bool too_large = value->is_number_unsigned() && value->get<std::uint64_t>() > static_cast<std::uint64_t>(INT64_MAX);
  if (!too_large && value->get<std::int64_t>() >= low && value->get<std::int64_t>() <= high) return value->get<std::int64_t>();
  refuse("event.out_of_range", name, {{"low", low}, {"high", high}});
  return std::nullopt;
}
std::int64_t Fields::whole(const char* name, std::int64_t low, std::int64_t high) {
  need(name);
  return maybe_whole(name, low, high).value_or(low);
}

std::optional<bool> Fields::maybe_flag(const char* name) {
  const Json* value = find(name);
  if (value == nullptr) return std::nullopt;
  if (value->is_boolean()) return value->get<bool>();
  refuse("event.wrong_type", name, {{"expected", Term{"event.type.flag"}}});
  return std::nullopt;
}
bool Fields::flag_or_false(const char* name) { return maybe_flag(name).value_or(false); }

std::optional<std::vector<std::string>> Fields::maybe_texts(const char* name) {
  const Json* value = find(name);
  if (value == nullptr) return std::nullopt;
  std::vector<std::string> texts;
  const bool list = value->is_array();
  for (const Json& item : list ? *value : Json::array())
    if (item.is_string()) texts.push_back(item.get<std::string>());
  if (list && texts.size() == value->size()) return texts;
  refuse("event.wrong_type", name, {{"expected", Term{"event.type.texts"}}});
  return std::nullopt;
}

std::optional<Date> Fields::maybe_date(const char* name) {
  return parsed<Date>(find(name), name, "event.type.date", [](const std::string& s) { return only_sensible(Date::parse(s)); });
}
Date Fields::date(const char* name) {
  need(name);
  return maybe_date(name).value_or(Date{});
}
std::optional<Instant> Fields::maybe_instant(const char* name) {
  return parsed<Instant>(find(name), name, "event.type.instant", [](const std::string& s) { return only_sensible(Instant::parse(s)); });
}
Instant Fields::instant(const char* name) {
  need(name);
  return maybe_instant(name).value_or(Instant{});
}
std::optional<CivilTime> Fields::maybe_civil(const char* name) {
  return parsed<CivilTime>(find(name), name, "event.type.civil", [](const std::string& s) {
    const auto time = CivilTime::parse(s);
    return time && sensible(time->date) ? time : std::nullopt;
  });
}
std::optional<Id> Fields::maybe_id(const char* name) {
  return parsed<Id>(find(name), name, "event.type.id", [](const std::string& s) { return Id::parse(s); });
}
Id Fields::id(const char* name) {
  need(name);
  return maybe_id(name).value_or(Id{});
}
std::optional<Digest> Fields::maybe_digest(const char* name) {
  return parsed<Digest>(find(name), name, "event.type.digest", [](const std::string& s) { return Digest::parse(s); });
}
Digest Fields::digest(const char* name) {
  need(name);
  return maybe_digest(name).value_or(Digest{});
}

const Json* Fields::maybe_object(const char* name) {
  const Json* value = find(name);
  if (value == nullptr || value->is_object()) return value;
  refuse("event.wrong_type", name, {{"expected", Term{"event.type.object"}}});
  return nullptr;
}

std::optional<std::size_t> Fields::maybe_word(const char* name, const std::vector<std::string>& words) {
  const auto given = maybe_text(name);
  if (!given) return std::nullopt;
  for (std::size_t i = 0; i < words.size(); ++i)
    if (words[i] == *given) return i;
  std::string known;
  for (const std::string& word : words) known += (known.empty() ? "" : ", ") + word;
  refuse("event.unknown_word", name, {{"word", *given}, {"known", known}});
  return std::nullopt;
}
std::size_t Fields::word(const char* name, const std::vector<std::string>& words) {
  need(name);
  return maybe_word(name, words).value_or(0);
}

Status Fields::finish() {
  if (error_) return fail(*error_);
  for (const auto& [name, value] : object_.items())
    if (!asked_.contains(name)) return fail("event.unknown_field", Where{{}, 0, prefix_ + name});
  return {};
}

namespace {

/// Builds nothing: walks the text once for what the parser itself lets through or would overflow on.
class Strictness final : public nlohmann::json_sax<Json> {
 public:
  explicit Strictness(int most_depth) : most_depth_{most_depth} {}
  std::optional<Error> error;

  bool null() override { return true; }
  bool boolean(bool) override { return true; }
  bool number_integer(number_integer_t) override { return true; }
  bool number_unsigned(number_unsigned_t) override { return true; }
  bool number_float(number_float_t, const string_t&) override { return true; }
  bool string(string_t&) override { return true; }
  bool binary(binary_t&) override { return true; }
  bool start_object(std::size_t) override { return enter(); }
  bool start_array(std::size_t) override { return enter(); }
  bool end_object() override { return leave(); }
  bool end_array() override { return leave(); }
  bool key(string_t& name) override {
    last_key_ = name;
    if (open_.back().insert(name).second) return true;
    error = Error{"event.duplicate_field", Where{{}, 0, name}, {}};
    return false;
  }
  bool parse_error(std::size_t at, const std::string&, const nlohmann::detail::exception& e) override {
    // 406: a number that no double can hold.
    const char* code = e.id == 406 ? "event.out_of_range" : "event.not_json";
    std::vector<Fact> facts{{"byte", static_cast<std::int64_t>(at)}};
    if (e.id == 406) facts = {{"low", Number{-1e308, 0}}, {"high", Number{1e308, 0}}};
    error = Error{code, Where{{}, 0, last_key_}, std::move(facts)};
    return false;
  }

 private:
  bool enter() {
    open_.emplace_back();
    if (static_cast<int>(open_.size()) <= most_depth_) return true;
    error = Error{"event.too_deep", Where{{}, 0, last_key_}, {{"most", std::int64_t{most_depth_}}}};
    return false;
  }
  bool leave() {
    open_.pop_back();
    return true;
  }

  int most_depth_;
  std::string last_key_;
  std::vector<std::set<std::string>> open_;
};

}  // namespace

Result<Json> parse_strict(std::string_view bytes, std::size_t most, int depth) {
  if (bytes.size() > most) return fail("event.too_large", {}, {{"most", static_cast<std::int64_t>(most)}});
  if (!is_utf8(bytes)) return fail("event.not_text");
  Strictness strictness(depth);
  if (!Json::sax_parse(bytes, &strictness)) return fail(*strictness.error);
  Json value = Json::parse(bytes, nullptr, false);
  if (!value.is_object()) return fail("event.not_an_object");
  return value;
}

}  // namespace leafturn::io
