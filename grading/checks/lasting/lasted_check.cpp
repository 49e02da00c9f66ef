#include "grading/checks/lasting/lasted_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "geometry/curve/course.hpp"
#include "grading/checks/girths/base_edges.hpp"
#include "grading/checks/seams/edges_together.hpp"
#include "grading/sizes/small_letters.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kOver = 0.15;              // of the shorter of the two: less is an end in common
constexpr double kShortestLasted = 20.0;    // mm
constexpr std::size_t kMostLasted = 1'000;  // edges of a style; with more nothing is looked at

std::vector<BaseEdge> lasted_edges(const StyleGrade& grade) {
  return base_edges(grade, kShortestLasted, [](const PieceSpec&, const EdgeSpec& edge) {
    return edge.treatment == Treatment::kLasting;
  });
}

// By what its layer or its name says.
bool is_inner(const PieceSpec& piece) {
  const auto says = [](const std::string& text, const char* word) {
    return small_letters(text).find(word) != std::string::npos;
  };
  return says(piece.layer, "lining") || says(piece.layer, "inner") || says(piece.name, "lining") ||
         says(piece.name, "stiffener") || says(piece.name, "toe puff");
}

// The stretch of `one` where it has left `other` and comes back.
struct Parting {
  double most = 0.0;  // mm
  double over = 0.0;  // mm of its length
  Vec2 at;
};
std::optional<Parting> parting(const BaseEdge& one, const BaseEdge& other) {
  constexpr int kPlaces = 200;
  constexpr double kTold = 0.5;  // mm
  constexpr double kFar = 10.0;  // mm: farther apart they are two edges
  const Course course(one.path);
  std::vector<double> off;
  std::vector<Vec2> at;
  for (int i = 0; i <= kPlaces; ++i) {
    at.push_back(course.at(course.length() * i / kPlaces).at);
    off.push_back(distance_to(other.path, at.back()));
  }
  const auto on = [&](double mm) { return mm <= kOnFeather; };
  const auto first = std::find_if(off.begin(), off.end(), on);
  const auto last = std::find_if(off.rbegin(), off.rend(), on).base();
  if (first == off.end() || last - first < 2) return std::nullopt;
  const auto together = std::count_if(first, last, on);
  const auto worst = std::max_element(first, last);
  if (*worst <= kTold || *worst > kFar || together < static_cast<std::ptrdiff_t>(kOver * kPlaces))
    return std::nullopt;
  const double step = course.length() / kPlaces;
  return Parting{*worst, step * static_cast<double>(last - first - together),
                 at[static_cast<std::size_t>(worst - off.begin())]};
}

// The pieces that may cover an inner one, as they are drawn.
struct OuterCover {
  std::size_t piece = 0;
  ClosedArcPath path;
  Box2 box;
};
std::vector<OuterCover> covers(const StyleGrade& grade) {
  std::vector<OuterCover> all;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    if (is_inner(grade.pieces[p].bound.spec)) continue;
    OuterCover cover{p, grade.drawn_piece(p, grade.base_cell()).net.path, {}};
    cover.box = bounds(cover.path);
    all.push_back(std::move(cover));
  }
  return all;
}

// Where an edge beside a lasted one stands out beyond all that may cover it, at the heel: in the fifth of the
// base line from its end by the fixed point.
struct Beyond {
  double most = 0.0;  // mm
  double over = 0.0;  // mm of its length
  Vec2 at;
  std::size_t cover = 0;  // the piece beyond whose edge it stands out
};
Beyond beyond_back(const StyleGrade& grade, std::size_t piece, std::size_t edge,
                   const std::vector<OuterCover>& covers) {
  constexpr int kPlaces = 200;  // along the edge: at most a few millimetres apart
  constexpr double kAtHeel = 0.2;
  constexpr double kOut = 1.0;   // mm
  constexpr double kFar = 10.0;  // mm: farther out it is another part of the shoe
  const PreparedPiece& of = grade.pieces[piece];
  const FormeSpec& forme = grade.formes[of.forme].map.forme();
  Vec2 heel = drawn_place(forme, forme.base_line.first);
  Vec2 toe = drawn_place(forme, forme.base_line.second);
  const Vec2 fixed = drawn_place(forme, forme.fixed_point);
  if (distance(fixed, toe) < distance(fixed, heel)) std::swap(heel, toe);
  const Vec2 along = unit(toe - heel);
  Beyond beyond;
  const OpenArcPath path = shaped_path(of.shape.edges[edge], of.shape.base);
  if (path.size() == 0) return beyond;
  const Course course(path);
  for (int i = 0; i < kPlaces; ++i) {
    const Vec2 p = course.at(course.length() * (i + 0.5) / kPlaces).at;
    if (dot(p - heel, along) > kAtHeel * distance(heel, toe)) continue;
    double off = kFar;
    std::size_t by = grade.pieces.size();
    for (const OuterCover& cover : covers) {
      if (grade.pieces[cover.piece].forme != of.forme || !cover.box.grown(kFar).overlaps(Box2{p, p}))
        continue;
      const double here = contains(cover.path, p) ? 0.0 : distance_to(cover.path, p);
      if (here >= off) continue;
      off = here;
      by = cover.piece;
    }
    if (by == grade.pieces.size() || off <= kOut) continue;
    beyond.over += course.length() / kPlaces;
    if (off <= beyond.most) continue;
    beyond.most = off;
    beyond.at = p;
    beyond.cover = by;
  }
  return beyond;
}

