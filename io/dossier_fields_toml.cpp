#include "io/dossier_fields_toml.hpp"

#include <algorithm>
#include <cmath>

namespace leafturn::io::dossier {

using pest::Known;

void File::fail(const std::string& code, const std::string& field, const toml::node* at, std::vector<Fact> facts) {
  if (!error_) error_ = Error{code, {name_, at != nullptr ? static_cast<int>(at->source().begin.line) : 0, field}, std::move(facts)};
}

void File::refuse_unused_sources() {
  for (const auto& [key, citation] : sources)
    if (!citation.used) fail("dossier.unused_source", "sources." + key, citation.node);
}

const toml::node* Fields::find(std::string_view key) {
  seen_.insert(std::string(key));
  return table_->get(key);
}

const toml::node* Fields::need(std::string_view key) {
  const auto* node = find(key);
  if (node == nullptr) fail("dossier.missing_field", key);
  return node;
}

void Fields::fail(const std::string& code, std::string_view key, std::vector<Fact> facts) {
  const auto* node = table_->get(key);
  fail_at(code, key, node != nullptr ? node : table_, std::move(facts));
}

void Fields::fail_at(const std::string& code, std::string_view key, const toml::node* at, std::vector<Fact> facts) {
  file_->fail(code, field(key), at, std::move(facts));
}

void Fields::wrong_type(std::string_view key, const toml::node* node, std::string expected) {
  fail_at("dossier.wrong_type", key, node, {{"expected", std::move(expected)}});
}

std::string Fields::text_of(const toml::node* node, std::string_view key) {
  if (node == nullptr) return {};
  const auto value = node->value_exact<std::string>();
  if (!value) {
    wrong_type(key, node, "text in quotes");
    return {};
  }
  if (value->empty()) fail_at("dossier.missing_field", key, node);
  return *value;
}

namespace {
// Whole numbers without decimals.
FactValue shown(double value) { return Number{value, value > std::floor(value) ? 3 : 0}; }
}  // namespace

double Fields::number_of(const toml::node* node, std::string_view key, Range range) {
  if (node == nullptr) return range.low;
  if (!node->is_number()) {
    wrong_type(key, node, "a number");
    return range.low;
  }
  const double value = node->value<double>().value_or(range.low);
  if (value >= range.low && value <= range.high) return value;
  // Reached by NaN and the infinities that TOML allows too.
  const FactValue written = std::isfinite(value) ? shown(value) : FactValue{std::string("nan or inf")};
  fail_at("dossier.out_of_range", key, node, {{"value", written}, {"low", shown(range.low)}, {"high", shown(range.high)}});
  return range.low;
}

bool Fields::has(std::string_view key) { return find(key) != nullptr; }
std::string Fields::text(std::string_view key) { return text_of(need(key), key); }
std::string Fields::text_or_empty(std::string_view key) { return text_of(find(key), key); }
double Fields::number(std::string_view key, Range range) { return number_of(need(key), key, range); }

std::vector<std::string> Fields::texts(std::string_view key, bool needed) {
  std::vector<std::string> out;
  const auto* node = needed ? need(key) : find(key);
  if (node == nullptr) return out;
  const auto* array = node->as_array();
  if (array == nullptr) {
    wrong_type(key, node, "a list of words");
    return out;
  }
  for (const auto& item : *array) out.push_back(text_of(&item, key));
  if (needed && out.empty()) fail_at("dossier.missing_field", key, node);
  return out;
}

bool Fields::flag(std::string_view key) {
  const auto* node = find(key);
  if (node == nullptr) return false;
  const auto value = node->value_exact<bool>();
  if (!value) wrong_type(key, node, "true or false");
  return value.value_or(false);
}

int Fields::whole(std::string_view key, Range range) {
  const auto* node = need(key);
  if (node != nullptr && !node->is_integer()) wrong_type(key, node, "a whole number");
  return static_cast<int>(number_of(node, key, range));
}

std::size_t Fields::choice(std::string_view key, std::span<const std::string_view> words) {
  const std::string value = text(key);
  const auto found = std::find(words.begin(), words.end(), value);
  if (found != words.end()) return static_cast<std::size_t>(found - words.begin());
  fail("dossier.unknown_word", key, {{"value", value}, {"allowed", listed(words)}});
  return 0;
}

std::string Fields::eppo(std::string_view key) {
  std::string code = text(key);
  if (!good_eppo(code)) fail("dossier.bad_eppo", key, {{"value", code}});
  return code;
}

Range Fields::span(Range range) {
  if (has("value")) {
    const double v = number("value", range);
    return {v, v};
  }
  const Range out{number("low", range), number("high", range)};
  if (out.low > out.high) fail("dossier.low_above_high", "low");
  return out;
}

pest::Source Fields::source() {
  pest::Source out;
  const bool has_source = has("source");
  const bool has_known = has("known");
  out.note = text_or_empty("note");
  if (!has_source || !has_known) {
    file_->fail("dossier.figure_without_source", path_, table_, {{"missing", std::string(has_source ? "known" : "source")}});
    return out;
  }
  const std::string key = text("source");
  const auto found = file_->sources.find(key);
  if (found == file_->sources.end()) {
    fail("dossier.unknown_source", "source", {{"value", key}});
    return out;
  }
  found->second.used = true;
  out.citation = found->second.text;
  static constexpr Known all[] = {Known::seen, Known::seen_second, Known::memory, Known::fitted, Known::practice};
  std::vector<std::string_view> words;
  for (const Known k : all) words.push_back(pest::word_for(k));
  out.known = all[choice("known", words)];
  if (out.known == Known::fitted && out.note.empty()) fail("dossier.fitted_without_note", "note");
  if ((out.known == Known::practice) != (out.citation == "common practice, no source")) fail("dossier.practice_source", "source");
  return out;
}

std::optional<pest::Sourced<double>> Fields::figure_or_none(std::string_view key, Range range) {
  const auto* node = find(key);
  if (node == nullptr) return std::nullopt;
  const auto* inner = node->as_table();
  if (inner == nullptr) {
    // A bare number is a figure that nobody can trace.
    if (node->is_number()) fail("dossier.figure_without_source", key, {{"missing", std::string("source")}});
    wrong_type(key, node, "a figure: { value, source, known }");
    return std::nullopt;
  }
  Fields f(*file_, *inner, field(key));
  pest::Sourced<double> out;
  out.source = f.source();
  out.value = f.number("value", range);
  f.finish();
  return out;
}

pest::Sourced<double> Fields::figure(std::string_view key, Range range) {
  if (need(key) == nullptr) return {};
  return figure_or_none(key, range).value_or(pest::Sourced<double>{});
}

std::vector<std::vector<double>> Fields::number_rows(std::string_view key, std::size_t least, std::size_t most) {
  std::vector<std::vector<double>> out;
  const auto* node = need(key);
  if (node == nullptr) return out;
  const auto* rows = node->as_array();
  const auto wrong = [&] { wrong_type(key, node, "a list of lists of numbers"); };
  if (rows == nullptr) {
    wrong();
    return out;
  }
  for (const auto& row : *rows) {
    const auto* cells = row.as_array();
    if (cells == nullptr || cells->size() < least || cells->size() > most) {
      wrong();
      return {};
    }
    std::vector<double> numbers;
    for (const auto& cell : *cells) {
      const auto value = cell.value<double>();
      if (!cell.is_number() || !std::isfinite(*value)) {
        wrong();
        return {};
      }
      numbers.push_back(*value);
    }
    out.push_back(std::move(numbers));
  }
  return out;
}

std::vector<Fields> Fields::list(std::string_view key, bool needed) {
  std::vector<Fields> out;
  const auto* node = needed ? need(key) : find(key);
  if (node == nullptr) return out;
  const auto* array = node->as_array();
  if (array == nullptr || !array->is_homogeneous(toml::node_type::table)) {
    wrong_type(key, node, "a list of tables");
    return out;
  }
  int i = 0;
  for (const auto& item : *array) out.emplace_back(*file_, *item.as_table(), field(key) + "[" + std::to_string(++i) + "]");
  return out;
}

std::optional<Fields> Fields::inner(std::string_view key, bool needed) {
  const auto* node = needed ? need(key) : find(key);
  if (node == nullptr) return std::nullopt;
  if (const auto* t = node->as_table()) return Fields(*file_, *t, field(key));
  wrong_type(key, node, "a table");
  return std::nullopt;
}

void Fields::finish() {
  for (const auto& [key, node] : *table_)
    if (!seen_.contains(key.str())) fail("dossier.unknown_key", key.str());
}

std::string listed(std::span<const std::string_view> words) {
  std::string out;
  for (const auto w : words) out += (out.empty() ? "" : ", ") + std::string(w);
  return out;
}

bool good_eppo(std::string_view code) {
  if (code.size() != 5 && code.size() != 6) return false;
  return std::all_of(code.begin(), code.end(), [](char c) { return (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); });
}

void read_sources(Fields& top) {
  auto sources = top.inner("sources", true);
  if (!sources) return;
  for (const auto& [key, node] : sources->table()) {
    auto one = sources->inner(key.str(), true);
    if (!one) return;
    top.file().sources[std::string(key.str())] = {one->text("citation"), &node, false};
    one->text_or_empty("address");
    one->finish();
  }
}

std::string stem(const std::string& name) {
  const auto slash = name.find_last_of('/');
  std::string out = slash == std::string::npos ? name : name.substr(slash + 1);
  if (out.ends_with(".toml")) out.erase(out.size() - 5);
  return out;
}

Result<toml::table> parse(std::string_view bytes, const std::string& name) {
  try {
    return toml::parse(bytes, name);
  } catch (const toml::parse_error& e) {
    return leafturn::fail("dossier.not_toml", {name, static_cast<int>(e.source().begin.line), ""},
                          {{"message", std::string(e.description())}});
  }
}

}  // namespace leafturn::io::dossier
