#include "grading/checks/features/strap_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <utility>

#include "geometry/counted.hpp"
#include "grading/checks/girths/extent_along.hpp"
#include "grading/grade/girth_line.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kInLine = 0.3;  // mm

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

void add_off_middle(const StyleGrade& grade, std::size_t p, const StrapMiddle& strap, Vec2 along,
                    std::vector<StyleFinding>& all) {
  constexpr double kBeside = 0.25;  // of the width: farther out a row follows an edge
  const PreparedPiece& piece = grade.pieces[p];
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
  for (const Vec2 hole : holes) sum += dot(hole, left_of(along)) - strap.at;
  const double off = sum / static_cast<double>(holes.size());
  const bool in_line = std::all_of(holes.begin(), holes.end(), [&](Vec2 hole) {
    return std::abs(dot(hole, left_of(along)) - strap.at - off) <= kInLine;
  });
  if (!in_line || std::abs(off) <= kInLine || std::abs(off) > kBeside * strap.width) return;
  all.push_back(doubtful_finding(
      "off the middle", piece.bound.spec.name, std::abs(off), "mm",
      fmt::format(
          "is how far its {} lie beside the middle of the strap, which is {:.1f} mm wide all along: see "
          "whether they are meant there",
          counted(holes.size(), "hole"), strap.width)));
}

// Drawn holes of one row, by their index in the piece, in their order along it.
std::vector<std::size_t> row_of(const std::vector<BoundHole>& holes, Vec2 along) {
  constexpr double kOnePitch = 0.3;  // mm: what is drawn to a tenth, by eye
  constexpr std::size_t kLeast = 3;
  std::vector<std::size_t> order;
  for (std::size_t i = 0; i < holes.size(); ++i) {
    if (holes[i].radius > 0.0) order.push_back(i);
  }
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return std::pair(dot(holes[a].centre, along), a) < std::pair(dot(holes[b].centre, along), b);
  });
  std::vector<std::size_t> longest;
  for (std::size_t first = 0; first + kLeast <= order.size(); ++first) {
    std::vector<std::size_t> row{order[first], order[first + 1]};
    const Vec2 step = holes[row[1]].centre - holes[row[0]].centre;
    if (std::abs(cross(along, step)) > kInLine || dot(along, step) <= kOnePitch) continue;
    for (std::size_t i = first + 2; i < order.size(); ++i) {
      const Vec2 next = holes[order[i]].centre - holes[row.back()].centre;
      if (std::abs(dot(along, next - step)) > kOnePitch || std::abs(cross(along, next)) > kInLine) break;
      row.push_back(order[i]);
    }
    if (row.size() >= kLeast && row.size() > longest.size()) longest = std::move(row);
  }
  return longest;
}

// The least and the greatest distance from hole to hole in a size and width.
struct Pitch {
  double least = INFINITY;
  double most = 0.0;
  [[nodiscard]] std::string told() const {
    constexpr double kShown = 0.005;  // mm
    return most - least < 2.0 * kShown ? fmt::format("{:.2f}", 0.5 * (least + most))
                                       : fmt::format("{:.2f} to {:.2f}", least, most);
  }
  [[nodiscard]] double off(const Pitch& other) const {
    return std::max(std::abs(most - other.most), std::abs(least - other.least));
  }
};
Pitch pitch_in(const StyleGrade& grade, std::size_t p, const std::vector<std::size_t>& row,
               std::size_t cell) {
  const std::vector<GradedHole> holes = grade.drawn_piece(p, cell).holes;
  Pitch pitch;
  for (std::size_t i = 1; i < row.size(); ++i) {
    const double here = distance(holes[row[i - 1]].centre, holes[row[i]].centre);
    pitch.least = std::min(pitch.least, here);
    pitch.most = std::max(pitch.most, here);
  }
  return pitch;
}

// The smallest and the largest size of the run, in the base's width where it has that.
std::optional<std::pair<std::size_t, std::size_t>> end_cells(const StyleGrade& grade) {
  const std::string& base = grade.cells[grade.base_cell()].width.label;
  std::optional<std::pair<std::size_t, std::size_t>> ends;
  bool in_base = false;
  for (std::size_t k = 0; k < grade.run_cells(); ++k) {
    const bool here = grade.cells[k].width.label == base;
    if (!ends || (here && !in_base)) {
      ends.emplace(k, k);
      in_base = here;
      continue;
    }
    if (in_base && !here) continue;
    const auto position = [&](std::size_t cell) { return grade.cells[cell].size.position; };
    if (position(k) < position(ends->first)) ends->first = k;
    if (position(ends->second) < position(k)) ends->second = k;
  }
  return ends;
}

