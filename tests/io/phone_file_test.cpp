#include "io/phone_file.hpp"

#include <gtest/gtest.h>

#include "tests/support/data.hpp"

namespace leafturn::io {
namespace {

const std::string head = R"({"leafturn":"phone","form":1,"saved":"2026-06-13T11:30:00Z"})";

TEST(PhoneFile, EntriesKeepTheirBytes) {
  const auto entries = read_phone_file(head + "\n" + R"({"event":"{\"a\": 1.0,\"b\":\"ñ\\n\"}","told":"a count","state":"waiting"})" +
                                       "\r\n\n" + R"({"event":"x"})" + "\n" + R"({"receipt":{"id":"?"}})");
  ASSERT_TRUE(entries);
  ASSERT_EQ(entries->size(), 2U);
  EXPECT_EQ(entries->front().bytes, R"({"a": 1.0,"b":"ñ\n"})");
  EXPECT_EQ(entries->front().told, "a count");
  EXPECT_EQ(entries->front().line, 2);
  EXPECT_EQ(entries->back().line, 4);
}

TEST(PhoneFile, WhatIsNotWholeIsRefusedWithItsLine) {
  const auto refused = [](const std::string& text) {
    const auto entries = read_phone_file(text);
    return entries ? std::string{} : entries.error().code + ":" + std::to_string(entries.error().where.line);
  };
  EXPECT_EQ(refused(""), "phone_file.not_one:1");
  EXPECT_EQ(refused(R"({"event":"{}"})"), "phone_file.not_one:1") << "an export of a ledger is another file";
  EXPECT_EQ(refused(R"({"leafturn":"phone","form":2})"), "phone_file.newer:1");
  EXPECT_EQ(refused(head + "\n{\"event\":\"{"), "event.not_json:2");
  EXPECT_EQ(refused(head + "\n{\"event\":7}"), "phone_file.line:2");
  EXPECT_EQ(refused(head + "\n\n[]"), "event.not_an_object:3");
}

TEST(PhoneFile, ReceiptsAreWrittenInTheFormThatPhonesRead) {
  PhoneReceipt receipt;
  receipt.seq = 12;
  receipt.told = "a \"count\"";
  receipt.at = "2026-06-13T06:30:00-05:00";
  const std::string text = write_phone_receipts({receipt});
  EXPECT_EQ(text, std::string{R"({"leafturn":"phone","form":1})"} + "\n" +
                      R"({"receipt":{"id":"00000000-0000-0000-0000-000000000000","seq":12,"link":")" + std::string(64, '0') +
                      R"(","told":"a \"count\"","at":"2026-06-13T06:30:00-05:00","outside":false}})" + "\n");
  EXPECT_TRUE(read_phone_file(text)->empty());
}

}  // namespace
}  // namespace leafturn::io
