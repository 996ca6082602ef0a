#pragma once
/// Reading a TOML file strictly, field by field; for the readers of dossiers only (no other header includes this).
/// Every figure names its source and how it is known; a key that nobody asked for is refused; the first thing wrong is told with its line.

#include <toml++/toml.h>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/base/result.hpp"
#include "core/pest/dossier.hpp"

namespace leafturn::io::dossier {

struct Range {
  double low, high;
};

/// One file being read: its sources, and the first thing wrong with it. Readers go on with defaults after a failure.
class File {
 public:
  explicit File(std::string name) : name_{std::move(name)} {}
  void fail(const std::string& code, const std::string& field, const toml::node* at, std::vector<Fact> facts = {});
  bool failed() const { return error_.has_value(); }
  const Error& error() const { return *error_; }

  struct Citation {
    std::string text;
    const toml::node* node = nullptr;
    bool used = false;
  };
  std::map<std::string, Citation> sources;  ///< by key of `[sources.KEY]`
  void refuse_unused_sources();

 private:
  std::string name_;
  std::optional<Error> error_;
};

/// One table of the file. Every key read is remembered; `finish` refuses the others, so a misspelt key is never silently dropped.
class Fields {
 public:
  Fields(File& file, const toml::table& table, std::string path) : file_{&file}, table_{&table}, path_{std::move(path)} {}

  const toml::table& table() const { return *table_; }
  File& file() const { return *file_; }
  void rename(std::string path) { path_ = std::move(path); }
  void fail(const std::string& code, std::string_view key, std::vector<Fact> facts = {});

  bool has(std::string_view key);
  std::string text(std::string_view key);
  std::string text_or_empty(std::string_view key);
  std::vector<std::string> texts(std::string_view key, bool needed);
  bool flag(std::string_view key);
  double number(std::string_view key, Range range);
  int whole(std::string_view key, Range range);
  /// One of a fixed list of words; its index.
  std::size_t choice(std::string_view key, std::span<const std::string_view> words);
  /// An EPPO code.
  std::string eppo(std::string_view key);
  /// `value`, or `low` and `high`.
  Range span(Range range);
  /// Where the figure of this very table comes from: its `source`, `known` and `note`.
  pest::Source source();
  /// `key = { value = …, source = "…", known = "…" }`.
  pest::Sourced<double> figure(std::string_view key, Range range);
  std::optional<pest::Sourced<double>> figure_or_none(std::string_view key, Range range);
  /// A list of lists of numbers, each of `least` to `most` of them.
  std::vector<std::vector<double>> number_rows(std::string_view key, std::size_t least, std::size_t most);
  /// The tables of `[[key]]`.
  std::vector<Fields> list(std::string_view key, bool needed);
  /// The table `[key]`.
  std::optional<Fields> inner(std::string_view key, bool needed);
  void finish();

 private:
  const toml::node* find(std::string_view key);
  const toml::node* need(std::string_view key);
  std::string field(std::string_view key) const { return path_.empty() ? std::string(key) : path_ + "." + std::string(key); }
  void fail_at(const std::string& code, std::string_view key, const toml::node* at, std::vector<Fact> facts = {});
  void wrong_type(std::string_view key, const toml::node* node, std::string expected);
  std::string text_of(const toml::node* node, std::string_view key);
  double number_of(const toml::node* node, std::string_view key, Range range);

  File* file_;
  const toml::table* table_;
  std::string path_;
  std::set<std::string, std::less<>> seen_;
};

/// The words of a list, for an error's facts.
std::string listed(std::span<const std::string_view> words);
/// Six letters or digits for a species (five for older codes of families), capitals only.
bool good_eppo(std::string_view code);
/// `[sources.KEY]`: citation, and an address if wanted.
void read_sources(Fields& top);
/// File name without folder and ending.
std::string stem(const std::string& name);
Result<toml::table> parse(std::string_view bytes, const std::string& name);

}  // namespace leafturn::io::dossier
