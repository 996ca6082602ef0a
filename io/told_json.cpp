#include "io/told_json.hpp"

#include "io/told_words.hpp"

namespace leafturn::io {

using namespace garden;
using Ordered = nlohmann::ordered_json;

namespace {

constexpr double most_metres = 1e6;
constexpr double most_speed = 1e3;
constexpr double most_celsius = 1e3;
constexpr double most_water = 1e4;

template <class Enum>
void put_word(Ordered& o, const char* name, const std::optional<Enum>& value, const std::vector<std::string>& words) {
  if (value) o[name] = words[static_cast<std::size_t>(*value)];
}
template <class Enum>
std::optional<Enum> maybe_word(Fields& f, const char* name, const std::vector<std::string>& words) {
  const auto index = f.maybe_word(name, words);
  return index ? std::optional{static_cast<Enum>(*index)} : std::nullopt;
}
template <class Value>
void put(Ordered& o, const char* name, const std::optional<Value>& value) {
  if (value) o[name] = *value;
}
void put_metres(Ordered& o, const char* name, const std::optional<Length>& length) {
  if (length) o[name] = length->metres();
}
std::optional<Length> maybe_metres(Fields& f, const char* name) {
  const auto metres = f.maybe_number(name, -most_metres, most_metres);
  return metres ? std::optional{Length::metres(*metres)} : std::nullopt;
}

void write(const Handler& h, Ordered& o) {
  if (h.family) o["family"] = true;
  put(o, "adult", h.adult);
  put(o, "trained", h.trained);
  put(o, "licensed", h.licensed);
  put(o, "protection", h.protection);
}
Handler read_handler(Fields& f) {
  Handler h;
  h.family = f.flag_or_false("family");
  h.adult = f.maybe_flag("adult");
  h.trained = f.maybe_flag("trained");
  h.licensed = f.maybe_flag("licensed");
  h.protection = f.maybe_texts("protection");
  return h;
}

}  // namespace

void write_told(const Told& told, Ordered& o) {
  put_word(o, "method", told.method, method_words);
  put_word(o, "flowers", told.flowers, flower_words);
  if (told.handler) write(*told.handler, o["handler"] = Ordered::object());
  put_word(o, "produce", told.produce, produce_words);
  put(o, "organic", told.organic);
  put(o, "enclosed", told.enclosed);
  put_metres(o, "nearest_person_m", told.nearest_person);
  put_metres(o, "release_height_m", told.release_height);
  put_word(o, "droplets", told.droplets, droplet_words);
  put(o, "water_l_m2", told.water);
}

Told read_told(Fields& f) {
  Told told;
  told.method = maybe_word<Method>(f, "method", method_words);
  told.flowers = maybe_word<Flowers>(f, "flowers", flower_words);
  f.within("handler", [&](Fields& inner) { told.handler = read_handler(inner); });
  told.produce = maybe_word<Produce>(f, "produce", produce_words);
  told.organic = f.maybe_flag("organic");
  told.enclosed = f.maybe_flag("enclosed");
  told.nearest_person = maybe_metres(f, "nearest_person_m");
  told.release_height = maybe_metres(f, "release_height_m");
  told.droplets = maybe_word<Droplets>(f, "droplets", droplet_words);
  told.water = f.maybe_number("water_l_m2", -most_water, most_water);
  return told;
}

Told read_told_within(Fields& f) {
  Told told;
  f.within("told", [&](Fields& inner) { told = read_told(inner); });
  return told;
}

void write_at_bed(const AtBed& seen, Ordered& o) {
  if (seen.wind) o["wind_m_s"] = seen.wind->metres_per_second();
  if (seen.temperature) o["temperature_c"] = seen.temperature->celsius();
  put(o, "humidity", seen.humidity);
  put(o, "people_clear", seen.people_clear);
  put(o, "in_flower", seen.in_flower);
  put(o, "dry", seen.dry);
  put(o, "dry_ahead", seen.dry_ahead);
  put(o, "drought", seen.drought);
  put(o, "overcast", seen.overcast);
  put_metres(o, "nozzle_height_m", seen.nozzle_height);
}

AtBed read_at_bed(Fields& f) {
  AtBed seen;
  if (const auto wind = f.maybe_number("wind_m_s", -most_speed, most_speed)) seen.wind = Speed::metres_per_second(*wind);
  if (const auto celsius = f.maybe_number("temperature_c", -most_celsius, most_celsius)) seen.temperature = Temperature::celsius(*celsius);
  seen.humidity = f.maybe_number("humidity", -1.0, 2.0);
  seen.people_clear = f.maybe_flag("people_clear");
  seen.in_flower = f.maybe_flag("in_flower");
  seen.dry = f.maybe_flag("dry");
  seen.dry_ahead = f.maybe_flag("dry_ahead");
  seen.drought = f.maybe_flag("drought");
  seen.overcast = f.maybe_flag("overcast");
  seen.nozzle_height = maybe_metres(f, "nozzle_height_m");
  return seen;
}

}  // namespace leafturn::io
