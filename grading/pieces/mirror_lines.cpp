#include "grading/pieces/mirror_lines.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/counted.hpp"
#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

using MirrorLine = std::pair<Vec2, Vec2>;

constexpr const char* kOrIgnore = R"(, or put the line on a layer to which "layers" gives the role "ignore")";

constexpr double kParts[] = {0.25, 0.5, 0.75, 1.0};  // of a curve: where it is looked at, besides its start

double off_the_line(Vec2 a, Vec2 b, Vec2 p) {
  return std::abs(cross(unit(b - a), p - a));
}

std::vector<EdgeChord> edge_chords(const BoundPiece& piece) {
  std::vector<EdgeChord> all;
  for (const BoundEdge& edge : piece.edges) {
    const auto& curves = edge.chain.curves();
    // A fold is drawn as one line between its ends, whatever its curves are.
    const bool folded = edge.spec.name == piece.spec.fold;
    all.push_back({start_of(curves.front()), end_of(curves.back()), folded || is_straight(curves)});
  }
  return all;
}

// How a mirror line lies to a whole piece.
struct SidesOfMirror {
  double left = 0.0;  // mm: the farthest that the outline lies on either side of it
  double right = 0.0;
  bool own_image = true;  // the outline is its own mirror image in it
};
SidesOfMirror sides_of(const BoundPiece& piece, const MirrorLine& mirror) {
  constexpr double kOwnImage = 0.2;  // mm
  constexpr std::size_t kMostCurves = 200;
  std::vector<const Curve*> curves;
  for (const BoundEdge& edge : piece.edges) {
    for (const Curve& curve : edge.chain.curves()) curves.push_back(&curve);
  }
  const Vec2 along = unit(mirror.second - mirror.first);
  const auto on_outline = [&](Vec2 p) {
    return std::any_of(curves.begin(), curves.end(),
                       [&](const Curve* curve) { return nearest(*curve, p).distance <= kOwnImage; });
  };
  SidesOfMirror sides;
  const std::size_t step = 1 + curves.size() / kMostCurves;
  for (std::size_t i = 0; i < curves.size(); i += step) {
    for (const double t : {0.0, 0.25, 0.5, 0.75}) {
      const Vec2 p = point_at(*curves[i], t);
      const double left = cross(along, p - mirror.first);
      sides.left = std::max(sides.left, left);
      sides.right = std::max(sides.right, -left);
      sides.own_image = sides.own_image && on_outline(p - 2.0 * left * left_of(along));
    }
  }
  return sides;
}

double mirror_length(const MirrorLine& mirror) {
  return distance(mirror.first, mirror.second);
}

// "up to 0.100 mm off the fold, back, ..."
std::string missed_by(const MirrorFit& fit, const std::string& edge, double edge_length) {
  if (fit.off > kOnFold.value())
    return fmt::format(
        "it lies up to {:.3f} mm off {}, which is {:.2f} mm long (up to {:g} mm counts as on it)", fit.off,
        edge, edge_length, kOnFold.value());
  if (fit.along <= 0.0)
    return fmt::format("it is in line with {}, and {:.2f} mm away from it", edge, -fit.along);
  return fmt::format("it is in line with {}, and {:.2f} mm of it lie along it", edge, fit.along);
}

std::string from_corner_to_corner(const EdgeSpec& edge) {
  return fmt::format("draw it from {} to {}, the corners of that edge", edge.from, edge.to);
}

// That it is on edges, and not on the fold alone.
std::string on_edges(const BoundPiece& piece, const std::vector<std::string>& on, double length) {
  const std::string edges = some_of(on, 4);
  const std::optional<std::string>& fold = piece.spec.fold;
  if (fold)
    return fmt::format(
        "a mirror line of {:.2f} mm on {} {}, and the piece is cut double on one edge, the fold that the "
        "style "
        "states: {}; where they are one fold, draw them as one edge{}",
        length, on.size() == 1 ? "the edge" : "the edges", edges, *fold, kOrIgnore);
  if (on.size() == 1)
    return fmt::format(
        "a mirror line of {:.2f} mm on the edge {}, and the style states no \"fold\" for the piece: it is "
        "cut as "
        "the half that is drawn; state \"fold\": \"{}\"{}",
        length, edges, on.front(), kOrIgnore);
  return fmt::format(
      "a mirror line of {:.2f} mm on the edges {}, and a piece is cut double on one edge: it is cut as the "
      "half "
      "that is drawn; draw them as one edge, or state the one that is the \"fold\" and draw the line along "
      "it "
      "alone{}",
      length, edges, kOrIgnore);
}

}  // namespace

bool is_straight(std::span<const Curve> curves) {
  if (curves.empty()) return false;
  const Vec2 from = start_of(curves.front());
  const Vec2 to = end_of(curves.back());
  if (distance(from, to) <= 2.0 * kOnFold.value()) return false;
  return std::all_of(curves.begin(), curves.end(), [&](const Curve& curve) {
    return std::all_of(std::begin(kParts), std::end(kParts), [&](double t) {
      return off_the_line(from, to, point_at(curve, t)) <= kOnFold.value();
    });
  });
}

MirrorFit mirror_fit(const MirrorLine& mirror, const EdgeChord& edge) {
  MirrorFit fit;
  for (const Vec2 p : {edge.from, edge.to})
    fit.off = std::max(fit.off, off_the_line(mirror.first, mirror.second, p));
  for (const Vec2 p : {mirror.first, mirror.second})
    fit.off = std::max(fit.off, off_the_line(edge.from, edge.to, p));
  const double length = distance(edge.from, edge.to);
  const Vec2 way = unit(edge.to - edge.from);
  const double first = dot(way, mirror.first - edge.from);
  const double second = dot(way, mirror.second - edge.from);
  fit.along = std::min(std::max(first, second), length) - std::max(std::min(first, second), 0.0);
  fit.on = edge.straight && fit.off <= kOnFold.value() &&
           fit.along >= 0.5 * std::min(length, mirror_length(mirror));
  return fit;
}

