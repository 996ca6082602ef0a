#pragma once
/// Strict reading and writing of one JSON object's fields; only io/*_json.cpp include this.

#include <nlohmann/json.hpp>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "core/base/date.hpp"
#include "core/base/ids.hpp"
#include "core/base/result.hpp"

namespace leafturn::io {

/// Reads the fields of one object. The first thing wrong is kept; `finish` reports it, or the first field nobody asked for.
class Fields {
 public:
  Fields(const nlohmann::json& object, std::string prefix);

  std::string text(const char* name);  ///< required
  std::optional<std::string> maybe_text(const char* name);
  std::string text_or_empty(const char* name);                            ///< absent = empty
  std::optional<std::vector<std::string>> maybe_texts(const char* name);  ///< a list
  std::optional<bool> maybe_flag(const char* name);
  double number(const char* name, double low, double high);
  std::optional<double> maybe_number(const char* name, double low, double high);
  std::int64_t whole(const char* name, std::int64_t low, std::int64_t high);
  std::optional<std::int64_t> maybe_whole(const char* name, std::int64_t low, std::int64_t high);
  bool flag_or_false(const char* name);
  std::optional<Date> maybe_date(const char* name);
  Date date(const char* name);
  Instant instant(const char* name);
  std::optional<Instant> maybe_instant(const char* name);
  std::optional<CivilTime> maybe_civil(const char* name);
  Id id(const char* name);
  std::optional<Id> maybe_id(const char* name);
  Digest digest(const char* name);
  std::optional<Digest> maybe_digest(const char* name);
  /// The object under `name`, or nothing when absent.
  const nlohmann::json* maybe_object(const char* name);
  /// Reads the object under `name`, when there is one; what is wrong in it is kept under its whole name.
  template <class Read>
  void within(const char* name, const Read& read) {
    const nlohmann::json* object = maybe_object(name);
    if (object == nullptr) return;
    Fields inner(*object, prefix_ + name + ".");
    read(inner);
    const Status good = inner.finish();
    if (!good && !error_) error_ = good.error();
  }
  /// One of `words`, as its index.
  std::size_t word(const char* name, const std::vector<std::string>& words);
  std::optional<std::size_t> maybe_word(const char* name, const std::vector<std::string>& words);

  bool good() const { return !error_; }
  void refuse(const char* code, const std::string& name, std::vector<Fact> facts = {});
  Status finish();

 private:
  const nlohmann::json* find(const char* name);
  const nlohmann::json* need(const char* name);
  template <class T, class Parse>
  std::optional<T> parsed(const nlohmann::json* value, const char* name, const char* expected, const Parse& parse);

  const nlohmann::json& object_;
  std::string prefix_;
  std::set<std::string, std::less<>> asked_;
  std::optional<Error> error_;
};

/// Text to a JSON value: UTF-8, no field twice in one object, at most `depth` objects inside one another, at most `most` bytes.
/// Codes: `event.too_large`, `event.not_text`, `event.not_json`, `event.duplicate_field`, `event.too_deep`, `event.not_an_object`.
Result<nlohmann::json> parse_strict(std::string_view bytes, std::size_t most, int depth);

}  // namespace leafturn::io
