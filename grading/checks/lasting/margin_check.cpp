#include "grading/checks/lasting/margin_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <utility>

#include "grading/checks/girths/base_edges.hpp"
#include "grading/checks/lasting/feather_ends.hpp"
#include "grading/checks/seams/edges_together.hpp"
#include "grading/pieces/piece_words.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kMostOfIt = 0.8;          // of the shorter of the two
constexpr double kShortestBeside = 10;     // mm; shorter ones lie there by chance
constexpr std::size_t kMostAsked = 4'000;  // edges of a style; with more nothing is looked at

// Whether edges of two pieces of one forme lie on each other over most of the shorter one, with the material
// on one side of them, as the layers of a shoe have.
bool lie_together(const StyleGrade& grade, const BaseEdge& one, const BaseEdge& other) {
  if (one.piece == other.piece || grade.pieces[one.piece].forme != grade.pieces[other.piece].forme ||
      !one.box.overlaps(other.box))
    return false;
  const Vec2 a = one.path.vertices.back().at - one.path.vertices.front().at;
  const Vec2 b = other.path.vertices.back().at - other.path.vertices.front().at;
  if (dot(a, b) <= 0.0) return false;
  const BaseEdge& shorter = one.length < other.length ? one : other;
  const BaseEdge& longer = one.length < other.length ? other : one;
  return length_on(shorter.path, longer.path, kOnFeather) >= kMostOfIt * shorter.length;
}

// Whether the piece has a lasted edge that does not touch this one: the fold of a piece cut double is no gap.
bool lasted_apart(const BoundPiece& piece, std::size_t edge) {
  const std::size_t n = piece.edges.size();
  const auto lasted = [&](std::size_t e) { return piece.edges[e].spec.treatment == Treatment::kLasting; };
  const auto fold = [&](std::size_t e) { return piece.spec.fold == piece.edges[e].spec.name; };
  std::vector<bool> reached(n, false);
  for (std::size_t e = edge, k = 0; k < n && (lasted(e) || fold(e)); ++k, e = (e + 1) % n) reached[e] = true;
  for (std::size_t e = edge, k = 0; k < n && (lasted(e) || fold(e)); ++k, e = (e + n - 1) % n)
    reached[e] = true;
  for (std::size_t e = 0; e < n; ++e) {
    if (lasted(e) && !reached[e]) return true;
  }
  return false;
}

// What ends at a lasted edge is lasted with it, or ends there as it is cut: what is folded, bound or sewn
// there is another edge of the shoe.
void add_lasted_edges(const StyleGrade& grade, const std::vector<BaseEdge>& edges,
                      std::vector<StyleFinding>& all) {
  if (edges.size() > kMostAsked) return;
  for (const BaseEdge& lasted : edges) {
    if (lasted.spec->treatment != Treatment::kLasting || lasted.allowance <= 0.0) continue;
    const BoundPiece& piece = grade.pieces[lasted.piece].bound;
    const bool apart = lasted_apart(piece, lasted.edge);
    for (const BaseEdge& other : edges) {
      const Treatment how = other.spec->treatment;
      const bool ends = how == Treatment::kTrim && other.allowance > 0.0 && apart;
      const bool elsewhere = how == Treatment::kFold || how == Treatment::kBound || how == Treatment::kBagged;
      if ((!ends && !elsewhere) || !lie_together(grade, lasted, other)) continue;
      all.push_back(doubtful_finding(
          "lasted edge", piece.spec.name + ": " + lasted.spec->name, lasted.allowance, "mm",
          fmt::format("is its allowance as a lasted edge, and {} of {}, which lies on it, is {}: check its "
                      "treatment",
                      other.spec->name, grade.pieces[other.piece].bound.spec.name, name_of(how))));
      break;
    }
  }
}

