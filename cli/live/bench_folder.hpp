// The files beside a style that its page may name: plain ones of the style's own folder, looked at anew each
// time. A name from the page is never put together to a path: it is looked for among these.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace lastwright {

// Names of plain files that end so (".dxf", whatever their case), in their order; no links, no hidden ones.
std::vector<std::string> names_beside(const std::string& style, std::string_view ending);

// Of the JSON files beside it those that say they are styles ("lastwright_style"), but the style itself.
std::vector<std::string> styles_beside(const std::string& style);
// The drawings beside it, but those of hides: a line lies on the layer "hide"
// (grading/planning/hide_drawing).
std::vector<std::string> drawings_beside(const std::string& style);

// The path of one of them, or nothing.
std::optional<std::string> beside(const std::string& style, std::string_view ending, std::string_view name);

}  // namespace lastwright
