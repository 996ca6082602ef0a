#include "io/chronicle_bytes.hpp"

#include <bit>
#include <cstring>
#include <unordered_map>
#include <utility>

#include "io/event_json.hpp"

namespace leafturn::io {
namespace {

using namespace garden;

/// Numbers in as few bytes as they need (seven bits a byte, the lowest first); a text in full once, then by its number.
class Writer {
 public:
  static constexpr bool reads = false;
  std::string out;

  void number(std::uint64_t value) {
    for (; value >= 0x80; value >>= 7) out.push_back(static_cast<char>(value | 0x80));
    out.push_back(static_cast<char>(value));
  }
  void raw(const void* bytes, std::size_t size) { out.append(static_cast<const char*>(bytes), size); }

  void operator()(std::uint64_t value) { number(value); }
  void operator()(std::int64_t value) { number(static_cast<std::uint64_t>(value) << 1 ^ static_cast<std::uint64_t>(value >> 63)); }
  void operator()(int value) { (*this)(std::int64_t{value}); }
  void operator()(bool value) { out.push_back(value ? '\1' : '\0'); }
  void operator()(double value) {
    const auto bits = std::bit_cast<std::uint64_t>(value);
    raw(&bits, sizeof bits);
  }
  void operator()(const std::string& text) {
    const auto [found, fresh] = texts_.try_emplace(text, texts_.size() + 1);
    if (!fresh) return number(found->second);
    number(0);
    number(text.size());
    out += text;
  }
  template <std::size_t N>
  void operator()(const std::array<std::uint8_t, N>& bytes) {
    raw(bytes.data(), N);
  }

 private:
  std::unordered_map<std::string, std::uint64_t> texts_;
};

class Reader {
 public:
  static constexpr bool reads = true;
  explicit Reader(std::string_view bytes) : in_{bytes} {}
  bool good() const { return good_; }
  bool finished() const { return good_ && in_.empty(); }
  void refuse() {
    good_ = false;
    in_ = {};
  }

  std::uint64_t number() {
    std::uint64_t value = 0;
    for (unsigned shift = 0; shift < 64; shift += 7) {
      if (in_.empty()) return refuse(), 0;
      const auto byte = static_cast<std::uint8_t>(in_.front());
      in_.remove_prefix(1);
      value |= std::uint64_t{byte & 0x7fU} << shift;
      if (byte < 0x80) return value;
    }
    return refuse(), 0;
  }
  /// A length can't exceed what is left: each item takes a byte or more.
  std::size_t length() {
    const std::uint64_t n = number();
    if (n > in_.size()) return refuse(), 0;
    return static_cast<std::size_t>(n);
  }
  std::string_view raw(std::size_t size) {
    if (size > in_.size()) return refuse(), std::string_view{};
    const std::string_view bytes = in_.substr(0, size);
    in_.remove_prefix(size);
    return bytes;
  }

  void operator()(std::uint64_t& value) { value = number(); }
  void operator()(std::int64_t& value) {
    const std::uint64_t n = number();
    value = static_cast<std::int64_t>(n >> 1 ^ (~(n & 1) + 1));
  }
  void operator()(int& value) {
    std::int64_t wide = 0;
    (*this)(wide);
    value = static_cast<int>(wide);
    if (value != wide) refuse();
  }
  void operator()(bool& value) { value = raw(1) == std::string_view("\1", 1); }
  void operator()(double& value) {
    std::uint64_t bits = 0;
    const std::string_view bytes = raw(sizeof bits);
    if (good_) std::memcpy(&bits, bytes.data(), sizeof bits);
    value = std::bit_cast<double>(bits);
  }
  void operator()(std::string& text) {
    const std::uint64_t known = number();
    if (known > texts_.size()) return refuse();
    if (known == 0) texts_.emplace_back(raw(length()));
    if (good_) text = known == 0 ? texts_.back() : texts_[known - 1];
  }
  template <std::size_t N>
  void operator()(std::array<std::uint8_t, N>& bytes) {
    const std::string_view given = raw(N);
    if (good_) std::memcpy(bytes.data(), given.data(), N);
  }

