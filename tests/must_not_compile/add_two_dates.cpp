#include "core/base/date.hpp"
using namespace leafturn;
#ifdef MUST_FAIL
auto value() { return Date::from_serial(1) + Date::from_serial(2); }
#else
auto value() { return Date::from_serial(1) + Days{2}; }
#endif
