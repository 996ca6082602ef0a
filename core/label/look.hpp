#pragma once
/// How long a look at flowers holds.

#include "core/base/date.hpp"

namespace leafturn::label {

/// Flowers open and close within a day (ours).
inline constexpr Duration look_lasts = Duration::hours(12);

}  // namespace leafturn::label
