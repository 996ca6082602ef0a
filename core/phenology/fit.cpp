#include "core/phenology/fit.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "core/base/elementary.hpp"
#include "core/base/random.hpp"
#include "core/phenology/fit_forms.hpp"
#include "core/phenology/fit_least_squares.hpp"
#include "core/phenology/rate.hpp"
#include "core/phenology/rate_limits.hpp"

namespace leafturn::phenology {
namespace {

using Numbers = std::vector<double>;

constexpr int most_steps = 400;
constexpr std::size_t most_starts = 6;

struct Row {
  Temperature at;
  double rate = 0.0;  // 0 where nothing developed
  double weight = 1.0;
  bool developed = true;
};

// What is asked after a fit: parameters first, then what follows from them.
struct Reading {
  std::vector<std::string> keys;
  std::vector<std::optional<double>> values;
};

class Fitting {
 public:
  explicit Fitting(const FitRequest& request) : request_{request}, parameters_{parameters_of(request.form)} { out_.form = request.form; }

  RateFit run() {
    if (!take_rows() || !enough()) return std::move(out_);
    const auto best = request_.form == FitForm::linear ? line() : curve();
    if (best) {
      report(*best);
    } else {
      refuse(request_.form == FitForm::linear ? "fit.no_rise" : "fit.no_fit");
    }
    return std::move(out_);
  }

 private:
  std::size_t count() const { return parameters_.size(); }
  std::int64_t whole(std::size_t n) const { return static_cast<std::int64_t>(n); }
  void refuse(std::string code, std::vector<Fact> facts = {}) {
    facts.push_back({"form", std::string(word_for(request_.form))});
    out_.reasons.push_back({std::move(code), std::move(facts)});
  }

  bool take_rows() {
    const Rearing* fastest = nullptr;
    for (const Rearing& row : request_.rows)
      if (row.days && (fastest == nullptr || *row.days < *fastest->days)) fastest = &row;
    double weight_sum = 0.0;
    int left_out = 0;
    for (const Rearing& row : request_.rows) {
      const bool past = fastest != nullptr && row.at > fastest->at;
      const bool used = request_.form != FitForm::linear || (row.days && !past);
      out_.rows.push_back({row, used, 0.0});
      if (!used) {
        left_out += row.days ? 1 : 0;
        continue;
      }
      Row taken{row.at, row.days ? 1.0 / *row.days : 0.0, 1.0, row.days.has_value()};
      if (row.days && request_.weights != FitWeights::alike) {
        const bool with_sd = request_.weights == FitWeights::sd;
        if (!row.n || (with_sd && !(row.sd && *row.sd > 0.0))) {
          refuse("fit.needs_weights", {{"at", row.at}});
          return false;
        }
        taken.weight = *row.n;
        if (with_sd) taken.weight *= *row.days * *row.days * *row.days * *row.days / (*row.sd * *row.sd);
      }
      if (row.days) {
        weight_sum += taken.weight;
        ++out_.developed;
      }
      rows_.push_back(taken);
    }
    // Mean 1, so that the scatter stays that of rates per day. Rows without development count as an average one.
    for (Row& row : rows_)
      if (row.developed) row.weight *= out_.developed / weight_sum;
    if (left_out > 0) warn("fit.left_out", {{"n", std::int64_t{left_out}}, {"fastest", fastest->at}});
    left_out_ = left_out > 0;
    return true;
  }

  void warn(std::string code, std::vector<Fact> facts = {}) { out_.reasons.push_back({std::move(code), std::move(facts)}); }

