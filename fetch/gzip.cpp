#include "fetch/gzip.hpp"

#include <zlib.h>

#include <algorithm>
#include <limits>

namespace leafturn::fetch {
namespace {

constexpr int gzip_only = 16 + MAX_WBITS;

/// zlib's state, ended whatever happens.
struct Inflating {
  z_stream stream{};
  bool good = inflateInit2(&stream, gzip_only) == Z_OK;
  Inflating() = default;
  Inflating(const Inflating&) = delete;
  Inflating& operator=(const Inflating&) = delete;
  ~Inflating() {
    if (good) inflateEnd(&stream);
  }
};

tl::unexpected<Error> wrong(const char* code, std::vector<Fact> facts = {}) { return fail(code, {}, std::move(facts), ErrorKind::cannot); }

}  // namespace

bool is_gzip(std::string_view bytes) { return bytes.starts_with("\x1f\x8b\x08"); }

Result<std::string> unpack_gzip(std::string_view bytes, std::size_t most) {
  Inflating inflating;
  if (!inflating.good || bytes.size() > std::numeric_limits<uInt>::max()) return wrong("fetch.garbled");
  z_stream& stream = inflating.stream;
  // zlib's interface predates const; it doesn't write there.
  stream.next_in = reinterpret_cast<Bytef*>(const_cast<char*>(bytes.data()));
  stream.avail_in = static_cast<uInt>(bytes.size());
  std::string out;
  char part[65536];
  for (;;) {
    stream.next_out = reinterpret_cast<Bytef*>(part);
    stream.avail_out = sizeof part;
    const int did = inflate(&stream, Z_NO_FLUSH);
    out.append(part, sizeof part - stream.avail_out);
    if (out.size() > most) return wrong("fetch.too_large", {{"megabytes", static_cast<std::int64_t>(most >> 20U)}});
    if (did == Z_STREAM_END) {
      if (stream.avail_in == 0) return out;
      if (inflateReset2(&stream, gzip_only) != Z_OK) return wrong("fetch.garbled");
    } else if (did == Z_BUF_ERROR || (did == Z_OK && stream.avail_in == 0 && stream.avail_out != 0)) {
      return wrong("fetch.cut_off");
    } else if (did != Z_OK) {
      return wrong("fetch.garbled");
    }
  }
}

}  // namespace leafturn::fetch
