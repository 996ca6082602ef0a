#include "core/base/quantity.hpp"
using namespace leafturn;
#ifdef MUST_FAIL
auto value() { return Area::hectares(1) + Length::metres(1); }
#else
auto value() { return Area::hectares(1) + Area::acres(1); }
#endif
