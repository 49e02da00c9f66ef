// What the layers of a pattern drawing hold.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "grading/style/style.hpp"

namespace lastwright {

enum class LayerRole {
  kBoundary,
  kTurnPoints,
  kCurvePoints,
  kNotches,
  kMirrorLine,
  kGrainLine,
  kInternalLines,
  kCutOuts,
  kDrillHoles,
  kSewLines,
  kText,
  kIgnore,
};
const char* name_of(LayerRole role);  // as written in a style: "drill holes"
std::optional<LayerRole> role_named(std::string_view name);

// By the style's own table first, then by the published layer numbers of D6673; empty: nobody said.
std::optional<LayerRole> role_of_layer(const DrawingSpec& drawing, const std::string& layer);

}  // namespace lastwright
