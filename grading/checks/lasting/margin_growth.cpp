#include "grading/checks/lasting/margin_growth.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "geometry/curve/course.hpp"
#include "geometry/middle_value.hpp"

namespace lastwright {

namespace {

constexpr double kNearestMargin = 0.3;  // mm; nearer edges are meant to lie on each other
constexpr double kWidestMargin = 20.0;  // mm
constexpr double kEven = 0.1;           // mm; what is drawn to a tenth runs as evenly
constexpr double kEvenShare = 0.8;      // of the edge
constexpr double kMarginEdge = 30.0;    // mm; shorter edges run alike by chance
constexpr double kMarginBent = 1.0;     // mm off its chord; straighter ones lie parallel for other reasons
constexpr double kMarginNoise = 0.05;   // mm
constexpr std::size_t kMarginPlaces = 32;
constexpr std::size_t kMostMarginPieces = 200;  // with more nothing is looked at

std::vector<OpenArcPath> edges_at(const PreparedPiece& piece, ShapeNodes nodes) {
  std::vector<OpenArcPath> paths;
  for (const ShapePath& edge : piece.shape.edges) paths.push_back(shaped_path(edge, nodes));
  return paths;
}

// The finished edges of all pieces in one size and width.
using Edges = std::vector<std::vector<OpenArcPath>>;

double off_outline(const std::vector<OpenArcPath>& outline, Vec2 p) {
  double least = INFINITY;
  for (const OpenArcPath& edge : outline) least = std::min(least, distance_to(edge, p));
  return least;
}

// From places of the edge, the same shares of it in every size, to the other piece's outline.
std::vector<double> distances(const OpenArcPath& edge, const std::vector<OpenArcPath>& outline) {
  const Course course(edge);
  std::vector<double> all;
  for (std::size_t i = 0; i < kMarginPlaces; ++i) {
    const double share = (static_cast<double>(i) + 0.5) / static_cast<double>(kMarginPlaces);
    all.push_back(off_outline(outline, course.at(share * course.length()).at));
  }
  return all;
}

double off_chord(const Course& course) {
  const Vec2 from = course.at(0.0).at;
  const Vec2 to = course.at(course.length()).at;
  double most = 0.0;
  for (const double share : {0.25, 0.5, 0.75}) {
    const Vec2 p = course.at(share * course.length()).at;
    most = std::max(most, ArcSegment{from, to, 0.0}.distance_to(p));
  }
  return most;
}

// An edge that keeps its distance in the base, at these of its places.
struct EvenEdge {
  std::size_t piece = 0;
  std::size_t edge = 0;
  std::size_t beside = 0;  // the other piece
  double margin = 0.0;     // mm
  std::vector<std::size_t> places;
};

std::optional<EvenEdge> even_edge(const Edges& base, std::size_t p, std::size_t e, std::size_t q) {
  const OpenArcPath& edge = base[p][e];
  if (edge.size() == 0 || length(edge) < kMarginEdge) return std::nullopt;
  const Course course(edge);
  if (off_outline(base[q], course.at(0.5 * course.length()).at) > 2.0 * kWidestMargin) return std::nullopt;
  const std::vector<double> off = distances(edge, base[q]);
  EvenEdge even{p, e, q, middle_value(off), {}};
  if (even.margin < kNearestMargin || even.margin > kWidestMargin) return std::nullopt;
  for (std::size_t i = 0; i < off.size(); ++i) {
    if (std::abs(off[i] - even.margin) <= kEven) even.places.push_back(i);
  }
  if (static_cast<double>(even.places.size()) < kEvenShare * static_cast<double>(off.size()) ||
      off_chord(course) < kMarginBent)
    return std::nullopt;
  return even;
}

struct Drift {
  double most = 0.0;
  std::size_t cell = 0;
  double least = INFINITY;  // mm of distance anywhere in the run
  double widest = 0.0;
  void take(double distance, double departs, std::size_t here) {
    least = std::min(least, distance);
    widest = std::max(widest, distance);
    if (departs <= most) return;
    most = departs;
    cell = here;
  }
};

// The larger piece is told, which goes round the other: by its box, as large ones are cut in halves.
double reach_of(const std::vector<OpenArcPath>& outline) {
  Box2 box;
  for (const OpenArcPath& edge : outline) box.add(bounds(edge));
  return box.width() * box.height();
}

bool made_as_it_is(const StyleGrade& grade, std::size_t piece, std::size_t cell) {
  return grade.pieces[piece].drawn_as[cell] == cell;
}

std::vector<EvenEdge> even_edges(const StyleGrade& grade, const Edges& base) {
  std::vector<EvenEdge> all;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    for (std::size_t q = 0; q < p; ++q) {
      if (grade.pieces[p].forme != grade.pieces[q].forme) continue;
      const auto [larger, smaller] =
          reach_of(base[p]) >= reach_of(base[q]) ? std::pair{p, q} : std::pair{q, p};
      const std::size_t before = all.size();
      for (const auto& [here, there] : {std::pair{larger, smaller}, std::pair{smaller, larger}}) {
        if (all.size() > before) break;  // the larger one has such an edge
        for (std::size_t e = 0; e < base[here].size(); ++e) {
          if (grade.pieces[here].bound.spec.fold == grade.pieces[here].bound.edges[e].spec.name) continue;
          if (std::optional<EvenEdge> even = even_edge(base, here, e, there)) all.push_back(*std::move(even));
        }
      }
    }
  }
  return all;
}

std::string told(const StyleGrade& grade, const EvenEdge& even, const Drift& drift) {
  const std::string& own = grade.pieces[even.piece].bound.spec.name;
  const std::string& beside = grade.pieces[even.beside].bound.spec.name;
  const double allowance = grade.allowances(even.piece, grade.base_cell())[even.edge].value();
  std::string text = fmt::format(
      "off the {2:.2f} mm from {1} that it keeps in the base: {3:.2f} to {4:.2f} mm in the run. What is "
      "drawn "
      "grows with its forme: to keep it, give {0} the finished edge of {1} and {5:.3g} mm of allowance",
      own, beside, even.margin, drift.least, drift.widest, even.margin + allowance);
  if (allowance == 0.0) text += ", or state that allowance and \"drawn\": \"cut\"";
  return text;
}

}  // namespace

