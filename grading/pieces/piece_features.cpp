#include "grading/pieces/piece_features.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <string>

#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

Problem refused(std::string message, const DrawnFrom& from) {
  Problem problem{Trouble::kGeometry, std::move(message), {}, {}, {}};
  problem.place.line = from.line;
  problem.place.named.emplace_back("layer", from.layer);
  return problem;
}

// The circle all curves lie on, if there is one: a hole drawn as a polyline of arcs.
std::optional<BoundHole> circle_of(const Contour& contour) {
  if (!contour.closed) return std::nullopt;
  std::optional<BoundHole> hole;
  for (const Curve& curve : contour.raw.curves) {
    const auto* arc = std::get_if<Arc>(&curve);
    if (arc == nullptr) return std::nullopt;
    const Vec2 centre = arc->segment().centre();
    const double radius = arc->segment().radius();
    if (!hole) hole = BoundHole{centre, radius, Operation::kHole, contour.from};
    if (distance(hole->centre, centre) > tolerance::kRoundHole.value() ||
        std::abs(hole->radius - radius) > tolerance::kRoundHole.value()) {
      return std::nullopt;
    }
  }
  return hole;
}

class FeatureBinder {
 public:
  FeatureBinder(const PatternDrawing& drawing, std::size_t outline, BoundPiece& piece)
      : drawing_(drawing), outline_(outline), own_(drawing.contours[outline]), piece_(piece) {}

  Status run() {
    for (std::size_t i = 0; i < drawing_.contours.size(); ++i) {
      const PatternContour& contour = drawing_.contours[i];
      if (i == outline_ || !belongs(contour.contour.from, middle_of(contour))) continue;
      if (Status status = add(contour); !status) return status;
    }
    for (const DrawnCircle& circle : drawing_.drawing.circles) {
      if (belongs(circle.from, circle.centre)) add(circle);
    }
    for (const DrawnPoint& point : drawing_.drawing.points) {
      if (!belongs(point.from, point.at)) continue;
      if (Status status = add(point); !status) return status;
    }
    for (const DrawnText& text : drawing_.drawing.texts) {
      if (!belongs(text.from, text.at)) continue;
      if (drawing_.role(text.from) == LayerRole::kIgnore) continue;
      piece_.texts.push_back({text.at, text.height, text.angle, text.text, text.from});
    }
    for (const auto& [what, count] : unused_)
      piece_.notes.push_back(fmt::format("not used: {} {}", count, what));
    return Done{};
  }

 private:
  static Vec2 middle_of(const PatternContour& contour) {
    const auto& curves = contour.contour.raw.curves;
    return point_at(curves[curves.size() / 2], curves.size() % 2 == 0 ? 0.0 : 0.5);
  }

  [[nodiscard]] bool inside_own(Vec2 p) const {
    if (inside_polygon(own_.polygon, p)) return true;
    return std::any_of(own_.contour.raw.curves.begin(), own_.contour.raw.curves.end(),
                       [&](const Curve& curve) {
                         return bounds(curve).grown(tolerance::kCornerSnap.value()).overlaps({p, p}) &&
                                nearest(curve, p).distance <= tolerance::kCornerSnap.value();
                       });
  }

  // In a block: the block's own. In the open drawing: what lies inside, unless a smaller boundary holds it
  // too.
  [[nodiscard]] bool belongs(const DrawnFrom& from, Vec2 p) const {
    const DrawnFrom& own = own_.contour.from;
    if (from.block != own.block || from.insert != own.insert) return false;
    if (!own.block.empty() && !shares_block()) return true;
    if (!inside_own(p)) return false;
    return std::none_of(drawing_.contours.begin(), drawing_.contours.end(), [&](const PatternContour& other) {
      return &other != &own_ && is_outline(other) && other.contour.closed && other.area < own_.area &&
             other.contour.from.block == own.block && inside_polygon(other.polygon, p);
    });
  }

  [[nodiscard]] bool is_outline(const PatternContour& contour) const {
    return contour.role == LayerRole::kBoundary || contour.contour.from.layer == own_.contour.from.layer;
  }

  // Several closed outlines in one block: then the place decides.
  [[nodiscard]] bool shares_block() const {
    return std::any_of(drawing_.contours.begin(), drawing_.contours.end(), [&](const PatternContour& other) {
      return &other != &own_ && is_outline(other) && other.contour.closed &&
             other.contour.from.block == own_.contour.from.block &&
             other.contour.from.insert == own_.contour.from.insert;
    });
  }

  void leave_out(const std::string& what) { ++unused_[what]; }

  Status add(const PatternContour& one) {
    const Contour& contour = one.contour;
    if (!one.role) {
      leave_out(fmt::format("lines on the layer {}, whose role nobody gave", contour.from.layer));
      return Done{};
    }
    switch (*one.role) {
      case LayerRole::kSewLines:
        return add_line(contour, Operation::kStitch);
      case LayerRole::kInternalLines:
        return add_line(contour, Operation::kGuide);
      case LayerRole::kCutOuts:
        return add_cut_out(contour);
      case LayerRole::kGrainLine:
        return add_axis(contour, piece_.grain);
      case LayerRole::kMirrorLine:
        return add_axis(contour, piece_.mirror);
      case LayerRole::kNotches:
        return add_nick(contour);
      case LayerRole::kDrillHoles:
        if (const auto hole = circle_of(contour)) {
          piece_.holes.push_back(*hole);
        } else {
          leave_out(fmt::format("lines on the drill holes' layer {}: neither circles nor points",
                                contour.from.layer));
        }
        return Done{};
      case LayerRole::kBoundary:
        // Another closed boundary is another piece's, or nobody's: bind_pieces tells.
        if (!contour.closed)
          leave_out(fmt::format("open lines on the boundary's layer {}", contour.from.layer));
        return Done{};
      case LayerRole::kText:
      case LayerRole::kTurnPoints:
      case LayerRole::kCurvePoints:
        leave_out(fmt::format("lines on the layer {} ({})", contour.from.layer, name_of(*one.role)));
        return Done{};
      case LayerRole::kIgnore:
        return Done{};
    }
    return Done{};
  }

