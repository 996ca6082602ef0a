#include "io/garden_rows.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "core/base/text.hpp"

namespace leafturn::io {
namespace {

// As core/garden's check has them for what people say.
constexpr std::size_t most_name_bytes = 80;
constexpr std::size_t most_detail_bytes = 2000;

std::string_view trimmed(std::string_view s) {
  while (!s.empty() && (s.front() == ' ' || s.front() == '\t')) s.remove_prefix(1);
  while (!s.empty() && (s.back() == ' ' || s.back() == '\t')) s.remove_suffix(1);
  return s;
}

bool far_off(Date d) { return d.year() < 1900 || d.year() > 2199; }

char lower(char c) { return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c; }

/// Insertions, deletions and exchanges that turn one word into the other (Wagner & Fischer 1974, J. ACM 21:168–173).
std::size_t edits(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t exchanged = diagonal + (lower(a[i - 1]) == lower(b[j - 1]) ? 0 : 1);
      diagonal = row[j];
      row[j] = std::min({row[j] + 1, row[j - 1] + 1, exchanged});
    }
  }
  return row[b.size()];
}

}  // namespace

Result<GardenTable> GardenTable::read(std::string_view bytes, const std::string& name, std::initializer_list<std::string_view> needed,
                                      std::initializer_list<std::string_view> others, std::vector<Reason>& notes) {
  auto table = read_csv(bytes, name);
  if (!table) return fail(table.error());
  GardenTable out;
  out.file_ = name;
  std::vector<bool> used(table->header.size(), false);
  const auto take = [&](std::string_view column) {
    const auto at = table->column(column);
    if (!at) return false;
    used[*at] = true;
    out.columns_.emplace_back(column, *at);
    return true;
  };
  for (const std::string_view column : needed)
    if (!take(column)) return fail("garden.column_missing", {name, 1, std::string(column)}, {{"column", std::string(column)}});
  for (const std::string_view column : others) take(column);
  for (std::size_t i = 0; i < used.size(); ++i)
    if (!used[i]) notes.push_back({"garden.column_ignored", {{"file", name}, {"column", table->header[i]}}});
  out.table_ = std::move(*table);
  if (auto plain = out.check_texts(); !plain) return fail(plain.error());
  return out;
}

Status GardenTable::check_texts() const {
  for (std::size_t row = 0; row < size(); ++row) {
    for (const auto& [column, at] : columns_) {
      const std::string& text = table_.rows[row].cells[at];
      const bool lines = column == "detail";
      const std::size_t most = lines ? most_detail_bytes : most_name_bytes;
      if (text.size() > most) return fail("garden.text_too_long", where(row, column), {{"most", static_cast<std::int64_t>(most)}});
      if (!is_plain_text(text, lines)) return fail("garden.text_characters", where(row, column));
    }
  }
  return {};
}

std::string_view GardenTable::cell(std::size_t row, std::string_view column) const {
  for (const auto& [name, at] : columns_)
    if (name == column) return trimmed(table_.rows[row].cells[at]);
  return {};
}

Result<std::string> GardenTable::text(std::size_t row, std::string_view column) const {
  const std::string_view given = cell(row, column);
  if (given.empty()) return fail("garden.cell_missing", where(row, column), {{"column", std::string(column)}});
  return std::string(given);
}

Result<double> GardenTable::number(std::size_t row, std::string_view column, double low, double high) const {
  const auto given = text(row, column);
  if (!given) return fail(given.error());
  const auto value = parse_number(*given);
  if (!value) return fail("garden.not_a_number", where(row, column), {{"text", *given}});
  if (*value >= low && *value <= high) return *value;
  return fail("garden.impossible", where(row, column), {{"text", *given}, {"low", Number{low, 0}}, {"high", Number{high, 0}}});
}

Result<int> GardenTable::whole(std::size_t row, std::string_view column, int low, int high) const {
  const auto value = number(row, column, low, high);
  if (!value) return fail(value.error());
  if (*value > std::floor(*value)) return fail("garden.not_whole", where(row, column), {{"text", std::string(cell(row, column))}});
  return static_cast<int>(*value);
}

Result<std::optional<Date>> GardenTable::day(std::size_t row, std::string_view column) const {
  const std::string_view given = cell(row, column);
  if (given.empty()) return std::optional<Date>{};
  const auto d = Date::parse(given);
  if (!d) return fail("garden.not_a_day", where(row, column), {{"text", std::string(given)}});
  if (far_off(*d)) return fail("garden.day_far_off", where(row, column), {{"text", std::string(given)}});
  return d;
}

Result<Instant> GardenTable::time(std::size_t row, std::string_view column, const Zone& zone, std::int32_t day_second) const {
  const auto given = text(row, column);
  if (!given) return fail(given.error());
  std::optional<Instant> at;
  if (const auto civil = CivilTime::parse(*given))
    at = zone.instant(Date::parse(*given) ? CivilTime{civil->date, day_second} : *civil);
  else
    at = Instant::parse(*given);
  if (!at) return fail("garden.not_a_time", where(row, column), {{"text", *given}});
  if (far_off(zone.civil(*at).date)) return fail("garden.day_far_off", where(row, column), {{"text", *given}});
  return *at;
}

std::string nearest_words(std::string_view word, std::vector<std::string> list, std::size_t most) {
  // A word longer than any name is only compared by its start, so that a stray paragraph costs nothing.
  word = word.substr(0, 64);
  std::vector<std::pair<std::size_t, std::string>> ranked;
  ranked.reserve(list.size());
  for (std::string& item : list) {
    const std::size_t distance = edits(word, item);
    ranked.emplace_back(distance, std::move(item));
  }
  std::sort(ranked.begin(), ranked.end());
  std::string out;
  for (std::size_t i = 0; i < std::min(most, ranked.size()); ++i) out += (i == 0 ? "" : ", ") + ranked[i].second;
  return out;
}

std::string nearest_pests(std::string_view pest, const pest::Library& library) {
  std::vector<std::string> names;
  for (const pest::Dossier& d : library.pests) {
    names.push_back(d.id);
    if (!d.eppo.empty()) names.push_back(d.eppo);
  }
  return nearest_words(pest, std::move(names), 3);
}

std::string stage_words(const pest::Dossier& dossier) {
  std::vector<std::string> words;
  for (const pest::Stage& s : dossier.stages) {
    if (std::string group(pest::word_for(s.group)); std::find(words.begin(), words.end(), group) == words.end()) words.push_back(group);
    if (std::find(words.begin(), words.end(), s.key) == words.end()) words.push_back(s.key);
  }
  std::string out;
  for (const std::string& w : words) out += (out.empty() ? "" : ", ") + w;
  return out;
}

}  // namespace leafturn::io
