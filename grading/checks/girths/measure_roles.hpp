// What a measure does on the formes of a style.
#pragma once

#include <string>

namespace lastwright {

struct StyleSpec;

class MeasureRoles {
 public:
  explicit MeasureRoles(const StyleSpec& style) : style_(style) {}

  // Whether a line of a forme of the last carries it, driving or only checked.
  [[nodiscard]] bool shapes_the_last(const std::string& measure) const;
  // Whether such a line drives the forme.
  [[nodiscard]] bool drives_the_last(const std::string& measure) const;
  // Whether it carries the length line of a forme of the last, or of one beside it.
  [[nodiscard]] bool sets_length(const std::string& measure, bool of_last) const;
  // Whether a driving line of a bottom other than its length line carries it.
  [[nodiscard]] bool across_bottom(const std::string& measure) const;
  // Whether it goes round the last: it stands under "girths", is called a girth, or goes_around.
  [[nodiscard]] bool is_girth(const std::string& measure) const;

 private:
  // Whether a driving line of an upper carries half of it, as one side of the shoe does of what goes round
  // both, and none more. Heights and lengths are told by their names, and so are heel girths, which run
  // aslant and grow less by width.
  [[nodiscard]] bool goes_around(const std::string& measure) const;

  const StyleSpec& style_;
};

}  // namespace lastwright
