// Layer numbers of the sewn-products convention, as published.
#pragma once

#include <array>
#include <string>

namespace lastwright::sewn {

inline constexpr int kBoundary = 1;
inline constexpr int kTurn = 2;
inline constexpr int kCurve = 3;
inline constexpr int kNotch = 4;
inline constexpr int kMirror = 6;
inline constexpr int kGrain = 7;
inline constexpr int kInternal = 8;
inline constexpr int kCutOut = 11;
inline constexpr int kDrill = 13;
inline constexpr int kSew = 14;
inline constexpr int kText = 15;
inline constexpr std::array kLayers{1, 2, 3, 4, 6, 7, 8, 11, 13, 14, 15, 84, 85, 86, 87};

// The layer of the dense curve of boundary, internal lines, cut-outs and sew lines.
constexpr int dense_of(int layer) {
  return layer == kBoundary ? 84 : layer == kInternal ? 85 : layer == kCutOut ? 86 : 87;
}

// Names of texts, as the convention has them; from memory, for its full text was not at hand. Those of the
// style stand outside the blocks, those of a piece in its block.
inline const std::string kStyleName = "STYLE NAME: ";
inline const std::string kProduct = "PRODUCT: ";
inline const std::string kAuthor = "AUTHOR: ";
inline const std::string kCreationDate = "CREATION DATE: ";
inline const std::string kUnits = "UNITS: ";
inline const std::string kMetric = "METRIC";  // millimetres
inline const std::string kSampleSize = "SAMPLE SIZE: ";
inline const std::string kRuleTable = "GRADE RULE TABLE: ";
inline const std::string kPieceName = "PIECE NAME: ";
inline const std::string kSize =
    "SIZE: ";  // with the width, as in the rule table: the convention has no widths
inline const std::string kQuantity = "QUANTITY: ";
inline const std::string kMaterial = "MATERIAL: ";
inline const std::string kAnnotation = "ANNOTATION: ";
inline const std::string kWidth = kAnnotation + "WIDTH ";

}  // namespace lastwright::sewn
