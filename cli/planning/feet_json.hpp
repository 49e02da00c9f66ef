// Which foot pieces are drawn for, as JSON.
#pragma once

#include <string>
#include <vector>

#include "grading/json/json_text.hpp"
#include "grading/style/drawn_feet.hpp"

namespace lastwright {

// By piece: "left", "right", "both", or "" where the style does not say it.
inline Json feet_json(const StyleSpec& style, const std::vector<std::string>& pieces) {
  Json feet = Json::object();
  for (const std::string& piece : pieces) feet[piece] = drawn_foot_of(style, piece);
  return feet;
}

}  // namespace lastwright
