#include "grading/checks/work_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <string>

#include "geometry/counted.hpp"
#include "grading/checks/extent_along.hpp"
#include "grading/grade/girth_line.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

bool follows(const std::vector<std::string>& edges, const std::string& edge) {
  return std::find(edges.begin(), edges.end(), edge) != edges.end();
}

}  // namespace

bool stitched(const PieceSpec& piece, const std::string& edge) {
  return std::any_of(piece.features.begin(), piece.features.end(), [&](const FeatureSpec& feature) {
    const auto* line = std::get_if<LineWork>(&feature.work);
    return line != nullptr && line->kind == LineKind::kStitch && follows(line->along.edges, edge);
  });
}

bool has_drawn_stitches(const BoundPiece& piece) {
  const auto is = [](const auto& line) { return line.operation == Operation::kStitch; };
  return std::any_of(piece.lines.begin(), piece.lines.end(), is) ||
         std::any_of(piece.loops.begin(), piece.loops.end(), is);
}

namespace {

bool skived(const PieceSpec& piece, const std::string& edge) {
  return std::any_of(piece.features.begin(), piece.features.end(), [&](const FeatureSpec& feature) {
    const auto* skive = std::get_if<SkiveWork>(&feature.work);
    return skive != nullptr && follows(skive->edges, edge);
  });
}

const EdgeSpec& edge_of(const PreparedPiece& piece, const std::string& name) {
  return std::find_if(piece.bound.edges.begin(), piece.bound.edges.end(),
                      [&](const BoundEdge& one) { return one.spec.name == name; })
      ->spec;
}
const PreparedPiece& piece_of(const StyleGrade& grade, const std::string& name) {
  return *std::find_if(grade.pieces.begin(), grade.pieces.end(),
                       [&](const PreparedPiece& one) { return one.bound.spec.name == name; });
}

// A kind of work along edges that go with each other, by piece.
class Habit {
 public:
  void add(const std::string& piece, const std::string& edge, bool has) {
    if (has) {
      ++with_[piece];
    } else if (!follows(without_[piece], edge)) {
      without_[piece].push_back(edge);
    }
  }
  // The edges of the one piece that lacks it, where enough edges of others have it.
  [[nodiscard]] std::optional<std::pair<std::string, std::vector<std::string>>> alone() const {
    if (without_.size() != 1) return std::nullopt;
    const auto& [piece, edges] = *without_.begin();
    if (others_of(piece) < kHabit) return std::nullopt;
    return std::pair{piece, edges};
  }
  [[nodiscard]] std::size_t others_of(const std::string& piece) const {
    std::size_t sum = 0;
    for (const auto& [other, count] : with_) sum += other == piece ? 0 : count;
    return sum;
  }

