// Layer numbers of the sewn-products convention, as published, and the labels this program writes on
// layer 15.
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

inline const std::string kPieceLabel = "Piece: ";
inline const std::string kSizeLabel = "Size: ";
inline const std::string kWidthLabel = "Width: ";

}  // namespace lastwright::sewn
