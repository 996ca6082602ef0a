#include "core/base/quantity.hpp"
using namespace leafturn;
#ifdef MUST_FAIL
auto value() { return Temperature::celsius(1) + Temperature::celsius(2); }
#else
auto value() { return Temperature::celsius(1) + TemperatureSpan::kelvin(2); }
#endif
