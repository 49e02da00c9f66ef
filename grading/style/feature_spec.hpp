// Features of a piece as the style file states them: what is punched, marked, stitched and nicked.
//
// A feature's place moves with the grade of its forme; its size never changes. Lengths along an edge start at
// the edge's first corner, in the counter-clockwise order of the outline.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "geometry/units.hpp"
#include "geometry/vec2.hpp"
#include "grading/sizes/fraction.hpp"

namespace lastwright {

// A place on a forme: one of its named points, or coordinates in its drawing frame.
using Spot = std::variant<std::string, Vec2>;

// How far along an edge: a share of its length, or a distance from one of its ends.
struct EdgeStation {
  std::optional<Fraction> share;  // of the length, from the first corner; where given the rest is not used
  Millimetres distance{0.0};
  bool from_end = false;  // the distance is measured back from the last corner
  // From the first corner, on an edge of this length; beyond its ends where the distance is.
  [[nodiscard]] double along(double length) const {
    if (share) return share->value() * length;
    return from_end ? length - distance.value() : distance.value();
  }
};

// A place that grades with the forme. What has the same spot moves as one.
struct FormePlace {
  Spot spot;
  Vec2 by;  // from there, the same in every size
};
// A place inside an edge, at a distance that does not grow.
struct EdgePlace {
  std::string edge;
  EdgeStation station;
  Millimetres inset{0.0};  // from the finished edge, into the piece
};
using FeaturePlace = std::variant<FormePlace, EdgePlace>;

// A line to follow: parallel to consecutive edges, or through places of the forme (two: a straight line).
// A line along edges that starts or ends at the fold of a piece that is cut double runs on through it.
struct CourseSpec {
  std::vector<std::string> edges;
  std::vector<Spot> through;  // at least two, where no edges are given
  Millimetres inset{0.0};     // from the finished edge into the piece; for `through` to the left of the line
  Millimetres start{0.0};     // margins kept free at the ends, measured along the course. On a course
  Millimetres end{0.0};       // through the fold both ends keep the margin of the free end
};

// In these sizes, both included, a row has this many.
struct CountChange {
  std::string from;
  std::string to;
  int count = 1;
};

enum class RowAnchor { kStart, kMiddle, kEnd };
const char* name_of(RowAnchor anchor);

// How a row is spread. Without a pitch: evenly between the margins. With a pitch: at exactly this distance,
// as many as asked for or as many as fit, put to one end or in the middle; `fill` changes the pitch to the
// nearest that fills the room between the margins.
struct RowSpacing {
  std::optional<int> count;
  std::vector<CountChange> counts;  // over `count`
  std::optional<Millimetres> pitch;
  RowAnchor anchor = RowAnchor::kMiddle;
  bool fill = false;
};

// One hole of the unit that a row repeats: along the course from the unit's place, and across it to its left.
struct UnitHole {
  Millimetres along{0.0};
  Millimetres across{0.0};
  Millimetres diameter{0.0};
};

struct HoleWork {
  FeaturePlace at;
  Millimetres diameter{0.0};
};
struct PrickWork {
  FeaturePlace at;
};

enum class RowKind { kEyelets, kPerforation, kPricks };
struct RowWork {
  RowKind kind = RowKind::kEyelets;
  CourseSpec along;
  RowSpacing spacing;
  std::vector<UnitHole> unit;  // eyelets: one hole; pricks: one without diameter
};

// Angles are turned from the x axis of the forme, or from the direction of the edge for an EdgePlace.
struct SlotWork {
  FeaturePlace at;  // its middle
  Millimetres length{0.0};
  Millimetres width{0.0};
  double degrees = 0.0;
};
// Where a strap folds round the bar of a buckle: the fold across the strap, and the slot for the tongue.
struct BuckleBarWork {
  FeaturePlace at;
  Millimetres bar{0.0};  // length of the fold
  Millimetres slot_length{0.0};
  Millimetres slot_width{0.0};
  double degrees = 0.0;  // direction of the strap: the slot lies along it, the bar across
};

// Stitch lines and lap guides.
enum class LineKind { kStitch, kLapGuide };
struct LineWork {
  LineKind kind = LineKind::kStitch;
  CourseSpec along;
  int rows = 1;
  Millimetres row_gap{0.0};  // each further row lies this much deeper
};

struct SkiveWork {
  std::vector<std::string> edges;
  Millimetres width{0.0};  // from the cut edge
  Millimetres depth{0.0};  // what is taken off at the edge
};

enum class NickForm { kSlit, kVee, kRound, kOutward };
const char* name_of(NickForm form);  // "slit", "vee", "round", "outward"
struct NickShape {
  NickForm form = NickForm::kSlit;
  Millimetres depth{3.0};  // from the cut line; common practice: seen at once, inside any lap or lasting edge
  Millimetres width{3.0};  // of the mouth; a slit has none
};
struct NickWork {
  std::string edge;
  EdgeStation station;
  NickShape shape;
};
// The nicks that tell a size or a width, by the code of that name.
struct SizeMarksWork {
  std::string code;
  std::string edge;
  EdgeStation first;  // where mark 1 lies; the others follow along the edge
  Millimetres pitch{0.0};
  NickShape shape;
};

struct TextWork {
  FeaturePlace at;   // left end of the base line
  std::string text;  // {style}, {piece}, {size} and {width} are filled in
  Millimetres height{4.0};
  double degrees = 0.0;
};
// The frame the pair's number is stamped into.
struct PairNumberWork {
  FeaturePlace at;  // its middle
  Millimetres width{18.0};
  Millimetres height{8.0};
  double degrees = 0.0;
};

using FeatureWork = std::variant<HoleWork, PrickWork, RowWork, SlotWork, BuckleBarWork, LineWork, SkiveWork,
                                 NickWork, SizeMarksWork, TextWork, PairNumberWork>;

struct FeatureSpec {
  std::string name;
  FeatureWork work;
  // On a piece that is cut double: on both halves. Unless said, texts, pair numbers and size marks are made
  // once, everything else twice.
  std::optional<bool> both_halves;
};

// Which marks say which size, or which width.
enum class CodeOf { kSize, kWidth };
const char* name_of(CodeOf of);  // "size", "width"
struct MarkCode {
  std::string name;
  CodeOf of = CodeOf::kSize;
  std::vector<std::pair<std::string, std::vector<int>>> marks;  // by label; counted from 1, ascending
};

// What must be left in every size and width; a finding when it is not.
struct FeatureLimits {
  // Rim of a hole to the finished edge or, for holes in the allowance, to the cut line. The least gap between
  // two rules of a steel rule die, 3/32 in; common practice.
  Millimetres hole_to_edge{2.4};
  Millimetres hole_to_hole{0.8};     // rim to rim; common practice: what a punched pattern still carries
  Millimetres cut_out_to_edge{2.4};  // of slots, cut-outs and the slots of buckle bars, as hole_to_edge
  Millimetres cut_out_gap{0.8};      // between two of these, as hole_to_hole
  Millimetres nick_to_hole{0.8};     // a nick to a hole or a cut-out; common practice, as hole_to_hole
  // A stitch line, prick, text or pair number to a hole or a cut-out: what lies over it cannot be made.
  Millimetres mark_to_hole{0.0};
  Millimetres nick_to_corner{3.0};  // along the cut line; common practice
  Millimetres nick_to_net{0.0};     // tip of an inward nick to the finished edge, where there is an allowance
  Millimetres nick_in_edge{1.5};    // depth of a nick where there is none: it shows; common practice
  // Mouth to mouth. The least gap between two rules of a steel rule die, 3/32 in; common practice.
  Millimetres nick_to_nick{2.4};
  Millimetres outside{0.05};  // a feature may stand out of the piece by this much: rounding
  bool operator==(const FeatureLimits&) const = default;
};

}  // namespace lastwright
