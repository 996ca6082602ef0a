#include "app/spray_ground.hpp"

#include <algorithm>

#include "app/materials.hpp"
#include "io/garden_rows.hpp"

namespace leafturn::app {

bool is_cucurbit(const pest::Library& library, const std::string& eppo) {
  const pest::Crop* crop = library.crop(eppo);
  return crop != nullptr && std::any_of(crop->label_groups.begin(), crop->label_groups.end(),
                                        [](const auto& member) { return !member.group.empty() && member.group.front() == '9'; });
}

Result<std::optional<bool>> yes_no(const std::optional<std::string>& text, const char* field) {
  if (!text || text->empty()) return std::optional<bool>{};
  if (*text == "yes") return std::optional{true};
  if (*text == "no") return std::optional{false};
  return fail("spray_hours.yes_no", {{}, 0, field}, {{"given", *text}});
}

Result<SprayGround> spray_ground(OpenGarden& garden, garden::Garden state, const std::string& bed, const std::string& product, Instant at) {
  SprayGround out;
  out.at = at;
  out.state = std::move(state);
  auto zone = garden.zone();
  if (!zone) return fail(zone.error());
  out.zone = std::move(*zone);
  if (!out.state.described) return fail("spray_hours.no_place", {}, {}, ErrorKind::not_found);
  out.site = {out.state.described->latitude, out.state.described->longitude, out.state.described->elevation};
  if (out.state.bed(bed) == nullptr) {
    std::vector<std::string> names;
    for (const garden::BedLaid& laid : out.state.beds) names.push_back(laid.bed);
    return fail("garden.no_such_bed", {{}, 0, "--bed"}, {{"bed", bed}, {"nearest", io::nearest_words(bed, std::move(names), 3)}},
                ErrorKind::not_found);
  }
  for (const garden::Planting* p : out.state.standing(bed, at, out.zone.civil(at).date)) {
    if (!out.crop) out.crop = p->sown.crop;
    out.cucurbit = out.cucurbit || is_cucurbit(garden.library(), p->sown.crop);
  }
  const garden::Dated<garden::CardCopied>* latest = nullptr;
  for (const auto& copied : out.state.cards)
    if (copied.what.product == product) latest = &copied;
  if (latest == nullptr) return fail("treat.no_such_card", {{}, 0, "product"}, {{"product", product}}, ErrorKind::not_found);
  auto cards = cards_of(garden, out.state);
  if (!cards) return fail(cards.error());
  const auto card = cards->find(latest->what.text);
  if (card == cards->end()) return fail("treat.no_such_card", {{}, 0, "product"}, {{"product", product}}, ErrorKind::not_found);
  out.card = card->second;
  return out;
}

}  // namespace leafturn::app
