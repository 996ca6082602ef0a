#include "io/asks_csv.hpp"

#include "io/garden_rows.hpp"

namespace leafturn::io {
namespace {

constexpr std::int32_t noon = 12 * 3600;
constexpr int most_plants = 1'000'000;
constexpr std::size_t most_rows = 20'000;

Result<Ask> read_row(const GardenTable& table, std::size_t i, const Zone& zone, const pest::Library& library) {
  Ask ask;
  ask.line = table.line(i);
  const auto time = table.time(i, "time", zone, noon);
  if (!time) return fail(time.error());
  ask.time = *time;
  for (const auto& [column, to] : {std::pair{std::string_view{"bed"}, &ask.bed}, std::pair{std::string_view{"pest"}, &ask.pest},
                                   std::pair{std::string_view{"stage"}, &ask.stage}}) {
    auto text = table.text(i, column);
    if (!text) return fail(text.error());
    *to = std::move(*text);
  }
  ask.dossier = library.pest(ask.pest);
  if (ask.dossier == nullptr)
    return fail("garden.unknown_pest", table.where(i, "pest"), {{"pest", ask.pest}, {"nearest", nearest_pests(ask.pest, library)}});
  if (pest::stages_for(*ask.dossier, ask.stage).stages.empty())
    return fail("garden.unknown_stage", table.where(i, "stage"),
                {{"stage", ask.stage}, {"pest", ask.dossier->id}, {"words", stage_words(*ask.dossier)}});
  const auto plants = table.whole(i, "plants", 1, most_plants);
  if (!plants) return fail(plants.error());
  ask.plants = *plants;
  return ask;
}

}  // namespace

Result<AskTable> read_asks_csv(std::string_view bytes, const std::string& name, const Zone& zone, const pest::Library& library) {
  AskTable out;
  const auto table = GardenTable::read(bytes, name, {"time", "bed", "pest", "stage", "plants"}, {}, out.notes);
  if (!table) return fail(table.error());
  if (table->size() == 0) return fail("asks.empty", {name, 1, {}});
  if (table->size() > most_rows) return fail("asks.too_many", {name, table->line(most_rows), {}}, {{"most", std::int64_t{most_rows}}});
  out.rows.reserve(table->size());
  for (std::size_t i = 0; i < table->size(); ++i) {
    auto ask = read_row(*table, i, zone, library);
    if (!ask) return fail(ask.error());
    out.rows.push_back(std::move(*ask));
  }
  return out;
}

}  // namespace leafturn::io
