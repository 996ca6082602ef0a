#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "core/phenology/rate.hpp"
#include "render/dossier_page.hpp"
#include "render/names.hpp"

namespace leafturn::render {
namespace {

constexpr double from_c = 0.0, to_c = 40.0, step_c = 0.5;

struct Point {
  double x, y;
};
/// One curve: runs of points where it has a value.
struct Curve {
  std::string name;
  std::vector<std::vector<Point>> runs;
  bool other_set = false;
};

/// Where a value falls on the paper.
struct Panel {
  double left, top, width, height;
  double most;  ///< at the top
  double x(double celsius) const { return left + width * (celsius - from_c) / (to_c - from_c); }
  double y(double value) const { return top + height * (1.0 - value / most); }
};

template <class Value>
Curve curve(std::string name, Value value) {
  Curve out{std::move(name), {}, false};
  bool running = false;
  for (double t = from_c; t <= to_c + 1e-9; t += step_c) {
    const std::optional<double> v = value(Temperature::celsius(t));
    if (v && !running) out.runs.emplace_back();
    running = v.has_value();
    if (v) out.runs.back().push_back({t, *v});
  }
  return out;
}

/// A round number at or above `value`: 1, 2 or 5 times a power of ten.
double rounded_up(double value) {
  double power = 1.0;
  while (power > value) power /= 10.0;
  while (power * 10.0 < value) power *= 10.0;
  for (const double k : {1.0, 2.0, 5.0, 10.0})
    if (k * power >= value) return k * power;
  return 10.0 * power;
}

std::string number(double value) {
  std::string text = fmt::format("{:.4f}", value);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string escaped(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (c == '&')
      out += "&amp;";
    else if (c == '<')
      out += "&lt;";
    else
      out += c;
  }
  return out;
}

std::string frame(const Panel& p, const std::string& title, const std::string& bottom) {
  std::string out = fmt::format("<text class=\"title\" x=\"{:.1f}\" y=\"{:.1f}\">{}</text>\n", p.left, p.top - 12.0, escaped(title));
  for (int i = 0; i <= 4; ++i) {
    const double value = p.most * i / 4.0;
    out += fmt::format(
        "<line class=\"grid\" x1=\"{:.1f}\" x2=\"{:.1f}\" y1=\"{:.1f}\" y2=\"{:.1f}\"/>"
        "<text class=\"tick\" x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"end\">{}</text>\n",
        p.left, p.left + p.width, p.y(value), p.y(value), p.left - 6.0, p.y(value) + 4.0, number(value));
  }
  for (int t = 0; t <= 40; t += 10)
    out += fmt::format("<text class=\"tick\" x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\">{}</text>\n", p.x(t), p.top + p.height + 18.0,
                       t);
  return out + fmt::format("<text class=\"tick\" x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\">{}</text>\n", p.left + p.width / 2.0,
                           p.top + p.height + 36.0, escaped(bottom));
}

/// Ends of curves are named beside them, pushed apart so that no two names lie on one another.
std::string drawn(const Panel& p, const std::vector<Curve>& curves) {
  struct Label {
    double y;
    std::string text;
    std::size_t style;
  };
  std::string out;
  std::vector<Label> labels;
  for (std::size_t i = 0; i < curves.size(); ++i) {
    const Curve& c = curves[i];
    const std::string kind = c.other_set ? "other" : fmt::format("c{}", i % 6);
    const Point* last = nullptr;
    for (const auto& run : c.runs) {
      std::string path;
      for (const Point& at : run) {
        if (at.y > p.most) continue;
        path += fmt::format("{}{:.1f},{:.1f}", path.empty() ? "M" : "L", p.x(at.x), p.y(at.y));
        last = &at;
      }
      if (!path.empty()) out += fmt::format("<path class=\"curve {}\" d=\"{}\"/>\n", kind, path);
    }
    if (last != nullptr) labels.push_back({p.y(last->y), c.name, c.other_set ? 6 : i % 6});
  }
  std::stable_sort(labels.begin(), labels.end(), [](const Label& a, const Label& b) { return a.y < b.y; });
  double free = p.top;
  for (Label& label : labels) {
    label.y = std::max(label.y, free);
    free = label.y + 14.0;
  }
  for (const Label& label : labels)
    out += fmt::format("<text class=\"name n{}\" x=\"{:.1f}\" y=\"{:.1f}\">{}</text>\n", label.style, p.left + p.width + 8.0, label.y + 4.0,
                       escaped(label.text));
  return out;
}

double highest(const std::vector<Curve>& curves) {
  double most = 0.0;
  for (const auto& c : curves)
    for (const auto& run : c.runs)
      for (const auto& at : run) most = std::max(most, at.y);
  return most;
}

std::optional<double> positive(double rate) { return rate > 0.0 ? std::optional{rate} : std::nullopt; }

/// Days from the first stage to the last before the adult; nothing where one of them doesn't develop.
std::optional<double> whole_days(const pest::Dossier& pest, Temperature t) {
  double sum = 0.0;
  for (const auto& stage : pest.stages) {
    if (stage.group == pest::StageGroup::adult) break;
    const auto days = phenology::days_at(stage.rate, t);
    if (!days) return std::nullopt;
    sum += *days;
  }
  return sum;
}

}  // namespace

std::string rate_curves_svg(const pest::Dossier& pest, const words::Style& style) {
  const auto word = [&](std::string_view key) { return words::say_key(key, style); };
  std::vector<Curve> rates;
  for (const auto& stage : pest.stages) {
    if (stage.group == pest::StageGroup::adult) break;
    rates.push_back(curve(stage_name(stage.key, style), [&](Temperature t) { return positive(phenology::rate_per_day(stage.rate, t)); }));
  }
  constexpr double most_days = 100.0;
  const auto up_to = [&](std::optional<double> days) { return days && *days <= most_days ? days : std::nullopt; };
  std::vector<Curve> days{curve(word("dossier_page.in_use"), [&](Temperature t) { return up_to(whole_days(pest, t)); })};
  for (const auto& set : pest.sets) {
    if (set.id == pest.set_used) continue;
    days.push_back(curve(set.id, [&](Temperature t) { return up_to(phenology::days_at(set.model, t)); }));
    days.back().other_set = true;
  }
  const Panel left{60.0, 44.0, 260.0, 220.0, rounded_up(std::max(1e-3, highest(rates)))};
  const Panel right{560.0, 44.0, 260.0, 220.0, rounded_up(std::max(1.0, highest(days)))};
  std::string out =
      "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 1000 310\" width=\"1000\" height=\"310\" role=\"img\">\n"
      "<style>text{font-family:Georgia,serif;font-size:13px;fill:#2b2a26}.title{font-size:14px;font-weight:bold}.tick{fill:#5b5850}"
      ".grid{stroke:#d9d3c4}.curve{fill:none;stroke-width:2}.other{stroke:#6b675d;stroke-dasharray:5 4}.n6{fill:#5b5850}"
      ".c0{stroke:#3c5a14}.n0{fill:#3c5a14}.c1{stroke:#9a4a12}.n1{fill:#8a3f0d}.c2{stroke:#1d5a78}.n2{fill:#1d5a78}"
      ".c3{stroke:#7a2a55}.n3{fill:#7a2a55}.c4{stroke:#6a5a00}.n4{fill:#6a5a00}.c5{stroke:#33413a}.n5{fill:#33413a}</style>\n"
      "<rect width=\"1000\" height=\"310\" fill=\"#fbf8f0\"/>\n";
  out += frame(left, word("dossier_page.rate_axis"), word("dossier_page.temperature_axis"));
  out += drawn(left, rates);
  out += frame(right, word("dossier_page.days_axis"), word("dossier_page.temperature_axis"));
  out += drawn(right, days);
  return out + "</svg>\n";
}

}  // namespace leafturn::render