 private:
  std::map<std::string, std::size_t> with_;
  std::map<std::string, std::vector<std::string>> without_;
};

std::string listed(const std::vector<std::string>& edges) {
  std::string text;
  for (const std::string& edge : edges) text += (text.empty() ? "" : ", ") + edge;
  return text;
}

// Laps within a layer: the piece on top is stitched along its edge, the one under it skived along its own.
void add_laps(const StyleSpec& style, const StyleGrade& grade, std::vector<StyleFinding>& all) {
  std::map<std::string, Habit> stitches;  // by layer
  std::map<std::string, Habit> skives;
  for (const SeamSpec& seam : style.seams) {
    if (seam.mirrored) continue;
    const PreparedPiece& one = piece_of(grade, seam.one.piece);
    const PreparedPiece& other = piece_of(grade, seam.other.piece);
    const std::string& layer = one.bound.spec.layer;
    if (layer.empty() || layer != other.bound.spec.layer) continue;
    const bool under = edge_of(one, seam.one.edge).treatment == Treatment::kLap;
    if (under == (edge_of(other, seam.other.edge).treatment == Treatment::kLap)) continue;
    const PreparedPiece& top = under ? other : one;
    const PreparedPiece& below = under ? one : other;
    const std::string& top_edge = under ? seam.other.edge : seam.one.edge;
    const std::string& edge_below = under ? seam.one.edge : seam.other.edge;
    if (!has_drawn_stitches(top.bound) && !has_drawn_stitches(below.bound))
      stitches[layer].add(top.bound.spec.name, top_edge,
                          stitched(top.bound.spec, top_edge) || stitched(below.bound.spec, edge_below));
    skives[layer].add(below.bound.spec.name, edge_below, skived(below.bound.spec, edge_below));
  }
  for (const auto& [layer, habit] : stitches) {
    if (const auto bare = habit.alone())
      all.push_back(doubtful_finding(
          "no stitches", fmt::format("{}: {}", bare->first, listed(bare->second)),
          static_cast<double>(bare->second.size()), bare->second.size() == 1 ? "edge" : "edges",
          fmt::format(
              "without a stitch line, on a lap, where {} of other pieces of the layer {} that lie on laps "
              "have one: is the row left out, or along another edge?",
              counted(habit.others_of(bare->first), "edge"), layer)));
  }
  for (const auto& [layer, habit] : skives) {
    if (const auto bare = habit.alone())
      all.push_back(doubtful_finding(
          "no skive", fmt::format("{}: {}", bare->first, listed(bare->second)),
          static_cast<double>(bare->second.size()), bare->second.size() == 1 ? "edge" : "edges",
          fmt::format(
              "lapped under another piece without a skive, where {} of other pieces of the layer {} have "
              "one there: is the skive left out, or along another edge?",
              counted(habit.others_of(bare->first), "lap"), layer)));
  }
}

// What is turned over is thinned first: a skive elsewhere alone has gone to the wrong edge.
void add_unskived_folds(const PieceSpec& piece, std::vector<StyleFinding>& all) {
  std::string folded;
  for (const EdgeSpec& edge : piece.edges) {
    if (edge.treatment != Treatment::kFold || edge.allowance.value() <= 0.0 || piece.fold == edge.name)
      continue;
    if (skived(piece, edge.name)) return;
    folded += (folded.empty() ? "" : ", ") + edge.name;
  }
  if (folded.empty()) return;
  for (const EdgeSpec& edge : piece.edges) {
    if (!skived(piece, edge.name) || edge.treatment == Treatment::kLap ||
        edge.treatment == Treatment::kLasting)
      continue;
    all.push_back(doubtful_finding(
        "no skive", piece.name + ": " + folded, 1.0, "skive",
        fmt::format("runs along {}, and none along what is folded over: is it along the wrong edge?",
                    edge.name)));
    return;
  }
}

// So is what lies under another piece: a skive along a sewn edge alone has gone to the wrong one.
void add_unskived_laps(const PieceSpec& piece, std::vector<StyleFinding>& all) {
  std::string laps;
  std::string sewn;
  for (const EdgeSpec& edge : piece.edges) {
    const bool lap = edge.treatment == Treatment::kLap && edge.allowance.value() > 0.0;
    const bool seam = edge.treatment == Treatment::kClosedSeam || edge.treatment == Treatment::kOpenSeam;
    if (skived(piece, edge.name)) {
      if (!seam) return;
      sewn += (sewn.empty() ? "" : ", ") + edge.name;
    } else if (lap) {
      laps += (laps.empty() ? "" : ", ") + edge.name;
    }
  }
  if (laps.empty() || sewn.empty()) return;
  all.push_back(doubtful_finding(
      "no skive", piece.name + ": " + laps, 1.0, "skive",
      fmt::format(
          "runs along {}, which is sewn, and none along what laps under another piece: is it along the "
          "wrong edge?",
          sewn)));
}

void add_unmarked(const StyleSpec& style, const StyleGrade& grade, std::vector<StyleFinding>& all) {
  std::map<std::string, Habit> marks;  // by layer
  for (const PreparedPiece& piece : grade.pieces) {
    const PieceSpec& spec = piece.bound.spec;
    const bool lasted = std::any_of(spec.edges.begin(), spec.edges.end(), [](const EdgeSpec& edge) {
      return edge.treatment == Treatment::kLasting;
    });
    if (!lasted || spec.layer.empty()) continue;
    const bool marked =
        std::any_of(spec.features.begin(), spec.features.end(), [&](const FeatureSpec& feature) {
          const auto* work = std::get_if<SizeMarksWork>(&feature.work);
          return work != nullptr &&
                 std::any_of(style.codes.begin(), style.codes.end(), [&](const MarkCode& code) {
                   return code.name == work->code && code.of == CodeOf::kSize;
                 });
        });
    marks[spec.layer].add(spec.name, "", marked);
  }
  for (const auto& [layer, habit] : marks) {
    if (const auto bare = habit.alone())
      all.push_back(doubtful_finding(
          "no size marks", bare->first, static_cast<double>(habit.others_of(bare->first)), "pieces",
          fmt::format(
              "that are lasted in the layer {} tell their size by nicks, and this one does not: are its "
              "size marks left out?",
              layer)));
  }
}

// The middle of a strap, across its length, where it is as wide all along; nothing of another piece.
struct StrapMiddle {
  double at = 0.0;
  double width = 0.0;
};
std::optional<StrapMiddle> middle_of_strap(const ClosedArcPath& net, Vec2 along) {
  constexpr double kLong = 3.0;      // times its width
  constexpr double kEven = 0.5;      // mm of width
  constexpr double kStraight = 0.2;  // mm of its middle
  const Vec2 across = left_of(along);
  const auto [low, high, reach] = extent_along(net, along);
  std::optional<StrapMiddle> strap;
  for (const double share : {0.2, 0.35, 0.5, 0.65, 0.8}) {
    const Vec2 on = (low + share * (high - low)) * along;
    const std::vector<Stretch> inside =
        stretches_inside({on - reach * across, on + reach * across, 0.0}, net);
    if (inside.size() != 1) return std::nullopt;
    const StrapMiddle here{0.5 * (inside[0].from + inside[0].to) - reach, inside[0].to - inside[0].from};
    if (!strap) strap = here;
    if (std::abs(here.at - strap->at) > kStraight || std::abs(here.width - strap->width) > kEven)
      return std::nullopt;
  }
  return high - low >= kLong * strap->width ? strap : std::nullopt;
}

void add_off_middle(const StyleGrade& grade, std::size_t p, std::vector<StyleFinding>& all) {
  constexpr double kInLine = 0.3;   // mm
  constexpr double kBeside = 0.25;  // of the width: farther out a row follows an edge
  const PreparedPiece& piece = grade.pieces[p];
  if (piece.bound.spec.fold) return;
  const Vec2 along = base_direction(grade.formes[piece.forme].map.forme());
  const std::optional<StrapMiddle> strap =
      middle_of_strap(grade.drawn_piece(p, grade.base_cell()).net.path, along);
  if (!strap) return;
  const MadePiece made = grade.made_piece(p, grade.base_cell());
  std::vector<Vec2> holes;
  const auto add = [&](const std::vector<GradedHole>& more) {
    for (const GradedHole& hole : more) {
      if (hole.radius > 0.0) holes.push_back(hole.centre);
    }
  };
  add(made.drawn.holes);
  if (made.features) {
    for (const PlacedFeature& feature : *made.features) add(feature.holes);
  }
  if (holes.size() < 2) return;
  double sum = 0.0;
  for (const Vec2 hole : holes) sum += dot(hole, left_of(along)) - strap->at;
  const double off = sum / static_cast<double>(holes.size());
  const bool in_line = std::all_of(holes.begin(), holes.end(), [&](Vec2 hole) {
    return std::abs(dot(hole, left_of(along)) - strap->at - off) <= kInLine;
  });
  if (!in_line || std::abs(off) <= kInLine || std::abs(off) > kBeside * strap->width) return;
  all.push_back(doubtful_finding(
      "off the middle", piece.bound.spec.name, std::abs(off), "mm",
      fmt::format(
          "is how far its {} lie beside the middle of the strap, which is {:.1f} mm wide all along: see "
          "whether they are meant there",
          counted(holes.size(), "hole"), strap->width)));
}

}  // namespace

std::vector<StyleFinding> check_work(const StyleSpec& style, const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  add_laps(style, grade, all);
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    add_unskived_folds(grade.pieces[p].bound.spec, all);
    add_unskived_laps(grade.pieces[p].bound.spec, all);
    add_off_middle(grade, p, all);
  }
  add_unmarked(style, grade, all);
  return all;
}

}  // namespace lastwright
