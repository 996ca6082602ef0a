#pragma once
/// The program behind main().

namespace leafturn::cli {

/// The whole program: 0 done, 1 the answer is no, 2 wrong use or bad input, 3 could not.
int run(int argc, char** argv);

}  // namespace leafturn::cli
