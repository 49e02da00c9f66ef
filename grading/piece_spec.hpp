// A piece as the style file states it.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "geometry/units.hpp"
#include "geometry/vec2.hpp"
#include "grading/fraction.hpp"

namespace lastwright {

enum class Treatment { kRaw, kLasting, kLap, kFold, kClosedSeam, kOpenSeam, kBound, kBagged, kTrim };
inline constexpr Treatment kTreatments[] = {Treatment::kRaw,   Treatment::kLasting,    Treatment::kLap,
                                            Treatment::kFold,  Treatment::kClosedSeam, Treatment::kOpenSeam,
                                            Treatment::kBound, Treatment::kBagged,     Treatment::kTrim};
const char* name_of(Treatment treatment);  // as written in a style: "closed seam"

// A place on a forme: one of its named points, or coordinates in its drawing frame.
using Spot = std::variant<std::string, Vec2>;

struct CornerSpec {
  std::string name;
  Spot at;  // snapped to the nearest vertex of the outline within 1 mm
};

// What happens where two allowances meet.
enum class CornerForm { kMitre, kSquare, kStep, kRound };

struct EdgeSpec {
  std::string name;
  std::string from;  // corner names, in the counter-clockwise order of the outline
  std::string to;
  Treatment treatment = Treatment::kRaw;
  Millimetres allowance{0.0};  // does not grow
  bool straight = false;       // a fold or mirror edge: drawn as one line between its graded ends
};

enum class Hand { kHanded, kSymmetric, kReversible };
enum class Drawn { kNet, kCut };
const char* name_of(Hand hand);    // "handed", ...
const char* name_of(Drawn drawn);  // "net", "cut"

// Which contour of which drawing the piece's outline is.
struct OutlineSource {
  std::string drawing;               // key of a DrawingSpec
  std::optional<std::string> block;  // the block that holds the piece
  std::optional<std::string> layer;  // the boundary's layer, where one layer is one piece
  std::optional<Vec2> at;            // a point inside the contour, where neither tells
};

struct PieceSpec {
  std::string name;
  std::string forme;
  OutlineSource source;
  Drawn drawn = Drawn::kNet;
  std::vector<CornerSpec> corners;
  std::vector<EdgeSpec> edges;
  std::optional<std::string> fold;  // the edge on the fold: the piece is cut double, unfolded through it
  std::string material;
  Hand hand = Hand::kHanded;
  int per_pair = 2;  // pieces cut for one pair of boots
};

}  // namespace lastwright