// Edges that end at the feather where another is lasted, of pieces that are sewn to others.
void add_ends_beside_lasted(const StyleSpec& style, const StyleGrade& grade, std::vector<BaseEdge> edges,
                            std::vector<StyleFinding>& all) {
  std::set<std::string> sewn;
  for (const SeamSpec& seam : style.seams) {
    sewn.insert(seam.one.piece);
    sewn.insert(seam.other.piece);
  }
  std::erase_if(edges, [](const BaseEdge& edge) {
    const bool lasted = edge.spec->treatment == Treatment::kLasting;
    return !lasted && (edge.allowance != 0.0 || edge.spec->treatment != Treatment::kRaw);
  });
  if (edges.size() > kMostAsked) return;
  const auto name = [&](const BaseEdge& edge) -> const std::string& { return spec_of(grade, edge).name; };
  for (const BaseEdge& ends : edges) {
    if (ends.allowance > 0.0 || sewn.count(name(ends)) == 0) continue;
    const BaseEdge* beside = nullptr;
    for (const BaseEdge& lasted : edges) {
      if (lasted.spec->treatment != Treatment::kLasting || lasted.allowance <= 0.0) continue;
      if (!lie_together(grade, lasted, ends)) continue;
      if (beside == nullptr || lasted.allowance > beside->allowance) beside = &lasted;
    }
    if (beside == nullptr) continue;
    all.push_back(doubtful_finding(
        "lasting margin", name(ends) + ": " + ends.spec->name, beside->allowance, "mm",
        fmt::format("is the allowance of {} of {}, which is lasted and on which this edge lies; this one is "
                    "{} and has none: is it to be lasted as well? If the piece ends at the feather, state "
                    "the edge as \"trim\"",
                    beside->spec->name, name(*beside), name_of(ends.spec->treatment))));
  }
}

double area_of(const PreparedPiece& piece) {
  double twice = 0.0;
  for (std::size_t e = 0; e < piece.bound.edges.size(); ++e) {
    const OpenArcPath path = shaped_path(piece.shape.edges[e], piece.shape.base);
    for (std::size_t i = 1; i < path.vertices.size(); ++i)
      twice += cross(path.vertices[i - 1].at, path.vertices[i].at);
  }
  return std::abs(twice) / 2.0;
}

// A large piece on no forme of the last that has nothing to last or to sew it by, or where nothing of the
// whole shoe is lasted: an upper that was not laid.
void add_never_lasted(const StyleSpec& style, const StyleGrade& grade, std::vector<StyleFinding>& all) {
  constexpr double kLarge = 0.4;  // of the largest bottom: straps and tabs are cut as they are finished
  const auto role = [&](const PreparedPiece& piece) {
    return role_of(grade.formes[piece.forme].map.forme());
  };
  double bottom = 0.0;
  for (const PreparedPiece& piece : grade.pieces) {
    if (role(piece) == FormeRole::kBottom) bottom = std::max(bottom, area_of(piece));
  }
  if (!(bottom > 0.0)) return;
  const bool some = std::any_of(grade.pieces.begin(), grade.pieces.end(), [](const PreparedPiece& piece) {
    return std::any_of(piece.bound.edges.begin(), piece.bound.edges.end(),
                       [](const BoundEdge& edge) { return edge.spec.treatment == Treatment::kLasting; });
  });
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const PreparedPiece& piece = grade.pieces[p];
    const std::string& name = piece.bound.spec.name;
    const bool sewn = std::any_of(style.seams.begin(), style.seams.end(), [&](const SeamSpec& seam) {
      return seam.one.piece == name || seam.other.piece == name;
    });
    const std::vector<Millimetres> allowances = grade.allowances(p, grade.base_cell());
    const bool any =
        std::any_of(allowances.begin(), allowances.end(), [](Millimetres one) { return one.value() > 0.0; });
    const double area = area_of(piece);
    if (role(piece) || piece.bound.spec.drawn == Drawn::kCut || area < kLarge * bottom || heel_cover(name))
      continue;
    if (some && (sewn || any)) continue;
    all.push_back(doubtful_finding(
        "nothing lasted", name, static_cast<double>(allowances.size()), "edges",
        fmt::format("are all it has, and {}; its forme {} is neither upper nor bottom of the last. If it is "
                    "part of the upper, let it lie on the upper's forme (\"forme\", \"lies\"), drawn as its "
                    "half where it is cut double, and state what is lasted",
                    some ? "none has an allowance or a seam" : "no edge of any piece is lasted",
                    grade.formes[piece.forme].map.forme().name)));
  }
}

}  // namespace

std::vector<StyleFinding> check_margins(const StyleSpec& style, const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  add_never_lasted(style, grade, all);
  // All but the folds of pieces cut double.
  std::vector<BaseEdge> edges =
      base_edges(grade, kShortestBeside,
                 [](const PieceSpec& piece, const EdgeSpec& edge) { return piece.fold != edge.name; });
  add_lasted_edges(grade, edges, all);
  add_feather_ends(style, grade, all);
  add_ends_beside_lasted(style, grade, std::move(edges), all);
  return all;
}