std::optional<MirroredEdge> mirrored_edge(std::span<const MirrorLine> mirrors,
                                          std::span<const EdgeChord> edges) {
  std::optional<MirroredEdge> found;
  std::optional<MirroredEdge> close;
  for (const MirrorLine& mirror : mirrors) {
    std::vector<std::size_t> on;
    std::vector<MirroredEdge> near;
    for (std::size_t e = 0; e < edges.size(); ++e) {
      if (!edges[e].straight) continue;
      const MirrorFit fit = mirror_fit(mirror, edges[e]);
      if (fit.on) on.push_back(e);
      if (fit.off <= tolerance::kCornerSnap.value() &&
          fit.along >= 0.5 * std::min(distance(edges[e].from, edges[e].to), mirror_length(mirror)))
        near.push_back({e, fit.off, false});
    }
    if (on.size() == 1 && !found) found = MirroredEdge{on.front(), 0.0, true};
    if (on.size() > 1 || (on.size() == 1 && on.front() != found->edge)) {
      if (found) found->sure = false;
    }
    if (on.empty() && near.size() == 1 && !close) close = near.front();
  }
  return found ? found : close;
}

std::optional<MirroredEdge> mirrored_edge(const BoundPiece& piece) {
  std::vector<MirrorLine> mirrors;
  for (const BoundAxis& mirror : piece.mirrors) mirrors.emplace_back(mirror.from, mirror.to);
  return mirrored_edge(mirrors, edge_chords(piece));
}

std::optional<UnusedMirror> unused_mirror(const BoundPiece& piece, const MirrorLine& mirror) {
  constexpr double kThrough = 5.0;  // mm of the piece on either side: it is not near an edge
  const std::vector<EdgeChord> edges = edge_chords(piece);
  const std::optional<std::size_t> fold = fold_edge(piece);
  std::vector<std::string> on;
  std::optional<std::size_t> least;
  double least_miss = std::numeric_limits<double>::infinity();
  bool used = false;
  for (std::size_t e = 0; e < edges.size(); ++e) {
    if (!edges[e].straight) continue;
    const MirrorFit fit = mirror_fit(mirror, edges[e]);
    if (fit.on) on.push_back(piece.edges[e].spec.name);
    used = used || (fit.on && e == fold);
    if (const double miss = fit.off + std::max(0.0, -fit.along); miss < least_miss) {
      least_miss = miss;
      least = e;
    }
  }
  if (used && on.size() == 1) return std::nullopt;
  const double length = mirror_length(mirror);
  if (!on.empty()) return UnusedMirror{on_edges(piece, on, length), !fold};
  const auto missed = [&](std::size_t e, const std::string& which) {
    return missed_by(mirror_fit(mirror, edges[e]), which, distance(edges[e].from, edges[e].to));
  };
  if (fold) {
    const EdgeSpec& spec = piece.edges[*fold].spec;
    return UnusedMirror{
        fmt::format("a mirror line of {:.2f} mm that is not on the fold: {}; {}{}", length,
                    missed(*fold, "the edge " + spec.name), from_corner_to_corner(spec), kOrIgnore),
        false};
  }
  const SidesOfMirror sides = sides_of(piece, mirror);
  const bool through = std::min(sides.left, sides.right) > kThrough;
  if (through && sides.own_image)
    return UnusedMirror{
        fmt::format("a mirror line of {:.2f} mm in the middle of the piece, which is drawn whole, as its own "
                    "mirror image, and is not unfolded; draw the half alone if it is to be cut double{}",
                    length, kOrIgnore),
        false};
  std::string reason = fmt::format(
      "a mirror line of {:.2f} mm that is on no straight edge of the piece, which is "
      "cut as it is drawn, not double: ",
      length);
  if (through)
    reason += fmt::format("the piece lies on both sides of it, {:.2f} and {:.2f} mm far{}",
                          std::max(sides.left, sides.right), std::min(sides.left, sides.right),
                          least ? ", and " : "");
  if (!least && !through) reason += "all of its edges are bent";
  if (least) {
    const EdgeSpec& spec = piece.edges[*least].spec;
    reason += missed(*least, "the edge " + spec.name) + "; " + from_corner_to_corner(spec) +
              ", if that is the fold";
  } else {
    reason += "; draw it along the edge that is the fold";
  }
  return UnusedMirror{reason + kOrIgnore, true};
}

UnusedMirror bent_mirror(const BoundPiece& piece, std::span<const Curve> curves, bool closed) {
  std::string what = "a closed line among the mirror lines";
  const Vec2 from = start_of(curves.front());
  const Vec2 to = end_of(curves.back());
  const bool short_one = distance(from, to) <= 2.0 * kOnFold.value();
  if (!closed && short_one) what = "a mirror line too short to show a direction";
  if (!closed && !short_one) {
    double most = 0.0;
    for (const Curve& curve : curves) {
      for (const double t : kParts) most = std::max(most, off_the_line(from, to, point_at(curve, t)));
    }
    what = fmt::format(
        "a mirror line that is not straight: it leaves the straight line between its ends by "
        "{:.3f} mm (at most {:g})",
        most, kOnFold.value());
  }
  return {what + "; draw a straight one along the edge on which the piece is cut double" + kOrIgnore,
          !piece.spec.fold};
}

}  // namespace lastwright
