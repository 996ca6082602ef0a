#include "render/dossier_page.hpp"

#include <fmt/format.h>

#include <set>
#include <vector>

#include "core/pest/sources.hpp"
#include "core/phenology/rate.hpp"
#include "render/dossier_page_parts.hpp"
#include "render/names.hpp"

namespace leafturn::render {
namespace {

using pest::Source;

std::string rate_words(const pest::RateModel& model, double share) {
  struct Says {
    double share;
    std::string operator()(const pest::LinearRate& r) const {
      std::string out = fmt::format("{} °C·d > {} °C", number(r.constant.value.celsius_days() * share), number(r.lower.value.celsius()));
      if (r.upper) out += fmt::format(", ≤ {} °C", number(r.upper->value.celsius()));
      if (r.lethal) out += fmt::format(", 0 ≥ {} °C", number(r.lethal->value.celsius()));
      return out;
    }
    std::string operator()(const pest::BriereRate& r) const {
      return fmt::format("{}·T·(T − {})·({} − T)^(1/{})", number(r.scale), number(r.lower.celsius()), number(r.upper.celsius()),
                         number(r.m));
    }
    std::string operator()(const pest::LactinRate& r) const {
      return fmt::format("ρ {}, Tm {}, Δ {}, λ {}", number(r.rho), number(r.upper.celsius()), number(r.delta), number(r.lambda));
    }
    std::string operator()(const pest::LoganRate& r) const {
      return fmt::format("ψ {}, ρ {}, T > {}, Tm {}, Δ {}", number(r.psi), number(r.rho), number(r.base.celsius()),
                         number(r.upper.celsius()), number(r.delta));
    }
    std::string operator()(const pest::Logan10Rate& r) const {
      return fmt::format("α {}, k {}, ρ {}, T > {}, Tm {}, Δ {}", number(r.alpha), number(r.k), number(r.rho), number(r.base.celsius()),
                         number(r.upper.celsius()), number(r.delta));
    }
    std::string operator()(const pest::SchoolfieldRate& r) const { return fmt::format("ρ25 {}, HA {}", number(r.rho25), number(r.ha)); }
    std::string operator()(const pest::KontodimasRate& r) const {
      return fmt::format("{}·(T − {})²·({} − T)", number(r.scale), number(r.lower.celsius()), number(r.upper.celsius()));
    }
    std::string operator()(const pest::BetaRate& r) const {
      return fmt::format("e^{}·(T − {})^{}·({} − T)^{}", number(r.mu), number(r.lower.celsius()), number(r.alpha),
                         number(r.upper.celsius()), number(r.beta));
    }
    std::string operator()(const pest::TableRate& r) const {
      std::string out;
      for (const auto& p : r.points)
        out += fmt::format("{}{} °C: {}", out.empty() ? "" : "; ", number(p.temperature.celsius()),
                           p.days ? number(*p.days * share) + " d" : "–");
      return out;
    }
  };
  return std::string(pest::word_for(model)) + ": " + std::visit(Says{share}, model);
}

std::string days_text(const pest::StageRate& rate, double celsius) {
  const auto days = phenology::days_at(rate, Temperature::celsius(celsius));
  return days ? fmt::format("{:.1f}", *days) : std::string("–");
}

void write_stages(Page& page, const pest::Dossier& d) {
  page.heading("pest_page.stages");
  page.table({"column.stage", "dossier_page.rate", "dossier_page.days_15", "dossier_page.days_20", "dossier_page.days_25",
              "dossier_page.days_30", "column.spread", "column.known"});
  for (const auto& stage : d.stages)
    page.row({page.stage(stage.key) + (stage.in_soil ? " (" + page.word("dossier_page.in_soil") + ")" : ""),
              rate_words(stage.rate.model, stage.rate.share), days_text(stage.rate, 15.0), days_text(stage.rate, 20.0),
              days_text(stage.rate, 25.0), days_text(stage.rate, 30.0), number(stage.spread.value),
              page.cite(pest::source_of(stage.rate.model))});
  if (d.sets.empty()) return;
  page.heading("dossier_page.sets");
  page.table(
      {"dossier_page.set", "dossier_page.population", "dossier_page.covers", "dossier_page.rate", "dossier_page.why", "column.known"});
  for (const auto& set : d.sets)
    page.row({set.id + (set.id == d.set_used ? " (" + page.word("dossier_page.in_use") + ")" : ""), Page::cell(set.population),
              page.stage(set.first) + " – " + page.stage(set.last), rate_words(set.model, 1.0), Page::cell(set.why),
              page.cite(pest::source_of(set.model))});
}

void write_year(Page& page, const pest::Dossier& d) {
  page.heading("dossier_page.year");
  const auto& b = d.biofix;
  static constexpr std::string_view kinds[] = {"date", "degree_days", "warm_days", "day_length", "first_find"};
  std::string start = page.word("dossier_page.biofix." + std::string(kinds[static_cast<std::size_t>(b.kind)]));
  if (b.sum)
    start += fmt::format(", {} °C·d > {} °C", number(b.sum->celsius_days()), number(b.lower->celsius()));
  else if (b.lower)
    start += fmt::format(", {} °C", number(b.lower->celsius()));
  if (b.day_length_hours > 0.0) start += fmt::format(", {} h", number(b.day_length_hours));
  if (b.in_soil) start += " (" + page.word("dossier_page.in_soil") + ")";
  page.out += "- " + start + " → " + page.stage(b.stage) + ". " + page.cite(b.source) + "\n";
  if (d.diapause)
    page.out += "- " + page.word("dossier_page.diapause") +
                fmt::format(" {} h ± {} h: ", number(d.diapause->critical_hours.value), number(d.diapause->slope_hours)) +
                page.stage(d.diapause->sensitive_stage) + " → " + page.stage(d.diapause->resting_stage) + ". " +
                page.cite(d.diapause->critical_hours.source) + "\n";
  if (d.migrant_north_of)
    page.out += "- " + page.word("dossier_page.migrant") + fmt::format(" {}° N. ", number(d.migrant_north_of->value.degrees())) +
                page.cite(d.migrant_north_of->source) + "\n";
  if (d.winter_kill)
    page.out += "- " + page.word("dossier_page.winter_kill") + fmt::format(" {} °C. ", number(d.winter_kill->value.celsius())) +
                page.cite(d.winter_kill->source) + "\n";
  const auto figure = [&](std::string_view key, const std::optional<pest::Sourced<double>>& one) {
    if (one) page.out += "- " + page.word(key) + ": " + number(one->value) + ". " + page.cite(one->source) + "\n";
  };
  figure("dossier_page.per_mass", d.laying.per_mass);
  figure("dossier_page.interval", d.laying.interval_days);
  figure("dossier_page.fecundity", d.laying.fecundity);
  figure("dossier_page.female_share", d.laying.female_share);
  figure("dossier_page.net_reproduction", d.laying.net_reproduction);
  for (const auto& stage : d.stages)
    if (stage.survival)
      page.out += "- " + page.word("dossier_page.survival") + ", " + page.stage(stage.key) + ": " + number(100.0 * stage.survival->value) +
                  " %. " + page.cite(stage.survival->source) + "\n";
  for (const auto& stage : d.stages)
    if (stage.detection)
      page.out += "- " + page.word("dossier_page.detection") + ", " + page.stage(stage.key) + ": " +
                  number(100.0 * stage.detection->value) + " %. " + page.cite(stage.detection->source) + "\n";
  if (const auto& leave = d.movement.leave_per_day)
    page.out += "- " + page.word("dossier_page.leave_per_day") + ": " + range(100.0 * leave->low, 100.0 * leave->high) + " %. " +
                page.cite(leave->source) + "\n";
  figure("dossier_page.distance", d.movement.distance_m);
}

void write_damage(Page& page, const pest::Dossier& d) {
  if (d.damages.empty()) return;
  page.heading("dossier_page.damage");
  static constexpr std::string_view kinds[] = {"harvested", "foliage", "root", "stand", "vector", "contaminant"};
  for (const auto& one : d.damages) {
    page.out += "- " + page.word("damage_kind." + std::string(kinds[static_cast<std::size_t>(one.kind)])) + ": " + page.crops(one.crops) +
                ". " + page.cite(one.source) + "\n";
    if (one.loss)
      page.out += "  - " + page.word("dossier_page.loss") + " " + range(100.0 * one.loss->low, 100.0 * one.loss->high) + " % " +
                  page.word(one.loss->per == pest::Damage::Loss::Per::individual ? "dossier_page.per_individual"
                                                                                 : "dossier_page.per_individual_day") +
                  " (" + page.stage(one.loss->stage) + "). " + page.cite(one.loss->source) + "\n";
    for (const auto& t : one.tolerated) {
      const bool leaf = t.measure == pest::Damage::Tolerated::Measure::share_of_leaf;
      page.out += "  - " + page.word("dossier_page.tolerated") + " " +
                  (leaf ? range(100.0 * t.low, 100.0 * t.high) + " % " + page.word("dossier_page.of_leaf")
                        : range(t.low, t.high) + " " + page.word("dossier_page.season_mean")) +
                  (t.growth.empty() ? "" : " " + page.word("growth." + t.growth)) + ". " + page.cite(t.source) + "\n";
    }
    for (const auto& r : one.rejects)
      page.out += "  - " + page.word("dossier_page.reject." + r.outlet) + ": " + range(100.0 * r.low, 100.0 * r.high) + " %. " +
                  page.cite(r.source) + "\n";
  }
}

void write_means(Page& page, const std::vector<pest::Efficacy>& all) {
  page.table({"dossier_page.means", "column.stage", "dossier_page.removed", "column.known"});
  for (const auto& e : all) {
    std::string stages;
    for (const auto& s : e.stages) stages += (stages.empty() ? "" : ", ") + page.stage(s);
    page.row(
        {e.is_active ? e.means : page.word("means." + e.means), stages, range(100.0 * e.low, 100.0 * e.high) + " %", page.cite(e.source)});
  }
}

void write_acting(Page& page, const pest::Dossier& d) {
  if (!d.thresholds.empty()) {
    page.heading("pest_page.thresholds");
    page.table({"dossier_page.crops", "column.stage", "dossier_page.value", "dossier_page.growth", "column.known"});
    for (const auto& t : d.thresholds) {
      const bool per_plant = t.measure == pest::Threshold::Measure::per_plant;
      page.row({page.crops(t.crops), page.stage(t.stage),
                per_plant ? number(t.value.value) + " " + page.word("dossier_page.per_plant")
                          : number(100.0 * t.value.value) + " % " + page.word("dossier_page.of_plants"),
                t.growth.empty() ? "" : page.word("growth." + t.growth), page.cite(t.value.source)});
    }
  }
  if (!d.sampling.empty() || !d.dispersions.empty()) {
    page.heading("dossier_page.counting");
    for (const auto& s : d.sampling) {
      std::string what = page.stage(s.stage) + " / " + s.unit;
      if (s.high > 0.0) what += fmt::format(": {} – {}", number(s.low), number(s.high));
      if (s.alpha > 0.0) what += fmt::format(", α {}, β {}", number(s.alpha), number(s.beta));
      if (s.plants > 0) what += fmt::format(", n {}", s.plants);
      page.out += "- " + what + ". " + page.cite(s.source) + "\n";
    }
    for (const auto& one : d.dispersions) {
      using Kind = pest::Dispersion::Kind;
      const std::string law = one.kind == Kind::taylor ? fmt::format("s² = {}·m^{}", number(one.a), number(one.b))
                              : one.kind == Kind::iwao ? fmt::format("m* = {} + {}·m", number(one.a), number(one.b))
                                                       : fmt::format("k = {}", number(one.a));
      page.out += "- " + page.stage(one.stage) + " / " + one.unit + ": " + law + ". " + page.cite(one.source) + "\n";
    }
  }
  if (!d.efficacies.empty()) {
    page.heading("pest_page.means");
    write_means(page, d.efficacies);
  }
  if (!d.ratings.empty()) {
    page.heading("dossier_page.ratings");
    page.out += page.word("dossier_page.ratings_about") + "\n\n";
    write_means(page, d.ratings);
  }
}

void write_telling(Page& page, const pest::Dossier& d) {
  if (!d.signs.empty()) {
    page.heading("dossier_page.signs");
    for (const auto& s : d.signs) page.out += "- " + page.word("sign." + s.character + "." + s.state) + ". " + page.cite(s.source) + "\n";
  }
  if (!d.look_alikes.empty()) {
    page.heading("dossier_page.look_alikes");
    for (const auto& one : d.look_alikes)
      page.out += "- " + capital(page.word("look_alike." + one.id + ".name")) + " (*" + one.scientific +
                  "*): " + page.word("look_alike." + one.id + ".tell") + " " + page.cite(one.source) + "\n";
  }
  if (!d.enemies.empty()) {
    page.heading("dossier_page.enemies");
    for (const auto& e : d.enemies)
      page.out += "- *" + e.scientific + "*" + (e.friend_id.empty() ? "" : " (" + page.word("friend." + e.friend_id + ".name") + ")") +
                  ": " + page.stage(e.stage) + (e.low ? ", " + range(100.0 * *e.low, 100.0 * *e.high) + " %" : "") + ". " +
                  page.cite(e.source) + "\n";
  }
}

}  // namespace

std::string pest_page_markdown(const pest::Dossier& d, const words::Style& style) {
  Page page(style);
  page.out = "# " + capital(pest_name(d, style)) + "\n\n*" + d.scientific + "*" + (d.eppo.empty() ? "" : ", EPPO " + d.eppo) + " · " +
             d.order + ", " + d.family + ". " + words::say({"pest_page.overwinters", {{"stage", page.stage(d.overwinters)}}}, style) + " " +
             phrase("pest." + d.id + ".damage", "", style) + "\n\n![" + page.word("dossier_page.drawing") + "](" + d.id + ".svg)\n";
  write_stages(page, d);
  write_year(page, d);
  page.heading("pest_page.hosts");
  for (int preference = 3; preference >= 1; --preference) {
    std::vector<std::string> crops;
    std::vector<const Source*> sources;
    for (const auto& host : d.hosts) {
      if (host.preference != preference) continue;
      crops.push_back(host.crop);
      sources.push_back(&host.source);
    }
    if (crops.empty()) continue;
    page.out += "- " + capital(page.word("pest_page.preference." + std::to_string(preference))) + ": " + page.crops(crops) + ".";
    std::set<std::string> said;
    for (const auto* source : sources)
      if (const std::string cited = page.cite(*source); said.insert(cited).second) page.out += " " + cited + ".";
    page.out += "\n";
  }
  write_damage(page, d);
  write_acting(page, d);
  write_telling(page, d);
  if (!d.figures.empty()) {
    page.heading("dossier_page.figures");
    page.table({"dossier_page.what", "dossier_page.value", "column.known"});
    for (const auto& f : d.figures) page.row({"`" + f.what + "`", range(f.low, f.high) + " " + Page::cell(f.unit), page.cite(f.source)});
  }
  page.heading("pest_page.gaps");
  for (const auto& gap : d.gaps) page.out += "- " + gap + "\n";
  page.sources();
  return page.out;
}

std::string pest_index_markdown(const pest::Library& library, const words::Style& style) {
  std::string out =
      "# " + words::say_key("dossier_page.index", style) + "\n\n" + words::say_key("dossier_page.index_about", style) + "\n\n";
  for (const auto& d : library.pests) {
    std::size_t read = 0;
    const auto figures = pest::figures_of(d);
    for (const auto& one : figures)
      read += one.source->known == pest::Known::seen || one.source->known == pest::Known::seen_second ? 1U : 0U;
    out += "- [" + pest_name(d, style) + "](" + d.id + ".md), *" + d.scientific + "*: " +
           words::say({"dossier_page.index_figures",
                       {{"figures", static_cast<std::int64_t>(figures.size())}, {"read", static_cast<std::int64_t>(read)}}},
                      style) +
           "\n";
  }
  if (!library.actives.empty()) out += "\n[" + words::say_key("actives_page.title", style) + "](actives.md)\n";
  return out;
}

}  // namespace leafturn::render