// Of the edges next to a lasted edge of an inner piece.
void add_beyond_back(const StyleGrade& grade, const BaseEdge& lasted, const std::vector<OuterCover>& covers,
                     std::vector<StyleFinding>& all) {
  constexpr double kStretch = 10.0;  // mm
  const BoundPiece& piece = grade.pieces[lasted.piece].bound;
  if (piece.spec.drawn == Drawn::kCut) return;
  const std::size_t n = piece.edges.size();
  const std::size_t before = (lasted.edge + n - 1) % n;
  const std::size_t after = (lasted.edge + 1) % n;
  for (const std::size_t e : {before, after}) {
    const EdgeSpec& edge = piece.edges[e].spec;
    if (edge.treatment == Treatment::kLasting || (e == after && after == before)) continue;
    const Beyond beyond = beyond_back(grade, lasted.piece, e, covers);
    if (beyond.over <= kStretch) continue;
    all.push_back(doubtful_finding(
        "back apart", piece.spec.name + ": " + edge.name, beyond.most, "mm",
        fmt::format("is how far it stands out beyond {} at ({:.1f}, {:.1f}), over {:.0f} mm in all, and "
                    "nothing covers it there: is one of them drawn otherwise by mistake?",
                    grade.pieces[beyond.cover].bound.spec.name, beyond.at.x, beyond.at.y, beyond.over)));
  }
}

}  // namespace

std::vector<StyleFinding> check_lasted(const StyleGrade& grade) {
  constexpr double kWider = 0.5;  // mm
  std::vector<StyleFinding> all;
  const std::vector<BaseEdge> edges = lasted_edges(grade);
  if (edges.size() > kMostLasted) return all;
  const auto spec = [&](const BaseEdge& edge) -> const PieceSpec& { return spec_of(grade, edge); };
  const auto name = [&](const BaseEdge& edge) { return edge.spec->name; };
  const auto width = [&](const BaseEdge& edge) {
    return grade.allowances(edge.piece, grade.base_cell())[edge.edge].value();
  };
  const std::vector<OuterCover> cover = covers(grade);
  for (const BaseEdge& inner : edges) {
    if (!is_inner(spec(inner))) continue;
    const BaseEdge* under = nullptr;
    for (const BaseEdge& outer : edges) {
      if (is_inner(spec(outer)) || spec(outer).layer == spec(inner).layer ||
          grade.pieces[outer.piece].forme != grade.pieces[inner.piece].forme ||
          !inner.box.overlaps(outer.box))
        continue;
      const BaseEdge& shorter = outer.length < inner.length ? outer : inner;
      const BaseEdge& longer = outer.length < inner.length ? inner : outer;
      if (length_on(shorter.path, longer.path, kOnFeather) < kOver * shorter.length) continue;
      if (under == nullptr || width(outer) > width(*under)) under = &outer;
      // Which of the two is longer does not matter: one that runs off and comes back is seen from itself.
      std::optional<Parting> apart = parting(shorter, longer);
      if (!apart) apart = parting(longer, shorter);
      if (apart)
        all.push_back(doubtful_finding(
            "feather apart",
            fmt::format("{} of {} and {} of {}", name(outer), spec(outer).name, name(inner),
                        spec(inner).name),
            apart->most, "mm",
            fmt::format(
                "is how far the two lie apart at ({:.1f}, {:.1f}), over {:.0f} mm in all, between places "
                "where they lie on each other: is one of them drawn otherwise by mistake?",
                apart->at.x, apart->at.y, apart->over)));
    }
    if (under != nullptr) add_beyond_back(grade, inner, cover, all);
    if (under == nullptr || width(inner) <= width(*under) + kWider) continue;
    all.push_back(doubtful_finding(
        "lasting margin", spec(inner).name + ": " + name(inner), width(inner), "mm",
        fmt::format(
            "is its allowance, and it lies under {} of {}, which is lasted with {:g} mm: it would show "
            "beyond it; check the figures",
            name(*under), spec(*under).name, width(*under))));
  }
  return all;
}

}  // namespace lastwright
