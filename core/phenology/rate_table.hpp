#pragma once
/// The rate between published days at constant temperatures; its rules are told in rate.hpp.

#include <optional>

#include "core/pest/rate_model.hpp"

namespace leafturn::phenology {

double table_rate(const pest::TableRate& table, double celsius);

/// Where a table's rate falls to 0; nothing if no point developed.
struct TableEnds {
  double lower = 0.0, upper = 0.0;  ///< °C
};
std::optional<TableEnds> table_ends(const pest::TableRate& table);

}  // namespace leafturn::phenology
