#pragma once
/// People's names for what events say in `by`.

#include <map>
#include <string>

#include "app/access.hpp"
#include "words/catalogue.hpp"

namespace leafturn::server {

class Names {
 public:
  /// Of everybody the garden knows; who was erased is 'someone no longer here'. Empty when they can't be read: references show then.
  Names(app::Access& access, const words::Style& style);
  /// A name written into an event before there were people, or by another garden, is shown as it is.
  std::string shown(const std::string& by) const;

 private:
  std::map<std::string, std::string> by_reference_;
};

}  // namespace leafturn::server
