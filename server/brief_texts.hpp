#pragma once
/// A brief as pages ask for it: rendered once for each language and system of units, however many ask.

#include <cstddef>
#include <list>
#include <map>
#include <memory>
#include <mutex>
#include <string>

#include "app/brief.hpp"
#include "words/catalogue.hpp"

namespace leafturn::server {

/// JSON texts.
struct BriefTexts {
  std::string whole;
  std::string board;                        ///< what the shed door shows of it
  std::map<std::string, std::string> beds;  ///< each bed's part
  std::string head;                         ///< members, without braces, that every part of it repeats: at, garden, marked, upto
};

/// Safe to share between threads.
class BriefShelf {
 public:
  explicit BriefShelf(std::size_t most = 8) : most_{most} {}

  std::shared_ptr<const BriefTexts> of(const std::shared_ptr<const app::BriefAnswer>& answer, const pest::Library& library,
                                       const words::Style& style);

 private:
  struct Kept {
    std::shared_ptr<const app::BriefAnswer> answer;
    words::Style style;
    std::shared_ptr<const BriefTexts> texts;
  };
  std::size_t most_;
  std::mutex mutex_;  ///< guards what follows
  std::list<Kept> kept_;
};

}  // namespace leafturn::server
