#include "app/outlook.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <utility>

#include "app/file_text.hpp"
#include "app/materials.hpp"
#include "app/moment.hpp"
#include "core/decision/context.hpp"
#include "io/garden_rows.hpp"
#include "io/quantity_text.hpp"

namespace leafturn::app {
namespace {

using decision::Numbers;
using population::Sighting;

constexpr std::size_t asks_at_once = 2000;

// Of the hosts in a bed, the one liked best: of those standing, else of those to be set out later.
const garden::Planting* host_in(const garden::Garden& garden, const pest::Dossier& dossier, const std::string& bed, Instant at, Date day) {
  const garden::Planting* best = nullptr;
  const auto weigh = [&](const garden::Planting& p) {
    const int liking = decision::preference(dossier, p.sown.crop);
    if (liking > 0 && (best == nullptr || liking > decision::preference(dossier, best->sown.crop))) best = &p;
  };
  for (const garden::Planting* p : garden.standing(bed, at, day)) weigh(*p);
  if (best != nullptr) return best;
  for (const garden::Planting& p : garden.plantings)
    if (p.sown.bed == bed && p.sown.set_out && *p.sown.set_out > day) weigh(p);
  return best;
}

std::string bed_names(const garden::Garden& garden, const std::string& given) {
  std::vector<std::string> names;
  for (const garden::BedLaid& bed : garden.beds) names.push_back(bed.bed);
  return io::nearest_words(given, std::move(names), 3);
}

// A row that can't be answered, and why.
Status check_ask(const OutlookAnswer& answer, const io::Ask& ask, const std::string& file) {
  const auto where = [&](const char* field) { return Where{file, ask.line, field}; };
  if (answer.garden.bed(ask.bed) == nullptr)
    return fail("garden.no_such_bed", where("bed"), {{"bed", ask.bed}, {"nearest", bed_names(answer.garden, ask.bed)}});
  if (ask.time < answer.at) return fail("asks.past", where("time"), {{"at", answer.zone.civil(answer.at)}});
  const Date day = answer.zone.civil(ask.time).date;
  if (day > answer.day + Days{most_days_ahead}) return fail("asks.too_far", where("time"), {{"most", std::int64_t{most_days_ahead}}});
  const auto standing = answer.garden.standing(ask.bed, ask.time, day);
  const bool host =
      std::any_of(standing.begin(), standing.end(), [&](const auto* p) { return decision::preference(*ask.dossier, p->sown.crop) > 0; });
  if (!host) return fail("asks.no_host", where("bed"), {{"bed", ask.bed}, {"pest", Term{"pest." + ask.dossier->id + ".name"}}});
  std::int64_t plants = 0;
  for (const garden::Planting* p : standing) {
    if (!p->sown.plants) return {};
    plants += *p->sown.plants;
  }
  if (ask.plants > plants) return fail("asks.too_many_plants", where("plants"), {{"bed", ask.bed}, {"standing", plants}});
  return {};
}

Result<std::vector<io::Ask>> read_asks(OutlookAnswer& answer, const std::string& path, const pest::Library& library) {
  const auto text = read_text(path);
  if (!text) return fail(text.error());
  auto table = io::read_asks_csv(*text, path, answer.zone, library);
  if (!table) return fail(table.error());
  for (const io::Ask& ask : table->rows)
    if (auto good = check_ask(answer, ask, path); !good) return fail(good.error());
  if (answer.no_numbers) return fail("asks.no_numbers", {path, 0, {}});
  answer.ask_notes = std::move(table->notes);
  return std::move(table->rows);
}

class Maker {
 public:
  Maker(OutlookAnswer& answer, const decision::BriefRequest& request, const PopulationGround& ground)
      : answer_{answer}, request_{request}, ground_{ground} {}

  void run_pests(const std::vector<io::Ask>& asks) {
    const pest::Library& library = *request_.library;
    for (const pest::Dossier& dossier : library.pests) {
      const bool asked = std::any_of(asks.begin(), asks.end(), [&](const io::Ask& ask) { return ask.dossier == &dossier; });
      if (!asked && !counted(dossier)) continue;
      // Always as far as may be asked about: what is told of a day must not depend on how far somebody else looks.
      PestRun run = prepare_pest(ground_, dossier, most_days_ahead);
      if (run.sightings.empty() && !asked) {  // counts of an earlier season, or none that can be used
        if (!run.left_out.empty()) left_out_.emplace(&dossier, std::move(run.left_out));
        continue;
      }
      run_prepared(ground_, run, workers_, members_for(run.world.beds.size()));
      answer_.pests.push_back({&dossier, static_cast<int>(run.sightings.size()), run.gate, run.life->assumed, run.left_out});
      runs_.push_back(std::move(run));
    }
  }

  void fill_beds() {
    for (const garden::BedLaid& bed : answer_.garden.beds) {
      OutlookBed& out = answer_.beds.emplace_back();
      out.bed = bed.bed;
      if (const auto standing = answer_.garden.standing(bed.bed, answer_.at, answer_.day); !standing.empty()) {
        out.planting = standing.front()->sown.planting;
        out.crop = standing.front()->sown.crop;
      }
    }
    for (std::size_t i = 0; i < runs_.size(); ++i)
      if (answer_.pests[i].counts > 0) fill_pest(i);
    say_not_counted();
  }

