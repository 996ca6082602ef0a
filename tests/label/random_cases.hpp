#pragma once
/// Random cards, histories and proposals for the tests that compare and that hold laws. Values sit on and around every boundary, so that an
/// error by one shows within a few thousand cases. Case i of a seed is the same whatever was drawn before.

#include <vector>

#include "core/base/random.hpp"
#include "tests/label/cards.hpp"

namespace leafturn::label::test_cards {

/// LEAFTURN_SEED, else 20260610; printed once.
std::uint64_t seed_of_run();

class Dice {
 public:
  Dice(std::uint64_t seed, int index) : draws_{{.seed = seed, .member = static_cast<std::uint32_t>(index)}} {}
  int below(int n) { return static_cast<int>(draws_.bits() % static_cast<std::uint64_t>(n)); }
  bool one_in(int n) { return below(n) == 0; }
  template <class T>
  const T& of(const std::vector<T>& list) {
    return list[static_cast<std::size_t>(below(static_cast<int>(list.size())))];
  }
  template <class T>
  Stated<T> stated(const std::vector<T>& values) {
    Stated<T> s;
    if (!one_in(9)) s = one_in(7) ? Stated<T>::none_stated() : Stated<T>::given(of(values));
    return s;
  }
  /// Mostly not on the card.
  template <class T>
  Stated<T> seldom(const std::vector<T>& values) {
    return one_in(4) ? stated(values) : Stated<T>{};
  }
  Stated<bool> seldom_yes_no() {
    if (!one_in(4)) return {};
    return one_in(6) ? Stated<bool>::none_stated() : Stated<bool>::given(one_in(2));
  }

 private:
  num::Draws draws_;
};

struct RandomCase {
  Card card;
  Proposal proposal;
};
/// Every rule comes up; in most cases a few of them.
RandomCase random_case(Dice& dice);

Moment random_moment(Dice& dice, int first_day, int days);

/// A card copied whole: every line there, everything allowed when the proposal keeps it.
Card whole_card();
/// What a whole card needs around it to be allowed.
Proposal whole_proposal();

}  // namespace leafturn::label::test_cards
