#include "core/base/quantity.hpp"
using namespace leafturn;
#ifdef MUST_FAIL
auto value() { return Temperature::celsius(1) < DegreeDays::celsius_days(2); }
#else
auto value() { return DegreeDays::celsius_days(1) < DegreeDays::fahrenheit_days(2); }
#endif
