#include "grading/checks/work_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <string>

#include "geometry/counted.hpp"
#include "grading/checks/features/strap_check.hpp"
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

bool folded_over(const PieceSpec& piece, const EdgeSpec& edge) {
  return edge.treatment == Treatment::kFold && edge.allowance.value() > 0.0 && piece.fold != edge.name;
}

// Whether another piece of its layer has this work along what is folded over.
template <class Has>
bool like_has_on_fold(const StyleGrade& grade, const PieceSpec& piece, const Has& has) {
  return std::any_of(grade.pieces.begin(), grade.pieces.end(), [&](const PreparedPiece& one) {
    const PieceSpec& other = one.bound.spec;
    return other.name != piece.name && other.layer == piece.layer &&
           std::any_of(other.edges.begin(), other.edges.end(), [&](const EdgeSpec& edge) {
             return folded_over(other, edge) && has(other, edge.name);
           });
  });
}

// What is turned over is thinned first: a skive elsewhere alone has gone to the wrong edge. Laps and lasted
// edges are skived for themselves; of a lasted one it is told where another piece has it along its fold.
void add_unskived_folds(const StyleGrade& grade, const PieceSpec& piece, std::vector<StyleFinding>& all) {
  std::string folded;
  for (const EdgeSpec& edge : piece.edges) {
    if (!folded_over(piece, edge)) continue;
    if (skived(piece, edge.name)) return;
    folded += (folded.empty() ? "" : ", ") + edge.name;
  }
  if (folded.empty()) return;
  for (const EdgeSpec& edge : piece.edges) {
    if (!skived(piece, edge.name) || edge.treatment == Treatment::kLap ||
        (edge.treatment == Treatment::kLasting && !like_has_on_fold(grade, piece, skived)))
      continue;
    all.push_back(doubtful_finding(
        "no skive", piece.name + ": " + folded, 1.0, "skive",
        fmt::format("runs along {}, and none along what is folded over: is it along the wrong edge?",
                    edge.name)));
    return;
  }
}

// A row that holds the turned edge runs along it; along a lasted edge it is under the sole.
void add_lasted_rows(const StyleGrade& grade, const PreparedPiece& prepared, std::vector<StyleFinding>& all) {
  const PieceSpec& piece = prepared.bound.spec;
  if (has_drawn_stitches(prepared.bound)) return;
  std::string folded;
  for (const EdgeSpec& edge : piece.edges) {
    if (!folded_over(piece, edge)) continue;
    if (stitched(piece, edge.name)) return;
    folded += (folded.empty() ? "" : ", ") + edge.name;
  }
  if (folded.empty() || !like_has_on_fold(grade, piece, stitched)) return;
  for (const EdgeSpec& edge : piece.edges) {
    if (edge.treatment != Treatment::kLasting || !stitched(piece, edge.name)) continue;
    all.push_back(doubtful_finding(
        "no stitches", piece.name + ": " + folded, 1.0, "row",
        fmt::format("runs along {}, which is lasted, and none along what is folded over, where another piece "
                    "of its layer has one: is it along the wrong edge?",
                    edge.name)));
    return;
  }
}

// A row along a lap, in from the edge of the piece on it, holds that piece to nothing.
void add_rows_beside_laps(const StyleSpec& style, const StyleGrade& grade, std::vector<StyleFinding>& all) {
  for (const SeamSpec& seam : style.seams) {
    const PreparedPiece& one = piece_of(grade, seam.one.piece);
    const PreparedPiece& other = piece_of(grade, seam.other.piece);
    if (seam.mirrored || one.bound.spec.layer != other.bound.spec.layer) continue;
    const bool under = edge_of(one, seam.one.edge).treatment == Treatment::kLap;
    if (under == (edge_of(other, seam.other.edge).treatment == Treatment::kLap)) continue;
    const PreparedPiece& below = under ? one : other;
    const PreparedPiece& top = under ? other : one;
    const std::string& lap = under ? seam.one.edge : seam.other.edge;
    const std::string& on_it = under ? seam.other.edge : seam.one.edge;
    if (has_drawn_stitches(below.bound) || has_drawn_stitches(top.bound) || stitched(top.bound.spec, on_it))
      continue;
    for (const FeatureSpec& feature : below.bound.spec.features) {
      const auto* row = std::get_if<LineWork>(&feature.work);
      if (row == nullptr || row->kind != LineKind::kStitch || !follows(row->along.edges, lap)) continue;
      all.push_back(doubtful_finding(
          "no stitches", below.bound.spec.name + ": " + feature.name, row->along.inset.value(), "mm",
          fmt::format(
              "is how far it runs in from {}, which lies under {}, and so beside the edge of that, {}, "
              "which has no row: is it stated on the wrong piece?",
              lap, top.bound.spec.name, on_it)));
    }
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

}  // namespace

std::vector<StyleFinding> check_work(const StyleSpec& style, const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  add_laps(style, grade, all);
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    add_unskived_folds(grade, grade.pieces[p].bound.spec, all);
    add_lasted_rows(grade, grade.pieces[p], all);
    add_unskived_laps(grade.pieces[p].bound.spec, all);
    check_strap(grade, p, all);
  }
  add_rows_beside_laps(style, grade, all);
  add_unmarked(style, grade, all);
  return all;
}

}  // namespace lastwright
