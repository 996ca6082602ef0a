#include "tests/gardens/world.hpp"

#include <algorithm>

#include "tests/gardens/draw.hpp"

namespace leafturn::gardens {
namespace {

using Keys = std::vector<std::string_view>;

// Pests that share hosts or a garden; the first form's pests lay where they walk, the second's come flying, the third's have enemies.
const std::vector<Keys>& themes(Kind kind) {
  static const std::vector<Keys> walkers{
      {"PIERRA"},     {"PIERRA", "MURGHI"},     {"MURGHI", "LPTNDE"},     {"LPTNDE"},
      {"squash-bug"}, {"PIERRA", "squash-bug"}, {"EPILVA", "squash-bug"}, {"PIERRA", "LPTNDE", "EPILVA"}};
  static const std::vector<Keys> pulses{{"PLUTMA"},           {"PLUTMA", "PIERRA"},
                                        {"LPTNDE"},           {"striped-cucumber-beetle", "squash-bug"},
                                        {"PLUTMA", "LPTNDE"}, {"PIERRA", "PLUTMA", "striped-cucumber-beetle"}};
  static const std::vector<Keys> patches{{"BRVCBR"}, {"BRVCBR", "PLUTMA"}, {"MYZUPE"},
                                         {"TETRUR"}, {"BRVCBR", "MYZUPE"}, {"PLUTMA", "TETRUR"}};
  if (kind == Kind::walkers) return walkers;
  return kind == Kind::pulses ? pulses : patches;
}

struct Place {
  const char* zone;
  double west, east;
};
constexpr std::array<Place, 4> places{{{"America/New_York", -81.0, -72.0},
                                       {"America/Chicago", -97.0, -88.0},
                                       {"America/Denver", -108.0, -104.0},
                                       {"America/Los_Angeles", -123.0, -117.0}}};

Site make_site(std::uint64_t seed) {
  Draw draw{seed, 0x517E};
  Site site;
  const Place& place = places[static_cast<std::size_t>(draw.whole(0, 3))];
  site.latitude = std::floor(draw.between(38.0, 48.0) * 100.0) / 100.0;
  site.longitude = std::floor(draw.between(place.west, place.east) * 100.0) / 100.0;
  site.elevation_m = draw.whole(20, 400);
  site.zone = place.zone;
  site.mean_c = 14.0 - 0.6 * (site.latitude - 38.0) + draw.normal();
  site.swing_c = draw.between(11.0, 14.0);
  site.range_c = draw.between(9.0, 14.0);
  return site;
}

bool tender(const Crop& crop) { return crop.code != "SOLTU" && (crop.part == Part::fruit); }

int crop_index(std::string_view code) {
  for (std::size_t i = 0; i < crops().size(); ++i)
    if (crops()[i].code == code) return static_cast<int>(i);
  return -1;
}

// Crops that one of the pests likes (or the one asked for); `late`: only those that are planted again in summer.
std::vector<int> host_crops(const World& world, bool late, int only = -1) {
  std::vector<int> found;
  for (std::size_t p = 0; p < world.pests.size(); ++p)
    for (const Host& host : world.pests[p].species().hosts) {
      if (only >= 0 && only != static_cast<int>(p)) continue;
      const int i = crop_index(host.crop);
      if (i >= 0 && host.liking >= 0.3 && (!late || crops()[static_cast<std::size_t>(i)].season == 1)) found.push_back(i);
    }
  return found;
}

void plant(World& world, int bed, int crop_at, int set_out, Draw& draw) {
  const Crop& crop = crops()[static_cast<std::size_t>(crop_at)];
  Planting p;
  p.name = std::string(crop.name) + "-" + std::to_string(world.plantings.size() + 1);
  p.bed = bed;
  p.crop = crop_at;
  p.plants = std::clamp(static_cast<int>(world.bed(bed).area() * crop.plants_per_m2 + 0.5), 6, 140);
  p.set_out = set_out;
  p.first = set_out + static_cast<int>(crop.days_to_harvest * draw.between(0.9, 1.1));
  p.last = p.first + static_cast<int>(crop.harvest_days * draw.between(0.8, 1.2));
  p.removed = draw.chance(0.75) ? p.last + draw.whole(0, 14) : last_day + 100;
  p.pull_noted = draw.chance(0.5);
  world.plantings.push_back(p);
}

void lay_out(World& world) {
  Draw draw{world.spec.seed, 0xBED5, static_cast<std::uint64_t>(world.spec.kind)};
  const int beds = draw.whole(4, 12), columns = draw.whole(2, 6);
  const double width = std::floor(draw.between(0.8, 2.0) * 10.0) / 10.0, length = std::floor(draw.between(5.0, 15.0));
  const double path = draw.chance(0.3) ? 1.0 : 0.5;
  for (int i = 0; i < beds; ++i) {
    const double own = std::max(4.0 / width, std::floor(length * draw.between(0.6, 1.0)));
    world.beds.push_back({"bed-" + std::to_string(i + 1), (i % columns) * (width + path), (i / columns) * (length + 1.0), width,
                          std::floor(own * 10.0) / 10.0});
  }
  const auto hosts = host_crops(world, false), late_hosts = host_crops(world, true);
  const int shift = static_cast<int>((world.site.latitude - 42.0) * 2.5);
  for (int bed = 0; bed < beds; ++bed) {
    // The first beds see to it that each pest has something to eat.
    const auto mine = bed < static_cast<int>(world.pests.size()) ? host_crops(world, false, bed) : hosts;
    const bool host = bed < 2 || bed < static_cast<int>(world.pests.size()) || draw.chance(0.8);
    const int crop = host ? mine[static_cast<std::size_t>(draw.whole(0, static_cast<int>(mine.size()) - 1))]
                          : draw.whole(0, static_cast<int>(crops().size()) - 1);
    const bool warm = tender(crops()[static_cast<std::size_t>(crop)]);
    const bool late_only = bed >= 2 && draw.chance(0.12) && !late_hosts.empty();
    int next = 190 + draw.whole(0, 20);
    if (!late_only) {
      plant(world, bed, crop, std::max(first_day + 2, shift + (warm ? draw.whole(132, 162) : draw.whole(100, 148))), draw);
      next = world.plantings.back().removed + draw.whole(2, 12);
    }
    if (next < 225 && !late_hosts.empty() && (late_only || draw.chance(0.6)))
      plant(world, bed, late_hosts[static_cast<std::size_t>(draw.whole(0, static_cast<int>(late_hosts.size()) - 1))], next, draw);
  }
}

void draw_pests(World& world) {
  Draw draw{world.spec.seed, 0x9E57, static_cast<std::uint64_t>(world.spec.kind)};
  const auto& all = themes(world.spec.kind);
  for (const std::string_view key : all[static_cast<std::size_t>(draw.whole(0, static_cast<int>(all.size()) - 1))]) {
    PestHere pest{};
    pest.kind = index_of(key);
    pest.speed = draw.between(0.85, 1.15);
    pest.fecundity = draw.fold(2.0);
    pest.plant_k = pest.species().plant_k * draw.fold(2.0);
    pest.mortality = draw.fold(1.5);
    pest.arrivals = draw.log_normal(1.0);
    pest.mobility = draw.fold(2.0);
    pest.enemies = draw.fold(2.0);
    pest.stays_local = draw.between(0.1, 0.6);
    pest.counts_masses = pest.species().laying == Laying::masses && draw.chance(0.7);
    for (auto& person : pest.detection)
      for (double& chance : person) chance = draw.between(0.3, 0.9);
    world.pests.push_back(pest);
  }
}

void draw_people(World& world) {
  Draw draw{world.spec.seed, 0x0B5E};
  world.people = draw.whole(1, 2);
  world.visit_every = draw.whole(3, 7);
  world.visit_plants = draw.whole(10, 30);
  world.missed = draw.between(0.1, 0.3);
  world.grower = {draw.chance(0.4), draw.between(0.3, 3.0), draw.whole(-1, 2), draw.chance(0.3)};
}

void make_weather(World& world) {
  constexpr int years_before = 8;
  for (int y = world.year - years_before; y < world.year; ++y) world.past.push_back(weather_of(world.site, world.spec.seed, y));
  world.real = weather_of(world.site, world.spec.seed, world.year);
  Draw draw{world.spec.seed, 0x57A7};
  const double offset = 0.7 * draw.normal();
  for (const Day& day : world.real) {
    Day told = day;
    told.low_c = std::floor((day.low_c + offset + 0.4 * draw.normal()) * 10.0) / 10.0;
    told.high_c = std::max(told.low_c, std::floor((day.high_c + offset + 0.4 * draw.normal()) * 10.0) / 10.0);
    if (day.rain_mm > 0.0) told.rain_mm = std::floor(day.rain_mm * draw.between(0.7, 1.3) * 10.0) / 10.0;
    world.station.push_back(told);
  }
  const int days = static_cast<int>(world.real.size());
  for (int d = 0; d < days; ++d) world.day_length.push_back(day_length_h(world.site.latitude, d));
  world.heat.resize(world.pests.size());
  world.degree_days.resize(world.pests.size());
  for (std::size_t p = 0; p < world.pests.size(); ++p) {
    const PestHere& pest = world.pests[p];
    const Species& bio = pest.species();
    double sum = 0.0;
    for (int d = 0; d < days; ++d) {
      const auto at = static_cast<std::size_t>(d);
      const Day& today = world.real[at];
      Heat heat;
      if (today.high_c > bio.lower_c)
        for (const double t : hours_of(world.real[at > 0 ? at - 1 : 0], today, world.real[std::min(at + 1, world.real.size() - 1)])) {
          heat.develops += pest.speed * development(world.spec.kind, bio, t) / 24.0;
          heat.degree_days += std::max(0.0, t - bio.lower_c) / 24.0;
          heat.warmth += std::clamp((t - bio.lower_c) / (25.0 - bio.lower_c), 0.0, 1.3) / 24.0;
          heat.scorch += t > bio.upper_c - 2.0 ? 1.0 / 24.0 : 0.0;
        }
      world.degree_days[p].push_back(sum);
      sum += heat.degree_days;
      world.heat[p].push_back(heat);
    }
  }
}

void weigh_plants(World& world) {
  world.pleasing.resize(world.pests.size());
  for (std::size_t p = 0; p < world.pests.size(); ++p)
    for (std::size_t i = 0; i < world.plantings.size(); ++i) {
      Draw draw{world.spec.seed, 0x91A7, p, i};
      std::vector<double> sums;
      double sum = 0.0;
      for (int n = 0; n < world.plantings[i].plants; ++n) sums.push_back(sum += draw.gamma(world.pests[p].plant_k));
      for (double& s : sums) s /= sum;
      world.pleasing[p].push_back(std::move(sums));
    }
}

}  // namespace

double World::liking(int pest_at, int planting_at) const {
  if (planting_at < 0) return 0.0;
  return pest(pest_at).species().liking(crops()[static_cast<std::size_t>(planting(planting_at).crop)].code);
}

double World::distance_m(int a, int b) const {
  const double dx = bed(a).x_m + bed(a).width_m / 2 - bed(b).x_m - bed(b).width_m / 2;
  const double dy = bed(a).y_m + bed(a).length_m / 2 - bed(b).y_m - bed(b).length_m / 2;
  return std::sqrt(dx * dx + dy * dy);
}

int World::pest_called(std::string_view key) const {
  for (std::size_t i = 0; i < pests.size(); ++i)
    if (pests[i].species().key == key) return static_cast<int>(i);
  return -1;
}

double World::host_m2(int pest_at) const {
  std::vector<bool> host(beds.size());
  for (std::size_t i = 0; i < plantings.size(); ++i)
    if (liking(pest_at, static_cast<int>(i)) > 0.0) host[static_cast<std::size_t>(plantings[i].bed)] = true;
  double area = 0.0;
  for (std::size_t b = 0; b < beds.size(); ++b) area += host[b] ? beds[b].area() : 0.0;
  return area;
}

World make_world(Spec spec) {
  World world{};
  world.spec = spec;
  world.year = 2017 + static_cast<int>(key_of(spec.seed, 0x9EA2) % 8);
  world.site = make_site(spec.seed);
  draw_pests(world);
  draw_people(world);
  lay_out(world);
  make_weather(world);
  weigh_plants(world);
  return world;
}

double development(Kind kind, const Species& bio, double t) {
  if (t <= bio.lower_c) return 0.0;
  if (kind == Kind::pulses) return (std::min(t, bio.best_c) - bio.lower_c) / bio.birth_to_adult_dd;
  if (t >= bio.upper_c) return 0.0;
  if (kind == Kind::walkers) {
    const double best = (bio.best_c - bio.lower_c) / bio.birth_to_adult_dd;
    return t <= bio.best_c ? (t - bio.lower_c) / bio.birth_to_adult_dd : best * (bio.upper_c - t) / (bio.upper_c - bio.best_c);
  }
  const double at = bio.lower_c + 12.0;
  const double c = 12.0 / bio.birth_to_adult_dd / (at * 12.0 * std::sqrt(bio.upper_c - at));
  return c * t * (t - bio.lower_c) * std::sqrt(bio.upper_c - t);
}

}  // namespace leafturn::gardens
