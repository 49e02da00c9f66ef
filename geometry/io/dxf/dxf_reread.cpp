#include "geometry/io/dxf/dxf_reread.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/io/dxf/dxf_read.hpp"
#include "geometry/io/dxf/dxf_write.hpp"

namespace lastwright {
namespace {

struct Measured {
  double length = 0.0;
  double area = 0.0;  // about the path's first point
  Box2 box;
};

void add_segment(Measured& m, const ArcSegment& segment, Vec2 origin) {
  m.length += segment.length();
  m.area += 0.5 * cross(segment.a - origin, segment.b - origin) + segment.bow_area();
  m.box.add(segment.bounds());
}

template <class Path>
Measured measure_path(const Path& path) {
  Measured m;
  for (std::size_t i = 0; i < path.size(); ++i) add_segment(m, path.segment(i), path.vertices[0].at);
  return m;
}

// Empty when a curve is neither a line nor an arc.
std::optional<Measured> measure_drawn(const DrawnPath& path) {
  Measured m;
  const Vec2 origin = start_of(path.curves.front());
  for (const Curve& curve : path.curves) {
    const std::optional<ArcSegment> segment = segment_of(curve);
    if (!segment) return std::nullopt;
    add_segment(m, *segment, origin);
  }
  return m;
}

// Whether the curves are the segments of the path, one by one. Where they are not, segments of no length or
// of more than half a turn may have been read otherwise: then the whole is measured.
template <class Path>
bool same_segments(const DrawnPath& drawn, const Path& wanted) {
  constexpr double kGrid = tolerance::kDrawingGrid.value();
  constexpr double kBulge = 1e-12;  // the last digit that is written
  const auto same = [](Vec2 a, Vec2 b) { return std::abs(a.x - b.x) < kGrid && std::abs(a.y - b.y) < kGrid; };
  if (drawn.curves.size() != wanted.size()) return false;
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    const ArcSegment s = wanted.segment(i);
    const std::optional<ArcSegment> found = segment_of(drawn.curves[i]);
    if (!found || !same(found->a, s.a) || !same(found->b, s.b) || std::abs(found->bulge - s.bulge) > kBulge)
      return false;
  }
  return true;
}

class Comparer {
 public:
  explicit Comparer(const Drawing& drawing) : drawing_(drawing) {}

  Status run(const Sheet& sheet) {
    count("paths", sheet.outlines.size() + sheet.lines.size(), drawing_.paths.size());
    count("holes", sheet.holes.size(), drawing_.circles.size());
    count("texts", sheet.texts.size(), drawing_.texts.size());
    count("points", 0, drawing_.points.size());
    count("entities that are not read", 0, drawing_.left_out.size());
    if (problem_) return *problem_;
    for (std::size_t i = 0; i < sheet.outlines.size(); ++i) {
      path(drawing_.paths[i], sheet.outlines[i].path, true, sheet.outlines[i].operation);
    }
    for (std::size_t i = 0; i < sheet.lines.size(); ++i) {
      path(drawing_.paths[sheet.outlines.size() + i], sheet.lines[i].path, false, sheet.lines[i].operation);
    }
    for (std::size_t i = 0; i < sheet.holes.size(); ++i) {
      const DrawnCircle& drawn = drawing_.circles[i];
      layer(drawn.from, sheet.holes[i].operation);
      same(drawn.from, "radius", sheet.holes[i].radius, drawn.radius, sheet.holes[i].radius);
      same(drawn.from, "distance of the centre", 0.0, distance(drawn.centre, sheet.holes[i].centre), 0.0);
    }
    for (std::size_t i = 0; i < sheet.texts.size(); ++i) {
      const DrawnText& drawn = drawing_.texts[i];
      layer(drawn.from, sheet.texts[i].operation);
      same(drawn.from, "height", sheet.texts[i].height, drawn.height, sheet.texts[i].height);
      same(drawn.from, "distance of the place", 0.0, distance(drawn.at, sheet.texts[i].at), 0.0);
    }
    if (problem_) return *problem_;
    return Done{};
  }

 private:
  void fail(std::string message) {
    if (!problem_)
      problem_ = Problem{
          Trouble::kCheck, "the DXF that was written does not read back: " + std::move(message), {}, {}, {}};
  }

  void count(const char* what, std::size_t wanted, std::size_t found) {
    if (wanted != found) fail(fmt::format("{} {} instead of {}", found, what, wanted));
  }

  void layer(const DrawnFrom& from, Operation operation) {
    if (from.layer != layer_name(operation))
      fail(fmt::format("{} on layer {}, not {}", from.entity, from.layer, layer_name(operation)));
  }

  void same(const DrawnFrom& from, const char* what, double wanted, double found, double size) {
    constexpr double kAbsolute = tolerance::kDrawingGrid.value();
    constexpr double kRelative = 1e-9;  // rounding of sums over the segments
    if (std::abs(found - wanted) <= kAbsolute + kRelative * std::abs(size)) return;
    fail(fmt::format("the {} of {} at line {} is {:.9g} instead of {:.9g}", what, from.entity, from.line,
                     found, wanted));
  }

  template <class Path>
  void path(const DrawnPath& drawn, const Path& wanted, bool closed, Operation operation) {
    layer(drawn.from, operation);
    if (drawn.closed != closed)
      fail(fmt::format("the path at line {} is {}", drawn.from.line, drawn.closed ? "closed" : "open"));
    if (drawn.vertices != wanted.vertices.size()) {
      fail(fmt::format("the path at line {} has {} vertices instead of {}", drawn.from.line, drawn.vertices,
                       wanted.vertices.size()));
    }
    if (problem_ || same_segments(drawn, wanted)) return;
    const std::optional<Measured> found = measure_drawn(drawn);
    if (!found) return fail(fmt::format("the path at line {} holds a spline", drawn.from.line));
    const Measured measured = measure_path(wanted);
    same(drawn.from, "length", measured.length, found->length, measured.length);
    const double extent = std::max(measured.box.width(), measured.box.height());
    same(drawn.from, "area", measured.area, found->area, measured.length * extent);
    const double moved =
        std::max(norm(found->box.low - measured.box.low), norm(found->box.high - measured.box.high));
    same(drawn.from, "shift of the box", 0.0, moved, extent);
  }

  const Drawing& drawing_;
  std::optional<Problem> problem_;
};

}  // namespace

Status reread_prepared(std::string_view bytes, const Sheet& prepared, DxfVersion version) {
  DxfReadOptions reading;
  reading.file_name = "written DXF";
  if (version == DxfVersion::kR12) reading.unit = DrawingUnit::kMillimetre;
  const Result<Drawing> drawing = read_dxf(bytes, reading);
  if (!drawing) return drawing.problem();
  if (drawing->unit_in_mm != 1.0) {
    return Problem{Trouble::kCheck, "the written DXF is not in millimetres", {}, {}, {}};
  }
  return Comparer(*drawing).run(prepared);
}

Status reread_check(std::string_view bytes, const Sheet& sheet, const DxfWriteOptions& options) {
  const Result<Sheet> prepared = prepare_sheet(sheet, options.prepare);
  if (!prepared) return prepared.problem();
  return reread_prepared(bytes, *prepared, options.version);
}

}  // namespace lastwright
