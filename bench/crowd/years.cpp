#include "bench/crowd/years.hpp"

#include <algorithm>
#include <array>
#include <cstdio>
#include <random>
#include <vector>

#include "store/ledger.hpp"

namespace leafturn::bench {
namespace {

constexpr std::uint64_t events_a_year = 40'000;
constexpr int beds = 12;
constexpr std::array<const char*, 4> pests{"PIERRA", "LPTNDE", "MURGHI", "PIERRA"};
constexpr std::array<const char*, 4> stages{"egg", "larva", "adult", "larva"};
constexpr std::array<const char*, 6> crops{"BRSOC", "BRSOK", "SOLTU", "BRSOL", "LYPES", "PHSVX"};

Id id_of(std::mt19937_64& random, Instant at) {
  Id id;
  const auto ms = static_cast<std::uint64_t>(at.unix_microseconds() / 1000);
  for (std::size_t i = 0; i < 6; ++i) id.bytes[i] = static_cast<std::uint8_t>(ms >> (40 - 8 * i));
  for (std::size_t i = 6; i < 16; ++i) id.bytes[i] = static_cast<std::uint8_t>(random());
  id.bytes[6] = static_cast<std::uint8_t>(0x70U | (id.bytes[6] & 0x0fU));
  id.bytes[8] = static_cast<std::uint8_t>(0x80U | (id.bytes[8] & 0x3fU));
  return id;
}

std::string text_of(const Id& id) {
  std::string out;
  for (std::size_t i = 0; i < id.bytes.size(); ++i) {
    std::array<char, 4> pair{};
    std::snprintf(pair.data(), pair.size(), "%02x", id.bytes[i]);
    if (i == 4 || i == 6 || i == 8 || i == 10) out += '-';
    out += pair.data();
  }
  return out;
}

/// What a saying says, without its heading.
struct Said {
  Instant at;
  std::string fields;
};

std::string number(std::uint64_t n) { return std::to_string(n); }

Said any_saying(std::mt19937_64& random, Instant at) {
  const std::string bed = number(random() % beds + 1);
  const auto dice = random() % 10;
  if (dice < 6) {
    const auto which = random() % 4;
    return {at, R"("kind":"count_taken","bed":")" + bed + R"(","pest":")" + pests[which] + R"(","stage":")" + stages[which] +
                    R"(","plants":20,"count":)" + number(random() % 30)};
  }
  if (dice < 8) return {at, R"("kind":"harvest_taken","bed":")" + bed + R"(","amount_g":)" + number(random() % 5000 + 100)};
  return {at, R"("kind":"work_done","work":"water","bed":")" + bed + '"'};
}

std::vector<Said> year_of(int year, bool first, std::uint64_t events, std::mt19937_64& random) {
  std::vector<Said> out;
  const Instant spring = *Instant::parse(number(static_cast<std::uint64_t>(year)) + "-04-01T12:00:00Z");
  for (int bed = 1; bed <= beds; ++bed) {
    const std::string name = number(static_cast<std::uint64_t>(bed));
    if (first)
      out.push_back({spring - Duration::hours(24), R"("kind":"bed_laid","bed":")" + name + R"(","x_m":)" +
                                                       number(static_cast<std::uint64_t>(bed)) + R"(,"y_m":0,"width_m":1,"length_m":5)"});
    const std::string planting = "years-" + number(static_cast<std::uint64_t>(year)) + "-" + name;
    out.push_back({spring, R"("kind":"planting_sown","planting":")" + planting + R"(","bed":")" + name + R"(","crop":")" +
                               crops[static_cast<std::size_t>(bed) % crops.size()] + R"(","plants":40)"});
    out.push_back({spring + Duration::hours(24 * 190), R"("kind":"planting_removed","planting":")" + planting + '"'});
  }
  while (out.size() < events)
    out.push_back(any_saying(random, spring + Duration::minutes(static_cast<std::int64_t>(random() % (60 * 24 * 180)))));
  std::stable_sort(out.begin(), out.end(), [](const Said& a, const Said& b) { return a.at < b.at; });
  return out;
}

}  // namespace

bool invent_years(const std::string& garden_folder, std::uint64_t events, std::uint64_t seed) {
  const auto ledger = store::open_sqlite(garden_folder + "/ledger.db");
  if (!ledger) return false;
  const auto have = (*ledger)->last_seq();
  if (!have) return false;
  std::mt19937_64 random{seed};
  const std::uint64_t missing = events - *have;
  const int years = static_cast<int>((missing + events_a_year - 1) / events_a_year);
  std::uint64_t left = missing, writer_seq = 0;
  std::vector<store::Envelope> batch;
  for (int year = 2026 - years; year < 2026; ++year) {
    const auto said = year_of(year, year == 2026 - years, std::min(left, events_a_year), random);
    left -= said.size();
    for (const Said& one : said) {
      const Id id = id_of(random, one.at);
      batch.push_back({id, "years", ++writer_seq, one.at,
                       R"({"v":1,"id":")" + text_of(id) + R"(","writer":"years","writer_seq":)" + number(writer_seq) +
                           R"(,"happened_at":")" + one.at.iso_utc() + R"(","by":"somebody",)" + one.fields + '}'});
      if (batch.size() < 20'000 && &one != &said.back()) continue;
      if (!(*ledger)->append(batch, one.at)) return false;
      batch.clear();
    }
  }
  return true;
}

std::string phone_event(std::uint64_t writer, std::uint64_t writer_seq, int kind, std::uint64_t seed) {
  std::mt19937_64 random{seed * 0x9E3779B97F4A7C15ULL + writer * 1'000'003 + writer_seq};
  const Instant at = *Instant::parse("2026-06-11T08:00:00Z") + Duration{static_cast<std::int64_t>(random() % 12'000'000'000)};
  // The last bed is bare by then, and the one before waits after a spray: nothing is picked there.
  const std::string bed = number(random() % (kind == 0 ? beds - 2 : beds - 1) + 1);
  std::string fields;
  if (kind == 0) fields = R"("kind":"harvest_taken","bed":")" + bed + R"(","amount_g":)" + number(random() % 5000 + 100);
  if (kind == 1) fields = R"("kind":"work_done","work":"water","bed":")" + bed + '"';
  if (kind == 2) {
    const auto which = random() % 4;
    fields = R"("kind":"count_taken","bed":")" + bed + R"(","pest":")" + pests[which] + R"(","stage":")" + stages[which] +
             R"(","plants":10,"count":)" + number(random() % 12);
  }
  return R"({"v":1,"id":")" + text_of(id_of(random, at)) + R"(","writer":"phone-)" + number(writer) + R"(","writer_seq":)" +
         number(writer_seq) + R"(,"happened_at":")" + at.iso_utc() + R"(",)" + fields + '}';
}

}  // namespace leafturn::bench