// As a style states it, beside the length line of the forme; "" where the holes do not run along that.
std::string row_that_holds(const FormeSpec& forme, const std::vector<BoundHole>& holes,
                           const std::vector<std::size_t>& row) {
  const MeasureLine* length = find_line(forme, forme.length_line);
  if (length == nullptr || drawn_length(forme, *length) <= kInLine) return {};
  const Vec2 from = drawn_place(forme, length->from);
  const Vec2 to = drawn_place(forme, length->to);
  const Vec2 way = unit(to - from);
  double inset = 0.0;
  double widest = 0.0;
  for (const std::size_t i : row) {
    inset += cross(way, holes[i].centre - from) / static_cast<double>(row.size());
    widest = std::max(widest, 2.0 * holes[i].radius);
  }
  for (const std::size_t i : row) {
    if (std::abs(cross(way, holes[i].centre - from) - inset) > kInLine) return {};
  }
  double first = dot(holes[row.front()].centre - from, way);
  double last = dot(holes[row.back()].centre - from, way);
  if (last < first) std::swap(first, last);
  const double left = distance(from, to) - last;
  if (first < 0.0 || left < 0.0) return {};
  const auto figure = [](double value) { return fmt::format("{:g}", std::round(100.0 * value) / 100.0); };
  const bool at_end = left <= first;
  return fmt::format(
      "{{\"eyelets\": \"buckle holes\", \"through\": [\"{}\", \"{}\"], {}\"count\": {}, \"pitch\": {}, "
      "\"anchor\": \"{}\", \"margin\": [{}, {}], \"diameter\": {}}}",
      length->from, length->to,
      std::abs(inset) < kInLine ? "" : fmt::format("\"inset\": {}, ", figure(inset)), row.size(),
      figure((last - first) / static_cast<double>(row.size() - 1)), at_end ? "end" : "start",
      at_end ? "0" : figure(first), at_end ? figure(left) : "0", figure(widest));
}

void add_hole_pitch(const StyleGrade& grade, std::size_t p, Vec2 along, std::vector<StyleFinding>& all) {
  constexpr double kTold = 0.1;  // mm: what a buckle's pin does not feel
  const PreparedPiece& piece = grade.pieces[p];
  const std::vector<std::size_t> row = row_of(piece.bound.holes, along);
  const auto ends = end_cells(grade);
  if (row.empty() || !ends) return;
  const std::size_t base = grade.base_cell();
  const Pitch drawn = pitch_in(grade, p, row, base);
  const Pitch small = pitch_in(grade, p, row, ends->first);
  const Pitch large = pitch_in(grade, p, row, ends->second);
  const double off = std::max(small.off(drawn), large.off(drawn));
  if (off < kTold) return;
  const std::string held = row_that_holds(grade.formes[piece.forme].map.forme(), piece.bound.holes, row);
  all.push_back(doubtful_finding(
      "hole pitch", piece.bound.spec.name, off, "mm",
      fmt::format(
          "is how far the pitch of its {} drawn holes departs from that of the base: {} mm in size "
          "{}, {} mm in the base size {}, {} mm in size {}. Drawn holes move as the strap grows; "
          "where a buckle wants one pitch, leave them out of the drawing (\"ignore\" for their layer, "
          "or as \"inside\") and state a row with a pitch, which every size keeps{}{}",
          row.size(), small.told(), grade.cells[ends->first].size.label, drawn.told(),
          grade.cells[base].size.label, large.told(), grade.cells[ends->second].size.label,
          held.empty() ? "" : ": ", held)));
}

}  // namespace

void check_strap(const StyleGrade& grade, std::size_t p, std::vector<StyleFinding>& all) {
  const PreparedPiece& piece = grade.pieces[p];
  if (piece.bound.spec.fold) return;
  const Vec2 along = base_direction(grade.formes[piece.forme].map.forme());
  const std::optional<StrapMiddle> strap =
      middle_of_strap(grade.drawn_piece(p, grade.base_cell()).net.path, along);
  if (!strap) return;
  add_off_middle(grade, p, *strap, along, all);
  add_hole_pitch(grade, p, along, all);
}

}  // namespace lastwright
