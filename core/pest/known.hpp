#pragma once
/// Every published figure carries where it was found and how it is known.

#include <string>
#include <string_view>

namespace leafturn::pest {

/// How a figure is known. The words are those of docs/glossary.md and of the dossier files.
enum class Known {
  seen,         ///< `seen`: read at the source named
  seen_second,  ///< `seen-2nd`: read in a copy or a page that repeats an older source
  memory,       ///< `memory`: from memory, not verified
  fitted,       ///< `fitted`: computed here from figures named in the note
  practice,     ///< `practice`: common practice, no source
};

/// The word a dossier file uses.
std::string_view word_for(Known known);

/// Where a figure comes from.
struct Source {
  std::string citation;  ///< author, year, journal; or 'common practice, no source'
  Known known = Known::memory;
  std::string note;  ///< conditions, contradictions, how it was fitted; may be empty
};

template <class T>
struct Sourced {
  T value{};
  Source source;
};

/// A published figure kept beside the one in use because sources disagree, or because it has no field of its own.
struct Figure {
  std::string what;  ///< `egg_to_adult_days`, `generations`, `t0_c` …
  double low = 0.0, high = 0.0;
  std::string unit;
  Source source;
};

}  // namespace leafturn::pest