  void add(const DrawnCircle& circle) {
    const auto role = drawing_.role(circle.from);
    if (role == LayerRole::kDrillHoles) {
      piece_.holes.push_back({circle.centre, circle.radius, Operation::kHole, circle.from});
    } else if (role == LayerRole::kCutOuts) {
      piece_.holes.push_back({circle.centre, circle.radius, Operation::kCutOut, circle.from});
    }
    // Circles of all other layers have become contours.
  }

  Status add(const DrawnPoint& point) {
    const auto role = drawing_.role(point.from);
    if (role == LayerRole::kDrillHoles) {
      piece_.holes.push_back({point.at, 0.0, Operation::kPrick, point.from});
    } else if (role == LayerRole::kNotches) {
      return add_nick(point.at, point.from);
    } else if (role != LayerRole::kIgnore) {
      leave_out(
          fmt::format("points on the layer {}{}", point.from.layer,
                      role ? fmt::format(" ({})", name_of(*role)) : std::string(", whose role nobody gave")));
    }
    return Done{};
  }

  Status add_line(const Contour& contour, Operation operation) {
    if (contour.closed) {
      const Result<ClosedOutline> outline = make_closed_outline(contour.raw, drawing_.spec.chain_gap);
      if (outline) {
        piece_.loops.push_back({*outline, operation, contour.from});
        return Done{};
      }
      // A line that crosses itself cannot be a loop, but it can still be drawn.
    }
    const Result<OpenChain> chain = make_open_chain(contour.raw, drawing_.spec.chain_gap);
    if (!chain) return located(chain.problem(), contour.from);
    piece_.lines.push_back({*chain, operation, contour.from});
    return Done{};
  }

  Status add_cut_out(const Contour& contour) {
    if (!contour.closed) {
      const Vec2 from = start_of(contour.raw.curves.front());
      const Vec2 to = end_of(contour.raw.curves.back());
      Problem problem = refused(fmt::format("a cut-out is open between ({:.3f}, {:.3f}) and ({:.3f}, {:.3f})",
                                            from.x, from.y, to.x, to.y),
                                contour.from);
      problem.value = distance(from, to);
      problem.limit = drawing_.spec.chain_gap.value();
      return problem;
    }
    if (auto hole = circle_of(contour)) {
      hole->operation = Operation::kCutOut;
      piece_.holes.push_back(*hole);
      return Done{};
    }
    const Result<ClosedOutline> outline = make_closed_outline(contour.raw, drawing_.spec.chain_gap);
    if (!outline) return located(outline.problem(), contour.from);
    piece_.cut_outs.push_back({*outline, contour.from});
    return Done{};
  }

  // The longest straight line: the others are arrow heads.
  Status add_axis(const Contour& contour, std::optional<BoundAxis>& axis) {
    const BoundAxis here{start_of(contour.raw.curves.front()), end_of(contour.raw.curves.back()),
                         contour.from};
    if (!axis || distance(here.from, here.to) > distance(axis->from, axis->to)) axis = here;
    return Done{};
  }

  Status add_nick(const Contour& contour) {
    // A nick drawn as a line is where the line meets the edge: its end that is nearer to the outline, or its
    // tip.
    std::optional<BoundNick> best;
    double best_distance = 0.0;
    for (const Curve& curve : contour.raw.curves) {
      for (const Vec2 p : {start_of(curve), end_of(curve)}) {
        const auto [nick, off] = on_outline(p, contour.from);
        if (!best || off < best_distance) {
          best = nick;
          best_distance = off;
        }
      }
    }
    return keep(*best, best_distance);
  }
  Status add_nick(Vec2 at, const DrawnFrom& from) {
    const auto [nick, off] = on_outline(at, from);
    return keep(nick, off);
  }

  [[nodiscard]] std::pair<BoundNick, double> on_outline(Vec2 p, const DrawnFrom& from) const {
    BoundNick nick{p, 0, 0, 0.0, from};
    double best = INFINITY;
    for (std::size_t e = 0; e < piece_.edges.size(); ++e) {
      const auto& curves = piece_.edges[e].chain.curves();
      for (std::size_t c = 0; c < curves.size(); ++c) {
        const NearestPoint here = nearest(curves[c], p);
        if (here.distance >= best) continue;
        best = here.distance;
        nick = {here.at, e, c, here.t, from};
      }
    }
    return {nick, best};
  }

  Status keep(const BoundNick& nick, double off) {
    if (off <= tolerance::kCornerSnap.value()) {
      piece_.nicks.push_back(nick);
      return Done{};
    }
    Problem problem = refused(
        fmt::format("a nick near ({:.3f}, {:.3f}) is not on the outline", nick.at.x, nick.at.y), nick.from);
    problem.value = off;
    problem.limit = tolerance::kCornerSnap.value();
    return problem;
  }

  static Problem located(Problem problem, const DrawnFrom& from) {
    if (problem.place.line == 0) problem.place.line = from.line;
    problem.place.named.emplace_back("layer", from.layer);
    return problem;
  }

  const PatternDrawing& drawing_;
  std::size_t outline_;
  const PatternContour& own_;
  BoundPiece& piece_;
  std::map<std::string, std::size_t> unused_;
};

}  // namespace

Status bind_features(const PatternDrawing& drawing, std::size_t outline, BoundPiece& piece) {
  return FeatureBinder(drawing, outline, piece).run();
}

}  // namespace lastwright
