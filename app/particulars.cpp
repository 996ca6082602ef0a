#include <charconv>

#include "app/access.hpp"
#include "core/base/text.hpp"

namespace leafturn::app {
namespace {

constexpr std::size_t most_bytes = 200;

std::optional<int> whole(const std::string& text) {
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return value;
}

bool good(const std::string& what, const std::string& value) {
  if (value.empty()) return true;
  if (what == "adult") return value == "yes" || value == "no";
  if (what == "trained_until") return Date::parse(value).has_value();
  if (what == "minutes") {
    const auto minutes = whole(value);
    return minutes && *minutes >= 1 && *minutes <= 24 * 60;
  }
  return value.size() <= most_bytes && is_plain_text(value);
}

Particulars read(const store::AccessBook::Particulars& kept) {
  const auto text = [&](const char* what) {
    const auto found = kept.find(what);
    return found == kept.end() ? std::string{} : found->second;
  };
  Particulars p;
  if (const auto adult = text("adult"); !adult.empty()) p.adult = adult == "yes";
  p.trained_until = Date::parse(text("trained_until"));
  p.certificate = text("certificate");
  p.address = text("address");
  p.minutes = whole(text("minutes"));
  return p;
}

}  // namespace

Result<std::map<std::string, Particulars>> Access::particulars() {
  const auto kept = book_->particulars();
  if (!kept) return fail(kept.error());
  std::map<std::string, Particulars> found;
  for (const auto& [person, what] : *kept) found[person.text()] = read(what);
  return found;
}

Status Access::note(const Id& person, const ParticularsTyped& typed) {
  store::AccessBook::Particulars given;
  const auto take = [&](const char* what, const std::optional<std::string>& value) {
    if (value) given[what] = *value;
  };
  take("adult", typed.adult);
  take("trained_until", typed.trained_until);
  take("certificate", typed.certificate);
  take("address", typed.address);
  take("minutes", typed.minutes);
  for (const auto& [what, value] : given)
    if (!good(what, value)) return fail("access.bad_particular", {"", 0, what}, {{"given", value}});
  return book_->note_particulars(person, given);
}

}  // namespace leafturn::app
