#include "grading/grade/girth_line.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include "geometry/curve/intersect.hpp"
#include "geometry/tolerance.hpp"
#include "grading/grade/point_moves.hpp"
#include "grading/style/forme_lookup.hpp"

namespace lastwright {

namespace {

// Whether a segment stays on one side of the straight through `from` along the unit vector: most do.
bool beside(const ArcSegment& segment, Vec2 from, Vec2 along) {
  const double a = cross(along, segment.a - from);
  const double b = cross(along, segment.b - from);
  // An arc leaves its chord by no more than its bow, and by no more than its diameter beyond the half circle.
  const double bow = 0.5 * std::abs(segment.bulge) * segment.chord() * std::max(1.0, std::abs(segment.bulge));
  return a * b > 0.0 && std::min(std::abs(a), std::abs(b)) > bow + tolerance::kSamePoint.value();
}

Vec2 point_of(const FormeSpec& forme, const std::string& name) {
  for (const NamedPoint& point : forme.points) {
    if (point.name == name) return point.at;
  }
  invariant(false, "a line's points are on its forme");
  return {};
}

// Where a drawn point lies in every cell.
std::vector<Vec2> graded_in_cells(const GradedForme& forme, Vec2 drawn) {
  std::vector<Vec2> all = moves_in_cells(forme, drawn);
  for (Vec2& p : all) p += drawn;
  return all;
}

}  // namespace

std::vector<Stretch> stretches_inside(const ArcSegment& line, const ClosedArcPath& outline) {
  const double whole = line.chord();
  if (whole == 0.0) return {};
  const Vec2 along = line.start_tangent();
  std::vector<double> cuts{0.0, whole};
  for (std::size_t i = 0; i < outline.size(); ++i) {
    if (beside(outline.segment(i), line.a, along)) continue;
    for (const Contact& contact : contacts(outline.segment(i), line, tolerance::kSamePoint.value()))
      cuts.push_back(contact.on_two * whole);
  }
  std::sort(cuts.begin(), cuts.end());
  std::vector<Stretch> stretches;
  for (std::size_t i = 1; i < cuts.size(); ++i) {
    if (cuts[i] - cuts[i - 1] <= tolerance::kSamePoint.value()) continue;
    if (!contains(outline, line.a + 0.5 * (cuts[i - 1] + cuts[i]) * along)) continue;
    stretches.push_back({cuts[i - 1], cuts[i]});
  }
  return stretches;
}

std::vector<GirthLine> girth_lines(const StyleSpec& style, const StyleGrade& grade) {
  std::vector<GirthLine> lines;
  for (std::size_t g = 0; g < style.girths.size(); ++g) {
    for (const GirthPart& part : style.girths[g].parts) {
      for (std::size_t f = 0; f < style.formes.size(); ++f) {
        const FormeSpec& forme = style.formes[f];
        if (forme.name != part.forme) continue;
        const MeasureLine* line = find_line(forme, part.line);
        invariant(line != nullptr, "a girth's line is on its forme");
        lines.push_back({g, f, part.times.value(),
                         graded_in_cells(grade.formes[f], point_of(forme, line->from)),
                         graded_in_cells(grade.formes[f], point_of(forme, line->to))});
      }
    }
  }
  return lines;
}

}  // namespace lastwright
