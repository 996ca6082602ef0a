#pragma once
/// The garden's label cards: every version that was copied, a draft looked at before it is kept, and keeping one.

#include <string>
#include <string_view>
#include <vector>

#include "app/open_garden.hpp"
#include "app/record.hpp"
#include "io/card_toml.hpp"

namespace leafturn::app {

/// One text of a card. A new one of the same product replaces it for what comes; what was recorded with it keeps it.
struct CardVersion {
  Digest digest;
  Instant copied;  ///< when it came into the garden
  std::string by;
  label::Card card;
  bool in_use = false;
};
/// In the order they came, as known at `at`. A text that can't be read any more is left out. Errors: the ledger's.
Result<std::vector<CardVersion>> card_versions(OpenGarden& garden, Instant at);

/// The text of one of them. Errors: `treat.no_such_card`, the ledger's.
Result<std::string> card_text(OpenGarden& garden, const Digest& digest);

struct CardLook {
  io::CardDraft draft;
  Digest digest;
  std::vector<std::string> missing;  ///< lines a whole card lacks, as outcomes name them
};
/// Nothing is kept. Judged by the reader that judges every card.
CardLook look_at_card(std::string_view text);

/// A card's lines as JSON, as they are written: for the page that edits them. `null` where the text isn't TOML.
std::string card_fields_json(std::string_view text);

/// Keeps a card's text and says that it was copied. The same text again, while it is the one in use, writes nothing new and is refused:
/// `card.had_it`. Errors: the reader's first, and app::record's.
Result<RecordOutcome> keep_card(OpenGarden& garden, std::string_view text, const std::string& writer, const std::string& by, Instant at,
                                Instant now);

}  // namespace leafturn::app
