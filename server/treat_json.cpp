/// May this be sprayed? A card is asked, with what only who stands at the bed can say.
#include <array>
#include <cmath>
#include <nlohmann/json.hpp>

#include "app/record.hpp"
#include "render/cautions.hpp"
#include "render/names.hpp"
#include "render/parts_json.hpp"
#include "server/error_json.hpp"
#include "server/site.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

namespace {

/// The optional fields of a question; the first that can't be read is kept.
class Facts {
 public:
  explicit Facts(const ordered_json& body) : body_{body} {}

  std::string text(const char* name) {
    const auto* field = find(name);
    if (field == nullptr) return {};
    if (field->is_string()) return field->get<std::string>();
    wrong(name);
    return {};
  }
  std::optional<bool> yes_no(const ordered_json& in, const char* name) {
    const auto found = in.find(name);
    if (found == in.end() || found->is_null()) return std::nullopt;
    if (found->is_boolean()) return found->get<bool>();
    wrong(name);
    return std::nullopt;
  }
  std::optional<bool> yes_no(const char* name) { return yes_no(body_, name); }
  std::optional<double> number(const char* name, double most) {
    const auto* field = find(name);
    if (field == nullptr) return std::nullopt;
    const double value = field->is_number() ? field->get<double>() : -1.0;
    if (value >= 0.0 && value <= most) return value;
    wrong(name);
    return std::nullopt;
  }
  template <class Value, std::size_t n>
  std::optional<Value> word(const char* name, const std::array<std::pair<std::string_view, Value>, n>& words) {
    const std::string given = text(name);
    if (given.empty()) return std::nullopt;
    for (const auto& [said, value] : words)
      if (said == given) return value;
    wrong(name);
    return std::nullopt;
  }
  std::optional<label::Handler> handler() {
    const auto* given = find("handler");
    if (given == nullptr) return std::nullopt;
    if (!given->is_object()) {
      wrong("handler");
      return std::nullopt;
    }
    label::Handler who;
    who.family = yes_no(*given, "family").value_or(false);
    who.adult = yes_no(*given, "adult");
    who.trained = yes_no(*given, "trained");
    who.licensed = yes_no(*given, "licensed");
    if (const auto on = given->find("protection"); on != given->end()) {
      who.protection.emplace();
      if (!on->is_array()) wrong("protection");
      for (const auto& thing : *on) {
        if (thing.is_string())
          who.protection->push_back(thing.get<std::string>());
        else
          wrong("protection");
      }
    }
    return who;
  }
  const std::optional<std::string>& unreadable() const { return unreadable_; }

 private:
  const ordered_json* find(const char* name) const {
    const auto found = body_.find(name);
    return found == body_.end() || found->is_null() ? nullptr : &*found;
  }
  void wrong(const char* name) {
    if (!unreadable_) unreadable_ = name;
  }
  const ordered_json& body_;
  std::optional<std::string> unreadable_;
};

app::TreatFacts facts_of(Facts& given, const CivilTime& now) {
  using label::Droplets;
  using label::Method;
  using label::Produce;
  using Seen = label::BloomLook::Seen;
  app::TreatFacts facts;
  facts.method = given.word(
      "method",
      std::array{std::pair{std::string_view{"foliar"}, Method::foliar}, std::pair{std::string_view{"soil"}, Method::soil},
                 std::pair{std::string_view{"chemigation"}, Method::chemigation}, std::pair{std::string_view{"dust"}, Method::dust},
                 std::pair{std::string_view{"bait"}, Method::bait}, std::pair{std::string_view{"seed"}, Method::seed}});
  const auto seen =
      given.word("bloom", std::array{std::pair{std::string_view{"none"}, Seen::none}, std::pair{std::string_view{"open"}, Seen::open},
                                     std::pair{std::string_view{"open-cucurbit"}, Seen::open_cucurbit}});
  if (seen) facts.bloom = label::BloomLook{*seen, given.text("bed"), now};
  facts.produce = given.word(
      "produce", std::array{std::pair{std::string_view{"kept"}, Produce::kept}, std::pair{std::string_view{"given"}, Produce::given},
                            std::pair{std::string_view{"sold"}, Produce::sold}});
  facts.handler = given.handler();
  facts.organic = given.yes_no("organic");
  facts.enclosed = given.yes_no("enclosed");
  if (const auto stage = given.number("growth_stage", 99.0)) facts.growth_stage = static_cast<int>(std::lround(*stage));
  if (const auto metres = given.number("nearest_person_m", 1e5)) facts.nearest_person = Length::metres(*metres);
  if (const auto metres = given.number("release_height_m", 100.0)) facts.release_height = Length::metres(*metres);
  constexpr double most_litres_per_hectare = 1e5;
  if (const auto litres = given.number("water_l_ha", most_litres_per_hectare)) facts.water = *litres / 1e4;
  facts.droplets = given.word(
      "droplets",
      std::array{std::pair{std::string_view{"very-fine"}, Droplets::very_fine}, std::pair{std::string_view{"fine"}, Droplets::fine},
                 std::pair{std::string_view{"medium"}, Droplets::medium}, std::pair{std::string_view{"coarse"}, Droplets::coarse},
                 std::pair{std::string_view{"very-coarse"}, Droplets::very_coarse}});
  return facts;
}

}  // namespace

Response post_may_treat(Site& site, const Request& request) {
  const auto asked = read_asked(site, request);
  if (!asked) return error_response(asked.error(), request);
  const auto body = ordered_json::parse(request.body, nullptr, false);
  if (body.is_discarded() || !body.is_object()) return error_response(400, {"server.not_json", {}, {}, ErrorKind::bad_input}, request);
  Facts given(body);
  for (const char* field : {"bed", "product", "on"}) {
    if (!given.text(field).empty()) continue;
    return error_response(422, {"server.field_needed", {"", 0, field}, {{"field", std::string{field}}}, ErrorKind::bad_input}, request);
  }
  const auto on = read_time(site, given.text("on"), "on", "server.at_unreadable");
  if (!on) return error_response(on.error(), request);
  const auto zone = site.garden.zone();
  if (!zone) return error_response(zone.error(), request);
  const auto now = site.garden.asked_time(asked->at, asked->now);
  if (!now) return error_response(now.error(), request);
  app::TreatQuestion question{given.text("bed"), given.text("product"), given.text("rate"), *on, given.text("pest"), {}};
  question.facts = facts_of(given, zone->civil(*now));
  if (given.unreadable())
    return error_response(
        422, {"server.field_needed", {"", 0, *given.unreadable()}, {{"field", *given.unreadable()}}, ErrorKind::bad_input}, request);
  const auto answer = app::may_treat(site.garden, question);
  if (!answer) return error_response(answer.error(), request);
  ordered_json plantings = ordered_json::array();
  for (const auto& one : answer->plantings) {
    ordered_json row = {{"planting", one.planting}, {"crop", one.crop}, {"name", render::crop_name(one.crop, asked->style)}};
    row.update(ordered_json(render::judgement_json(one.judgement, *zone, asked->style)));
    plantings.push_back(std::move(row));
  }
  Response response;
  response.body = ordered_json({{"plantings", plantings},
                                {"card", answer->card_digest.hex()},
                                {"statements", ordered_json(render::statements_json(answer->card))},
                                {"cautions", render::product_cautions(asked->style)}})
                      .dump();
  return response;
}

}  // namespace leafturn::server
