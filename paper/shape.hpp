#pragma once
/// Text as lines of known height, by Pango.

#include <pango/pangocairo.h>

#include <memory>
#include <string>
#include <vector>

namespace leafturn::paper {

struct Unref {
  void operator()(gpointer object) const { g_object_unref(object); }
};
template <class T>
using Held = std::unique_ptr<T, Unref>;

struct Face {
  double size = 9.5;  ///< points
  bool strong = false;
  bool serif = false;
  bool slanted = false;
  bool centred = false;
};

/// Broken lines of one text; they live as long as this.
class Shaped {
 public:
  struct Line {
    PangoLayoutLine* line = nullptr;
    double x = 0.0;  ///< from the left of the text's own width
    double ascent = 0.0, height = 0.0;
  };
  Shaped() = default;
  Shaped(PangoContext* context, const std::string& text, double width, const Face& face);
  const std::vector<Line>& lines() const { return lines_; }
  double height() const;
  double widest() const;

 private:
  Held<PangoLayout> layout_;
  std::vector<Line> lines_;
};

}  // namespace leafturn::paper
