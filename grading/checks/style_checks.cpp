#include "grading/checks/style_checks.hpp"

#include <fmt/format.h>

#include <Eigen/QR>
#include <cmath>
#include <limits>
#include <numbers>

#include "geometry/counted.hpp"
#include "geometry/map/columns_matrix.hpp"
#include "geometry/map/field_mix.hpp"
#include "geometry/parallel.hpp"
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
    finding.where = at;
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
  const auto steps = [spacing](double length) { return static_cast<int>(length / spacing); };
  for (int i = 0; i <= steps(box.width()); ++i) {
    for (int k = 0; k <= steps(box.height()); ++k) {
      const Vec2 p = box.low + spacing * Vec2{static_cast<double>(i), static_cast<double>(k)};
      if (contains(base, p)) points.push_back(p);
    }
  }
  for (const ArcVertex& v : base.vertices) points.push_back(v.at);
  return points;
}

// The drivers of all cells as combinations of a few columns: they change almost in proportion to the steps of
// size and width.
struct SpannedCells {
  Eigen::MatrixXd columns;  // drivers x few
  Eigen::MatrixXd shares;   // few x cells
};

SpannedCells spanned(const Columns& drivers) {
  const Eigen::MatrixXd cells = as_matrix(drivers);
  constexpr double kNothing = 1e-10;  // of the largest column: far below what an area ratio is told to
  Eigen::ColPivHouseholderQR<Eigen::MatrixXd> qr(cells);
  qr.setThreshold(kNothing);
  const Eigen::Index few = qr.rank();
  SpannedCells spanned;
  spanned.columns = qr.householderQ() * Eigen::MatrixXd::Identity(cells.rows(), few);
  spanned.shares = Eigen::MatrixXd(qr.matrixR().topRows(few).template triangularView<Eigen::Upper>()) *
                   qr.colsPermutation().inverse();
  return spanned;
}

// The smallest area ratio over the points, by cell.
std::vector<double> least_ratios(const DriverField& field, const std::vector<Vec2>& points,
                                 const SpannedCells& cells) {
  const FieldMix mix(field, cells.columns);
  Eigen::MatrixXd slopes(4 * static_cast<Eigen::Index>(points.size()), mix.size());
  for (std::size_t i = 0; i < points.size(); ++i)
    slopes.middleRows<4>(4 * static_cast<Eigen::Index>(i)) = mix.slopes(points[i]);
  const Eigen::MatrixXd moved = slopes * cells.shares;
  std::vector<double> least;
  for (Eigen::Index k = 0; k < moved.cols(); ++k) {
    double smallest = std::numeric_limits<double>::infinity();
    for (Eigen::Index i = 0; i < moved.rows(); i += 4) {
      const double* const here = &moved(i, k);
      const double ratio = (1.0 + here[0]) * (1.0 + here[3]) - here[1] * here[2];
      if (!(ratio >= smallest)) smallest = ratio;
    }
    least.push_back(smallest);
  }
  return least;
}

// Counts the cells with a fault of one kind; the first one is told.
StyleFinding faults_finding(StyleFinding finding, const StyleGrade& grade,
                            const std::vector<PieceLook>& looks, std::size_t cells,
                            std::optional<Problem> PieceLook::*fault) {
  // Of those that name a limit the one that leaves least: what fits there may fit everywhere.
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t k = 0; k < cells; ++k) {
    const std::optional<Problem>& here = looks[k].*fault;
    if (!here) continue;
    const double share = here->value && here->limit && *here->value > 0.0 ? *here->limit / *here->value : 1.0;
    if (finding.worst == 0.0 || share < least) {
      least = share;
      finding.where = grade.cells[k];
      finding.note = to_text(*here);
    }
    finding.worst += 1.0;
  }
  return judged(finding);
}

}  // namespace

StyleCheckOptions style_check_options(const StyleSpec& style) {
  StyleCheckOptions options;
  options.seam_limit = style.seam_limit;
  options.seams = style.seam_limits;
  options.open_girth = style.open_girth_limit;
  options.piece_girth = style.piece_girth_limit;
  options.seam_turn = Radians(style.seam_turn_limit * std::numbers::pi / 180.0);
  options.fold_turn = Radians(style.fold_turn_limit * std::numbers::pi / 180.0);
  return options;
}

