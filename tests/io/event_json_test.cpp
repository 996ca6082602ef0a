// Events to bytes and back.

#include "io/event_json.hpp"

#include <rapidcheck.h>
#include <rapidcheck/gtest.h>

#include <algorithm>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "tests/garden/arbitrary.hpp"
#include "tests/support/data.hpp"

namespace leafturn::io::test {
namespace {

using namespace garden;
using namespace garden::test;
using leafturn::test::read_file;
using leafturn::test::source_path;

// Bytes are a faithful image of an event when every field comes back; comparing the second encoding compares every field at once, and the
// spot checks below see that fields are not lost on the way out.
RC_GTEST_PROP(EventJson, everyEventComesBackTheSame, ()) {
  const Event event = any_event(7, 20);
  const std::string bytes = encode_event(event);
  const auto back = decode_event(bytes);
  RC_ASSERT(back.has_value());
  RC_ASSERT(back->payload.index() == event.payload.index());
  RC_ASSERT(back->heading.id == event.heading.id);
  RC_ASSERT(back->heading.happened_at == event.heading.happened_at);
  RC_ASSERT(encode_event(*back) == bytes);
}

TEST(EventJson, theClocksOffsetStandsBesideTheTimeItWasReadAt) {
  Event event{{numbered_id(1), "phone", 4, *Instant::parse("2026-06-01T12:00:00Z"), "scout", Duration::seconds(-7205)},
              PlantingRemoved{"kale-1"}};
  const std::string bytes = encode_event(event);
  EXPECT_NE(bytes.find(R"("happened_at":"2026-06-01T12:00:00Z","clock_offset_s":-7205,"by":"scout")"), std::string::npos) << bytes;
  const auto back = decode_event(bytes);
  ASSERT_TRUE(back);
  EXPECT_EQ(back->heading.happened_at, event.heading.happened_at);
  EXPECT_EQ(back->heading.clock_offset, Duration::seconds(-7205));
  std::string wrong = bytes;
  wrong.replace(wrong.find("-7205"), 5, "99999999999");
  EXPECT_EQ(decode_event(wrong).error().where.field, "clock_offset_s");
}

Event full_application() {
  Application a;
  a.state = Application::State::made;
  a.bed = "7";
  a.planting = "kale-1";
  a.product = "Demo Oil One";
  a.card = Digest{};
  a.rate = "2 floz/gal";
  a.pest = "PIERRA";
  a.outside_label = true;
  a.detail = "two\nlines \"quoted\" é";
  a.plan = numbered_id(3);
  return {{numbered_id(1), "shed", 4, *Instant::parse("2026-06-01T12:00:00.25Z"), "lead"}, a};
}

TEST(EventJson, theBytesAreOneObjectHeadingFirst) {
  EXPECT_EQ(
      encode_event(full_application()),
      R"({"v":1,"id":"019e7044-8800-7000-8000-000000000001","writer":"shed","writer_seq":4,"happened_at":"2026-06-01T12:00:00.25Z","by":"lead",)"
      R"("kind":"application","state":"made","bed":"7","planting":"kale-1","product":"Demo Oil One","card":")" +
          std::string(64, '0') +
          R"(","rate":"2 floz/gal","pest":"PIERRA","outside_label":true,"detail":"two\nlines \"quoted\" é",)"
          R"("plan":"019e7044-8800-7000-8000-000000000003"})");
}

TEST(EventJson, everyFieldOfAnApplicationComesBack) {
  const auto back = decode_event(encode_event(full_application()));
  ASSERT_TRUE(back) << back.error().code;
  const auto& a = std::get<Application>(back->payload);
  const Event original = full_application();
  const auto& b = std::get<Application>(original.payload);
  EXPECT_EQ(a.bed, b.bed);
  EXPECT_EQ(a.planting, b.planting);
  EXPECT_EQ(a.product, b.product);
  EXPECT_EQ(a.card, b.card);
  EXPECT_EQ(a.rate, b.rate);
  EXPECT_EQ(a.pest, b.pest);
  EXPECT_TRUE(a.outside_label);
  EXPECT_EQ(a.detail, b.detail);
  EXPECT_EQ(a.plan, b.plan);
  EXPECT_EQ(back->heading.by, "lead");
  EXPECT_EQ(back->heading.writer_seq, 4U);
}