std::vector<StyleFinding> check_margin_growth(const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  if (grade.pieces.size() > kMostMarginPieces) return all;
  const auto edges_in = [&](std::size_t p, std::size_t cell) {
    return edges_at(grade.pieces[p], grade.pieces[p].nodes.column(cell));
  };
  Edges base;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) base.push_back(edges_in(p, grade.base_cell()));
  const std::vector<EvenEdge> evens = even_edges(grade, base);
  if (evens.empty()) return all;
  std::vector<Drift> drifts(evens.size());
  for (std::size_t k = 0; k < grade.run_cells(); ++k) {
    Edges here(grade.pieces.size());
    for (std::size_t i = 0; i < evens.size(); ++i) {
      const EvenEdge& even = evens[i];
      if (!made_as_it_is(grade, even.piece, k) || !made_as_it_is(grade, even.beside, k)) continue;
      for (const std::size_t p : {even.piece, even.beside}) {
        if (here[p].empty()) here[p] = edges_in(p, k);
      }
      const std::vector<double> off = distances(here[even.piece][even.edge], here[even.beside]);
      for (const std::size_t place : even.places)
        drifts[i].take(off[place], std::abs(off[place] - even.margin), k);
    }
  }
  for (std::size_t i = 0; i < evens.size(); ++i) {
    const auto same = [&](std::size_t j) {
      return evens[j].piece == evens[i].piece && evens[j].beside == evens[i].beside;
    };
    bool worst = drifts[i].most > kMarginNoise;
    for (std::size_t j = 0; j < evens.size() && worst; ++j)
      worst = !same(j) || drifts[j].most < drifts[i].most || (drifts[j].most == drifts[i].most && j >= i);
    if (!worst) continue;
    const PreparedPiece& piece = grade.pieces[evens[i].piece];
    StyleFinding finding = doubtful_finding(
        "margin growth",
        fmt::format("{}: {}, and {}", piece.bound.spec.name, piece.bound.edges[evens[i].edge].spec.name,
                    grade.pieces[evens[i].beside].bound.spec.name),
        drifts[i].most, "mm", told(grade, evens[i], drifts[i]));
    finding.where = grade.cells[drifts[i].cell];
    finding.doubtful = drifts[i].most > kMarginDrift * evens[i].margin;
    all.push_back(std::move(finding));
  }
  return all;
}

}  // namespace lastwright