std::vector<StyleFinding> check_lies(const StyleGrade& grade) {
  std::vector<StyleFinding> findings;
  for (const PreparedPiece& piece : grade.pieces) {
    if (!piece.bound.lie) continue;
    const PieceLie& lie = *piece.bound.lie;
    StyleFinding finding{
        "lies", piece.bound.spec.name, lie.worst, piece.bound.spec.lies->limit.value(), "mm", {}, true, ""};
    finding.note = fmt::format("{}turned by {:.3f} degrees, moved by ({:.3f}, {:.3f}) mm; {}",
                               lie.mirrored ? "turned over, " : "", lie.turn, lie.shift.x, lie.shift.y,
                               counted(lie.places, "place meets", "places meet"));
    findings.push_back(judged(finding));
  }
  return findings;
}

std::vector<StyleFinding> check_outlines(const StyleGrade& grade, const StyleLooks& looks) {
  std::vector<StyleFinding> findings;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    findings.push_back(faults_finding({"outline",
                                       grade.pieces[p].bound.spec.name,
                                       0.0,
                                       0.0,
                                       "faults",
                                       {},
                                       true,
                                       "closed, simple, counter-clockwise"},
                                      grade, looks[p], grade.cells.size(), &PieceLook::drawn_fault));
  }
  return findings;
}

std::vector<StyleFinding> check_cut_lines(const StyleGrade& grade, const StyleLooks& looks) {
  std::vector<StyleFinding> findings;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    findings.push_back(faults_finding(
        {"cut line", grade.pieces[p].bound.spec.name, 0.0, 0.0, "faults", {}, true, "allowances that fit"},
        grade, looks[p], grade.run_cells(), &PieceLook::cut_fault));
  }
  return findings;
}

std::vector<StyleFinding> check_one_to_one(const StyleGrade& grade, const StyleCheckOptions& options,
                                           unsigned threads) {
  std::vector<SpannedCells> cells;  // by forme
  for (const GradedForme& forme : grade.formes) cells.push_back(spanned(driver_columns(forme.drivers)));
  std::vector<StyleFinding> findings(grade.pieces.size());
  const Status done = run_jobs(findings.size(), threads, [&](std::size_t p) -> Status {
    const PreparedPiece& piece = grade.pieces[p];
    Worst worst{{"fold-over",
                 piece.bound.spec.name,
                 1.0,
                 options.least_determinant,
                 "area ratio",
                 {},
                 true,
                 "smallest local area ratio of the map on the piece"}};
    const std::vector<double> ratios = least_ratios(grade.formes[piece.forme].map.field(),
                                                    grid_inside(piece, options.grid), cells[piece.forme]);
    for (std::size_t k = 0; k < ratios.size(); ++k) worst.take(ratios[k], grade.cells[k], true);
    worst.finding.passed = worst.finding.worst > options.least_determinant;
    findings[p] = std::move(worst.finding);
    return Done{};
  });
  invariant(done.ok(), "looking cannot fail");
  return findings;
}

std::vector<StyleFinding> check_lines(const StyleGrade& grade, Millimetres check_line_limit) {
  constexpr double kTold = 2.0;  // mm; what a check line is off by without a word
  std::vector<StyleFinding> findings;
  for (const GradedForme& forme : grade.formes) {
    std::vector<Worst> lines;
    for (std::size_t k = 0; k < grade.cells.size(); ++k) {
      const std::vector<LineReading> readings = forme.map.readings(grade.steps[k], forme.drivers[k]);
      lines.resize(readings.size());
      for (std::size_t i = 0; i < readings.size(); ++i) {
        StyleFinding& finding = lines[i].finding;
        const bool drives = readings[i].drives;
        finding.check = drives ? "measure line" : "check line";
        finding.subject = forme.map.forme().name + ": " + readings[i].line;
        finding.limit = drives ? tolerance::kMeasureLine.value() : check_line_limit.value();
        const double off = std::abs(readings[i].reached - readings[i].wanted);
        if (drives) {
          finding.note = "differs from its table value";
        } else if (k == 0 || off > finding.worst) {
          finding.note = fmt::format(
              "comes to {:.2f} mm where the table asks for {:.2f}; the line is only checked and moves "
              "nothing: check what it carries, and the rules beside it",
              readings[i].reached, readings[i].wanted);
        }
        lines[i].take(off, grade.cells[k]);
      }
    }
    for (const Worst& line : lines) {
      findings.push_back(judged(line.finding));
      StyleFinding& one = findings.back();
      one.doubtful = one.passed && one.check == "check line" && one.worst > kTold;
    }
  }
  return findings;
}

}  // namespace lastwright
