#include "core/phenology/fit_forms.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/base/elementary.hpp"
#include "core/phenology/rate.hpp"

namespace leafturn::phenology {
namespace {

using Kind = FormParameter::Kind;
using Numbers = std::vector<double>;

constexpr std::array<std::string_view, fit_form_count> words{"linear",     "briere-1", "briere-2",           "lactin-2",
                                                             "logan-6",    "logan-10", "sharpe-schoolfield", "sharpe-schoolfield-high",
                                                             "kontodimas", "beta"};

Temperature c(double v) { return Temperature::celsius(v); }
bool warm(double t) { return t >= -40.0 && t <= 60.0; }
bool ordered(double lower, double upper) { return warm(lower) && warm(upper) && lower < upper; }
bool half(double kelvin) { return kelvin > 230.0 && kelvin < 345.0; }

std::optional<pest::RateModel> schoolfield(const Numbers& p, bool with_low) {
  pest::SchoolfieldRate rate;
  rate.rho25 = p[0];
  rate.ha = p[1];
  const std::size_t at = with_low ? 4 : 2;
  if (!(p[0] > 0.0 && p[1] > 0.0 && p[1] < 2e5)) return std::nullopt;
  if (with_low) {
    if (!(p[2] < 0.0 && p[2] > -1e6 && half(p[3]))) return std::nullopt;
    rate.low = {p[2], p[3]};
  }
  if (!(p[at] > 0.0 && p[at] < 1e6 && half(p[at + 1]))) return std::nullopt;
  rate.high = {p[at], p[at + 1]};
  return rate;
}

std::optional<pest::RateModel> falling(FitForm form, const Numbers& p, Temperature base) {
  if (form == FitForm::lactin_2) {
    if (!(p[0] > 0.0 && warm(p[1]) && p[2] > 0.0 && p[0] * p[2] < 1.0)) return std::nullopt;
    return pest::LactinRate{p[0], c(p[1]), p[2], p[3], {}};
  }
  if (form == FitForm::logan_6) {
    if (!(p[0] > 0.0 && p[1] > 0.0 && warm(p[2]) && c(p[2]) > base && p[3] > 0.0 && p[1] * p[3] < 1.0)) return std::nullopt;
    return pest::LoganRate{p[0], p[1], base, c(p[2]), p[3], {}};
  }
  if (!(p[0] > 0.0 && p[1] > 0.0 && p[1] < 1e7 && p[2] > 0.0 && warm(p[3]) && c(p[3]) > base && p[4] > 0.0)) return std::nullopt;
  return pest::Logan10Rate{p[0], p[1], p[2], base, c(p[3]), p[4], {}};
}

// The first number of every form but Lactin is a factor (beta: its logarithm), so the best one for given others is known.
void set_scale(FitForm form, Numbers& p, const Developed& data, Temperature base) {
  const bool additive = form == FitForm::lactin_2;
  if (additive) {
    p[3] = 0.0;
  } else {
    p[0] = form == FitForm::beta ? 0.0 : 1.0;
  }
  const auto model = model_of(form, p, base);
  if (!model) return;
  double top = 0.0;
  double bottom = 0.0;
  for (std::size_t i = 0; i < data.t.size(); ++i) {
    const double f = rate_per_day(*model, c(data.t[i]));
    top += data.weight[i] * (additive ? data.rate[i] - f : data.rate[i] * f);
    bottom += data.weight[i] * (additive ? 1.0 : f * f);
  }
  if (!(bottom > 0.0)) return;
  if (additive) {
    p[3] = top / bottom;
  } else {
    p[0] = form == FitForm::beta ? num::log(std::max(top / bottom, 1e-300)) : top / bottom;
  }
}

// Every combination of the values of each number.
std::vector<Numbers> grid(const std::vector<Numbers>& values) {
  std::vector<Numbers> out{{}};
  for (const Numbers& choices : values) {
    std::vector<Numbers> longer;
    for (const Numbers& begun : out)
      for (const double choice : choices) {
        longer.push_back(begun);
        longer.back().push_back(choice);
      }
    out = std::move(longer);
  }
  return out;
}

std::vector<Numbers> grid_of(FitForm form, const Developed& data, Temperature base) {
  const Numbers scale{1.0};
  const double low = data.coldest;
  const double high = data.hottest;
  const Numbers below{low - 0.3, low - 2.0, low - 4.0, low - 7.0, low - 12.0};
  const Numbers above{high + 0.1, high + 0.7, high + 2.0, high + 4.0, high + 8.0};
  const Numbers widths{0.2, 0.6, 1.5, 3.0, 6.0};
  const Numbers far_below{-60000.0, -30000.0, -120000.0};
  const Numbers cold{low + 268.15, low + 273.15, low + 278.15};
  const Numbers hot{high + 268.15, high + 271.15, high + 274.15, high + 278.15};
  switch (form) {
    case FitForm::linear:
      return {};
    case FitForm::briere_1:
    case FitForm::kontodimas:
      return grid({scale, below, above});
    case FitForm::briere_2:
      return grid({scale, below, above, {1.2, 2.0, 4.0, 8.0}});
    case FitForm::lactin_2:
      return grid({{0.003, 0.006, 0.01, 0.02, 0.05, 0.1, 0.16}, above, widths, {0.0}});
    case FitForm::logan_6:
      return grid({scale, {0.04, 0.08, 0.12, 0.16, 0.2}, above, widths});
    case FitForm::logan_10: {
      std::vector<Numbers> out;
      // Half-way up the rise at 18, 23 and 28 °C.
      for (const double middle : {18.0, 23.0, 28.0})
        for (const double rho : {0.1, 0.2, 0.3})
          for (const auto& rest : grid({above, widths}))
            out.push_back({1.0, num::exp(rho * (middle - base.celsius())), rho, rest[0], rest[1]});
      return out;
    }
    case FitForm::sharpe_schoolfield:
      return grid({scale, {8000.0, 15000.0, 25000.0}, far_below, cold, {50000.0, 100000.0, 200000.0}, hot});
    case FitForm::sharpe_schoolfield_high:
      return grid({scale, {8000.0, 13000.0, 18000.0, 25000.0}, {40000.0, 80000.0, 150000.0}, hot});
    case FitForm::beta:
      return grid({{0.0}, {1.0, 1.6, 2.5}, {0.3, 0.7, 1.2}, below, above});
  }
  return {};
}

}  // namespace

std::string_view word_for(FitForm form) { return words[static_cast<std::size_t>(form)]; }

std::optional<FitForm> fit_form(std::string_view word) {
  for (std::size_t i = 0; i < words.size(); ++i)
    if (words[i] == word) return static_cast<FitForm>(i);
  return std::nullopt;
}

bool has_upper(FitForm form) { return form != FitForm::linear; }

std::vector<FormParameter> parameters_of(FitForm form) {
  const FormParameter lower{"lower_c", Kind::temperature};
  const FormParameter upper{"upper_c", Kind::temperature};
  const auto plain = [](std::string_view key) { return FormParameter{key}; };
  switch (form) {
    case FitForm::linear:
      return {lower, plain("constant_dd")};
    case FitForm::briere_1:
    case FitForm::kontodimas:
      return {plain("scale"), lower, upper};
    case FitForm::briere_2:
      return {plain("scale"), lower, upper, plain("m")};
    case FitForm::lactin_2:
      return {plain("rho"), upper, plain("delta"), plain("lambda")};
    case FitForm::logan_6:
      return {plain("psi"), plain("rho"), upper, plain("delta")};
    case FitForm::logan_10:
      return {plain("alpha"), {"k", Kind::plain, true}, plain("rho"), upper, plain("delta")};
    case FitForm::sharpe_schoolfield:
      return {plain("rho25"),         plain("ha"),
              plain("low.enthalpy"),  {"low.half_kelvin", Kind::kelvin},
              plain("high.enthalpy"), {"high.half_kelvin", Kind::kelvin}};
    case FitForm::sharpe_schoolfield_high:
      return {plain("rho25"), plain("ha"), plain("high.enthalpy"), {"high.half_kelvin", Kind::kelvin}};
    case FitForm::beta:
      return {plain("mu"), plain("alpha"), plain("beta"), lower, upper};
  }
  return {};
}

std::optional<pest::RateModel> model_of(FitForm form, const Numbers& p, Temperature base) {
  for (const double value : p)
    if (!(std::abs(value) < 1e300)) return std::nullopt;
  switch (form) {
    case FitForm::linear:
      if (!(warm(p[0]) && p[1] > 0.0)) return std::nullopt;
      return pest::LinearRate{{c(p[0]), {}}, {DegreeDays::celsius_days(p[1]), {}}, std::nullopt, std::nullopt};
    case FitForm::briere_1:
      if (!(p[0] > 0.0 && ordered(p[1], p[2]))) return std::nullopt;
      return pest::BriereRate{p[0], c(p[1]), c(p[2]), 2.0, {}};
    case FitForm::briere_2:
      if (!(p[0] > 0.0 && ordered(p[1], p[2]) && p[3] > 0.5 && p[3] < 100.0)) return std::nullopt;
      return pest::BriereRate{p[0], c(p[1]), c(p[2]), p[3], {}};
    case FitForm::kontodimas:
      if (!(p[0] > 0.0 && ordered(p[1], p[2]))) return std::nullopt;
      return pest::KontodimasRate{p[0], c(p[1]), c(p[2]), {}};
    case FitForm::beta:
      if (!(p[1] > 0.0 && p[2] > 0.0 && p[1] < 50.0 && p[2] < 50.0 && ordered(p[3], p[4]))) return std::nullopt;
      return pest::BetaRate{p[0], p[1], p[2], c(p[3]), c(p[4]), {}};
    case FitForm::lactin_2:
    case FitForm::logan_6:
    case FitForm::logan_10:
      return falling(form, p, base);
    case FitForm::sharpe_schoolfield:
      return schoolfield(p, true);
    case FitForm::sharpe_schoolfield_high:
      return schoolfield(p, false);
  }
  return std::nullopt;
}

std::vector<Numbers> starts_of(FitForm form, const Developed& data, Temperature base, std::size_t most) {
  struct Start {
    double sum;
    Numbers numbers;
  };
  std::vector<Start> found;
  for (Numbers& numbers : grid_of(form, data, base)) {
    set_scale(form, numbers, data, base);
    const auto model = model_of(form, numbers, base);
    if (!model) continue;
    double sum = 0.0;
    bool grows = true;
    for (std::size_t i = 0; i < data.t.size(); ++i) {
      const double rate = rate_per_day(*model, c(data.t[i]));
      grows = grows && rate > 0.0;
      sum += data.weight[i] * (rate - data.rate[i]) * (rate - data.rate[i]);
    }
    if (grows) found.push_back({sum, std::move(numbers)});
  }
  std::stable_sort(found.begin(), found.end(), [](const Start& a, const Start& b) { return a.sum < b.sum; });
  std::vector<Numbers> out;
  for (std::size_t i = 0; i < found.size() && out.size() < most; ++i) out.push_back(std::move(found[i].numbers));
  return out;
}

}  // namespace leafturn::phenology
