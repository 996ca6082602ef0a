#pragma once
/// Cards and crops for the tests of this room. The crops' groups are as 40 CFR 180.41 has them, marked as the tests need, not as the
/// dossiers do.

#include <string>

#include "core/label/judge.hpp"

namespace leafturn::label::test_cards {

inline Moment at(const char* iso) {
  const std::string text = iso;
  return {*CivilTime::parse(text), text.size() == 10};
}

inline pest::Library library() {
  const auto member = [](const char* group, pest::Known known) { return pest::Crop::GroupMember{group, {"40 CFR 180.41", known, ""}}; };
  const auto crop = [](const char* eppo, std::vector<pest::Crop::GroupMember> groups) {
    pest::Crop c;
    c.eppo = eppo;
    c.id = eppo;
    c.label_groups = std::move(groups);
    return c;
  };
  pest::Library lib;
  lib.crops = {crop("ABMES", {member("8-10B", pest::Known::seen)}), crop("BRSJU", {member("4-16B", pest::Known::memory)}),
               crop("BRSOA", {member("4-16B", pest::Known::seen)}), crop("BRSOK", {member("5-16", pest::Known::seen_second)}),
               crop("LYPES", {member("8-10A", pest::Known::seen)})};
  return lib;
}

inline ProductRate rate(const char* text) { return *parse_rate(text); }

/// Every field copied, nothing left to say: allowed when the proposal keeps it.
inline Use full_use() {
  Use u;
  u.crops = {"BRSOA"};
  u.rate_min = Stated<ProductRate>::given(rate("1 floz/gal"));
  u.rate_max = Stated<ProductRate>::given(rate("2 floz/gal"));
  u.pre_harvest_days = Stated<double>::given(3);
  u.reentry = Stated<Reentry>::given({12, false});
  u.interval_days = Stated<double>::given(7);
  u.max_applications = Stated<int>::given(3);
  u.line = 12;
  return u;
}
inline Card full_card() {
  Card c;
  c.product = "Demo Oil One";
  c.registration = "DEMO-0001";
  c.setting = Stated<CardSetting>::given(CardSetting::both);
  c.copied_by = "lead";
  c.copied_on = Date::parse("2025-03-02");
  c.actives = {{"azadirachtin", "10 g/L", "UN"}};
  c.uses = {full_use()};
  return c;
}
inline Proposal full_proposal() {
  Proposal p;
  p.crop = "BRSOA";
  p.on = at("2025-06-10T16:30");
  p.rate = rate("1.5 floz/gal");
  p.setting = garden::Setting::residential;
  p.history = std::vector<Past>{};
  return p;
}

inline const Outcome* outcome(const Judgement& j, Rule rule) {
  for (const Outcome& o : j.outcomes)
    if (o.rule == rule) return &o;
  return nullptr;
}

}  // namespace leafturn::label::test_cards
