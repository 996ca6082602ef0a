#include "app/spray_work.hpp"

#include "io/quantity_text.hpp"
#include "io/spray_text.hpp"

namespace leafturn::app {
namespace {

/// Reads an option when it was given; false when it can't be read, with the error set.
template <class Q, class Parse>
bool read(const std::optional<std::string>& text, const char* field, Parse parse, std::optional<Q>& into, std::optional<Error>& error) {
  if (!text) return true;
  auto value = parse(*text, field);
  if (!value) {
    error = value.error();
    return false;
  }
  into = *value;
  return true;
}

}  // namespace

Result<CalibrateAnswer> calibrate(const CalibrateQuestion& q) {
  const bool moving = q.flow || q.speed || q.width;
  const bool caught = q.volume || q.area;
  if (moving && caught) return fail("calibrate.both", {}, {}, ErrorKind::bad_input);
  if ((moving && !(q.flow && q.speed && q.width)) || (caught && !(q.volume && q.area)) || (!moving && !caught))
    return fail("calibrate.needs", {}, {}, ErrorKind::bad_input);
  std::optional<spray::Flow> flow;
  std::optional<Speed> speed;
  std::optional<Length> width;
  std::optional<Volume> volume;
  std::optional<Area> area;
  std::optional<Error> error;
  if (!read(q.flow, "--flow", io::parse_flow, flow, error) || !read(q.speed, "--speed", io::parse_speed, speed, error) ||
      !read(q.width, "--width", io::parse_length, width, error) || !read(q.volume, "--volume", io::parse_volume, volume, error) ||
      !read(q.area, "--area", io::parse_area, area, error))
    return fail(*error);
  CalibrateAnswer answer;
  answer.asked = q;
  const bool nothing = moving ? !(speed->metres_per_second() > 0.0 && width->metres() > 0.0 && flow->litres_per_minute() > 0.0)
                              : !(area->square_metres() > 0.0 && volume->litres() > 0.0);
  if (nothing) return fail("calibrate.nothing", {}, {}, ErrorKind::bad_input);
  answer.gives = moving ? spray::applied(*flow, *speed, *width) : spray::SprayVolume::of(*volume, *area);
  answer.per_gallon = spray::covered(Volume::gallons(1.0), answer.gives);
  answer.per_ten_litres = spray::covered(Volume::litres(10.0), answer.gives);
  return answer;
}

Result<MixAnswer> mix(const MixQuestion& q) {
  const auto rate = label::parse_rate(q.rate);
  if (!rate) return fail(rate.error());
  spray::MixRequest request;
  request.rate = *rate;
  if (q.least) {
    const auto least = label::parse_rate(*q.least);
    if (!least) return fail(least.error());
    if (least->basis != rate->basis || least->value > rate->value)
      return fail("label.rate_ends_differ", {"", 0, "--least"}, {{"least", *q.least}, {"rate", q.rate}}, ErrorKind::bad_input);
    request.least = *least;
  }
  std::optional<Error> error;
  if (!read(q.carrier, "--carrier", io::parse_spray_volume, request.carrier, error) ||
      !read(q.area, "--area", io::parse_area, request.area, error) ||
      !read(q.volume, "--volume", io::parse_volume, request.volume, error) ||
      !read(q.tank, "--tank", io::parse_volume, request.tank, error))
    return fail(*error);
  auto mixed = spray::mix(request);
  if (!mixed) return fail(mixed.error());
  return MixAnswer{q, std::move(*mixed)};
}

}  // namespace leafturn::app
