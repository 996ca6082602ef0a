#include "bench/gardens/told.hpp"

#include <algorithm>
#include <map>
#include <string>

#include "app/weather_known.hpp"
#include "core/base/sha256.hpp"
#include "io/card_toml.hpp"
#include "io/zone.hpp"

namespace leafturn::bench {
namespace {

using gardens::History;

constexpr int morning = 5 * 3600;

Date day_of(int year, int day) { return *Date::from_ymd(year, 1, 1) + Days{day}; }

// Ids are numbers: nothing here looks at more than whether two are the same.
Id id_of(std::uint8_t kind, std::size_t number) {
  Id id;
  id.bytes[0] = kind;
  for (std::size_t i = 0; i < 4; ++i) id.bytes[12 + i] = static_cast<std::uint8_t>(number >> (8 * (3 - i)));
  return id;
}

const Zone& zone_of(const std::string& name) {
  static std::map<std::string, Zone> read;
  const auto found = read.find(name);
  if (found != read.end()) return found->second;
  return read.emplace(name, *io::load_zone(name)).first->second;
}

template <class T>
void in_order(SharedList<T>& list) {
  std::vector<T> items(list.begin(), list.end());
  std::stable_sort(items.begin(), items.end(), [](const T& a, const T& b) { return a.at < b.at; });
  list = SharedList<T>(std::move(items));
}

class Telling {
 public:
  Telling(const History& history, Told& told) : h_{history}, t_{told}, zone_{zone_of(history.zone)} {}

  void place() {
    garden::GardenDescribed described;
    described.name = h_.name;
    described.latitude = Angle::degrees(h_.latitude);
    described.longitude = Angle::degrees(h_.longitude);
    described.elevation = Length::metres(h_.elevation_m);
    described.zone = h_.zone;
    described.jurisdiction = h_.jurisdiction;
    t_.garden.described = described;
    for (const auto& bed : h_.beds)
      t_.garden.beds.push_back(
          {bed.bed, Length::metres(bed.x_m), Length::metres(bed.y_m), Length::metres(bed.width_m), Length::metres(bed.length_m)});
  }

  void plantings() {
    for (std::size_t i = 0; i < h_.plantings.size(); ++i) {
      const auto& p = h_.plantings[i];
      garden::Planting planting;
      planting.sown = {p.planting, bed_name(p.bed), p.crop, p.plants, date(p.set_out), date(p.first_harvest), date(p.last_harvest)};
      planting.at = at(p.set_out, 12 * 60);
      planting.id = id_of(1, i);
      if (p.removed >= 0) planting.removed = at(p.removed, 12 * 60);
      t_.garden.plantings.push_back(std::move(planting));
    }
    in_order(t_.garden.plantings);
  }

  void counts() {
    for (std::size_t i = 0; i < h_.counts.size(); ++i) {
      const auto& c = h_.counts[i];
      t_.garden.counts.push_back({{bed_name(c.bed), c.pest, c.stage, c.plants, c.count}, at(c.day, c.minute), id_of(2, i), c.by});
    }
    in_order(t_.garden.counts);
  }

  void cards() {
    for (std::size_t i = 0; i < h_.cards.size(); ++i) {
      auto card = io::read_card_toml(h_.cards[i], h_.card_files[i]);
      if (!card) continue;
      const Digest digest = sha256(h_.cards[i]);
      by_product_[card->product] = digest;
      t_.garden.cards.push_back({{card->product, digest}, at(0, 0), id_of(3, i), {}});
      t_.request.cards.emplace(digest, std::move(*card));
    }
  }

  void actions() {
    using Kind = garden::WorkDone::Kind;
    static const std::map<std::string, Kind> kinds = {{"hand-pick", Kind::hand_pick}, {"crush-eggs", Kind::crush_eggs},
                                                      {"cover", Kind::cover},         {"uncover", Kind::uncover},
                                                      {"pull", Kind::pull},           {"water", Kind::water}};
    for (std::size_t i = 0; i < h_.actions.size(); ++i) {
      const auto& a = h_.actions[i];
      if (a.action == "spray") {
        garden::Application spray;
        spray.bed = bed_name(a.bed);
        spray.product = a.product;
        if (const auto card = by_product_.find(a.product); card != by_product_.end()) spray.card = card->second;
        spray.rate = a.rate;
        t_.garden.applications.push_back({spray, at(a.day, a.minute), id_of(4, i), {}});
      } else if (const auto kind = kinds.find(a.action); kind != kinds.end()) {
        t_.garden.work.push_back({{kind->second, bed_name(a.bed), a.detail}, at(a.day, a.minute), id_of(5, i), {}});
      }
    }
  }

  void weather() {
    std::vector<app::WeatherFile> files;
    std::vector<weather::Day> recorded;
    for (const auto* days : {&h_.past_years, &h_.station})
      for (const auto& d : *days)
        recorded.push_back(
            {day_of(d.year, d.day), Temperature::celsius(d.tmin_c), Temperature::celsius(d.tmax_c), Length::millimetres(d.rain_mm)});
    if (auto series = weather::DailySeries::from_days(std::move(recorded))) files.push_back({std::move(*series), std::nullopt});
    std::vector<weather::Day> ahead;
    for (const auto& d : h_.forecast)
      ahead.push_back({date(d.day), Temperature::celsius(d.tmin_c), Temperature::celsius(d.tmax_c), std::nullopt});
    if (auto series = weather::DailySeries::from_days(std::move(ahead))) files.push_back({std::move(*series), date(h_.as_of)});
    t_.request.weather = app::weather_known(files, date(h_.as_of));
  }

  void finish(const pest::Library& library) {
    t_.request.garden = &t_.garden;
    t_.request.library = &library;
    t_.request.zone = zone_;
    t_.request.at = zone_.instant({date(h_.as_of), morning});
    for (const auto& c : t_.garden.counts) t_.request.at = std::max(t_.request.at, c.at + Duration::minutes(1));
  }

 private:
  Date date(int day) const { return day_of(h_.year, day); }
  Instant at(int day, int minute) const { return zone_.instant({date(day), minute * 60}); }
  const std::string& bed_name(int bed) const { return h_.beds[static_cast<std::size_t>(bed)].bed; }

  const History& h_;
  Told& t_;
  const Zone& zone_;
  std::map<std::string, Digest> by_product_;
};

}  // namespace

std::unique_ptr<Told> told(const History& history, const pest::Library& library) {
  auto out = std::make_unique<Told>();
  Telling telling{history, *out};
  telling.place();
  telling.plantings();
  telling.counts();
  telling.cards();
  telling.actions();
  telling.weather();
  telling.finish(library);
  return out;
}

}  // namespace leafturn::bench