  void answer_asks(std::vector<io::Ask> asks) {
    std::vector<std::optional<Answered>> found(asks.size());
    for (std::size_t i = 0; i < runs_.size(); ++i) {
      const PestRun& run = runs_[i];
      std::vector<std::size_t> rows;
      for (std::size_t row = 0; row < asks.size(); ++row)
        if (asks[row].dossier == run.dossier) rows.push_back(row);
      // Some at a time: each holds a number for every member until all of them are known.
      for (std::size_t first = 0; first < rows.size(); first += asks_at_once) {
        const std::size_t last = std::min(rows.size(), first + asks_at_once);
        std::vector<Sighting> wanted;
        for (std::size_t k = first; k < last; ++k) wanted.push_back(sighting(run, asks[rows[k]]));
        auto expected = run.filter->expect(wanted);
        for (std::size_t k = first; k < last; ++k)
          found[rows[k]] = Answered{std::move(asks[rows[k]]), i, run.counts[wanted[k - first].bed], std::move(expected[k - first])};
      }
    }
    for (auto& one : found) answer_.asks.push_back(std::move(*one));
  }

 private:
  bool counted(const pest::Dossier& dossier) const {
    const auto& counts = answer_.garden.counts;
    return std::any_of(counts.begin(), counts.end(),
                       [&](const auto& c) { return c.what.pest == dossier.id || (!dossier.eppo.empty() && c.what.pest == dossier.eppo); });
  }

  Sighting sighting(const PestRun& run, const io::Ask& ask) const {
    const pest::StageWord word = pest::stages_for(*run.dossier, ask.stage);
    Sighting s;
    s.bed = *run.world.bed(ask.bed);
    s.at = run.world.step_at(Zone::fixed(ground_.standard_offset).civil(ask.time));
    s.stages = word.stages;
    s.in_one = word.masses && run.dossier->laying.per_mass ? run.dossier->laying.per_mass->value : 1.0;
    s.plants = ask.plants;
    return s;
  }

  void fill_pest(std::size_t index) {
    const PestRun& run = runs_[index];
    const std::int32_t today = (answer_.day - run.world.first).count;
    const Numbers numbers(run.world, *run.filter, today, today + answer_.days);
    std::vector<std::optional<PestInBed>> found(answer_.beds.size());
    workers_.run(found.size(), [&](std::size_t b) { found[b] = pest_in_bed(run, numbers, index, answer_.beds[b].bed); });
    for (std::size_t b = 0; b < found.size(); ++b)
      if (found[b]) answer_.beds[b].pests.push_back(std::move(*found[b]));
  }

  std::optional<PestInBed> pest_in_bed(const PestRun& run, const Numbers& numbers, std::size_t index, const std::string& bed) const {
    const auto place = numbers.bed(bed);
    const garden::Planting* host = host_in(answer_.garden, *run.dossier, bed, answer_.at, answer_.day);
    if (!place || host == nullptr) return std::nullopt;
    PestInBed out;
    out.pest = index;
    out.bed = *place;
    out.crop = host->sown.crop;
    out.counts = run.counts[*place];
    choose_threshold(run, numbers, out);
    tell_counts(run, out);
    for (Date d = answer_.day; d <= answer_.day + Days{answer_.days}; d = d + Days{1}) out.days.push_back(day_of(run, numbers, out, d));
    for (std::size_t u = 0; u < population::unknown_count; ++u)
      out.learned[u] = run.filter->learned(*place, static_cast<population::Unknown>(u));
    out.movement = run.filter->movement(*place);
    return out;
  }

  void tell_counts(const PestRun& run, PestInBed& out) const {
    for (const Sighting& s : run.sightings) {
      const auto& all = answer_.garden.counts;
      const auto said = std::find_if(all.begin(), all.end(), [&](const auto& c) { return c.id == s.id; });
      if (s.bed != out.bed || s.plants <= 0 || said == all.end()) continue;
      Taken& taken = out.taken.emplace_back();
      taken.on = answer_.zone.civil(said->at).date;
      taken.stage = pest::label_for(*run.dossier, pest::stages_for(*run.dossier, said->what.stage));
      taken.plants = s.plants;
      taken.count = s.count;
      taken.in_one = s.in_one;
      taken.per_plant = s.count * s.in_one / s.plants;
      const auto group_of = [&](std::size_t stage) { return run.dossier->stages[stage].group; };
      if (std::all_of(s.stages.begin(), s.stages.end(), [&](std::size_t stage) { return group_of(stage) == group_of(s.stages.front()); }))
        taken.group = group_of(s.stages.front());
      const auto& target = out.target.stages;
      if (std::all_of(s.stages.begin(), s.stages.end(),
                      [&](std::size_t stage) { return std::find(target.begin(), target.end(), stage) != target.end(); }))
        taken.counted = taken.per_plant / out.target.in_one;
    }
  }

