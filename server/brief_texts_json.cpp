#include <algorithm>
#include <nlohmann/json.hpp>

#include "render/brief.hpp"
#include "server/brief_texts.hpp"

namespace leafturn::server {

using nlohmann::ordered_json;

namespace {

BriefTexts texts_of(const app::BriefAnswer& answer, const pest::Library& library, const words::Style& style) {
  BriefTexts texts;
  texts.whole = render::brief_json(answer, library, style);
  const auto brief = ordered_json::parse(texts.whole);
  ordered_json head;
  for (const char* key : {"at", "garden", "marked", "upto"}) head[key] = brief.at(key);
  ordered_json board = head;
  for (const char* key : {"board", "cautions"}) board[key] = brief.at(key);
  texts.board = board.dump();
  texts.head = head.dump();
  texts.head = texts.head.substr(1, texts.head.size() - 2);
  for (const auto& bed : brief.at("beds")) texts.beds.emplace(bed.at("bed").get<std::string>(), bed.dump());
  return texts;
}

}  // namespace

std::shared_ptr<const BriefTexts> BriefShelf::of(const std::shared_ptr<const app::BriefAnswer>& answer, const pest::Library& library,
                                                 const words::Style& style) {
  const std::lock_guard lock(mutex_);
  const auto found = std::find_if(kept_.begin(), kept_.end(), [&](const Kept& kept) {
    return kept.answer == answer && kept.style.language == style.language && kept.style.units == style.units;
  });
  if (found != kept_.end()) {
    kept_.splice(kept_.begin(), kept_, found);
    return kept_.front().texts;
  }
  kept_.push_front({answer, style, std::make_shared<const BriefTexts>(texts_of(*answer, library, style))});
  if (kept_.size() > most_) kept_.pop_back();
  return kept_.front().texts;
}

}  // namespace leafturn::server
