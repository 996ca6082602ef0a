#include <nlohmann/json.hpp>

#include "io/event_json.hpp"
#include "io/fields_json.hpp"
#include "io/phone_file.hpp"

namespace leafturn::io {
namespace {

using Json = nlohmann::json;

constexpr std::size_t most_bytes = 64 << 20;
// An event's bytes as a JSON string: every character may be escaped, and words stand beside it.
constexpr std::size_t most_line = 6 * most_event_bytes + 100'000;
constexpr std::int64_t known_form = 1;

bool is_text(const Json& object, const char* name) {
  const auto found = object.find(name);
  return found != object.end() && found->is_string();
}

Status read_head(const Json& head) {
  if (!is_text(head, "leafturn") || head["leafturn"] != "phone") return fail("phone_file.not_one", {{}, 1, {}});
  const auto form = head.find("form");
  if (form == head.end() || !form->is_number_integer()) return fail("phone_file.not_one", {{}, 1, "form"});
  if (*form != known_form) return fail("phone_file.newer", {{}, 1, "form"}, {{"form", form->get<std::int64_t>()}});
  return {};
}

Status read_line(const Json& line, int number, std::vector<PhoneEntry>& entries) {
  if (is_text(line, "event")) {
    entries.push_back({number, line["event"].get<std::string>(), is_text(line, "told") ? line["told"].get<std::string>() : ""});
    return {};
  }
  const auto receipt = line.find("receipt");
  if (receipt != line.end() && receipt->is_object()) return {};
  return fail("phone_file.line", {{}, number, {}});
}

}  // namespace

Result<std::vector<PhoneEntry>> read_phone_file(std::string_view text) {
  if (text.size() > most_bytes) return fail("phone_file.too_large", {}, {{"most", static_cast<std::int64_t>(most_bytes)}});
  std::vector<PhoneEntry> entries;
  bool headed = false;
  for (int number = 1; !text.empty(); ++number) {
    const std::size_t end = text.find('\n');
    const std::string_view line = text.substr(0, end);
    text = end == std::string_view::npos ? std::string_view{} : text.substr(end + 1);
    if (headed && line.find_first_not_of(" \r\t") == std::string_view::npos) continue;
    auto object = parse_strict(line, most_line, 2);
    if (!object) {
      object.error().where.line = number;
      return fail(object.error());
    }
    if (const Status good = headed ? read_line(*object, number, entries) : read_head(*object); !good) return fail(good.error());
    headed = true;
  }
  if (!headed) return fail("phone_file.not_one", {{}, 1, {}});
  return entries;
}

std::string write_phone_receipts(const std::vector<PhoneReceipt>& receipts) {
  using Ordered = nlohmann::ordered_json;
  const auto line = [](const Ordered& value) { return value.dump(-1, ' ', false, Ordered::error_handler_t::replace) + "\n"; };
  std::string out = line({{"leafturn", "phone"}, {"form", known_form}});
  for (const PhoneReceipt& r : receipts) {
    out += line({{"receipt",
                  {{"id", r.id.text()}, {"seq", r.seq}, {"link", r.link.hex()}, {"told", r.told}, {"at", r.at}, {"outside", r.outside}}}});
  }
  return out;
}

}  // namespace leafturn::io