  // Of several thresholds for one crop the one likeliest to be passed speaks, as in the brief.
  void choose_threshold(const PestRun& run, const Numbers& numbers, PestInBed& out) const {
    out.threshold = decision::threshold_for(*run.dossier, out.crop);
    out.target = decision::target_for(*run.dossier, out.threshold);
    double most = -1.0;
    const auto published = decision::thresholds_per_plant(*run.dossier, out.crop);
    if (published.size() < 2) return;
    for (const pest::Threshold* t : published) {
      const decision::Target target = decision::target_for(*run.dossier, t);
      double over = 0.0;
      for (Date d = answer_.day; d <= answer_.day + Days{answer_.days}; d = d + Days{1})
        over = std::max(over, numbers.over(d, out.bed, target.stages, target.there, t->value.value).value_or(0.0));
      if (over <= most) continue;
      most = over;
      out.threshold = t;
      out.target = target;
    }
  }

  OutlookDay day_of(const PestRun& run, const Numbers& numbers, const PestInBed& here, Date day) const {
    OutlookDay out;
    out.date = day;
    std::map<pest::StageGroup, std::vector<std::size_t>> groups;
    for (std::size_t s = 0; s < run.dossier->stages.size(); ++s) groups[run.dossier->stages[s].group].push_back(s);
    for (const auto& [group, stages] : groups)
      if (const auto spread = numbers.spread(day, here.bed, stages)) out.groups.push_back({group, *spread});
    out.counted = numbers.spread(day, here.bed, here.target.stages, here.target.there);
    if (here.threshold != nullptr && here.threshold->measure == pest::Threshold::Measure::per_plant)
      out.p_over = numbers.over(day, here.bed, here.target.stages, here.target.there, here.threshold->value.value);
    return out;
  }

  void say_not_counted() {
    for (const pest::Dossier& dossier : request_.library->pests) {
      const bool told = std::any_of(answer_.pests.begin(), answer_.pests.end(),
                                    [&](const OutlookPest& p) { return p.dossier == &dossier && p.counts > 0; });
      if (told) continue;
      NotCounted out{&dossier, {}, {}};
      for (const garden::BedLaid& bed : answer_.garden.beds)
        if (host_in(answer_.garden, dossier, bed.bed, answer_.at, answer_.day) != nullptr) out.beds.push_back(bed.bed);
      if (const auto left = left_out_.find(&dossier); left != left_out_.end()) out.left_out = std::move(left->second);
      if (!out.beds.empty() || !out.left_out.empty()) answer_.not_counted.push_back(std::move(out));
    }
  }

  OutlookAnswer& answer_;
  const decision::BriefRequest& request_;
  const PopulationGround& ground_;
  WorkerPool workers_;
  std::vector<PestRun> runs_;  ///< as OutlookAnswer::pests
  std::map<const pest::Dossier*, std::vector<Reason>> left_out_;
};

}  // namespace

Result<OutlookAnswer> outlook(OpenGarden& garden, const OutlookQuestion& question, Instant now) {
  auto moment = moment_of(garden, question.at, now);
  if (!moment) return fail(moment.error());

  OutlookAnswer answer;
  answer.at = moment->at;
  answer.zone = std::move(moment->zone);
  answer.day = moment->day;
  answer.days = question.days;
  answer.garden = std::move(moment->garden);
  if (answer.garden.described) answer.units = answer.garden.described->units;

  decision::BriefRequest request;
  request.garden = &answer.garden;
  request.library = &garden.library();
  request.cards = std::move(moment->cards);
  request.zone = answer.zone;
  request.at = answer.at;
  request.weather = weather_known(moment->files, answer.day, most_days_ahead + 2);
  answer.future = request.weather.future;
  answer.forecast_last = request.weather.forecast_last;
  answer.weather = decision::say_weather(request.weather, answer.day);
  const PopulationGround ground = population_ground(request);
  if (ground.air.members.empty()) answer.no_numbers = Reason{answer.garden.described ? "outlook.no_weather" : "outlook.no_place", {}};

  std::vector<io::Ask> asks;
  if (question.asks) {
    auto read = read_asks(answer, *question.asks, garden.library());
    if (!read) return fail(read.error());
    asks = std::move(*read);
    answer.asked = true;
  }
  Maker maker(answer, request, ground);
  if (!answer.no_numbers) maker.run_pests(asks);
  maker.fill_beds();
  maker.answer_asks(std::move(asks));
  return answer;
}

Result<int> parse_days_ahead(const std::optional<std::string>& text, const std::string& field) {
  return text ? io::parse_whole(*text, field, 1, most_days_ahead) : Result<int>{usual_days_ahead};
}

Result<std::shared_ptr<const OutlookAnswer>> OutlookCache::get(OpenGarden& garden, std::optional<Instant> at, int days, Instant now) {
  return kept_.get(garden, days, at, now, [&] { return outlook(garden, {at, days, {}}, now); });
}

}  // namespace leafturn::app
