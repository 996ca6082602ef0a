#pragma once
/// The system's clock: read here and in cli/, nowhere else.

#include <functional>

#include "core/base/date.hpp"

namespace leafturn::server {

using Clock = std::function<Instant()>;
Clock system_clock();

}  // namespace leafturn::server
