#include "geometry/io/dxf/dxf_decode.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/io/paper/plane_affine.hpp"

namespace lastwright {
namespace {

Vec2 faced(Vec2 p, double facing) {
  return {facing * p.x, p.y};
}

// LINE and POINT are in world coordinates whatever their extrusion says.
DxfShape decode_line(DxfFields& fields) {
  const Vec2 a = fields.point(10, "the start point");
  const Vec2 b = fields.point(11, "the end point");
  const double z0 = fields.real(30, 0.0);
  const double z1 = fields.real(31, 0.0);
  fields.must_be_flat(std::min(z0, z1), std::max(z0, z1));
  return DxfPolyline{{{a, 0.0}, {b, 0.0}}, false};
}

DxfShape decode_circle(DxfFields& fields) {
  const double facing = fields.facing();
  const Vec2 centre = faced(fields.point(10, "the centre"), facing);
  const double radius = fields.need(40, "the radius");
  if (radius < 0.0) fields.fail(Trouble::kBadValue, fmt::format("its radius {:g} is negative", radius));
  if (radius == 0.0) return DxfUnread{"radius 0"};
  return DxfCircle{centre, radius};
}

// Angles run counter-clockwise in the entity's own plane. The arc becomes two halves where it turns more than
// half round, so that every bulge stays below 1.
DxfShape decode_arc(DxfFields& fields) {
  const double facing = fields.facing();
  const Vec2 centre = fields.point(10, "the centre");
  const double radius = fields.need(40, "the radius");
  const double start = fields.need(50, "the start angle");
  const double end = fields.need(51, "the end angle");
  if (radius < 0.0) fields.fail(Trouble::kBadValue, fmt::format("its radius {:g} is negative", radius));
  if (radius == 0.0) return DxfUnread{"radius 0"};
  // Equal angles, also where they are reckoned ones that differ by rounding: all the way round.
  constexpr double kSameAngle = 2e-6;  // degrees: two angles of six decimals
  double sweep = std::fmod(end - start, 360.0);
  if (sweep < 0.0) sweep += 360.0;
  const bool full = sweep <= kSameAngle || sweep >= 360.0 - kSameAngle;
  if (full) sweep = 360.0;
  const int pieces = sweep > 180.0 ? 2 : 1;
  const double bulge = facing * std::tan(from_degrees(sweep / pieces).value() / 4.0);
  DxfPolyline arc;
  arc.closed = full;
  for (int i = 0; i <= pieces - (full ? 1 : 0); ++i) {
    const Vec2 at = centre + radius * direction_of_degrees(i == pieces ? end : start + sweep * i / pieces);
    arc.vertices.push_back({faced(at, facing), bulge});
  }
  return arc;
}

DxfShape decode_point(DxfFields& fields) {
  return DxfPoint{fields.point(10, "the point")};
}

std::string text_of(DxfFields& fields, std::string_view bytes) {
  return decode_dxf_text(bytes, fields.reading().encoding, OddBytes::kReplace).value();
}

// TEXT and ATTRIB. A text that is not left aligned is placed by its second point.
DxfShape decode_text(DxfFields& fields) {
  if (fields.has(70) && (fields.whole(70, 0) & 1) != 0) return DxfUnread{"an invisible attribute"};
  const double facing = fields.facing();
  const std::int64_t across = fields.whole(72, 0);
  const std::int64_t up = fields.has(73) ? fields.whole(73, 0) : fields.whole(74, 0);
  constexpr std::int64_t kAligned = 3;
  constexpr std::int64_t kFit = 5;
  const bool second =
      (across != 0 || up != 0) && across != kAligned && across != kFit && fields.has(11) && fields.has(21);
  DxfText text;
  text.at = faced(fields.point(second ? 11 : 10, "the insertion point"), facing);
  text.along = faced(direction_of_degrees(fields.real(50, 0.0)), facing);
  text.mirrored = facing < 0.0;
  text.height = fields.real(40, 0.0);
  text.text = without_control_codes(text_of(fields, fields.raw(1)));
  return text;
}

// MTEXT is in world coordinates; its direction is a vector (11, 21) or an angle (50), in degrees.
DxfShape decode_mtext(DxfFields& fields) {
  DxfText text;
  text.at = fields.point(10, "the insertion point");
  text.height = fields.real(40, 0.0);
  if (fields.has(11) && fields.has(21)) {
    text.along = unit(fields.point(11, "the direction"));
    if (text.along == Vec2{}) text.along = {1.0, 0.0};
  } else {
    text.along = direction_of_degrees(fields.real(50, 0.0));
  }
  std::string bytes;
  for (const DxfTag& tag : fields.tags()) {
    if (tag.code == 3) bytes += tag.text;
  }
  bytes += fields.raw(1);
  text.text = without_formatting(text_of(fields, bytes));
  return text;
}

DxfShape decode_insert(DxfFields& fields) {
  DxfInsert insert;
  insert.block = fields.name(2);
  if (insert.block.empty()) fields.fail(Trouble::kSyntax, "it names no block (group code 2)");
  insert.facing = fields.facing();
  insert.at = fields.point(10, "the insertion point");
  insert.scale_x = fields.real(41, 1.0);
  insert.scale_y = fields.real(42, 1.0);
  insert.degrees = fields.real(50, 0.0);
  insert.columns = fields.whole(70, 1);
  insert.rows = fields.whole(71, 1);
  insert.column_step = fields.real(44, 0.0);
  insert.row_step = fields.real(45, 0.0);
  if (insert.scale_x == 0.0 || insert.scale_y == 0.0) {
    fields.fail(Trouble::kBadValue, "its scale is 0, so it would shrink to nothing");
  }
  if (insert.columns < 0 || insert.rows < 0) {
    fields.fail(Trouble::kBadValue,
                fmt::format("it is an array of {} columns and {} rows", insert.columns, insert.rows));
  }
  return insert;
}

}  // namespace

void check_promise(DxfFields& fields, int code, std::size_t found, const char* what) {
  const std::int64_t promised = fields.whole(code, static_cast<std::int64_t>(found));
  if (promised == static_cast<std::int64_t>(found)) return;
  std::string difference =
      fmt::format("it promises {} {} (group code {}) and holds {}", promised, what, code, found);
  if (fields.reading().repair) {
    fields.repaired(difference + "; taken as it is");
  } else {
    fields.fail(Trouble::kSyntax, std::move(difference));
  }
}

DxfShape decode_shape(std::string_view type, DxfFields& fields) {
  if (type == "LINE") return decode_line(fields);
  if (type == "LWPOLYLINE") return decode_lwpolyline(fields);
  if (type == "ARC") return decode_arc(fields);
  if (type == "CIRCLE") return decode_circle(fields);
  if (type == "SPLINE") return decode_spline(fields);
  if (type == "ELLIPSE") return decode_ellipse(fields);
  if (type == "POINT") return decode_point(fields);
  if (type == "TEXT" || type == "ATTRIB") return decode_text(fields);
  if (type == "MTEXT") return decode_mtext(fields);
  if (type == "INSERT") return decode_insert(fields);
  return DxfUnread{"this kind of entity is not read"};
}

}  // namespace lastwright
