#include "app/degree_days.hpp"

#include <array>
#include <utility>

#include "app/weather_file.hpp"
#include "io/quantity_text.hpp"
#include "io/time_text.hpp"

namespace leafturn::app {
namespace {

using phenology::Cutoff;
using phenology::Method;

constexpr std::array methods{
    std::pair{std::string_view{"average"}, Method::average},
    std::pair{std::string_view{"single-triangle"}, Method::single_triangle},
    std::pair{std::string_view{"double-triangle"}, Method::double_triangle},
    std::pair{std::string_view{"single-sine"}, Method::single_sine},
    std::pair{std::string_view{"double-sine"}, Method::double_sine},
};
constexpr std::array cutoffs{
    std::pair{std::string_view{"horizontal"}, Cutoff::horizontal},
    std::pair{std::string_view{"intermediate"}, Cutoff::intermediate},
    std::pair{std::string_view{"vertical"}, Cutoff::vertical},
    std::pair{std::string_view{"none"}, Cutoff::none},
};

template <class T, std::size_t N>
Result<T> choose(const std::array<std::pair<std::string_view, T>, N>& words, const std::string& given, const char* code,
                 const char* field) {
  std::string accepted;
  for (const auto& [word, value] : words) {
    if (word == given) return value;
    accepted += (accepted.empty() ? "" : ", ") + std::string(word);
  }
  return fail(code, {{}, 0, field}, {{"given", given}, {"accepted", accepted}});
}

Status read_thresholds(const DegreeDaysQuestion& question, DegreeDaysAnswer& answer) {
  const auto lower = io::parse_temperature(question.lower, "--lower");
  if (!lower) return fail(lower.error());
  answer.thresholds.lower = *lower;
  if (question.upper) {
    const auto upper = io::parse_temperature(*question.upper, "--upper");
    if (!upper) return fail(upper.error());
    answer.thresholds.upper = *upper;
  }
  answer.cutoff = question.upper ? Cutoff::horizontal : Cutoff::none;
  if (question.cutoff) {
    const auto cutoff = choose(cutoffs, *question.cutoff, "degree_days.cutoff", "--cutoff");
    if (!cutoff) return fail(cutoff.error());
    answer.cutoff = *cutoff;
  }
  if (answer.cutoff != Cutoff::none && !question.upper) return fail("degree_days.no_upper", {{}, 0, "--upper"});
  if (answer.cutoff == Cutoff::none && question.upper)
    return fail("degree_days.upper_unused", {{}, 0, "--upper"}, {{"given", *question.upper}});
  return {};
}

Status read_range(const DegreeDaysQuestion& question, const weather::DailySeries& series, DegreeDaysAnswer& answer) {
  answer.from = series.first();
  answer.to = series.last();
  if (question.from) {
    const auto day = io::parse_day(*question.from, "--from");
    if (!day) return fail(day.error());
    answer.from = *day;
  }
  if (question.to) {
    const auto day = io::parse_day(*question.to, "--to");
    if (!day) return fail(day.error());
    answer.to = *day;
  }
  return {};
}

}  // namespace

std::string_view word_for(Method method) {
  for (const auto& [word, value] : methods)
    if (value == method) return word;
  return "";
}

std::string_view word_for(Cutoff cutoff) {
  for (const auto& [word, value] : cutoffs)
    if (value == cutoff) return word;
  return "";
}

Result<DegreeDaysAnswer> degree_days(const DegreeDaysQuestion& question) {
  DegreeDaysAnswer answer;
  answer.asked = question;
  const auto method = choose(methods, question.method, "degree_days.method", "--method");
  if (!method) return fail(method.error());
  answer.method = *method;
  if (question.unit != "C" && question.unit != "F") return fail("degree_days.unit", {{}, 0, "--unit"}, {{"given", question.unit}});
  answer.fahrenheit = question.unit == "F";
  if (auto read = read_thresholds(question, answer); !read) return fail(read.error());

  auto file = read_weather_file(question.weather, question.units);
  if (!file) return fail(file.error());
  answer.notes = std::move(file->notes);
  if (auto read = read_range(question, file->series, answer); !read) return fail(read.error());

  auto table = phenology::accumulate(file->series, answer.from, answer.to, answer.method, answer.cutoff, answer.thresholds);
  if (!table) {
    Error error = table.error();
    if (error.where.file.empty()) error.where.file = question.weather;
    return fail(std::move(error));
  }
  if (question.strict && !table->gaps.empty()) {
    const auto& gap = table->gaps.front();
    return fail("degree_days.gap", {question.weather, 0, {}}, {{"first", gap.first.iso()}, {"last", gap.last.iso()}});
  }
  answer.table = std::move(*table);
  for (const auto& row : answer.table.rows)
    if (row.filled) ++answer.filled;
  if (!answer.table.rows.empty()) answer.total = answer.table.rows.back().sum;
  return answer;
}

}  // namespace leafturn::app