  // Whether the table can carry the form at all.
  bool enough() {
    std::vector<double> temperatures;
    const Row* fastest = nullptr;
    for (const Row& row : rows_) {
      if (!row.developed) continue;
      if (std::find_if(temperatures.begin(), temperatures.end(), [&](double t) { return std::abs(t - row.at.celsius()) < 1e-9; }) ==
          temperatures.end())
        temperatures.push_back(row.at.celsius());
      if (fastest == nullptr || row.rate > fastest->rate) fastest = &row;
    }
    if (temperatures.size() < count() || temperatures.size() < 2) {
      refuse("fit.too_few", {{"n", whole(temperatures.size())}, {"needed", whole(std::max<std::size_t>(count(), 2))}});
      return false;
    }
    if (!has_upper(request_.form)) return true;
    bool falls = false;
    bool absent = false;
    for (const Row& row : rows_)
      if (row.at > fastest->at) (row.developed ? falls : absent) = true;
    if (!falls && !absent) {
      refuse("fit.upper_not_identified", {{"fastest", fastest->at}});
      return false;
    }
    if (!falls) warn("fit.upper_from_absence", {{"fastest", fastest->at}});
    return true;
  }

  // Ordinary least squares of rate = a + b·T: threshold −a/b, constant 1/b.
  std::optional<Numbers> line() const {
    double sw = 0.0;
    double st = 0.0;
    double sy = 0.0;
    for (const Row& row : rows_) {
      sw += row.weight;
      st += row.weight * row.at.celsius();
      sy += row.weight * row.rate;
    }
    const double tm = st / sw;
    const double ym = sy / sw;
    double stt = 0.0;
    double sty = 0.0;
    for (const Row& row : rows_) {
      stt += row.weight * (row.at.celsius() - tm) * (row.at.celsius() - tm);
      sty += row.weight * (row.at.celsius() - tm) * (row.rate - ym);
    }
    const double slope = sty / stt;
    if (!(slope > 0.0)) return std::nullopt;
    return Numbers{tm - ym / slope, 1.0 / slope};
  }

  Numbers inner(Numbers numbers) const {
    for (std::size_t i = 0; i < count(); ++i)
      if (parameters_[i].by_logarithm) numbers[i] = num::log(numbers[i]);
    return numbers;
  }
  Numbers outer(Numbers numbers) const {
    for (std::size_t i = 0; i < count(); ++i)
      if (parameters_[i].by_logarithm) numbers[i] = num::exp(numbers[i]);
    return numbers;
  }

  Residuals residuals(const std::vector<Row>& rows) const {
    return [this, &rows](const Numbers& inside) -> std::optional<Numbers> {
      const auto model = model_of(request_.form, outer(inside), request_.base);
      if (!model) return std::nullopt;
      Numbers out;
      out.reserve(rows.size());
      for (const Row& row : rows) {
        const double rate = rate_per_day(*model, row.at);
        if (row.developed && !(rate > 0.0)) return std::nullopt;
        out.push_back((rate - row.rate) * num::sqrt(row.weight));
      }
      return out;
    };
  }

  std::optional<Numbers> curve() {
    Developed data;
    data.coldest = 1e9;
    data.hottest = -1e9;
    for (const Row& row : rows_) {
      if (!row.developed) continue;
      data.t.push_back(row.at.celsius());
      data.rate.push_back(row.rate);
      data.weight.push_back(row.weight);
      data.coldest = std::min(data.coldest, row.at.celsius());
      data.hottest = std::max(data.hottest, row.at.celsius());
    }
    std::optional<LeastSquares> best;
    for (const Numbers& start : starts_of(request_.form, data, request_.base, most_starts)) {
      const auto found = least_squares(residuals(rows_), inner(start), most_steps);
      if (found && (!best || found->sum < best->sum)) best = found;
    }
    if (!best) return std::nullopt;
    return outer(best->parameters);
  }

  Reading read(const Numbers& numbers) const {
    Reading out;
    for (std::size_t i = 0; i < count(); ++i) {
      out.keys.emplace_back(parameters_[i].key);
      out.values.emplace_back(numbers[i]);
    }
    const auto model = model_of(request_.form, numbers, request_.base);
    const auto add = [&](std::string key, std::optional<double> value) {
      out.keys.push_back(std::move(key));
      out.values.push_back(value);
    };
    const auto best = model ? optimum(*model) : std::nullopt;
    const auto ends = model ? limits(*model) : RateLimits{};
    add("optimum_c", best ? std::optional(best->at.celsius()) : std::nullopt);
    add("highest_rate", best ? std::optional(best->rate_per_day) : std::nullopt);
    add("lower_limit_c", ends.lower ? std::optional(ends.lower->celsius()) : std::nullopt);
    add("upper_limit_c", ends.upper ? std::optional(ends.upper->celsius()) : std::nullopt);
    return out;
  }

