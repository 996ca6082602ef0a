#include "fetch/get.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <filesystem>
#include <random>
#include <thread>

#include "fetch/gzip.hpp"
#include "fetch/http_date.hpp"

namespace leafturn::fetch {
namespace {

constexpr int most_tries = 4;
constexpr int most_redirects = 5;
constexpr Duration first_pause = Duration::seconds(1);
constexpr Duration longest_pause = Duration::minutes(2);

tl::unexpected<Trouble> trouble(std::string code, std::vector<Fact> facts = {}, bool may_pass = false) {
  return tl::unexpected(Trouble{{std::move(code), {}, std::move(facts), ErrorKind::cannot}, may_pass});
}

bool is_redirect(int status) { return status == 301 || status == 302 || status == 303 || status == 307 || status == 308; }

std::string_view without_blanks(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  return text;
}

std::string lower(std::string_view text) {
  std::string out{text};
  for (char& c : out)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return out;
}

/// `text/csv` of `Text/CSV; charset=utf-8`.
std::string media_type(std::string_view header) { return lower(without_blanks(header.substr(0, header.find(';')))); }

bool may_hold_weather(const std::string& type) {
  constexpr std::array<std::string_view, 9> known{"",
                                                  "text/csv",
                                                  "text/plain",
                                                  "text/tab-separated-values",
                                                  "application/csv",
                                                  "application/json",
                                                  "application/octet-stream",
                                                  "application/gzip",
                                                  "application/x-gzip"};
  return std::find(known.begin(), known.end(), type) != known.end() || (type.starts_with("application/") && type.ends_with("+json"));
}

bool is_web_page(const std::string& type, std::string_view body) {
  if (type == "text/html" || type == "application/xhtml+xml") return true;
  // Sign-in pages of guest networks come under any name.
  const auto text = body.find_first_not_of(" \t\r\n\xef\xbb\xbf");
  if (text == std::string_view::npos) return false;
  const std::string beginning = lower(body.substr(text, 15));
  return beginning.starts_with("<!doctype html") || beginning.starts_with("<html");
}

/// The wait a server asks for, in seconds or as a date.
std::optional<Duration> asked_wait(const Reply& reply, Instant now) {
  const std::string_view text = without_blanks(reply.header("retry-after"));
  if (text.empty()) return std::nullopt;
  std::int64_t seconds = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), seconds);
  if (error == std::errc{} && end == text.data() + text.size() && seconds >= 0 && seconds < 1'000'000'000)
    return Duration::seconds(seconds);
  const auto date = parse_http_date(text);
  if (!date) return std::nullopt;
  return std::max(*date - now, Duration{});
}

/// A reply, its origin, and how long to wait if it is none yet.
struct Try {
  tl::expected<Got, Trouble> got;
  std::optional<Duration> wait;
};

class Getting {
 public:
  Getting(const Question& question, const Surroundings& surroundings) : question_{question}, surroundings_{surroundings} {}

  Result<Got> run() {
    for (int tries = 1;; ++tries) {
      Try now = once();
      if (now.got) return std::move(*now.got);
      Error& error = now.got.error().error;
      if (error.where.file.empty()) error.where.file = at_.shown();
      if (!now.got.error().may_pass || tries == most_tries) return fail(std::move(error));
      const double factor = 0.5 + surroundings_.chance();
      const Duration own{static_cast<std::int64_t>(static_cast<double>(first_pause.microseconds << (tries - 1)) * factor)};
      const Duration pause = now.wait ? std::max(*now.wait, own) : own;
      if (pause > longest_pause)
        return fail("fetch.later", error.where, {{"minutes", (pause.microseconds + 59'999'999) / 60'000'000}}, ErrorKind::cannot);
      surroundings_.sleep(pause);
    }
  }

 private:
  Try once() {
    at_ = question_.address;
    for (int redirects = 0;; ++redirects) {
      auto reply = exchange({at_, headers(), question_.ca_file, question_.limits});
      if (!reply) return {tl::unexpected(std::move(reply.error())), {}};
      if (!is_redirect(reply->status)) return taken(*reply);
      if (redirects == most_redirects) return {trouble("fetch.redirects", {{"most", std::int64_t{most_redirects}}}), {}};
      auto next = resolve(at_, without_blanks(reply->header("location")));
      if (!next || reply->header("location").empty()) return {trouble("fetch.bad_redirect"), {}};
      if (at_.secure && !next->secure) return {trouble("fetch.downgrade", {{"host", next->host_header()}}), {}};
      at_ = std::move(*next);
    }
  }

