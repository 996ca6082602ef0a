#pragma once
/// The demo garden, to write things into.

#include <gtest/gtest.h>

#include <map>
#include <memory>
#include <string>

#include "app/import_garden.hpp"
#include "app/record.hpp"
#include "tests/support/data.hpp"

namespace leafturn::app {

using garden::Application;
using State = garden::Application::State;

class Ledgering : public testing::Test {
 protected:
  void SetUp() override {
    const auto name = std::string("ledgering-") + testing::UnitTest::GetInstance()->current_test_info()->name();
    folder_ = test::fresh_folder(name) + "/g";
    ASSERT_TRUE(make_demo(folder_, day_));
    garden_ = OpenGarden::open(folder_).value();
    for (const auto& c : state().cards) cards_[c.what.product] = c.what.text;
  }
  garden::Garden state() { return garden_->garden_at(Instant::parse("2027-01-01T00:00Z").value()).value(); }
  Application spray(const char* bed, const char* product, State state, const char* rate = "1 floz/gal") {
    Application a;
    a.state = state;
    a.bed = bed;
    a.product = product;
    a.rate = rate;
    if (cards_.contains(product)) a.card = cards_.at(product);
    return a;
  }
  Result<RecordOutcome> say(const garden::Payload& payload, Instant at) {
    return record_saying(*garden_, payload, "test", "lead", at, day_);
  }
  Result<RecordOutcome> say(const garden::Payload& payload) { return say(payload, day_); }
  std::string code(const garden::Payload& payload) {
    const auto before = garden_->ledger().last_seq().value();
    const auto outcome = say(payload);
    EXPECT_EQ(garden_->ledger().last_seq().value(), before + (outcome ? 1 : 0));
    return outcome ? "" : outcome.error().code;
  }
  garden::Amended amended(const RecordOutcome& of, const Application& replacement, std::optional<Instant> right_time = {}) {
    return {of.receipt.id, "typed wrongly", replacement, right_time};
  }

  Instant day_ = Instant::parse("2026-06-11T23:00Z").value();
  std::string folder_;
  std::unique_ptr<OpenGarden> garden_;
  std::map<std::string, Digest> cards_;
};

}  // namespace leafturn::app
