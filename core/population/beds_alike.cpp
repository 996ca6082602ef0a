#include "core/population/beds_alike.hpp"

#include <algorithm>
#include <cmath>

namespace leafturn::population {
namespace {

constexpr double least_variance = 1e-3;

}  // namespace

BedsAlike::BedsAlike(std::size_t beds, double likeness) : beds_{beds}, c_(beds * beds, likeness) {
  for (std::size_t b = 0; b < beds; ++b) c_[b * beds + b] = 1.0;
}

std::vector<BedsAlike::Move> BedsAlike::learned(std::size_t bed, double shift, double before, double after) {
  std::vector<Move> moves(beds_);
  // A cloud that grew has learned that it was too sure; the others' widths stay.
  const double kept = std::clamp(after / std::max(before, least_variance), 0.0, 1.0);
  const double own = std::max(c_[bed * beds_ + bed], least_variance);
  std::vector<double> with(beds_);
  for (std::size_t b = 0; b < beds_; ++b) with[b] = c_[b * beds_ + bed];
  for (std::size_t b = 0; b < beds_; ++b) {
    if (b == bed) continue;
    const double variance = std::max(c_[b * beds_ + b], least_variance);
    const double left = std::max(least_variance, variance - with[b] * with[b] / own * (1.0 - kept));
    moves[b] = {with[b] / own * shift, std::sqrt(left / variance)};
  }
  for (std::size_t a = 0; a < beds_; ++a)
    for (std::size_t b = 0; b < beds_; ++b) c_[a * beds_ + b] -= with[a] * with[b] / own * (1.0 - kept);
  for (std::size_t b = 0; b < beds_; ++b) c_[b * beds_ + b] = std::max(c_[b * beds_ + b], least_variance);
  return moves;
}

std::vector<BedsAlike::Move> BedsAlike::together(std::span<const Word> words) {
  std::vector<Move> moves(beds_);
  for (const Word& word : words) {
    // A word that takes variance v to kept·v weighs (1/kept − 1)/v; to a bed already narrowed to heard·v by the others it says less.
    Move& own = moves[word.bed];
    const double heard = own.narrow * own.narrow;
    const double kept = std::clamp(word.after / std::max(word.before, least_variance), 0.0, 1.0);
    const double all = kept + heard * (1.0 - kept);
    const double kept_now = kept / all;
    const double shift_now = heard / all * word.shift - (1.0 - kept_now) * own.shift;
    own.shift += shift_now - word.shift;
    own.narrow = std::sqrt(heard / all);
    const std::vector<Move> news = learned(word.bed, shift_now, 1.0, kept_now);
    for (std::size_t b = 0; b < beds_; ++b) {
      moves[b].shift += news[b].shift;
      moves[b].narrow *= news[b].narrow;
    }
  }
  return moves;
}

}  // namespace leafturn::population
