#include "bench/gardens/long_garden.hpp"

#include <algorithm>
#include <array>
#include <filesystem>
#include <random>
#include <vector>

#include "io/event_json.hpp"
#include "store/ledger.hpp"

namespace leafturn::bench {
namespace {

using namespace garden;

constexpr int beds = 60, seasons = 20, people = 12, crops_a_season = 3;
constexpr std::array<const char*, 4> crops{"BRSOA", "BRSOK", "BRSOL", "BRSRO"};
constexpr std::array<const char*, 3> pests{"PIERRA", "PLUTMA", "HARLCA"};
constexpr std::array<const char*, 3> stages{"egg", "larva", "adult"};

class Teller {
 public:
  Teller(store::Ledger& ledger, std::uint64_t events, std::uint64_t seed) : ledger_{ledger}, left_{events}, random_{seed} {}

  Status tell() {
    lay_out();
    const std::uint64_t a_season = left_ / seasons;
    for (int season = 0; season < seasons && left_ > 0; ++season) tell_season(season, season + 1 == seasons ? left_ : a_season);
    return flush();
  }

 private:
  std::uint64_t below(std::uint64_t n) { return random_() % n; }
  static std::string bed(int n) { return std::to_string(n + 1); }
  static Instant spring(int season) {
    const auto day = Date::from_ymd(2026 - seasons + 1 + season, 4, 1);
    return Instant::from_unix_microseconds(std::int64_t{day ? day->serial() : 0} * 86'400'000'000);
  }

  void lay_out() {
    const Instant start = spring(0);
    GardenDescribed garden{
        "Long garden", Angle::degrees(43.05), Angle::degrees(-87.9), Length::metres(200), "America/Chicago", Units::metric,
        "other",       std::nullopt,          std::nullopt,          "invented"};
    say(start, garden);
    for (int n = 0; n < beds; ++n)
      say(start, BedLaid{bed(n), Length::metres(2.0 * (n % 10)), Length::metres(7.0 * (n / 10)), Length::metres(1.2), Length::metres(6)});
  }

  void tell_season(int season, std::uint64_t events) {
    const Instant start = spring(season);
    const std::uint64_t stop = left_ - std::min(left_, events);
    for (int round = 0; round < crops_a_season; ++round) {
      const Instant sown = start + Duration::hours(24 * 50 * round);
      for (int n = 0; n < beds; ++n) {
        const std::string name = std::to_string(season) + "-" + std::to_string(round) + "-" + bed(n);
        if (round > 0) say(sown - Duration::hours(24), WorkDone{WorkDone::Kind::pull, bed(n), ""});
        say(sown, PlantingSown{name, bed(n), crops[below(crops.size())], 40, std::nullopt, std::nullopt, std::nullopt});
      }
      const std::uint64_t end =
          round + 1 == crops_a_season ? stop : left_ - (left_ - stop) / static_cast<std::uint64_t>(crops_a_season - round);
      tell_days(sown, end);
    }
  }

  void tell_days(Instant from, std::uint64_t stop) {
    const std::uint64_t events = left_ - std::min(left_, stop);
    for (std::uint64_t i = 0; i < events && left_ > 0; ++i) {
      const auto into = static_cast<std::int64_t>(static_cast<double>(i) / static_cast<double>(events) * 48.0 * 86'400.0);
      // One in fifty was written down on a phone without signal, hours before.
      const Instant at = from + Duration::seconds(into) - Duration::hours(below(50) == 0 ? 6 : 0);
      const std::string where = bed(static_cast<int>(below(beds)));
      const std::uint64_t kind = below(200);
      if (kind == 0 && last_count_) {
        say(at, Amended{*last_count_, "miscounted", Saying{CountTaken{where, "PIERRA", "egg", 10, 7}}, std::nullopt});
      } else if (kind < 20) {
        say(at, HarvestTaken{where, "", Mass::grams(200.0 + static_cast<double>(below(4000))), ""});
      } else if (kind < 30) {
        say(at, WorkDone{WorkDone::Kind::hand_pick, where, ""});
      } else {
        const auto count = static_cast<int>(below(4) == 0 ? below(9) : 0);
        last_count_ = say(at, CountTaken{where, pests[below(pests.size())], stages[below(stages.size())], 10, count});
      }
    }
  }

  std::optional<Id> say(Instant at, Payload payload) {
    if (left_ == 0) return std::nullopt;
    --left_;
    const std::uint64_t person = below(people);
    std::array<std::uint8_t, 10> tail{};
    for (auto& byte : tail) byte = static_cast<std::uint8_t>(random_());
    const Id id = Id::version7(static_cast<std::uint64_t>(at.unix_microseconds() / 1000), tail);
    const std::string writer = "phone " + std::to_string(person);
    Event event{{id, writer, ++written_[person], at, "person " + std::to_string(person)}, std::move(payload)};
    batch_.push_back({id, writer, event.heading.writer_seq, at, io::encode_event(event)});
    latest_ = std::max(latest_, at + Duration::minutes(1));
    if (batch_.size() >= 5000 && status_) status_ = flush();
    return id;
  }

  Status flush() {
    if (!status_ || batch_.empty()) return status_;
    const auto receipts = ledger_.append(batch_, latest_);
    batch_.clear();
    return receipts ? Status{} : fail(receipts.error());
  }

  store::Ledger& ledger_;
  std::uint64_t left_;
  std::mt19937_64 random_;
  std::array<std::uint64_t, people> written_{};
  std::vector<store::Envelope> batch_;
  Instant latest_;
  std::optional<Id> last_count_;
  Status status_;
};

}  // namespace

Status write_long_garden(const std::string& folder, std::uint64_t events, std::uint64_t seed) {
  std::error_code ignored;
  std::filesystem::create_directories(folder, ignored);
  store::OpenOptions options;
  options.create = true;
  const auto ledger = store::open_sqlite((std::filesystem::path(folder) / "ledger.db").string(), options);
  if (!ledger) return fail(ledger.error());
  return Teller(**ledger, events, seed).tell();
}

}  // namespace leafturn::bench
