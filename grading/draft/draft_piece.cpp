#include "grading/draft/draft_piece.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/curve/curve_measure.hpp"
#include "geometry/curve/nearest.hpp"
#include "geometry/curve/spaced_points.hpp"
#include "geometry/tolerance.hpp"
#include "grading/pieces/drawing/outline_split.hpp"

namespace lastwright {

namespace {

constexpr Millimetres kDraftChord{0.02};  // for judging what lies where, never for what is cut
constexpr double kDraftStraight = 0.02;   // mm off its chord: below it an edge is a straight line

double along_outline(const ClosedOutline& outline, Vec2 place) {
  const auto& curves = outline.curves();
  double best = 0.0;
  double nearest_off = INFINITY;
  for (std::size_t i = 0; i < curves.size(); ++i) {
    const NearestPoint here = nearest(curves[i], place);
    if (here.distance >= nearest_off - 1e-9) continue;
    nearest_off = here.distance;
    best = static_cast<double>(i) + std::min(here.t, 1.0 - 1e-12);
    if (here.t >= 1.0) best = static_cast<double>((i + 1) % curves.size());
  }
  return best;
}

DraftEdge draft_edge(const std::vector<Curve>& curves) {
  DraftEdge edge;
  edge.curves = curves;
  for (const Curve& curve : curves) edge.length += length(curve);
  edge.samples = spaced_points(curves, kDraftSamples);
  edge.straight = std::all_of(edge.samples.begin(), edge.samples.end(), [&](Vec2 p) {
    return off_line(edge.samples.front(), edge.samples.back(), p) <= kDraftStraight;
  });
  if (distance(edge.samples.front(), edge.samples.back()) < 0.5 * edge.length) edge.straight = false;
  return edge;
}

bool on_curves(const std::vector<Curve>& curves, Vec2 place, double within) {
  return std::any_of(curves.begin(), curves.end(), [&](const Curve& curve) {
    const Box2 box = bounds(curve).grown(within);
    return box.overlaps({place, place}) && nearest(curve, place).distance <= within;
  });
}

// Whether a corner stated there would be snapped to another place of the outline.
bool beside_joint(const std::vector<Curve>& curves, Vec2 place, double within) {
  if (curves.empty()) return false;
  const std::optional<SnappedPlace> taken = snapped(curves, place);
  return taken && distance(taken->place.at, place) > within;
}

double length_of(const std::vector<Curve>& curves) {
  double sum = 0.0;
  for (const Curve& curve : curves) sum += length(curve);
  return sum;
}

// The middle of what a closed line surrounds.
Vec2 middle_of(const ClosedOutline& outline) {
  std::vector<Vec2> points;
  for (const Curve& curve : outline.curves()) {
    const std::vector<Vec2> some = flattened(curve, kDraftChord);
    points.insert(points.end(), some.begin(), some.end() - 1);
  }
  const Vec2 first = points.front();
  Vec2 sum;
  double twice = 0.0;
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Vec2 a = points[i] - first;
    const Vec2 b = points[(i + 1) % points.size()] - first;
    sum += (cross(a, b) / 3.0) * (a + b);
    twice += cross(a, b);
  }
  return first + sum / twice;
}

std::vector<DraftMark> marks_of(const BoundPiece& bound) {
  std::vector<DraftMark> marks;
  for (const BoundHole& hole : bound.holes) marks.push_back({"hole", hole.centre, hole.radius});
  for (const BoundNick& nick : bound.nicks) marks.push_back({"nick", nick.at, nick.depth});
  for (const BoundLine& line : bound.lines) {
    const auto& curves = line.chain.curves();
    marks.push_back({"line", spaced_points(curves, 2)[1], length_of(curves)});
  }
  for (const BoundLoop& loop : bound.loops)
    marks.push_back({"closed line", middle_of(loop.outline), length_of(loop.outline.curves())});
  for (const BoundCutOut& one : bound.cut_outs)
    marks.push_back({"cut-out", middle_of(one.outline), length_of(one.outline.curves())});
  return marks;
}

// Edges between the corners, which must follow each other along the outline.
Status cut_at_corners(DraftPiece& piece) {
  PieceSpec spec;
  spec.name = piece.name;
  for (std::size_t i = 0; i < piece.corners.size(); ++i) {
    spec.corners.push_back({fmt::format("c{}", i), piece.corners[i].at});
    EdgeSpec edge;
    edge.name = fmt::format("e{}", i);
    edge.from = fmt::format("c{}", i);
    edge.to = fmt::format("c{}", (i + 1) % piece.corners.size());
    spec.edges.push_back(std::move(edge));
  }
  const Result<SplitOutline> split = split_outline(piece.outline, spec, FormeSpec{});
  if (!split) return split.problem();
  piece.edges.clear();
  for (const BoundEdge& edge : split->edges) {
    piece.edges.push_back(draft_edge(edge.chain.curves()));
    DraftEdge& made = piece.edges.back();
    made.slack = piece.slack;
    made.faired = piece.faired;
    for (const Vec2 sample : made.samples) made.drawn.push_back(drawn_place(piece, sample));
  }
  for (std::size_t i = 0; i < piece.corners.size(); ++i) piece.corners[i].at = piece.edges[i].samples.front();
  return Done{};
}

}  // namespace

