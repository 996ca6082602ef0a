#include <cstdio>
#include "tools/harlequin-fit/fit.hpp"
int main() { std::fputs(leafturn::fit::report(leafturn::fit::run(20000000, 1)).c_str(), stdout); }
