#include "app/treat_question.hpp"
#include "io/told_json.hpp"

namespace leafturn::app {
namespace {

constexpr std::size_t most_bytes = 64 * 1024;
constexpr int most_depth = 4;

}  // namespace

Result<TreatAsked> read_treat_question(std::string_view bytes) {
  const auto body = io::parse_strict(bytes, most_bytes, most_depth);
  if (!body) {
    const std::string& code = body.error().code;
    const bool no_json = code == "event.not_json" || code == "event.not_an_object" || code == "event.not_text";
    return no_json ? fail("server.not_json") : fail(body.error());
  }
  io::Fields given(*body, "");
  TreatAsked asked;
  asked.question.bed = given.text("bed");
  asked.question.product = given.text("product");
  asked.question.rate = given.text_or_empty("rate");
  asked.question.pest = given.text_or_empty("pest");
  asked.on = given.text("on");
  asked.question.told = io::read_told_within(given);
  if (const auto stage = given.maybe_whole("growth_stage", 0, 99)) asked.question.growth_stage = static_cast<int>(*stage);
  if (const Status good = given.finish(); !good) return fail(good.error());
  return asked;
}

std::string told_json(const garden::Told& told) {
  auto object = nlohmann::ordered_json::object();
  io::write_told(told, object);
  return object.dump();
}

}  // namespace leafturn::app
