#include "grading/style_checks.hpp"

#include <algorithm>
#include <cmath>
#include <functional>

#include "geometry/check/simple.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

std::string where(const SizeWidth& at) { return "size " + at.size.label + ", width " + at.width.label; }

// Keeps the worst value of a finding and where it was met.
struct Worst {
  StyleFinding finding;
  bool met = false;
  void take(double value, const SizeWidth& at, bool smaller_is_worse = false) {
    const bool worse = smaller_is_worse ? !(value >= finding.worst) : !(value <= finding.worst);
    if (met && !worse) return;
    met = true;
    finding.worst = value;
    finding.where = where(at);
  }
};

StyleFinding judged(StyleFinding finding) {
  finding.passed = !finding.limit || finding.worst <= *finding.limit;
  return finding;
}

OpenArcPath edge_path(const StyleGrade& grade, const SeamSide& side, std::size_t cell) {
  for (const PreparedPiece& piece : grade.pieces) {
    if (piece.bound.spec.name != side.piece) continue;
    for (std::size_t e = 0; e < piece.bound.edges.size(); ++e) {
      if (piece.bound.edges[e].spec.name == side.edge) {
        return shaped_path(piece.shape.edges[e], piece.nodes.col(static_cast<Eigen::Index>(cell)));
      }
    }
  }
  return {};
}

// Farthest vertex or segment middle of one path from the other.
double farthest(const OpenArcPath& one, const OpenArcPath& other) {
  double worst = 0.0;
  for (std::size_t i = 0; i < one.size(); ++i) {
    worst = std::max({worst, distance_to(other, one.segment(i).a), distance_to(other, one.segment(i).point_at(0.5))});
  }
  return std::max(worst, distance_to(other, one.vertices.back().at));
}

double apart(const OpenArcPath& one, const OpenArcPath& other) { return std::max(farthest(one, other), farthest(other, one)); }

// Points of the drawing over which the map of a piece is looked at.
std::vector<Vec2> grid_inside(const PreparedPiece& piece, double spacing) {
  std::vector<Vec2> points;
  ClosedArcPath base;
  for (std::size_t e = 0; e < piece.shape.edges.size(); ++e) {
    const OpenArcPath path = shaped_path(piece.shape.edges[e], piece.shape.base);
    base.vertices.insert(base.vertices.end(), path.vertices.begin(), path.vertices.end() - 1);
  }
  const Box2 box = bounds(base);
  for (double x = box.low.x; x <= box.high.x; x += spacing) {
    for (double y = box.low.y; y <= box.high.y; y += spacing) {
      if (contains(base, {x, y})) points.push_back({x, y});
    }
  }
  for (const ArcVertex& v : base.vertices) points.push_back(v.at);
  return points;
}

}  // namespace

std::vector<StyleFinding> check_outlines(const StyleGrade& grade) {
  std::vector<StyleFinding> findings;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    StyleFinding finding{"outline", grade.pieces[p].bound.spec.name, 0.0, 0.0, "faults", "", true, "closed, simple, counter-clockwise"};
    for (std::size_t k = 0; k < grade.cells.size(); ++k) {
      const GradedPiece piece = grade.drawn_piece(p, k);
      const Status simple = check_simple(piece.net.path);
      if (simple) continue;
      if (finding.worst == 0.0) {
        finding.where = where(grade.cells[k]);
        finding.note = simple.problem().message;
      }
      finding.worst += 1.0;
    }
    findings.push_back(judged(finding));
  }
  return findings;
}

