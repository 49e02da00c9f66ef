// The style file: JSON in, StyleSpec out, and back.
//
// grading/style/style.schema.json documents every key. Reading checks the text against it first, then what a
// schema cannot say: that every name that is used exists, once, and that the edges of a piece follow each
// other round its corners.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "grading/json/json_forward.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

struct StyleRead {
  std::optional<StyleSpec> style;  // there when there are no problems
  std::vector<Problem> problems;   // each with file, line and JSON pointer; at most 50
  // The text as read: gives later problems their line. None where it is no JSON.
  std::shared_ptr<const JsonDocument> document;

  [[nodiscard]] bool ok() const { return style.has_value(); }
};

// `file` is used in messages only. Points that are stated
// by what they are lie at (0, 0): the style lists them.
StyleRead read_style(std::string_view text, std::string file);

// The same style with these coordinates for its points that are stated by what they are, by JSON pointer.
// Precondition: `read` is what read_style gave, without problems.
StyleRead read_with_places(StyleRead read, const std::map<std::string, Vec2>& places);

// The file that reads back as the same style, byte for
// byte the same for the same style. Defaults are left out.
std::string write_style(const StyleSpec& style);

}  // namespace lastwright