TEST(EventJson, anOffsetInATimeIsTheSameInstant) {
  std::string bytes = encode_event(full_application());
  const std::string utc = "2026-06-01T12:00:00.25Z";
  bytes.replace(bytes.find(utc), utc.size(), "2026-06-01T07:00:00.25-05:00");
  const auto back = decode_event(bytes);
  ASSERT_TRUE(back);
  EXPECT_EQ(back->heading.happened_at, full_application().heading.happened_at);
}

/// Each file of tests/io/broken/event is one way to be wrong; its name says code and field: `unknown_field.colour.json`.
TEST(EventJson, brokenFilesAreRefusedWithCodeAndField) {
  int files = 0;
  for (const auto& file : std::filesystem::directory_iterator(source_path("tests/io/broken/event"))) {
    ++files;
    const std::string stem = file.path().stem().string();
    const std::size_t dot = stem.find('.');
    const auto refused = decode_event(read_file(file.path().string()));
    ASSERT_FALSE(refused) << stem;
    EXPECT_EQ(refused.error().code, "event." + stem.substr(0, dot)) << stem;
    EXPECT_EQ(refused.error().where.field, dot == std::string::npos ? "" : stem.substr(dot + 1)) << stem;
  }
  EXPECT_GE(files, 10);
}

TEST(EventJson, tooLargeIsRefusedBeforeItIsRead) {
  Event event = full_application();
  std::get<Application>(event.payload).detail = std::string(most_event_bytes, 'x');
  const auto refused = decode_event(encode_event(event));
  ASSERT_FALSE(refused);
  EXPECT_EQ(refused.error().code, "event.too_large");
  const auto nested = decode_event(std::string(500'000, '['));
  ASSERT_FALSE(nested);
  EXPECT_EQ(nested.error().code, "event.too_deep");
}

RC_GTEST_PROP(EventJson, aChangedByteNeverCrashesTheReader, ()) {
  std::string bytes = encode_event(any_event(7, 20));
  const auto changes = *rc::gen::inRange(1, 4);
  for (int i = 0; i < changes; ++i) bytes[*rc::gen::inRange<std::size_t>(0, bytes.size())] = static_cast<char>(*rc::gen::inRange(0, 256));
  if (const auto read = decode_event(bytes)) RC_ASSERT(decode_event(encode_event(*read)).has_value());
}

RC_GTEST_PROP(EventJson, aCutEventIsNeverRead, ()) {
  const std::string bytes = encode_event(any_event(7, 20));
  RC_ASSERT(!decode_event(std::string_view{bytes}.substr(0, *rc::gen::inRange<std::size_t>(0, bytes.size()))).has_value());
}

template <std::size_t I = 0>
void expect_documented(const std::string& page) {
  if constexpr (I < std::variant_size_v<Payload>) {
    const std::string kind(kind_word(Payload{std::variant_alternative_t<I, Payload>{}}));
    EXPECT_NE(page.find("`" + kind + "`"), std::string::npos) << kind << " is not in docs/events.md";
    expect_documented<I + 1>(page);
  }
}

TEST(EventJson, everyKindAndEveryFieldIsDocumented) {
  const std::string page = read_file(source_path("docs/events.md"));
  ASSERT_FALSE(page.empty());
  expect_documented(page);
  rc::check("fields", [&] {
    const auto object = nlohmann::json::parse(encode_event(any_event(7, 20)));
    for (const auto& [name, value] : object.items()) RC_ASSERT(page.find("`" + name + "`") != std::string::npos);
  });
}

}  // namespace
}  // namespace leafturn::io::test
