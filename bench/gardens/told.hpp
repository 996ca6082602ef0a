#pragma once
/// What a true garden has told its people, as the program's own values: the same as importing the folder that gardens::write_import writes,
/// without the disk.

#include <memory>
#include <vector>

#include "core/decision/brief.hpp"
#include "tests/gardens/garden.hpp"

namespace leafturn::bench {

/// Owns what the request points to; don't copy the request out of it.
struct Told {
  garden::Garden garden;
  decision::BriefRequest request;  ///< at 5 o'clock on the morning of History::as_of
};

/// `library` must outlive it.
std::unique_ptr<Told> told(const gardens::History& history, const pest::Library& library);

}  // namespace leafturn::bench
