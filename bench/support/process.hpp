#pragma once
/// Whole processes, timed.

#include <string>
#include <vector>

namespace leafturn::bench {

/// Milliseconds from start to end of a program with these arguments; what it says goes nowhere. Negative when it failed.
double run_program(const std::string& program, std::vector<std::string> arguments);
double median(std::vector<double> values);

}  // namespace leafturn::bench
