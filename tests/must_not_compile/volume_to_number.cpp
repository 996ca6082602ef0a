#include "core/base/quantity.hpp"
using namespace leafturn;
#ifdef MUST_FAIL
auto value() { return double(Volume::litres(1)); }
#else
auto value() { return Volume::litres(1).millilitres(); }
#endif