  void report(const Numbers& numbers) {
    out_.model = model_of(request_.form, numbers, request_.base);
    if (!out_.model) return refuse("fit.no_fit");
    double sum = 0.0;
    for (const Row& row : rows_) {
      const double miss = rate_per_day(*out_.model, row.at) - row.rate;
      sum += row.weight * miss * miss;
    }
    for (FittedRow& row : out_.rows) row.rate = rate_per_day(*out_.model, row.row.at);
    const int freedom = out_.developed - static_cast<int>(count());
    if (freedom > 0) out_.residual_sd = num::sqrt(sum / freedom);
    if (freedom <= 0) warn("fit.no_scatter", {{"n", std::int64_t{out_.developed}}});
    if (freedom > 1 && !left_out_ && sum > 0.0) {
      const double n = out_.developed;
      const double k = static_cast<double>(count()) + 1.0;
      if (n - k - 1.0 > 0.0) out_.aicc = n * num::log(sum / n) + 2.0 * k + 2.0 * k * (k + 1.0) / (n - k - 1.0);
    }
    const Reading found = read(numbers);
    std::vector<Estimate> all;
    for (std::size_t i = 0; i < found.keys.size(); ++i)
      if (found.values[i]) all.push_back({found.keys[i], *found.values[i], std::nullopt, std::nullopt, std::nullopt});
    if (freedom > 0) {
      by_delta(numbers, found, all, freedom);
      by_resampling(numbers, all, freedom);
    }
    judge(all, freedom);
    out_.parameters.assign(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(count()));
    out_.derived.assign(all.begin() + static_cast<std::ptrdiff_t>(count()), all.end());
  }

  static std::optional<double> value_of(const Reading& reading, const std::string& key) {
    for (std::size_t i = 0; i < reading.keys.size(); ++i)
      if (reading.keys[i] == key) return reading.values[i];
    return std::nullopt;
  }

  void by_delta(const Numbers& numbers, const Reading& found, std::vector<Estimate>& all, int freedom) const {
    const Numbers inside = inner(numbers);
    const auto j = jacobian(residuals(rows_), inside, rows_.size());
    const auto inverse = inverse_of_normal(j, rows_.size(), count());
    if (!inverse) return;
    const double variance = out_.residual_sd * out_.residual_sd;
    const double t = student_two_sided(freedom, 0.95);
    // Each thing read as a function of the inner parameters.
    const auto gradients = jacobian(
        [&](const Numbers& at) -> std::optional<Numbers> {
          const Reading there = read(outer(at));
          Numbers out;
          for (std::size_t i = 0; i < there.values.size(); ++i) out.push_back(there.values[i].value_or(found.values[i].value_or(0.0)));
          return out;
        },
        inside, found.values.size());
    for (std::size_t i = 0; i < found.keys.size(); ++i) {
      const auto mine = std::find_if(all.begin(), all.end(), [&](const Estimate& e) { return e.key == found.keys[i]; });
      if (mine == all.end()) continue;
      const bool log = i < count() && parameters_[i].by_logarithm;
      double sum = 0.0;
      for (std::size_t a = 0; a < count(); ++a)
        for (std::size_t b = 0; b < count(); ++b)
          sum += gradients[i * count() + a] * (*inverse)[a * count() + b] * gradients[i * count() + b];
      const double se = num::sqrt(std::max(0.0, sum) * variance);
      mine->standard_error = se;
      const double factor = log ? num::exp(t * se / mine->value) : 1.0;
      mine->interval95 = log ? Interval{mine->value / factor, mine->value * factor} : Interval{mine->value - t * se, mine->value + t * se};
    }
  }

