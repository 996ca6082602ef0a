#include "core/base/quantity.hpp"
using namespace leafturn;
#ifdef MUST_FAIL
auto value() { return Temperature::celsius(10) * 2.0; }
#else
auto value() { return TemperatureSpan::kelvin(10) * 2.0; }
#endif
