// Ready rules for kinds of shoe: small files that name points by their role (reference-tables/kinds/).
#pragma once

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "geometry/result.hpp"
#include "grading/draft/draft_forme.hpp"
#include "grading/draft/draft_piece.hpp"
#include "grading/measures/measure.hpp"

namespace lastwright {

class JsonSchema;

enum class PointOn { kLower, kUpper, kInside, kOutside, kFront, kBack, kTopLine, kBase };
struct KindPoint {
  DraftKind forme = DraftKind::kUpper;
  PointOn on = PointOn::kLower;
  double share = 0.0;
  std::string under;  // kBase: the point that it stands under
};
struct KindLine {
  std::string name;
  DraftKind forme = DraftKind::kUpper;
  std::string from;
  std::string to;
  Carries carries;
  std::string share_of;  // it carries what it is drawn as, as a share of this measure
  bool check = false;
  bool own_length = false;  // however long it is drawn, what is more or less than it carries is its own
  std::string kind;         // of which kind the line is
};
struct KindSquare {
  std::string at;
  double below = 0.0;  // mm
};
struct KindOwn {
  std::vector<std::string> words;  // "*": any piece
  bool constant_width = false;
  bool hold_ends = false;
  std::vector<KindLine> lines;  // the first sets the length, the second the width
  std::string kind;
};
struct KindMeasure {
  Fraction per_size;  // of the length step
  Fraction per_width;
  std::string source;
};
struct KindGirthPart {
  DraftKind forme = DraftKind::kUpper;
  std::string line;
  Fraction times = 1;
};
struct UsualEdge {
  Treatment treatment = Treatment::kRaw;
  double allowance = 0.0;
};

struct ShoeKind {
  std::vector<std::string> keys;  // the kinds it is laid together from
  std::vector<std::string> sources;
  std::map<std::string, KindPoint> points;
  std::vector<KindLine> lines;
  std::vector<KindSquare> squares;
  std::vector<KindOwn> own;  // the first that fits
  std::map<std::string, KindMeasure> measures;
  std::map<std::string, std::vector<KindGirthPart>> girths;
  std::vector<std::string> over;
  std::map<std::string, std::map<std::string, UsualEdge>> edges;  // by layer and role

  [[nodiscard]] UsualEdge usual(const std::string& layer, EdgeRole role) const;
  [[nodiscard]] UsualEdge lap(const std::string& layer) const;
  // Whether the first of two pieces goes under the other where they are sewn.
  [[nodiscard]] bool under(const std::string& one, double one_area, const std::string& other,
                           double other_area) const;
  // The lines of a piece that has a forme of its own.
  [[nodiscard]] const KindOwn& own_of(const std::string& piece, bool constant_width) const;
};

// The built-in ones, "shoe" left out, which every draft starts from.
std::vector<std::string> shoe_kinds();

// "shoe" and these over it, each the key of a built-in kind. Refuses an unknown one, with those there are.
Result<ShoeKind> shoe_kind(const std::vector<std::string>& keys);
// Lays a built-in kind over another.
Status lay_known_kind_over(ShoeKind& kind, const std::string& key);
// Of a kind's file: reference-tables/kinds/schema.json.
const JsonSchema& kind_schema();
// Lays one kind, given by the text of its file, over another. Refuses what the schema does not allow.
Status lay_kind_over(ShoeKind& kind, std::string_view text, const std::string& file);

}  // namespace lastwright
