#include "core/base/quantity.hpp"
using namespace leafturn;
#ifdef MUST_FAIL
auto value() { return Temperature{20.0}; }
#else
auto value() { return Temperature::celsius(20.0); }
#endif