double off_line(Vec2 a, Vec2 b, Vec2 place) {
  return std::abs(cross(unit(b - a), place - a));
}

std::tuple<int, long, std::string> naming_rank(const DraftPiece& piece) {
  const int layer = piece.words.layer == "linings" ? 1 : piece.words.layer == "inner parts" ? 2 : 0;
  return {layer, -std::lround(piece.area), piece.name};
}

Result<DraftPiece> draft_piece(const BoundPiece& bound, std::size_t index, double faired,
                               std::vector<Curve> as_drawn) {
  DraftPiece piece;
  piece.faired = faired;
  piece.as_drawn = std::move(as_drawn);
  piece.index = index;
  piece.name = bound.spec.name;
  piece.drawing = bound.spec.source.drawing;
  piece.words = words_of(piece.name);
  RawOutline raw;
  for (const BoundEdge& edge : bound.edges) {
    const auto& curves = edge.chain.curves();
    piece.corners.push_back({start_of(curves.front()), "", false});
    raw.curves.insert(raw.curves.end(), curves.begin(), curves.end());
  }
  Result<ClosedOutline> outline = make_closed_outline(std::move(raw), tolerance::kSamePoint);
  if (!outline) return outline.problem().in("piece", piece.name);
  piece.outline = *std::move(outline);
  for (const Curve& curve : piece.outline.curves()) {
    const std::vector<Vec2> points = flattened(curve, kDraftChord);
    piece.polygon.insert(piece.polygon.end(), points.begin(), points.end() - 1);
  }
  if (piece.polygon.size() > kMostPolygon) {
    std::vector<Vec2> fewer;
    for (std::size_t i = 0; i < kMostPolygon; ++i)
      fewer.push_back(piece.polygon[i * piece.polygon.size() / kMostPolygon]);
    piece.polygon = std::move(fewer);
  }
  for (const Vec2 p : piece.polygon) piece.box.add(p);
  piece.area = signed_area(piece.outline);
  piece.marks = marks_of(bound);
  for (const BoundAxis& mirror : bound.mirrors) piece.mirrors.emplace_back(mirror.from, mirror.to);
  for (const BoundText& text : bound.texts) {
    const double degrees = std::fmod(to_degrees(text.angle) + 720.0, 180.0);
    piece.text_degrees.push_back(degrees);
  }
  if (const Status status = cut_at_corners(piece); !status) return status.problem().in("piece", piece.name);
  return piece;
}

bool at_another_joint(const DraftPiece& piece, Vec2 place, double within) {
  return beside_joint(piece.outline.curves(), place, within);
}

bool at_another_drawn_joint(const DraftPiece& piece, Vec2 place, double within) {
  return beside_joint(piece.as_drawn, place, within);
}

double same_within(const DraftPiece& one, const DraftPiece& other) {
  return drawn_within(one, other) + one.faired + other.faired;
}

double drawn_within(const DraftPiece& one, const DraftPiece& other) {
  return kDraftSame + one.slack + other.slack;
}

Vec2 drawn_place(const DraftPiece& piece, Vec2 at) {
  Vec2 place = at;
  double least = INFINITY;
  for (const Curve& curve : piece.as_drawn) {
    const NearestPoint here = nearest(curve, at);
    if (here.distance >= least) continue;
    least = here.distance;
    place = here.at;
  }
  return place;
}

bool on_drawn(const DraftPiece& piece, Vec2 place, double within) {
  return on_curves(piece.as_drawn.empty() ? piece.outline.curves() : piece.as_drawn, place, within);
}

bool add_corners_at(DraftPiece& piece, const std::vector<Vec2>& places, double within) {
  const DraftPiece before = piece;
  const double snap = tolerance::kCornerSnap.value();
  for (const Vec2 place : places) {
    const bool has = std::any_of(piece.corners.begin(), piece.corners.end(),
                                 [&](const DraftCorner& one) { return distance(one.at, place) <= snap; });
    // The nearest joint is what a style's corner is snapped to: short curves have others beside it.
    if (!has && !at_another_joint(piece, place, within) && on_outline(piece, place, within))
      piece.corners.push_back({place, "", false});
  }
  if (piece.corners.size() == before.corners.size()) return false;
  std::sort(piece.corners.begin(), piece.corners.end(), [&](const DraftCorner& a, const DraftCorner& b) {
    return along_outline(piece.outline, a.at) < along_outline(piece.outline, b.at);
  });
  if (cut_at_corners(piece)) return true;
  piece = before;
  return false;
}

