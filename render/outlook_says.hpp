#pragma once
/// One pest of one bed in one sentence, and its counts in words: the same for the list of the page and for who reads the JSON.

#include "app/outlook.hpp"
#include "core/base/fact.hpp"
#include "words/catalogue.hpp"

namespace leafturn::render {

/// Two digits of what is many: nobody knows more.
Number about(double density);

struct Line {
  std::string code;  ///< what it says of the threshold: `outlook.line.past`, `.likely`, `.perhaps`, `.unlikely`, …, or `.gone`
  std::string text;
};
Line outlook_line(const app::OutlookAnswer& answer, const app::OutlookBed& bed, const app::PestInBed& pest, const words::Style& style);
std::string taken_text(const app::Taken& taken, const words::Style& style);

}  // namespace leafturn::render
