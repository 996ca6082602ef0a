#include "app/phone_file.hpp"

#include "io/phone_file.hpp"

namespace leafturn::app {

Result<PhoneFileTaken> take_phone_file(OpenGarden& garden, std::string_view text, Instant now) {
  auto entries = io::read_phone_file(text);
  if (!entries) return fail(entries.error());
  PhoneFileTaken taken;
  for (io::PhoneEntry& entry : *entries) {
    auto outcome = record(garden, entry.bytes, now);
    PhoneEntryTaken one{std::move(entry.told), {}, {}};
    if (outcome) {
      using Kind = store::Receipt::Kind;
      const Kind kind = outcome->receipt.kind;
      ++(kind == Kind::appended ? taken.fresh : kind == Kind::had_it ? taken.had : taken.quarantined);
      one.outcome = std::move(*outcome);
    } else {
      if (outcome.error().kind == ErrorKind::cannot) return fail(outcome.error());
      outcome.error().where.line = entry.line;
      one.refused = std::move(outcome.error());
      ++taken.refused;
    }
    taken.entries.push_back(std::move(one));
  }
  return taken;
}

std::string phone_receipts(const PhoneFileTaken& taken, const Zone& zone, Instant now) {
  std::vector<io::PhoneReceipt> receipts;
  for (const auto& entry : taken.entries) {
    if (!entry.outcome || entry.outcome->receipt.kind == store::Receipt::Kind::quarantined) continue;
    const auto& receipt = entry.outcome->receipt;
    const auto& judged = entry.outcome->judged;
    const bool outside = judged && judged->verdict == garden::ApplicationJudged::Verdict::outside_label;
    receipts.push_back({receipt.id, receipt.seq, receipt.link, entry.told, zone.iso(now), outside});
  }
  return io::write_phone_receipts(receipts);
}

}  // namespace leafturn::app
