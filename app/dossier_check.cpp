#include "app/dossier_check.hpp"

#include <set>
#include <utility>

#include "app/development.hpp"
#include "app/file_text.hpp"
#include "core/pest/sources.hpp"
#include "core/phenology/rate.hpp"
#include "io/dossier_toml.hpp"

namespace leafturn::app {
namespace {

using pest::Known;

void count(DossierReport& report, const std::vector<pest::Cited>& figures) {
  std::set<std::string> citations;
  for (const auto& one : figures) {
    ++report.by_known[one.source->known];
    citations.insert(one.source->citation);
  }
  report.figures = figures.size();
  report.citations.assign(citations.begin(), citations.end());
}

/// Temperatures at which something must grow somewhere in a season for a calendar to mean anything.
constexpr double mild_c = 20.0, warm_c = 25.0;

void remark_on_rates(DossierReport& report, const std::vector<pest::Stage>& stages) {
  for (const auto& stage : stages) {
    const auto mild = phenology::days_at(stage.rate, Temperature::celsius(mild_c));
    const auto warm = phenology::days_at(stage.rate, Temperature::celsius(warm_c));
    if (!mild && !warm)
      report.remarks.push_back({"dossier_check.no_development", {{"stage", Term{"stage." + stage.key}}}});
    else if (mild && warm && *warm > *mild)
      report.remarks.push_back({"dossier_check.slower_when_warm", {{"stage", Term{"stage." + stage.key}}}});
  }
}

void remark_on_pest(DossierReport& report, const pest::Dossier& d, const pest::Library& library) {
  remark_on_rates(report, d.stages);
  for (const auto& host : d.hosts)
    if (library.crop(host.crop) == nullptr) report.remarks.push_back({"dossier_check.unknown_crop", {{"crop", host.crop}}});
  for (const auto& enemy : d.enemies)
    if (!enemy.friend_id.empty() && library.friend_named(enemy.friend_id) == nullptr)
      report.remarks.push_back({"dossier_check.unknown_friend", {{"friend", enemy.friend_id}}});
  if (d.thresholds.empty()) report.remarks.push_back({"dossier_check.no_threshold", {}});
  if (d.efficacies.empty()) report.remarks.push_back({"dossier_check.no_efficacy", {}});
  for (const auto& e : d.efficacies)
    if (e.is_active && e.source.known != Known::seen && e.source.known != Known::seen_second)
      report.remarks.push_back({"dossier_check.active_not_measured", {{"active", e.means}}});
  if (d.signs.empty()) report.remarks.push_back({"dossier_check.no_signs", {}});
  if (d.gaps.empty()) report.remarks.push_back({"dossier_check.no_gaps", {}});
  if (library.pest(d.id) != nullptr) report.remarks.push_back({"dossier_check.same_name", {{"id", d.id}}});
}

}  // namespace

Result<DossierReport> check_dossier(const std::string& path) {
  const auto text = read_text(path);
  if (!text) return fail(text.error());
  const auto known = library();
  if (!known) return fail(known.error());
  auto read = io::read_dossier_toml(*text, path);
  if (!read) return fail(read.error());

  DossierReport report;
  if (const auto* d = std::get_if<pest::Dossier>(&*read)) {
    report.id = d->id;
    report.scientific = d->scientific;
    report.gaps = d->gaps;
    count(report, pest::figures_of(*d));
    remark_on_pest(report, *d, **known);
  } else if (const auto* f = std::get_if<pest::Friend>(&*read)) {
    report.kind = DossierReport::Kind::ally;
    report.id = f->id;
    report.scientific = f->scientific;
    report.gaps = f->gaps;
    count(report, pest::figures_of(*f));
    remark_on_rates(report, f->stages);
    for (const auto& prey : f->prey)
      if ((*known)->pest(prey.pest) == nullptr) report.remarks.push_back({"dossier_check.unknown_pest", {{"pest", prey.pest}}});
    if (f->gaps.empty()) report.remarks.push_back({"dossier_check.no_gaps", {}});
  } else if (const auto* c = std::get_if<pest::Crop>(&*read)) {
    report.kind = DossierReport::Kind::crop;
    report.id = c->id;
    count(report, pest::figures_of(*c));
    if (!c->days_low) report.remarks.push_back({"dossier_check.no_days", {}});
  } else if (const auto* a = std::get_if<pest::Active>(&*read)) {
    report.kind = DossierReport::Kind::active;
    report.id = a->id;
    report.scientific = a->name;
    report.gaps = a->gaps;
    count(report, pest::figures_of(*a));
    if (!a->half_life_days && !a->window_days && !(a->contact_only && a->contact_only->value))
      report.remarks.push_back({"dossier_check.no_residue", {}});
    if (!a->predators && !a->parasites) report.remarks.push_back({"dossier_check.no_harm", {}});
    if (a->gaps.empty()) report.remarks.push_back({"dossier_check.no_gaps", {}});
  }
  return report;
}

}  // namespace leafturn::app