bool set_corners_at(DraftPiece& piece, const std::vector<Vec2>& places) {
  const DraftPiece before = piece;
  piece.corners.clear();
  if (add_corners_at(piece, places)) return true;
  piece = before;
  return false;
}

std::vector<std::pair<Vec2, Vec2>> mirror_axes(const DraftPiece& piece) {
  constexpr double kOwnImage = 0.2;  // mm
  // An axis passes the middle, along or across the main direction of the area about it.
  const Vec2 first = piece.polygon.front();
  double twice = 0.0;
  double xx = 0.0;
  double xy = 0.0;
  double yy = 0.0;
  Vec2 sum;
  for (std::size_t i = 0; i < piece.polygon.size(); ++i) {
    const Vec2 a = piece.polygon[i] - first;
    const Vec2 b = piece.polygon[(i + 1) % piece.polygon.size()] - first;
    const double part = cross(a, b);
    twice += part;
    sum += (part / 3.0) * (a + b);
    xx += part / 6.0 * (a.x * a.x + a.x * b.x + b.x * b.x);
    yy += part / 6.0 * (a.y * a.y + a.y * b.y + b.y * b.y);
    xy += part / 12.0 * (2.0 * a.x * a.y + a.x * b.y + b.x * a.y + 2.0 * b.x * b.y);
  }
  if (!(twice > 0.0)) return {};
  const Vec2 off = sum / twice;
  const Vec2 middle = first + off;
  const double angle = 0.5 * std::atan2(2.0 * (xy / twice - off.x * off.y),
                                        (xx / twice - off.x * off.x) - (yy / twice - off.y * off.y));
  std::vector<Vec2> ways{{std::cos(angle), std::sin(angle)}};
  // As long as wide, it has no main direction, and rounding turns it: then by where an edge begins or is half
  // way round.
  for (const DraftEdge& edge : piece.edges) {
    for (const Vec2 p : {edge.samples.front(), edge.samples[kDraftSamples / 2]}) {
      if (distance(p, middle) > kDraftSame) ways.push_back(unit(p - middle));
    }
  }
  for (const Vec2 way : ways) {
    std::vector<std::pair<Vec2, Vec2>> axes;
    for (const Vec2 along : {way, left_of(way)}) {
      double low = 0.0;
      double high = 0.0;
      const bool own = std::all_of(piece.edges.begin(), piece.edges.end(), [&](const DraftEdge& edge) {
        return std::all_of(edge.samples.begin(), edge.samples.end(), [&](Vec2 p) {
          const double x = dot(p - middle, along);
          low = std::min(low, x);
          high = std::max(high, x);
          return on_outline(piece, p - 2.0 * dot(p - middle, left_of(along)) * left_of(along), kOwnImage);
        });
      });
      if (own) axes.emplace_back(middle + low * along, middle + high * along);
    }
    if (!axes.empty()) return axes;
  }
  return {};
}

std::optional<std::pair<Vec2, Vec2>> mirror_axis(const DraftPiece& piece) {
  const auto axes = mirror_axes(piece);
  return axes.empty() ? std::nullopt : std::optional(axes.front());
}

std::optional<MirroredEdge> mirrored_edge(const DraftPiece& piece) {
  std::vector<EdgeChord> edges;
  for (const DraftEdge& edge : piece.edges)
    edges.push_back({edge.samples.front(), edge.samples.back(), is_straight(edge.curves)});
  return mirrored_edge(piece.mirrors, edges);
}

bool on_outline(const DraftPiece& piece, Vec2 place, double within) {
  return on_curves(piece.outline.curves(), place, within);
}

bool on_edge(const DraftEdge& edge, Vec2 place, double within) {
  return on_curves(edge.curves, place, within);
}

Coincide coincide(const DraftEdge& one, const DraftEdge& other, double within) {
  within += one.slack + other.slack;
  if (std::abs(one.length - other.length) > 2.0 * (within + one.faired + other.faired)) return Coincide::kNo;
  if (apart_by(one, other, Coincide::kAgainst) <= within) return Coincide::kAgainst;
  return apart_by(one, other, Coincide::kSameWay) <= within ? Coincide::kSameWay : Coincide::kNo;
}

double apart_by(const DraftEdge& one, const DraftEdge& other, Coincide how) {
  double most = 0.0;
  for (std::size_t i = 0; i <= kDraftSamples; ++i) {
    const Vec2 there = other.drawn[how == Coincide::kAgainst ? kDraftSamples - i : i];
    most = std::max(most, distance(one.drawn[i], there));
  }
  return most;
}

}  // namespace lastwright
