#include "core/pest/known.hpp"

namespace leafturn::pest {

std::string_view word_for(Known known) {
  switch (known) {
    case Known::seen:
      return "seen";
    case Known::seen_second:
      return "seen-2nd";
    case Known::memory:
      return "memory";
    case Known::fitted:
      return "fitted";
    case Known::practice:
      return "practice";
  }
  return "";
}

}  // namespace leafturn::pest
