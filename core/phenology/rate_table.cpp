#include "core/phenology/rate_table.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

namespace leafturn::phenology {
namespace {

constexpr double untested_k = 5.0;

struct Node {
  double t = 0.0;  // °C
  double rate = 0.0;
};

double rate_of(const pest::TableRate::Point& point) { return point.days && *point.days > 0.0 ? 1.0 / *point.days : 0.0; }
Node node(const pest::TableRate& table, std::size_t i) { return {table.points[i].temperature.celsius(), rate_of(table.points[i])}; }

// Points first to last that developed; empty if none did.
struct Run {
  std::size_t first = 0, last = 0;
  bool any = false;
};

Run developed(const pest::TableRate& table) {
  Run run;
  for (std::size_t i = 0; i < table.points.size(); ++i) {
    if (rate_of(table.points[i]) <= 0.0) continue;
    if (!run.any) run.first = i;
    run.last = i;
    run.any = true;
  }
  return run;
}

double lower_end(const pest::TableRate& table, const Run& run) {
  const Node a = node(table, run.first);
  double end = a.t - untested_k;
  if (run.first < run.last) {
    const Node b = node(table, run.first + 1);
    if (b.rate > a.rate && b.t > a.t) end = a.t - a.rate * (b.t - a.t) / (b.rate - a.rate);
  }
  return run.first > 0 ? std::max(end, node(table, run.first - 1).t) : end;
}

// From `fall` on the rate goes down in a straight line to 0 at `end`.
struct UpperEnd {
  double fall = 0.0, end = 0.0;
};

UpperEnd upper_end(const pest::TableRate& table, const Run& run) {
  const Node b = node(table, run.last);
  if (run.last + 1 < table.points.size()) return {b.t, node(table, run.last + 1).t};
  if (run.first < run.last) {
    const Node a = node(table, run.last - 1);
    if (a.rate > b.rate && b.t > a.t) return {b.t, b.t + std::min(untested_k, b.rate * (b.t - a.t) / (a.rate - b.rate))};
  }
  return {b.t + untested_k, b.t + 2.0 * untested_k};
}

double secant(const Node& a, const Node& b) { return b.t > a.t ? (b.rate - a.rate) / (b.t - a.t) : 0.0; }

// Slope at an inner point: the weighted harmonic mean of the two secants, 0 at a turn (Fritsch & Butland 1984, SIAM J. Sci. Stat. Comput.
// 5:300-304).
double inner_slope(const Node& a, const Node& b, const Node& c) {
  const double left = secant(a, b);
  const double right = secant(b, c);
  if (!(left * right > 0.0)) return 0.0;
  const double w1 = 2.0 * (c.t - b.t) + (b.t - a.t);
  const double w2 = (c.t - b.t) + 2.0 * (b.t - a.t);
  return (w1 + w2) / (w1 / left + w2 / right);
}

// Slope at the end `a` of a, b, c: three points, kept within what stays monotone (Fritsch & Carlson 1980, SIAM J. Numer. Anal. 17:238-246).
double end_slope(const Node& a, const Node& b, const Node& c) {
  const double h0 = b.t - a.t;
  const double h1 = c.t - b.t;
  const double near = secant(a, b);
  const double far = secant(b, c);
  const double slope = ((2.0 * h0 + h1) * near - h0 * far) / (h0 + h1);
  if (!(slope * near > 0.0)) return 0.0;
  if (near * far < 0.0 && std::abs(slope) > 3.0 * std::abs(near)) return 3.0 * near;
  return slope;
}

double between(const pest::TableRate& table, const Run& run, std::size_t i, double t) {
  const Node a = node(table, i);
  const Node b = node(table, i + 1);
  const double h = b.t - a.t;
  if (!(h > 0.0)) return a.rate;
  const double slope = secant(a, b);
  double da = slope;
  double db = slope;
  const bool before = i > run.first;
  const bool after = i + 1 < run.last;
  if (before) da = inner_slope(node(table, i - 1), a, b);
  if (after) db = inner_slope(a, b, node(table, i + 2));
  if (!before && after) da = end_slope(a, b, node(table, i + 2));
  if (before && !after) {
    // The same rule seen from the other side: mirrored temperatures change the sign of a slope.
    const Node p{-b.t, b.rate};
    const Node q{-a.t, a.rate};
    const Node r{-node(table, i - 1).t, node(table, i - 1).rate};
    db = -end_slope(p, q, r);
  }
  const double s = (t - a.t) / h;
  const double u = 1.0 - s;
  return u * u * (1.0 + 2.0 * s) * a.rate + s * s * (3.0 - 2.0 * s) * b.rate + h * s * u * (u * da - s * db);
}

}  // namespace

double table_rate(const pest::TableRate& table, double celsius) {
  const Run run = developed(table);
  if (!run.any) return 0.0;
  const Node first = node(table, run.first);
  if (celsius < first.t) {
    const double end = lower_end(table, run);
    return celsius > end ? first.rate * (celsius - end) / (first.t - end) : 0.0;
  }
  const Node last = node(table, run.last);
  if (celsius >= last.t) {
    const UpperEnd upper = upper_end(table, run);
    if (celsius <= upper.fall) return last.rate;
    return celsius < upper.end ? last.rate * (upper.end - celsius) / (upper.end - upper.fall) : 0.0;
  }
  std::size_t i = run.first;
  while (i + 1 < run.last && celsius >= node(table, i + 1).t) ++i;
  return between(table, run, i, celsius);
}

std::optional<TableEnds> table_ends(const pest::TableRate& table) {
  const Run run = developed(table);
  if (!run.any) return std::nullopt;
  return TableEnds{lower_end(table, run), upper_end(table, run).end};
}

}  // namespace leafturn::phenology