  void by_resampling(const Numbers& numbers, std::vector<Estimate>& all, int freedom) {
    if (request_.resamples <= 0 || !(out_.residual_sd > 0.0)) return;
    std::vector<Numbers> samples(all.size());
    std::vector<Row> drawn = rows_;
    for (int sample = 0; sample < request_.resamples; ++sample) {
      num::Draws random({.seed = request_.seed,
                         .member = static_cast<std::uint32_t>(sample),
                         .stage = static_cast<std::uint16_t>(request_.form),
                         .use = num::Use::fit});
      // The scatter is itself only known from a few rows: its own spread makes the samples as wide as Student's t.
      const double scatter = out_.residual_sd * num::sqrt(0.5 * freedom / random.gamma(0.5 * freedom));
      for (std::size_t i = 0; i < rows_.size(); ++i)
        if (rows_[i].developed)
          drawn[i].rate = rate_per_day(*out_.model, rows_[i].at) + random.normal() * scatter / num::sqrt(rows_[i].weight);
      const auto again = refit(drawn, numbers);
      if (!again) {
        ++out_.resamples_failed;
        continue;
      }
      const Reading there = read(*again);
      for (std::size_t k = 0; k < all.size(); ++k)
        if (const auto value = value_of(there, all[k].key)) samples[k].push_back(*value);
    }
    // The samples on which a fit fails are the ones that would have gone farthest: without them an interval is too short.
    if (out_.resamples_failed * 20 > request_.resamples) return;
    for (std::size_t k = 0; k < all.size(); ++k) {
      auto& values = samples[k];
      // A side that is missing in part of the samples has no interval.
      if (static_cast<int>(values.size()) + out_.resamples_failed < request_.resamples || values.size() < 40) continue;
      std::sort(values.begin(), values.end());
      const auto at = [&](double share) {
        const double place = share * static_cast<double>(values.size() - 1);
        const auto below = static_cast<std::size_t>(place);
        const std::size_t above = std::min(below + 1, values.size() - 1);
        return values[below] + (place - static_cast<double>(below)) * (values[above] - values[below]);
      };
      all[k].resampled95 = Interval{at(0.025), at(0.975)};
    }
  }

  std::optional<Numbers> refit(const std::vector<Row>& drawn, const Numbers& from) const {
    if (request_.form == FitForm::linear) {
      Fitting other{request_};
      other.rows_ = drawn;
      return other.line();
    }
    const auto found = least_squares(residuals(drawn), inner(from), most_steps);
    if (!found || !found->converged) return std::nullopt;
    return outer(found->parameters);
  }

  // What the estimates themselves say about being known.
  void judge(const std::vector<Estimate>& all, int freedom) {
    double coldest = 1e9;
    for (const Row& row : rows_)
      if (row.developed) coldest = std::min(coldest, row.at.celsius());
    for (std::size_t i = 0; i < all.size(); ++i) {
      const Estimate& e = all[i];
      if (e.key == "lower_limit_c" && e.value < coldest - 5.0)
        warn("fit.lower_far", {{"lower", Temperature::celsius(e.value)}, {"coldest", Temperature::celsius(coldest)}});
      if (i >= count() || freedom <= 0) continue;
      const double wide = e.interval95 ? 0.5 * (e.interval95->high - e.interval95->low) : 0.0;
      // Temperatures within 10 K, others told from 0, those fitted as logarithms to a factor of 20.
      const double most = parameters_[i].kind == FormParameter::Kind::plain ? std::abs(e.value) : 10.0;
      const bool known = e.interval95 && (parameters_[i].by_logarithm ? e.interval95->high < 20.0 * e.value : wide <= most);
      if (!known) warn("fit.not_identified", {{"parameter", e.key}});
    }
  }

  const FitRequest& request_;
  std::vector<FormParameter> parameters_;
  std::vector<Row> rows_;
  bool left_out_ = false;
  RateFit out_;
};

}  // namespace

RateFit fit_rate(const FitRequest& request) { return Fitting{request}.run(); }

}  // namespace leafturn::phenology
