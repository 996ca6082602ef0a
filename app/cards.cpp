#include "app/cards.hpp"

#include <algorithm>
#include <limits>
#include <numeric>

#include "app/materials.hpp"
#include "core/base/sha256.hpp"
#include "core/label/fields.hpp"

namespace leafturn::app {
namespace {

const garden::Dated<garden::CardCopied>* in_use(const garden::Garden& state, const std::string& product) {
  const garden::Dated<garden::CardCopied>* latest = nullptr;
  for (const auto& copied : state.cards)
    if (copied.what.product == product) latest = &copied;
  return latest;
}

}  // namespace

Result<std::vector<CardVersion>> card_versions(OpenGarden& garden, Instant at) {
  const auto state = garden.garden_at(at);
  if (!state) return fail(state.error());
  const auto cards = cards_of(garden, *state);
  if (!cards) return fail(cards.error());
  std::vector<CardVersion> versions;
  for (const auto& copied : state->cards) {
    const auto card = cards->find(copied.what.text);
    if (card == cards->end()) continue;
    const bool used = in_use(*state, copied.what.product) == &copied;
    versions.push_back({copied.what.text, copied.at, copied.by, card->second, used});
  }
  return versions;
}

Result<std::string> card_text(OpenGarden& garden, const Digest& digest) {
  const auto state = garden.garden_at(Instant::from_unix_microseconds(std::numeric_limits<std::int64_t>::max() / 2));
  if (!state) return fail(state.error());
  const bool known = std::any_of(state->cards.begin(), state->cards.end(), [&](const auto& c) { return c.what.text == digest; });
  if (!known) return fail("treat.no_such_card", {{}, 0, "card"}, {{"product", digest.hex()}}, ErrorKind::not_found);
  return garden.ledger().blob_get(digest);
}

CardLook look_at_card(std::string_view text) {
  CardLook look{io::draft_card_toml(text, "card"), sha256(text), {}};
  std::vector<std::size_t> uses(look.draft.card.uses.size());
  std::iota(uses.begin(), uses.end(), 0U);
  look.missing = label::missing_fields(look.draft.card, uses);
  return look;
}

std::string card_fields_json(std::string_view text) { return io::card_as_json(text); }

Result<RecordOutcome> keep_card(OpenGarden& garden, std::string_view text, const std::string& writer, const std::string& by, Instant at,
                                Instant now) {
  CardLook look = look_at_card(text);
  if (!look.draft.errors.empty()) return fail(look.draft.errors.front());
  const auto chronicle = garden.chronicle();
  if (!chronicle) return fail(chronicle.error());
  const auto state = chronicle->at(Instant::from_unix_microseconds(std::numeric_limits<std::int64_t>::max() / 2));
  const auto* used = in_use(state, look.draft.card.product);
  if (used != nullptr && used->what.text == look.digest)
    return fail("card.had_it", {{}, 0, "text"}, {{"product", look.draft.card.product}}, ErrorKind::conflict);
  if (auto put = garden.ledger().blob_put(text); !put) return fail(put.error());
  return record_saying(garden, garden::CardCopied{look.draft.card.product, look.digest}, writer, by, at, now);
}

}  // namespace leafturn::app
