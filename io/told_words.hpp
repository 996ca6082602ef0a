#pragma once
/// The words of core/garden/told.hpp's choices, in the order of each.

#include <string>
#include <vector>

namespace leafturn::io {

inline const std::vector<std::string> method_words{"foliar", "soil", "chemigation", "dust", "bait", "seed"};
inline const std::vector<std::string> droplet_words{"very-fine",        "fine",        "medium", "coarse", "very-coarse",
                                                    "extremely-coarse", "ultra-coarse"};
inline const std::vector<std::string> flower_words{"none", "open", "open-cucurbit"};
inline const std::vector<std::string> produce_words{"kept", "given", "sold"};

}  // namespace leafturn::io