std::vector<StyleFinding> check_one_to_one(const StyleGrade& grade, const StyleCheckOptions& options) {
  std::vector<StyleFinding> findings;
  for (const PreparedPiece& piece : grade.pieces) {
    const GradedForme& forme = grade.formes[piece.forme];
    Worst worst{{"one-to-one", piece.bound.spec.name, 1.0, options.least_determinant, "area ratio", "", true,
                 "smallest local area ratio of the map on the piece"}};
    std::vector<DriverValue> values(forme.map.field().drivers());
    for (const Vec2 point : grid_inside(piece, options.grid)) {
      forme.map.field().evaluate(point, values);
      for (std::size_t k = 0; k < grade.cells.size(); ++k) {
        Vec2 x{1.0, 0.0};
        Vec2 y{0.0, 1.0};
        for (std::size_t j = 0; j < values.size(); ++j) {
          x += forme.drivers[k][j] * values[j].ux;
          y += forme.drivers[k][j] * values[j].uy;
        }
        worst.take(cross(x, y), grade.cells[k], true);
      }
    }
    worst.finding.passed = worst.finding.worst > options.least_determinant;
    findings.push_back(worst.finding);
  }
  return findings;
}

std::vector<StyleFinding> check_lines(const StyleGrade& grade) {
  std::vector<StyleFinding> findings;
  for (const GradedForme& forme : grade.formes) {
    std::vector<Worst> lines;
    for (std::size_t k = 0; k < grade.cells.size(); ++k) {
      const std::vector<LineReading> readings = forme.map.readings(grade.steps[k], forme.drivers[k]);
      lines.resize(readings.size());
      for (std::size_t i = 0; i < readings.size(); ++i) {
        StyleFinding& finding = lines[i].finding;
        finding.check = readings[i].drives ? "measure line" : "check line";
        finding.subject = forme.map.forme().name + ": " + readings[i].line;
        if (readings[i].drives) finding.limit = tolerance::kMeasureLine.value();
        finding.note = readings[i].drives ? "off its table value" : "off what the table wants: reported, it does not drive";
        lines[i].take(std::abs(readings[i].reached - readings[i].wanted), grade.cells[k]);
      }
    }
    for (const Worst& line : lines) findings.push_back(judged(line.finding));
  }
  return findings;
}

std::vector<StyleFinding> check_seams(const StyleSpec& style, const StyleGrade& grade, const StyleCheckOptions& options) {
  std::vector<StyleFinding> findings;
  for (const SeamSpec& seam : style.seams) {
    const std::string subject = seam.name + " (" + seam.one.piece + " to " + seam.other.piece + ")";
    const auto difference = [&](std::size_t cell) {
      return length(edge_path(grade, seam.other, cell)) - length(edge_path(grade, seam.one, cell)) - seam.ease.value();
    };
    const double base = difference(grade.base_cell());
    Worst mismatch{{"seam", subject, 0.0, options.seam_limit.value(), "mm", "", true, "length difference beyond the base's own"}};
    for (std::size_t k = 0; k < grade.cells.size(); ++k) mismatch.take(std::abs(difference(k) - base), grade.cells[k]);
    findings.push_back(judged(mismatch.finding));

    const OpenArcPath one = edge_path(grade, seam.one, grade.base_cell());
    const OpenArcPath other = edge_path(grade, seam.other, grade.base_cell());
    if (!(apart(one, other) <= 2.0 * tolerance::kMapped.value())) continue;  // drawn apart: only lengths can be compared
    Worst gap{{"coinciding seam", subject, 0.0, options.seam_limit.value(), "mm", "", true, "edges drawn on each other come apart by this"}};
    for (std::size_t k = 0; k < grade.cells.size(); ++k) {
      gap.take(apart(edge_path(grade, seam.one, k), edge_path(grade, seam.other, k)), grade.cells[k]);
    }
    findings.push_back(judged(gap.finding));
  }
  return findings;
}

std::vector<StyleFinding> check_style(const StyleSpec& style, const StyleGrade& grade, const MeasureTable& table,
                                 const StyleCheckOptions& options) {
  std::vector<StyleFinding> all;
  const auto add = [&all](std::vector<StyleFinding> more) { all.insert(all.end(), more.begin(), more.end()); };
  add(check_outlines(grade));
  add(check_one_to_one(grade, options));
  add(check_lines(grade));
  add(check_girths(style, grade, table));
  add(check_seams(style, grade, options));
  return all;
}

}  // namespace lastwright