 private:
  std::string_view in_;
  std::vector<std::string> texts_;
  bool good_ = true;
};

// One function per value, for both ways: what is written is what is read. The bindings count the fields, so that a new one does not
// compile until it is kept here (and `chronicle_kind` has moved on).

template <class Way>
void keep(Way& way, Id& id) {
  way(id.bytes);
}
template <class Way>
void keep(Way& way, Digest& digest) {
  way(digest.bytes);
}
template <class Way>
void keep(Way& way, Instant& at) {
  std::int64_t us = at.unix_microseconds();
  way(us);
  at = Instant::from_unix_microseconds(us);
}
template <class Way>
void keep(Way& way, Date& day) {
  int serial = day.serial();
  way(serial);
  day = Date::from_serial(serial);
}
template <class Way>
void keep(Way& way, CivilTime& time) {
  auto& [date, second] = time;
  keep(way, date);
  int seconds = second;
  way(seconds);
  second = seconds;
}
template <class Way>
void keep(Way& way, Length& length) {
  double metres = length.metres();
  way(metres);
  length = Length::metres(metres);
}
template <class Way>
void keep(Way& way, Angle& angle) {
  double degrees = angle.degrees();
  way(degrees);
  angle = Angle::degrees(degrees);
}
template <class Way>
void keep(Way& way, Mass& mass) {
  double grams = mass.grams();
  way(grams);
  mass = Mass::grams(grams);
}
template <class Way>
void keep(Way& way, Volume& volume) {
  double litres = volume.litres();
  way(litres);
  volume = Volume::litres(litres);
}
template <class Way>
void keep(Way& way, Area& area) {
  double square_metres = area.square_metres();
  way(square_metres);
  area = Area::square_metres(square_metres);
}
template <class Way>
void keep(Way& way, Speed& speed) {
  double metres_per_second = speed.metres_per_second();
  way(metres_per_second);
  speed = Speed::metres_per_second(metres_per_second);
}
template <class Way>
void keep(Way& way, Temperature& temperature) {
  double celsius = temperature.celsius();
  way(celsius);
  temperature = Temperature::celsius(celsius);
}
template <class Way>
void keep(Way& way, Duration& duration) {
  way(duration.microseconds);
}
template <class Way>
void keep(Way& way, Amount& amount) {
  bool weighs = std::holds_alternative<Mass>(amount);
  way(weighs);
  if constexpr (Way::reads) amount = weighs ? Amount{Mass{}} : Amount{Volume{}};
  std::visit([&](auto& measured) { keep(way, measured); }, amount);
}
template <class Way, class Plain>
  requires requires(Way& way, Plain& plain) { way(plain); }
void keep(Way& way, Plain& plain) {
  way(plain);
}
template <class Way, class Word>
  requires std::is_enum_v<Word>
void keep(Way& way, Word& word) {
  int value = static_cast<int>(word);
  way(value);
  word = static_cast<Word>(value);
}
template <class Way, class T>
void keep(Way& way, std::optional<T>& maybe) {
  bool there = maybe.has_value();
  way(there);
  if (!there) return maybe.reset();
  if constexpr (Way::reads) maybe.emplace();
  keep(way, *maybe);
}
template <class Way, class T>
void keep(Way& way, std::vector<T>& list) {
  if constexpr (Way::reads) {
    for (std::size_t left = way.length(); left > 0 && way.good(); --left) keep(way, list.emplace_back());
  } else {
    way.number(list.size());
    for (T& item : list) keep(way, item);
  }
}
template <class Way, class... T>
void all_of(Way& way, T&... fields) {
  (keep(way, fields), ...);
}

template <class Way>
void keep(Way& way, GardenDescribed& s) {
  auto& [name, latitude, longitude, elevation, zone, units, jurisdiction, setting, own_day, marked, produce] = s;
  all_of(way, name, latitude, longitude, elevation, zone, units, jurisdiction, setting, own_day, marked, produce);
}
template <class Way>
void keep(Way& way, BedLaid& s) {
  auto& [bed, x, y, width, length, organic, enclosed] = s;
  all_of(way, bed, x, y, width, length, organic, enclosed);
}
template <class Way>
void keep(Way& way, PlantingSown& s) {
  auto& [planting, bed, crop, plants, set_out, first_harvest, last_harvest] = s;
  all_of(way, planting, bed, crop, plants, set_out, first_harvest, last_harvest);
}
template <class Way>
void keep(Way& way, PlantingRemoved& s) {
  auto& [planting] = s;
  all_of(way, planting);
}
template <class Way>
void keep(Way& way, CountTaken& s) {
  auto& [bed, pest, stage, plants, count] = s;
  all_of(way, bed, pest, stage, plants, count);
}
template <class Way>
void keep(Way& way, WorkDone& s) {
  auto& [kind, bed, detail] = s;
  all_of(way, kind, bed, detail);
}
template <class Way>
void keep(Way& way, Used& s) {
  auto& [amount, area, mixed, leftover, lot, equipment, nozzle, method, type, growth_stage, why, system_plan] = s;
  all_of(way, amount, area, mixed, leftover, lot, equipment, nozzle, method, type, growth_stage, why, system_plan);
}
template <class Way>
void keep(Way& way, Handler& s) {
  auto& [family, adult, trained, licensed, protection] = s;
  all_of(way, family, adult, trained, licensed, protection);
}
template <class Way>
void keep(Way& way, Told& s) {
  auto& [method, flowers, handler, produce, organic, enclosed, nearest_person, release_height, droplets, water] = s;
  all_of(way, method, flowers, handler, produce, organic, enclosed, nearest_person, release_height, droplets, water);
}
template <class Way>
void keep(Way& way, AtBed& s) {
  auto& [wind, temperature, humidity, people_clear, in_flower, dry, dry_ahead, drought, overcast, nozzle_height] = s;
  all_of(way, wind, temperature, humidity, people_clear, in_flower, dry, dry_ahead, drought, overcast, nozzle_height);
}
template <class Way>
void keep(Way& way, Application& s) {
  auto& [state, bed, planting, product, card, rate, pest, outside_label, detail, plan, not_judged, used, told] = s;
  all_of(way, state, bed, planting, product, card, rate, pest, outside_label, detail, plan, not_judged, used, told);
}
template <class Way>
void keep(Way& way, HarvestTaken& s) {
  auto& [bed, planting, amount, detail, early] = s;
  all_of(way, bed, planting, amount, detail, early);
}
template <class Way>
void keep(Way& way, HarvestPlanned& s) {
  auto& [planting, day] = s;
  all_of(way, planting, day);
}
template <class Way>
void keep(Way& way, CardCopied& s) {
  auto& [product, text] = s;
  all_of(way, product, text);
}
template <class Way>
void keep(Way& way, WeatherAdded& s) {
  auto& [name, text, units, station] = s;
  all_of(way, name, text, units, station);
}
template <class Way>
void keep(Way& way, BedReleased& s) {
  auto& [basis, bed, detail] = s;
  all_of(way, basis, bed, detail);
}

template <class Way>
void keep(Way& way, ApplicationJudged& s) {
  auto& [verdict, application, bed, card, rule] = s;
  all_of(way, verdict, application, bed, card, rule);
}

template <class Way>
void keep(Way& way, EquipmentKept& s) {
  auto& [equipment, nozzle, tank, detail] = s;
  all_of(way, equipment, nozzle, tank, detail);
}
template <class Way>
void keep(Way& way, CatchTest& s) {
  auto& [equipment, nozzle, caught, area, detail] = s;
  all_of(way, equipment, nozzle, caught, area, detail);
}
template <class Way>
void keep(Way& way, StockCounted& s) {
  auto& [product, lot, amount, opened, expires, detail] = s;
  all_of(way, product, lot, amount, opened, expires, detail);
}
template <class Way>
void keep(Way& way, BedEntered& s) {
  auto& [bed, exception, stayed, detail] = s;
  all_of(way, bed, exception, stayed, detail);
}
template <class Way>
void keep(Way& way, SprayBegun& s) {
  auto& [plan, bed, product, seen, despite] = s;
  all_of(way, plan, bed, product, seen, despite);
}
template <class Way>
void keep(Way& way, AgencyAnswered& s) {
  auto& [product, allows, on, words] = s;
  all_of(way, product, allows, on, words);
}

void keep(Writer& way, Saying& saying) {
  way.number(saying.index());
  std::visit([&](auto& s) { keep(way, s); }, saying);
}
template <std::size_t I = 0>
void emplace_saying(Reader& way, Saying& saying, std::size_t index) {
  if constexpr (I < std::variant_size_v<Saying>) {
    if (index != I) return emplace_saying<I + 1>(way, saying, index);
    keep(way, saying.emplace<I>());
  } else {
    way.refuse();
  }
}
void keep(Reader& way, Saying& saying) { emplace_saying(way, saying, static_cast<std::size_t>(way.number())); }

template <class Way, class T>
void keep(Way& way, Dated<T>& dated) {
  auto& [what, at, id, by, amended, said, seq] = dated;
  all_of(way, what, at, id, by, amended, said, seq);
}
template <class Way>
void keep(Way& way, Structural& s) {
  auto& [at, seq, id, saying] = s;
  all_of(way, at, seq, id, saying);
}
template <class Way>
void keep(Way& way, AmendedPlace& a) {
  auto& [target, seq, at, withdrawn] = a;
  all_of(way, target, seq, at, withdrawn);
}
/// Few; as the bytes they came in, near enough.
void keep(Writer& way, Recorded& r) {
  std::string bytes = encode_event(r.event);
  all_of(way, r.seq, r.received, bytes);
}
void keep(Reader& way, Recorded& r) {
  std::string bytes;
  all_of(way, r.seq, r.received, bytes);
  auto event = decode_event(bytes);
  if (!event || !std::holds_alternative<Amended>(event->payload)) return way.refuse();
  r.event = std::move(*event);
}

template <class List>
void keep_list(Writer& way, List& list) {
  way.number(list.size());
  for (auto item : list) keep(way, item);
}
template <class List>
void keep_list(Reader& way, List& list) {
  for (std::size_t left = way.length(); left > 0 && way.good(); --left) {
    typename List::value_type item{};
    keep(way, item);
    if (way.good()) list.push_back(std::move(item));
  }
}
template <class Way, class Key, class Value, class KeepValue>
void keep_map(Way& way, std::map<Key, Value>& map, const KeepValue& keep_value) {
  if constexpr (Way::reads) {
    for (std::size_t left = way.length(); left > 0 && way.good(); --left) {
      Key key;
      way(key);
      keep_value(map[std::move(key)]);
    }
  } else {
    way.number(map.size());
    for (auto& [key, value] : map) {
      way(key);
      keep_value(value);
    }
  }
}

/// Seqs rise, so only the steps are kept.
void keep_rising(Writer& way, SharedList<std::uint64_t>& list) {
  way.number(list.size());
  std::uint64_t last = 0;
  for (const std::uint64_t seq : list) way.number(seq - std::exchange(last, seq));
}
void keep_rising(Reader& way, SharedList<std::uint64_t>& list) {
  std::uint64_t last = 0;
  for (std::size_t left = way.length(); left > 0 && way.good(); --left) list.push_back(last += way.number());
}

template <class Way>
void keep_parts(Way& way, ChronicleParts& parts) {
  Garden& g = parts.all;
  way(g.last_seq);
  const auto list = [&](auto& one) { keep_list(way, one); };
  list(g.counts), list(g.work), list(g.applications), list(g.harvests), list(g.planned_harvests), list(g.cards), list(g.weather),
      list(g.releases), list(g.judgements), list(g.equipment), list(g.catch_tests), list(g.stock), list(g.entries), list(g.begun),
      list(g.agency_answers), list(parts.structure), list(parts.amended), list(parts.early);
  keep_map(way, parts.writers, [&](std::uint64_t& last) { way(last); });
  keep_map(way, parts.of_bed, [&](SharedList<std::uint64_t>& seqs) { keep_rising(way, seqs); });
}

}  // namespace

std::string chronicle_bytes(const Chronicle& chronicle) {
  ChronicleParts parts = chronicle.parts();
  Writer writer;
  keep_parts(writer, parts);
  return std::move(writer.out);
}

std::optional<Chronicle> chronicle_from(std::string_view bytes) {
  Reader reader(bytes);
  ChronicleParts parts;
  keep_parts(reader, parts);
  if (!reader.finished()) return std::nullopt;
  Chronicle chronicle = Chronicle::restore(std::move(parts));
  chronicle.settle();
  return chronicle;
}

}  // namespace leafturn::io