  std::vector<std::pair<std::string, std::string>> headers() const {
    const std::string agent = std::string("leafturn/") + LEAFTURN_VERSION;
    std::vector<std::pair<std::string, std::string>> headers{
        {"User-Agent", question_.contact.empty() ? agent : agent + " (" + question_.contact + ")"},
        {"Accept", "text/csv, application/json, text/plain;q=0.9, */*;q=0.1"},
        {"Accept-Encoding", "gzip"}};
    if (!question_.known.etag.empty()) headers.emplace_back("If-None-Match", question_.known.etag);
    if (!question_.known.last_modified.empty()) headers.emplace_back("If-Modified-Since", question_.known.last_modified);
    return headers;
  }

  Try taken(Reply& reply) const {
    if (reply.status == 304 && !question_.known.empty()) {
      Got got;
      got.unchanged = true;
      got.validators = question_.known;
      return {std::move(got), {}};
    }
    if (reply.status != 200) {
      const bool may_pass = reply.status == 429 || (reply.status >= 500 && reply.status < 600);
      return {trouble("fetch.status", {{"status", std::int64_t{reply.status}}, {"host", at_.host_header()}}, may_pass),
              may_pass ? asked_wait(reply, surroundings_.now()) : std::nullopt};
    }
    return {looked_at(reply), {}};
  }

  tl::expected<Got, Trouble> looked_at(Reply& reply) const {
    const std::string type = media_type(reply.header("content-type"));
    const std::string packing = lower(without_blanks(reply.header("content-encoding")));
    if (!packing.empty() && packing != "identity" && packing != "gzip" && packing != "x-gzip")
      return trouble("fetch.encoding", {{"encoding", packing}});
    const auto unpack = [&]() -> tl::expected<void, Trouble> {
      auto plain = unpack_gzip(reply.body, question_.limits.most_bytes);
      // Packed bytes that break off do so at the server's end when the wire delivered all it promised.
      if (!plain) return tl::unexpected(Trouble{std::move(plain.error()), false});
      reply.body = std::move(*plain);
      reply.whole_for_sure = true;
      return {};
    };
    if (packing == "gzip" || packing == "x-gzip")
      if (auto done = unpack(); !done) return tl::unexpected(std::move(done.error()));
    // A file that is packed itself (station.csv.gz).
    if (is_gzip(reply.body))
      if (auto done = unpack(); !done) return tl::unexpected(std::move(done.error()));
    if (is_web_page(type, reply.body)) return trouble("fetch.web_page");
    if (!may_hold_weather(type)) return trouble("fetch.not_weather", {{"type", type}});
    return Got{
        false, std::move(reply.body), {printable(reply.header("etag")), printable(reply.header("last-modified"))}, reply.whole_for_sure};
  }

  /// Sent back and written into a file's header lines, so nothing that could end a line.
  static std::string printable(std::string_view text) {
    const bool good = text.size() <= 500 && std::all_of(text.begin(), text.end(), [](char c) { return c >= ' ' && c < 0x7f; });
    return good ? std::string(text) : std::string{};
  }

  const Question& question_;
  const Surroundings& surroundings_;
  Address at_;
};

/// What may stand in the User-Agent's brackets.
bool good_contact(const std::string& contact) {
  return contact.size() <= 200 &&
         std::all_of(contact.begin(), contact.end(), [](char c) { return c >= ' ' && c < 0x7f && c != '(' && c != ')' && c != '\\'; });
}

}  // namespace

Surroundings real_surroundings() {
  return {[] {
            const auto since = std::chrono::system_clock::now().time_since_epoch();
            return Instant::from_unix_microseconds(std::chrono::duration_cast<std::chrono::microseconds>(since).count());
          },
          [](Duration time) { std::this_thread::sleep_for(std::chrono::microseconds(time.microseconds)); },
          [] {
            std::random_device source;
            return std::uniform_real_distribution<double>(0.0, 1.0)(source);
          }};
}

Result<Got> get(const Question& question, const Surroundings& surroundings) {
  if (!good_contact(question.contact)) return fail("fetch.contact", {{}, 0, "--contact"}, {{"given", question.contact}});
  std::error_code problem;
  if (!question.ca_file.empty() && !std::filesystem::is_regular_file(question.ca_file, problem))
    return fail("fetch.ca_file", {question.ca_file, 0, "--ca"}, {}, ErrorKind::not_found);
  return Getting(question, surroundings).run();
}

}  // namespace leafturn::fetch
