#include <fmt/format.h>

#include <algorithm>

#include "render/develop.hpp"

namespace leafturn::render {
namespace {

std::string number(double value) { return fmt::format("{:.9g}", value); }

/// A TOML basic string: quotes, backslashes and control characters escaped.
std::string quoted(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') {
      out += '\\';
      out += c;
    } else if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) {
      out += fmt::format("\\u{:04X}", static_cast<unsigned char>(c));
    } else {
      out += c;
    }
  }
  return out + "\"";
}

std::string form_line(const phenology::RateFit& fit) {
  const std::string_view word = fit.form == phenology::FitForm::sharpe_schoolfield_high
                                    ? phenology::word_for(phenology::FitForm::sharpe_schoolfield)
                                    : phenology::word_for(fit.form);
  return "form = " + quoted(std::string(word)) + "\n";
}

// `low.enthalpy` and `low.half_kelvin` become low = { … }.
std::string parameter_lines(const phenology::RateFit& fit) {
  std::string out;
  std::string table;
  for (const auto& e : fit.parameters) {
    const std::size_t dot = e.key.find('.');
    const std::string begun = dot == std::string::npos ? std::string{} : e.key.substr(0, dot);
    if (!table.empty() && table != begun) out += " }\n";
    if (begun.empty()) {
      out += e.key + " = " + number(e.value) + "\n";
    } else {
      out += (table == begun ? ", " : begun + " = { ") + e.key.substr(dot + 1) + " = " + number(e.value);
    }
    table = begun;
  }
  if (!table.empty()) out += " }\n";
  if (const auto* logan = std::get_if<pest::LoganRate>(&*fit.model)) out += "base_c = " + number(logan->base.celsius()) + "\n";
  if (const auto* logan = std::get_if<pest::Logan10Rate>(&*fit.model)) out += "base_c = " + number(logan->base.celsius()) + "\n";
  return out;
}

std::string plain_id(const std::string& text) {
  std::string out;
  for (const char c : text) {
    const char low = c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    const bool keep = (low >= 'a' && low <= 'z') || (low >= '0' && low <= '9');
    if (keep) out += low;
    if (!keep && !out.empty() && out.back() != '-') out += '-';
  }
  while (!out.empty() && out.back() == '-') out.pop_back();
  return out.empty() ? "fitted" : out;
}

std::string errors_of(const phenology::RateFit& fit) {
  std::string out;
  for (const auto& e : fit.parameters)
    out += (out.empty() ? "" : ", ") + e.key + " " + (e.standard_error ? fmt::format("{:.2g}", *e.standard_error) : std::string("?"));
  return out;
}

}  // namespace

std::string develop_set_block(const app::DevelopFitAnswer& answer, const phenology::RateFit& fit, const words::Style& style) {
  if (!fit.model) return {};
  const auto& asked = answer.asked;
  const std::string form{phenology::word_for(fit.form)};
  double coldest = 1e9;
  double hottest = -1e9;
  for (const auto& row : fit.rows) {
    if (!row.used || !row.row.days) continue;
    coldest = std::min(coldest, row.row.at.celsius());
    hottest = std::max(hottest, row.row.at.celsius());
  }
  const auto say = [&](const char* key, std::vector<Fact> facts) { return words::say({key, std::move(facts)}, style); };
  const std::string source = plain_id(answer.name);
  const auto line = [&](const char* key, const std::optional<std::string>& given, const char* hint) {
    return given ? std::string(key) + " = " + quoted(*given) + "\n"
                 : "# " + std::string(key) + " = \"…\"  # " + words::say_key(hint, style) + "\n";
  };
  std::string out = "[[set]]\n";
  out += "id = " + quoted(asked.id.value_or(source + "-" + form)) + "\n";
  out += line("population", asked.population, "develop.block_population");
  out += line("first", asked.first, "develop.block_first");
  out += line("last", asked.last, "develop.block_last");
  out += form_line(fit) + parameter_lines(fit);
  out += "why = " + quoted(say("develop.block_why", {{"n", std::int64_t{fit.developed}}})) + "\n";
  out += "source = " + quoted(source) + "\n";
  out += "known = \"fitted\"\n";
  out += "note = " +
         quoted(say("develop.block_note", {{"form", form},
                                           {"n", std::int64_t{fit.developed}},
                                           {"coldest", fmt::format("{:.4g}", coldest)},
                                           {"hottest", fmt::format("{:.4g}", hottest)},
                                           {"errors", errors_of(fit)},
                                           {"scatter", fmt::format("{:.2g}", fit.residual_sd)}})) +
         "\n\n";
  out += "[sources." + source + "]\n";
  out += line("citation", asked.source, "develop.block_source");
  return out;
}

}  // namespace leafturn::render
