// A style as its file states it: names and numbers, checked for sense but not yet bound to its drawings.
//
// grading/style/style_json reads it, style.schema.json describes the file, cli/ brings the drawings.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "geometry/units.hpp"
#include "geometry/vec2.hpp"
#include "grading/measures/measure.hpp"
#include "grading/style/piece_spec.hpp"
#include "grading/style/seam_limits.hpp"

namespace lastwright {

// Other increments between two sizes, named by their labels.
struct MeasureBreakSpec {
  std::string from;
  std::string to;
  std::optional<Quantity> per_size;
  std::optional<Quantity> per_width;
};

// A measure as the style states it; grading/measures/measure_table
// binds the labels to the scale and makes a Measure of it.
struct MeasureSpec {
  std::string name;
  bool from_scale =
      false;  // base, per_size, law, breaks and source are the scale's; what stands here is not used
  Quantity base;
  Quantity per_size;
  Quantity per_width;
  Law law = Law::kArithmetic;
  std::vector<MeasureBreakSpec> breaks;
  Fraction size_steps_per_width = 0;
  Source source;
};

struct NamedPoint {
  std::string name;
  Vec2 at;  // in the drawing frame of the forme, millimetres
};

// A linear combination of measures: {{"ball girth", 1/2}, {"tread", -1/2}}.
using Carries = std::vector<std::pair<std::string, Fraction>>;

// A line between two named points whose length changes by exactly what it carries.
struct MeasureLine {
  std::string name;
  std::string from;
  std::string to;
  Carries carries;
  // In the sample the line is this much longer than what it carries: a pointed toe beyond the stick length.
  std::optional<Millimetres> extra = {};
};
// Carries a measure too, but does not drive: what came out is reported against what the table wants.
struct CheckLine {
  MeasureLine line;
};
// For people who grade by cardinal points: the point moves by this much per whole size and per width step.
struct PointRule {
  std::string point;
  Vec2 per_size;
  Vec2 per_width;
};
// The points keep their places to each other: they move as one body, which may turn with what is around it.
struct Hold {
  std::vector<std::string> points;
};
// The points stay on one straight line, the first and the last being its ends.
struct Straight {
  std::vector<std::string> points;
};
// What crosses the line from `from` to `to` square at one of the points in the drawing crosses it square in
// every size: an edge that meets a fold so runs on smoothly in the other half. The points lie on the line.
struct Square {
  std::vector<std::string> points;
  std::string from;
  std::string to;
};
using Rule = std::variant<MeasureLine, CheckLine, PointRule, Hold, Straight, Square>;

struct HeldStretch {
  std::string name;  // "outside quarter, tab"
  std::vector<Vec2> points;
};

// Which part of the last a forme is a copy of.
enum class FormeRole { kUpper, kBottom };
inline constexpr FormeRole kFormeRoles[] = {FormeRole::kUpper, FormeRole::kBottom};
const char* name_of(FormeRole role);  // "upper", "bottom"

// Points of a forme that move as a last does: rules fitted to
// it, read from the file that lastwright last formes writes.
struct RulesFromLast {
  std::string file;  // relative to the style file
  std::vector<std::string> points;
};

struct FormeSpec {
  std::string name;  // "shell" or "bottom" by custom; any name will do
  std::vector<NamedPoint> points;
  std::pair<std::string, std::string> base_line;  // points on it stay on it; its direction is the length axis
  std::string fixed_point;                        // on the base line; does not move in any size
  std::string length_line;  // name of the measure line that sets the proportional grade along the base line
  std::string girth_line;   // name of the measure line that sets it across
  std::vector<Rule> rules;
  std::optional<RulesFromLast> rules_from_last = {};  // added to the rules by who loads the style
  // Edges of pieces that keep their shape: the points of each keep their places to each other. Filled in by
  // the grade from its pieces.
  std::vector<HeldStretch> held = {};
  std::optional<FormeRole> stated_role = {};
};
// The role that is stated, or that goes with a customary name: "shell" is the upper's, "bottom" the bottom's.
std::optional<FormeRole> role_of(const FormeSpec& forme);

// Where a girth's parts lie: over all of them the shares must add up to one.
struct GirthPart {
  std::string forme;
  std::string line;
  Fraction times = 1;  // 2 for a mean forme that stands for the inside and the outside
};
struct GirthSpec {
  std::string measure;
  std::vector<GirthPart> parts;
};

// How a drawing is laid before anything is read of it: turned over in its y axis where it is mirrored, then
// turned about its origin, then shifted. So a sheet that lies otherwise than the one before it leaves every
// coordinate of the style where it was.
struct DrawingPose {
  bool mirrored = false;
  double turn = 0.0;  // degrees, counter-clockwise
  Vec2 by;            // mm
};

// Runs of short chords are taken as the curves they were drawn from.
struct FairSpec {
  Millimetres within{0.0};  // no vertex lies farther from the curve
  double corners = 20.0;    // degrees: chords that turn by more meet in a corner
  bool operator==(const FairSpec&) const = default;
};

struct DrawingSpec {
  std::string key;                            // how pieces refer to it
  std::string file;                           // relative to the style file
  std::string units;                          // "" to believe the drawing; else "mm", "cm", "in"
  std::map<std::string, std::string> layers;  // layer name -> role name; empty: the D6673 numbers
  Millimetres chain_gap{0.02};
  // What closed lines inside an outline on its own layer are,
  // a role name; "": nobody said, they are outlines too.
  std::string inside = {};
  // What short straight lines are that stand square on an outline of their layer: "nicks", "ignore"; "": they
  // are left out by name.
  std::string edge_lines = {};
  std::optional<DrawingPose> sheet = {};
  std::optional<FairSpec> fair = {};
};

// A point that the file states by what it is and not by coordinates. Where the style gives coordinates of it,
// these are what grading/jobs/load_style found in the drawings; before that they are (0, 0).
struct PointReference {
  std::string pointer;  // where it stands in the file: "/formes/shell/points/toe"
  std::string stated;   // as JSON: {"corner":"toe","of":"vamp"}
};

// Two edges that are sewn together, each from its first corner to its last as sewn.
struct SeamSide {
  std::string piece;
  std::string edge;
};
struct SeamSpec {
  std::string name;
  SeamSide one;
  SeamSide other;
  Millimetres ease{0.0};  // the other side is this much longer by design
  // The two lie on each other only in the drawing: one is cut as its mirror image and sewn to the other's
  // side (a back seam drawn on a mean forme).
  bool mirrored = false;
};

// How far what was proposed follows from the drawing.
enum class Sureness { kSure, kLikely, kGuess };
inline constexpr Sureness kSurenesses[] = {Sureness::kSure, Sureness::kLikely, Sureness::kGuess};
const char* name_of(Sureness sureness);  // "sure", "likely", "guess"

// What a draft states by its own judgement, for people to confirm.
struct Proposed {
  Sureness sure = Sureness::kGuess;
  std::string what;
  std::string at;  // JSON pointer into the style; "" for the whole
};

// Sizes that are made in widths, beside those the run begins with.
struct RunPart {
  std::string from;
  std::string to;
  Fraction by = 1;
  std::vector<std::string> widths;
};

inline constexpr Millimetres kWidestSpike{10.0};  // the largest limit of spikes that can be stated

struct StyleSpec {
  std::string name;
  std::string works;
  std::string note;
  // "left" or "right": the foot that pieces are drawn for, unless one says otherwise of itself
  // (grading/style/ drawn_feet); empty: not stated
  std::string drawn_foot = {};
  std::string scale;
  std::string ladder;
  std::vector<std::string> table_files;  // the user's own tables, relative to the style file
  std::string base_size;
  std::string base_width;
  std::string run_from;
  std::string run_to;
  Fraction run_by = 1;  // 1/2: with half sizes
  std::vector<std::string> run_widths;
  std::vector<RunPart> run_also = {};  // what else is made: the run is all of them together
  std::vector<MeasureSpec> measures;
  std::vector<DrawingSpec> drawings;
  std::vector<FormeSpec> formes;
  std::vector<GirthSpec> girths;
  std::vector<PieceSpec> pieces;
  std::vector<SeamSpec> seams;
  std::vector<PointReference> references = {};  // in the order of the file
  Millimetres seam_limit{0.1};
  SeamLimits seam_limits;
  double fold_turn_limit =
      1.0;  // degrees that an edge crossing a fold smoothly may turn there beyond the sample's own
  double seam_turn_limit =
      1.0;  // degrees that edges running on over a seam's end may turn beyond the sample's own
  // Millimetres of an allowance that may be missing, by treatment; of the others the defaults hold
  // (grading/checks/allowances/missing_allowance).
  std::map<Treatment, Millimetres> missing_limits;
  // How many times its allowance a cut line may run from its net line, by treatment; of the others the
  // default holds (grading/checks/reach_check).
  std::map<Treatment, double> reach_limits;
  Millimetres widest_allowance{60.0};  // an allowance beyond it fails; common practice
  Millimetres spike_limit{4.0};        // what of a net line runs out and back, narrower than this, fails
  // What a line is drawn as may differ from what the base says of it by this much, in percent (grading/
  // checks/base_check). Unless given, for a measure of the style's own and for one that follows the scale.
  std::optional<double> base_limit;
  double girth_base_limit = 20.0;  // percent: the lines of a girth in sum against its base
  // Where the pieces leave a girth open in the sample, what they come to may differ by this much beyond the
  // sample's own difference.
  Millimetres open_girth_limit{2.0};
  // Where they close it, what they come to may differ from what the last asks by this much.
  Millimetres piece_girth_limit{0.1};
  // What a rule may move beyond its own surroundings (grading/checks/rule_reach). Unless given, what keeps
  // its shape is judged by a default, and other rules are only told.
  std::optional<Millimetres> rule_away_limit;
  Millimetres check_line_limit{5.0};  // what a check line may come to beside what the table wants
  std::vector<MarkCode> codes;        // of size marks
  FeatureLimits feature_limits;
  std::vector<Proposed> proposed = {};
};

}  // namespace lastwright
