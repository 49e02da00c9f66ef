#include "grading/style/layer_role.hpp"

#include <utility>

namespace lastwright {

namespace {

constexpr std::pair<LayerRole, const char*> kNames[] = {{LayerRole::kBoundary, "boundary"},
                                                        {LayerRole::kTurnPoints, "turn points"},
                                                        {LayerRole::kCurvePoints, "curve points"},
                                                        {LayerRole::kNotches, "notches"},
                                                        {LayerRole::kMirrorLine, "mirror line"},
                                                        {LayerRole::kGrainLine, "grain line"},
                                                        {LayerRole::kInternalLines, "internal lines"},
                                                        {LayerRole::kCutOuts, "cut-outs"},
                                                        {LayerRole::kDrillHoles, "drill holes"},
                                                        {LayerRole::kSewLines, "sew lines"},
                                                        {LayerRole::kText, "text"},
                                                        {LayerRole::kIgnore, "ignore"}};

// ASTM D6673, as quoted by general CAD documentation; the standard's own text was not available.
constexpr std::pair<const char*, LayerRole> kNumbers[] = {
    {"1", LayerRole::kBoundary},      {"2", LayerRole::kTurnPoints}, {"3", LayerRole::kCurvePoints},
    {"4", LayerRole::kNotches},       {"6", LayerRole::kMirrorLine}, {"7", LayerRole::kGrainLine},
    {"8", LayerRole::kInternalLines}, {"11", LayerRole::kCutOuts},   {"13", LayerRole::kDrillHoles},
    {"14", LayerRole::kSewLines},     {"15", LayerRole::kText}};

}  // namespace

const char* name_of(LayerRole role) {
  for (const auto& [known, name] : kNames) {
    if (known == role) return name;
  }
  return "ignore";
}

std::optional<LayerRole> role_named(std::string_view name) {
  for (const auto& [role, known] : kNames) {
    if (name == known) return role;
  }
  return std::nullopt;
}

std::optional<LayerRole> role_of_layer(const DrawingSpec& drawing, const std::string& layer) {
  if (const auto found = drawing.layers.find(layer); found != drawing.layers.end())
    return role_named(found->second);
  for (const auto& [number, role] : kNumbers) {
    if (layer == number) return role;
  }
  return std::nullopt;
}

}  // namespace lastwright
