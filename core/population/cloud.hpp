#pragma once
/// What is done to the members of one bed between two marches: what they believe, who is picked again, who comes new. Inside
/// core/population.

#include <array>
#include <cstdint>
#include <span>

#include "core/population/assimilate.hpp"
#include "core/population/beds_alike.hpp"
#include "core/population/gathered.hpp"
#include "core/population/observe.hpp"

namespace leafturn::population {

/// Members of all beds before anything was counted: z drawn with the prior's likeness between beds, values from them.
Members draw_members(const Life& life, const World& world, const Prior& prior, std::size_t members, const Chance& chance);

/// Values of one bed in one block from its z.
void believe(const Life& life, const Prior& prior, Members& members, std::size_t block, std::size_t bed);

/// Those of one bed picked by weight, in place: who is picked at all stays where he is, the other places are filled with copies.
void pick(Members& members, std::size_t bed, std::span<const double> weights, double u0);

/// Refreshes the unknowns of one bed (equal weights), so that copies part: Liu & West's shrinking and jitter with the covariance of all
/// unknowns, of what the numbers in the bed (young, adults, as logarithms) don't say of them.
void refresh(const Life& life, const Prior& prior, Members& members, std::size_t bed, const Chance& chance, StepNumber when);

/// z of one unknown in one bed, by member.
void read_z(const Members& members, std::size_t bed, Unknown unknown, std::span<double> out);

/// Something may always have happened that the model doesn't know of (a tray of infested seedlings, the field next door mown). One member
/// in 32 is set to hold about as many as were found in this visit, with the weight that a belief of `unforeseen` in such a thing, whatever
/// its size, gives it. `log_weights` have sum 1 before and after, but for chance. Nothing changes where nothing was found or `unforeseen`
/// is 0.
void add_newcomers(std::span<const Looking> visit, Members& members, std::span<double> log_weights, const Chance& chance,
                   std::uint32_t number, double unforeseen);

/// What a reweighing made of a bed's beliefs, by unknown.
std::array<Reweighing, unknown_count> reweighed(const Members& members, std::size_t bed, std::span<const double> before,
                                                std::span<const double> after);

/// Moves a bed's beliefs, whose members have these weights, by what was learned in others. `with_numbers`: a bed never counted, whose
/// numbers come from the arrivals believed in, goes along.
void move_beliefs(const Life& life, const Prior& prior, Members& members, std::size_t bed, std::span<const double> weights,
                  const std::array<BedsAlike::Move, unknown_count>& moves, bool with_numbers);

}  // namespace leafturn::population
