#include "grading/style_checks.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

#include "geometry/check/simple.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

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

std::string where(const SizeWidth& at) {
  return "size " + at.size.label + ", width " + at.width.label;
}

StyleCheckOptions style_check_options(const StyleSpec& style) {
  StyleCheckOptions options;
  options.seam_limit = style.seam_limit;
  options.seam_turn = Radians(style.seam_turn_limit * std::numbers::pi / 180.0);
  options.fold_turn = Radians(style.fold_turn_limit * std::numbers::pi / 180.0);
  return options;
}

std::vector<StyleFinding> check_outlines(const StyleGrade& grade) {
  std::vector<StyleFinding> findings;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    StyleFinding finding{"outline", grade.pieces[p].bound.spec.name,    0.0, 0.0, "faults", "",
                         true,      "closed, simple, counter-clockwise"};
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

std::vector<StyleFinding> check_cut_lines(const StyleGrade& grade) {
  std::vector<StyleFinding> findings;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    StyleFinding finding{"cut line",           grade.pieces[p].bound.spec.name, 0.0, 0.0, "faults", "", true,
                         "allowances that fit"};
    for (std::size_t k = 0; k < grade.run_cells(); ++k) {
      const Result<GradedPiece> piece = grade.outlined_piece(p, k);
      const Status sound = piece ? check_simple(piece->cut.path) : Status(piece.problem());
      if (sound) continue;
      if (finding.worst == 0.0) {
        finding.where = where(grade.cells[k]);
        finding.note = to_text(sound.problem());
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
        finding.note = readings[i].drives ? "off its table value"
                                          : "off what the table wants: reported, it does not drive";
        lines[i].take(std::abs(readings[i].reached - readings[i].wanted), grade.cells[k]);
      }
    }
    for (const Worst& line : lines) findings.push_back(judged(line.finding));
  }
  return findings;
}

std::vector<StyleFinding> check_style(const StyleSpec& style, const StyleGrade& grade,
                                      const MeasureTable& table, const StyleCheckOptions& options) {
  std::vector<StyleFinding> all;
  const auto add = [&all](std::vector<StyleFinding> more) {
    all.insert(all.end(), more.begin(), more.end());
  };
  add(check_outlines(grade));
  add(check_cut_lines(grade));
  add(check_one_to_one(grade, options));
  add(check_lines(grade));
  add(check_girths(style, grade, table));
  add(check_piece_girths(style, grade, table));
  add(check_seams(style, grade, options));
  add(check_folds(grade, options));
  add(check_features(style, grade));
  return all;
}

}  // namespace lastwright
