// What is known of a true garden on a morning, and its import folder.

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>

#include "tests/gardens/state.hpp"

namespace leafturn::gardens {
namespace {

std::string text_of(double value, int digits) {
  std::array<char, 48> text{};
  std::snprintf(text.data(), text.size(), "%.*f", digits, value);
  return text.data();
}

std::string time_of(const History& h, int day, int minute) {
  std::array<char, 16> text{};
  std::snprintf(text.data(), text.size(), "T%02d:%02d", (minute / 60) % 24, minute % 60);
  return iso_date(h.year, day) + text.data();
}

bool write_file(const std::filesystem::path& path, const std::string& text) {
  std::ofstream out(path, std::ios::binary);
  out << text;
  out.close();
  return out.good();
}

std::string beds_csv(const History& h) {
  std::string text = "bed,x_m,y_m,width_m,length_m\n";
  for (const auto& b : h.beds)
    text += b.bed + ',' + text_of(b.x_m, 1) + ',' + text_of(b.y_m, 1) + ',' + text_of(b.width_m, 1) + ',' + text_of(b.length_m, 1) + '\n';
  return text;
}

std::string plantings_csv(const History& h) {
  std::string text = "planting,bed,crop,plants,set_out,first_harvest,last_harvest,removed\n";
  for (const auto& p : h.plantings)
    text += p.planting + ',' + h.beds[static_cast<std::size_t>(p.bed)].bed + ',' + p.crop + ',' + std::to_string(p.plants) + ',' +
            iso_date(h.year, p.set_out) + ',' + iso_date(h.year, p.first_harvest) + ',' + iso_date(h.year, p.last_harvest) + ',' +
            (p.removed < 0 ? std::string() : iso_date(h.year, p.removed)) + '\n';
  return text;
}

std::string counts_csv(const History& h) {
  std::string text = "time,bed,pest,stage,plants,count,by\n";
  for (const auto& c : h.counts)
    text += time_of(h, c.day, c.minute) + ',' + h.beds[static_cast<std::size_t>(c.bed)].bed + ',' + c.pest + ',' + c.stage + ',' +
            std::to_string(c.plants) + ',' + std::to_string(c.count) + ',' + c.by + '\n';
  return text;
}

std::string actions_csv(const History& h) {
  std::string text = "time,bed,action,product,rate,detail\n";
  for (const auto& a : h.actions)
    text += time_of(h, a.day, a.minute) + ',' + h.beds[static_cast<std::size_t>(a.bed)].bed + ',' + a.action + ',' + a.product + ',' +
            a.rate + ',' + a.detail + '\n';
  return text;
}

std::string days_csv(const std::vector<History::WeatherDay>& days) {
  std::string text = "date,tmin_c,tmax_c,rain_mm\n";
  for (const auto& d : days)
    text += iso_date(d.year, d.day) + ',' + text_of(d.tmin_c, 1) + ',' + text_of(d.tmax_c, 1) + ',' + text_of(d.rain_mm, 1) + '\n';
  return text;
}

std::string forecast_csv(const History& h) {
  std::string text = "issued,date,tmin_c,tmax_c\n";
  for (const auto& d : h.forecast)
    text += iso_date(h.year, h.as_of) + ',' + iso_date(h.year, d.day) + ',' + text_of(d.tmin_c, 1) + ',' + text_of(d.tmax_c, 1) + '\n';
  return text;
}

std::string garden_toml(const History& h) {
  return "name = \"" + h.name + "\"\nlatitude = " + text_of(h.latitude, 2) + "\nlongitude = " + text_of(h.longitude, 2) +
         "\nelevation_m = " + text_of(h.elevation_m, 0) + "\nzone = \"" + h.zone + "\"\nunits = \"metric\"\njurisdiction = \"" +
         h.jurisdiction + "\"\nsetting = \"agricultural\"\nown_day = " + iso_date(h.year, h.as_of) + "\nmarked = \"invented\"\n";
}

}  // namespace

std::vector<std::string> card_texts() {
  std::vector<std::string> cards;
  int number = 1;
  for (const Product& product : products()) {
    const char* mode = product.active == "spinosad" ? "5" : product.active == "azadirachtin" ? "UN" : "3A";
    std::string crop_list;
    for (const Crop& crop : crops()) crop_list += (crop_list.empty() ? "\"" : ", \"") + std::string(crop.code) + '"';
    cards.push_back(
        "# Invented product.\n[card]\nproduct = \"" + product.product + "\"\nregistration = \"TRIAL-000" + std::to_string(number++) +
        "\"\nsetting = \"both\"\ncopied_by = \"scout-1\"\ncopied_on = 2017-01-02\n\n[[active]]\nname = \"" + product.active +
        "\"\ncontent = \"10 g/L\"\nmode_of_action = \"" + mode + "\"\n\n[[use]]\ncrops = [" + crop_list +
        "]\nrate = { min = \"0.5 floz/gal\", max = \"2 floz/gal\" }\npre_harvest_days = " + std::to_string(product.pre_harvest_days) +
        "\nreentry_hours = " + std::to_string(product.reentry_hours) + "\ninterval_days = " + std::to_string(product.interval_days) +
        "\nmax_applications = \"none-stated\"\n\n[conditions]\nmax_temp_c = 32.0\nrainfast_hours = 4\nbees = \"not-while-foraging\"\n");
  }
  return cards;
}

History Garden::history(int as_of) const {
  const State& s = *state_;
  const World& w = *s.world;
  History h{};
  h.name = std::string("True garden ") + std::string(name_of(w.spec.kind)) + ' ' + std::to_string(w.spec.seed);
  h.zone = w.site.zone;
  h.jurisdiction = "US";
  h.latitude = w.site.latitude;
  h.longitude = w.site.longitude;
  h.elevation_m = w.site.elevation_m;
  h.year = w.year;
  h.as_of = as_of;
  for (const Bed& bed : w.beds) h.beds.push_back({bed.name, bed.x_m, bed.y_m, bed.width_m, bed.length_m});
  for (std::size_t i = 0; i < w.plantings.size(); ++i) {
    const Planting& p = w.plantings[i];
    if (p.set_out > as_of) continue;
    const int removed = s.removed[i] >= 0 && s.removed[i] < as_of ? s.removed[i] : -1;
    // Pulled early: the harvest that was is the harvest there could be.
    const int last = removed >= 0 ? std::min(p.last, removed) : p.last;
    h.plantings.push_back({p.name, p.bed, std::string(crops()[static_cast<std::size_t>(p.crop)].code), p.plants, p.set_out,
                           std::min(p.first, last), last, removed});
  }
  const auto known = [&](int day) { return day < as_of || (day == as_of && as_of == s.day); };
  for (const auto& c : s.counts)
    if (known(c.day)) h.counts.push_back(c);
  for (const auto& a : s.actions)
    if (known(a.day)) h.actions.push_back(a);
  for (int d = 0; d < as_of; ++d) {
    const Day& day = w.station[static_cast<std::size_t>(d)];
    h.station.push_back({w.year, d, day.low_c, day.high_c, day.rain_mm});
  }
  int year = w.year - static_cast<int>(w.past.size());
  for (const auto& days : w.past) {
    for (std::size_t d = 0; d < days.size(); ++d)
      h.past_years.push_back({year, static_cast<int>(d), days[d].low_c, days[d].high_c, days[d].rain_mm});
    ++year;
  }
  constexpr int ahead = 7;
  int day = as_of;
  for (const Day& told : forecast_of(w.site, w.station, w.spec.seed, as_of, ahead)) h.forecast.push_back({day++, told.low_c, told.high_c});
  h.cards = card_texts();
  h.card_files = {"trial-spin.toml", "trial-neem.toml", "trial-broad.toml"};
  return h;
}

bool write_import(const Garden& garden, int as_of_day, const std::string& folder) {
  const History h = garden.history(as_of_day);
  const std::filesystem::path at{folder};
  std::error_code failed;
  std::filesystem::create_directories(at / "weather", failed);
  std::filesystem::create_directories(at / "cards", failed);
  bool good = !failed && write_file(at / "garden.toml", garden_toml(h)) && write_file(at / "beds.csv", beds_csv(h)) &&
              write_file(at / "plantings.csv", plantings_csv(h)) && write_file(at / "counts.csv", counts_csv(h)) &&
              write_file(at / "actions.csv", actions_csv(h)) && write_file(at / "weather" / "station.csv", days_csv(h.station)) &&
              write_file(at / "weather" / "past-years.csv", days_csv(h.past_years)) &&
              write_file(at / "weather" / "forecast.csv", forecast_csv(h));
  for (std::size_t i = 0; i < h.cards.size(); ++i) good = good && write_file(at / "cards" / h.card_files[i], h.cards[i]);
  return good;
}

}  // namespace leafturn::gardens
