// Single figures that no shoe has, by common practice: numbers of pieces, how near and how far stitches run
// from the edge they follow, nicks as large as a seam, skives that thin what stays in sight or take all there
// is, texts too small to read, allowances that step within an edge, what is made on one half of two, folds
// unlike their like, a bottom that is lasted, and how large the drawing is beside the size it is said to be
// of. Allowances are judged in grading/checks/allowances/allowance_check, holes in grading/checks/features/hole_check.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "grading/grade/finding.hpp"
#include "grading/grade/grade.hpp"

namespace lastwright {

struct StyleSpec;

inline constexpr int kMostPieces = 12;        // of a kind for a pair; heel lifts come to eight
inline constexpr double kSmallestText = 1.5;  // mm high
inline constexpr double kPastLap = 2.0;  // mm that a skive may reach beyond its lap, or beyond twice its fold
inline constexpr double kLeastSkived = 0.1;     // mm deep; common practice: 0.3 and more
inline constexpr double kNarrowestSkive = 2.0;  // mm; common practice: 4 to 15
inline constexpr double kWidestPitch = 20.0;    // mm from mark to mark of a size; common practice: 3 to 6
inline constexpr double kNearestRow = 0.8;      // mm from the edge, and from row to row
inline constexpr double kLargestNick = 8.0;     // mm deep, or wide; common practice: 2 to 5
inline constexpr double kFarthestRow = 12.0;    // mm from the edge, where nothing is punched in between

// How long the largest piece may be, in lengths of the base size. Beyond the outer two the drawing is of
// another unit (an inch is 25 mm, a centimetre 10), and fails; beyond the inner two it is told: a style may
// be of straps alone, or of a boot up to the thigh.
inline constexpr double kSmallestDrawn = 0.05;  // fails
inline constexpr double kSmallDrawn = 0.1;      // is told
inline constexpr double kLargeDrawn = 3.0;      // is told
inline constexpr double kLargestDrawn = 5.0;    // fails

// The 1.8 of a material "box calf 1.8 mm"; nothing where it says none.
std::optional<double> thickness_in(const std::string& material);

// Failed and doubtful ones alone.
std::vector<StyleFinding> check_figures(const StyleSpec& style, const StyleGrade& grade,
                                        const MeasureTable& table);

}  // namespace lastwright
