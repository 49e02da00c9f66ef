// A piece as the style file states it.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "geometry/units.hpp"
#include "geometry/vec2.hpp"
#include "grading/sizes/fraction.hpp"
#include "grading/style/feature_spec.hpp"

namespace lastwright {

enum class Treatment { kRaw, kLasting, kLap, kFold, kClosedSeam, kOpenSeam, kBound, kBagged, kTrim };
inline constexpr Treatment kTreatments[] = {Treatment::kRaw,   Treatment::kLasting,    Treatment::kLap,
                                            Treatment::kFold,  Treatment::kClosedSeam, Treatment::kOpenSeam,
                                            Treatment::kBound, Treatment::kBagged,     Treatment::kTrim};
const char* name_of(Treatment treatment);  // as written in a style: "closed seam"

// How the cut line goes round a corner where two allowances meet: the forms of OffsetCorner.
enum class CornerForm { kFull, kMitre, kSquare, kStep, kRound };
inline constexpr CornerForm kCornerForms[] = {CornerForm::kFull, CornerForm::kMitre, CornerForm::kSquare,
                                              CornerForm::kStep, CornerForm::kRound};
const char* name_of(CornerForm form);  // as written in a style: "full"

struct CornerSpec {
  std::string name;
  Spot at;  // snapped to the nearest vertex of the outline within 1 mm
  CornerForm form = CornerForm::kFull;
};

// From this size on, up to the next one named, an allowance is this wide.
struct AllowanceStep {
  std::string from;  // size label
  Millimetres allowance;
};

struct EdgeSpec {
  std::string name;
  std::string from;  // corner names, in the counter-clockwise order of the outline
  std::string to;
  Treatment treatment = Treatment::kRaw;
  Millimetres allowance{0.0};                      // does not grow with the piece
  std::vector<AllowanceStep> allowance_from = {};  // other allowances in larger sizes
  bool straight = false;  // a fold or mirror edge: drawn as one line between its graded ends
  bool held = false;      // keeps its drawn shape in every size: it moves as one
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

// Sizes from one to the other, both included, take one outline.
struct SizeTie {
  std::string from;  // size labels
  std::string to;
  std::string as;  // the size whose outline they all take; one of them
};

struct PieceCorner {
  std::string piece;
  std::string corner;
};
// A place on the outline as drawn, and where it lies on the forme.
struct PointMeeting {
  Spot
      drawn;  // a corner of the piece that is given by coordinates, or coordinates within 1 mm of its outline
  std::variant<std::string, Vec2, PieceCorner> on;  // a point of the forme, a place on it, another piece's
};
// An edge of the piece that lies on another piece's from end to end, whichever way round fits.
struct EdgeMeeting {
  std::string edge;  // its corners are given by coordinates
  std::string piece;
  std::string on;  // edge of that piece
};
using Meeting = std::variant<PointMeeting, EdgeMeeting>;

// Where a piece lies that is drawn elsewhere on its sheet: moved and turned,
// and turned over where it is drawn mirrored, so that what is drawn meets
// what is on the forme as nearly as a rigid motion can (least squares).
//
// Coordinates of such a piece (its corners, places of its features) are read where it is drawn and move with
// it; named points are on the forme already.
struct LiesSpec {
  bool as_drawn = false;  // it lies where it is drawn: nothing else is stated
  std::vector<Meeting> meets;
  bool mirrored = false;  // drawn as the other hand
  // What is drawn may miss what it meets by this much: a piece read off to a tenth of a millimetre, twice.
  Millimetres limit{0.5};
};

// How many holes, cut-outs, nicks and inner lines the drawing shows in a piece: what is stated is counted
// again, so that what somebody rubbed out by mistake is missed.
struct DrawnMarks {
  std::optional<int> holes;  // those that are only pricked among them
  std::optional<int> cut_outs;
  std::optional<int> nicks;
  std::optional<int> lines = {};  // open and closed, stitch lines and guides; neither grain nor mirror lines
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
  int per_pair = 2;                      // pieces cut for one pair of boots
  std::vector<SizeTie> sizes_tied = {};  // of stiffeners, toe puffs, shanks
  // Cut-outs drawn in the piece keep, in all widths of these sizes, the shape they have in size `as` and the
  // base width: one punch. Unless given they grow with the piece.
  std::vector<SizeTie> cut_outs_held = {};
  std::string layer =
      {};  // pieces of one layer close the girths by themselves: uppers, linings; empty: it belongs to all
  std::vector<FeatureSpec> features = {};
  std::optional<LiesSpec> lies = {};  // unless given it lies where it is drawn
  std::optional<DrawnMarks> drawn_marks = {};
  // "left", "right" or "both" (grading/style/drawn_feet); empty: as the style says of all.
  std::string drawn_foot = {};
};

// Null where the piece has no edge of this name.
const EdgeSpec* find_edge(const PieceSpec& piece, const std::string& name);

}  // namespace lastwright
