#include "core/base/date.hpp"
using namespace leafturn;
#ifdef MUST_FAIL
auto value() { return Instant{} - Date{}; }
#else
auto value() { return Instant{} - Instant{}; }
#endif