namespace {

// The stretches of the cut line that these edges have together; several where others lie between them.
std::vector<OpenArcPath> cut_stretches(const EdgedOutline& line, const std::vector<bool>& of) {
  const std::size_t n = line.edge.size();
  std::size_t start = 0;  // after something that is not of these edges
  while (start < n && of[line.edge[start]]) ++start;
  std::vector<OpenArcPath> stretches;
  bool open = false;
  for (std::size_t i = start; i < start + n; ++i) {
    const bool here = of[line.edge[i % n]];
    if (here && !open) stretches.push_back({{line.path.vertices[i % n]}});
    if (here) {
      stretches.back().vertices.back().bulge = line.path.vertices[i % n].bulge;
      stretches.back().vertices.push_back({line.path.vertices[(i + 1) % n].at, 0.0});
    }
    open = here;
  }
  return stretches;
}

// Where a stretch lies on a finished edge of another piece.
struct SharedEdge {
  double length = 0.0;
  std::string name;
};
// `once`: its length, of a stretch that is there on both halves half of it.
SharedEdge shared_with(const OpenArcPath& drawn, double once, const PreparedPiece& other) {
  constexpr double kShortestShared = 20.0;  // mm
  constexpr double kOnIt = 0.9;             // of the shorter
  SharedEdge most;
  for (std::size_t f = 0; f < other.bound.edges.size(); ++f) {
    const OpenArcPath path = shaped_path(other.shape.edges[f], other.shape.base);
    if (path.size() == 0) continue;
    const OpenArcPath& shorter = length(path) < length(drawn) ? path : drawn;
    const OpenArcPath& longer = length(path) < length(drawn) ? drawn : path;
    if (length(shorter) < kShortestShared) continue;
    const double on = length_on(shorter, longer, kOnFeather);
    if (on < kOnIt * std::min(length(shorter), once) || on <= most.length) continue;
    most = {on, fmt::format("{} of {}", other.bound.edges[f].spec.name, other.bound.spec.name)};
  }
  return most;
}

}  // namespace

std::vector<StyleFinding> check_drawn_cut(const StyleGrade& grade) {
  constexpr double kAllowed = 1.0;  // mm: with less the net line is hardly elsewhere
  std::vector<StyleFinding> all;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const PreparedPiece& piece = grade.pieces[p];
    if (piece.bound.spec.drawn != Drawn::kCut) continue;
    const Result<GradedPiece> cut = grade.outlined_piece(p, grade.base_cell());
    if (!cut) continue;  // told as the cut line's fault
    const std::vector<Millimetres> allowances = grade.allowances(p, grade.base_cell());
    SharedEdge most;
    // Edge by edge, and all that have an allowance together: an edge of another piece may lie on two.
    std::vector<std::vector<bool>> of(1);
    for (std::size_t e = 0; e < allowances.size(); ++e) {
      of[0].push_back(allowances[e].value() > kAllowed);
      if (!of[0].back()) continue;
      of.emplace_back(allowances.size(), false);
      of.back()[e] = true;
    }
    for (const std::vector<bool>& edges : of) {
      for (const OpenArcPath& stretch : cut_stretches(cut->cut, edges)) {
        for (const PreparedPiece& other : grade.pieces) {
          if (&other == &piece || other.forme != piece.forme) continue;
          const double once = length(stretch) * (piece.bound.spec.fold ? 0.5 : 1.0);
          const SharedEdge here = shared_with(stretch, once, other);
          if (here.length > most.length) most = here;
        }
      }
    }
    if (most.length == 0.0) continue;
    StyleFinding finding{"drawn cut", piece.bound.spec.name, most.length, {}, "mm", {}, true, ""};
    finding.doubtful = true;
    finding.note = fmt::format(
        "of its outline, drawn as the cut line with up to {:g} mm of allowance, lie on the finished edge {}: "
        "is "
        "the piece drawn net?",
        std::max_element(allowances.begin(), allowances.end())->value(), most.name);
    all.push_back(std::move(finding));
  }
  return all;
}

}  // namespace lastwright
