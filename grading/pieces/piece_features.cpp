#include "grading/pieces/piece_features.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"
#include "grading/pieces/drawing/no_role.hpp"
#include "grading/pieces/drawing/open_contours.hpp"
#include "grading/pieces/drawing/second_grain.hpp"
#include "grading/pieces/drawing/within_piece.hpp"
#include "grading/pieces/first/first_boundaries.hpp"
#include "grading/pieces/mirror_lines.hpp"

namespace lastwright {

namespace {

// Arcs whose centres and radii agree this well are one round hole: exports round to three decimals.
constexpr Millimetres kRoundHole{0.01};

constexpr double kComesBack =
    0.5;  // of its box's diagonal: ends of a line that was to close lie no further apart

Problem thing_refused(std::string message, const DrawnFrom& from) {
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
    if (distance(hole->centre, centre) > kRoundHole.value() ||
        std::abs(hole->radius - radius) > kRoundHole.value()) {
      return std::nullopt;
    }
  }
  return hole;
}

class FeatureBinder {
 public:
  FeatureBinder(const PatternDrawing& drawing, const Owners& owners, std::size_t outline, BoundPiece& piece)
      : drawing_(drawing),
        owners_(owners),
        outline_(outline),
        within_(drawing, outline, piece),
        piece_(piece) {}

  Result<std::vector<LeftThing>> run() {
    for (const DrawnThing thing : owners_.things_of(outline_)) {
      thing_ = thing;
      if (Status status = add(); !status) return status.problem();
    }
    for (const auto& [thing, contour] : grains_) {
      if (std::optional<std::string> second = second_grain(*contour, *piece_.grain))
        left_.push_back({thing, *std::move(second), false});
    }
    return std::move(left_);
  }

 private:
  Status add() {
    switch (thing_.kind) {
      case DrawnKind::kContour:
        return add(drawing_.contours[thing_.index]);
      case DrawnKind::kCircle:
        return add(drawing_.drawing.circles[thing_.index]);
      case DrawnKind::kPoint:
        return add(drawing_.drawing.points[thing_.index]);
      case DrawnKind::kText:
        break;
    }
    const DrawnText& text = drawing_.drawing.texts[thing_.index];
    if (drawing_.role(text.from) == LayerRole::kIgnore) {
      ignore();
    } else {
      piece_.texts.push_back({text.at, text.height, text.angle, text.text, text.from});
    }
    return Done{};
  }

  void ignore() { left_.push_back({thing_, "", true, false, false}); }
  void leave_out(std::string reason) { left_.push_back({thing_, std::move(reason), false, false, false}); }
  Status add(const PatternContour& one) {
    const Contour& contour = one.contour;
    if (!one.role) {
      leave_out(no_role(contour.from, may_be_piece(one)));
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
        grains_.push_back({thing_, &contour});
        return add_axis(contour, piece_.grain);
      case LayerRole::kMirrorLine:
        return add_mirror(contour);
      case LayerRole::kNotches:
        return add_nick(contour);
      case LayerRole::kDrillHoles:
        if (const auto hole = circle_of(contour)) return add_hole(*hole);
        return thing_refused(
            fmt::format("what is drawn at {} on the layer of drill holes is neither a circle "
                        "nor a point, and no hole would be made: draw it as one, on the layer of cut-outs, "
                        "or on a layer to which \"layers\" gives the role \"ignore\"",
                        drawn_place(drawing_, start_of(contour.raw.curves.front()))),
            contour.from);
      case LayerRole::kBoundary:
        if (contour.closed) return add_crossing(contour);
        return add_edge_line(one);
      case LayerRole::kText:
      case LayerRole::kTurnPoints:
      case LayerRole::kCurvePoints:
        leave_out(fmt::format("a line among the {}", name_of(*one.role)));
        return Done{};
      case LayerRole::kIgnore:
        ignore();
        return Done{};
    }
    return Done{};
  }

  // What is drawn as nicks are, on the outline's own layer, is what the drawing says of such lines.
  Status add_edge_line(const PatternContour& one) {
    const std::string& said = drawing_.spec.edge_lines;
    const std::optional<BoundNick> nick = said.empty() ? std::nullopt : like_a_nick(one.contour);
    if (!nick) {
      leave_out(why_open(one));
    } else if (said == "nicks") {
      piece_.nicks.push_back(*nick);
    } else {
      ignore();
    }
    return Done{};
  }

  // Where a line comes back near to its start, one that closes was meant.
  [[nodiscard]] std::string why_open(const PatternContour& one) const {
    const Vec2 from = start_of(one.contour.raw.curves.front());
    const Vec2 to = end_of(one.contour.raw.curves.back());
    const double gap = distance(from, to);
    if (gap > kComesBack * std::hypot(one.box.width(), one.box.height()))
      return "on the boundary's layer, but open" + maybe_a_nick(one.contour);
    const std::string join =
        gap <= kMostJoined ? fmt::format(", or if \"chain_gap\" of the drawing is above {:.4g} mm", gap) : "";
    return fmt::format(
        "on the boundary's layer, but open: it closes if a line is drawn from {} to {}, {:.4g} mm{}",
        drawn_place(drawing_, to), drawn_place(drawing_, from), gap, join);
  }

  // A straight line from the edge, as long as nicks are and about square to it. The fold is not cut.
  [[nodiscard]] std::optional<BoundNick> like_a_nick(const Contour& contour) const {
    const auto meets = [&](Vec2 p) { return on_outline(p, contour.from); };
    const auto [first, first_off] = meets(start_of(contour.raw.curves.front()));
    const auto [last, last_off] = meets(end_of(contour.raw.curves.back()));
    BoundNick nick = first_off <= last_off ? first : last;
    nick.depth = drawn_depth(contour, nick);
    if (std::min(first_off, last_off) > tolerance::kCornerSnap.value() || nick.depth == 0.0 ||
        fold_edge(piece_) == nick.edge)
      return std::nullopt;
    return nick;
  }
  // It is not taken for one, and is made one by saying so.
  [[nodiscard]] std::string maybe_a_nick(const Contour& contour) const {
    const std::optional<BoundNick> nick = like_a_nick(contour);
    if (!nick) return {};
    return fmt::format(
        ", a straight line of {:.4g} mm about square to the edge {} at {}: if it is a nick, "
        "draw it on the layer of notches, state a \"nick\" on that edge among the features of the piece, or "
        "state \"edge_lines\": \"nicks\" on the drawing, which makes nicks of all such lines",
        nick->depth, piece_.edges[nick->edge].spec.name, drawn_place(drawing_, nick->at));
  }

  // A closed line on a boundary's layer that meets the piece's outline is what "inside" says that lines
  // within it are, if that is something cut: then it is judged like one on a layer of its own.
  Status add_crossing(const Contour& contour) {
    const std::string& inside = drawing_.spec.inside;
    const std::optional<LayerRole> role = inside.empty() ? std::nullopt : role_named(inside);
    if (role == LayerRole::kCutOuts) return add_cut_out(contour);
    if (role == LayerRole::kDrillHoles) {
      if (const auto hole = circle_of(contour)) return add_hole(*hole);
    }
    const Vec2 at = start_of(contour.raw.curves.front());
    return thing_refused(
        fmt::format("a closed line on a layer of outlines, from {}, crosses or touches the outline "
                    "of this piece, and no piece takes it; {}",
                    drawn_place(drawing_, at),
                    inside.empty()
                        ? "say what it is by \"inside\" of the drawing or by a layer of its own, or name "
                          "the piece that it is"
                        : fmt::format("\"inside\" makes {} of lines that lie within an outline only: draw "
                                      "it on a layer of its own",
                                      inside)),
        contour.from);
  }

  // Circles of all other layers have become contours.
  Status add(const DrawnCircle& circle) {
    const bool drilled = drawing_.role(circle.from) == LayerRole::kDrillHoles;
    return add_hole(
        {circle.centre, circle.radius, drilled ? Operation::kHole : Operation::kCutOut, circle.from});
  }

  Status add_hole(const BoundHole& hole) {
    if (const Status status = within_.check(hole); !status) return status;
    piece_.holes.push_back(hole);
    return Done{};
  }

  Status add(const DrawnPoint& point) {
    const auto role = drawing_.role(point.from);
    if (role == LayerRole::kDrillHoles) {
      return add_hole({point.at, 0.0, Operation::kPrick, point.from});
    } else if (role == LayerRole::kNotches) {
      return add_nick(point.at, point.from);
    } else if (role == LayerRole::kIgnore) {
      ignore();
    } else {
      leave_out(role ? fmt::format("a point among the {}", name_of(*role)) : no_role(point.from));
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
      Problem problem = thing_refused(fmt::format("a cut-out is open between {} and {}",
                                                  drawn_place(drawing_, from), drawn_place(drawing_, to)),
                                      contour.from);
      problem.value = distance(from, to);
      problem.limit = drawing_.spec.chain_gap.value();
      return problem;
    }
    if (auto hole = circle_of(contour)) {
      hole->operation = Operation::kCutOut;
      return add_hole(*hole);
    }
    const Result<ClosedOutline> outline = make_closed_outline(contour.raw, drawing_.spec.chain_gap);
    if (!outline) return located(outline.problem(), contour.from);
    if (const Status status = within_.check(*outline, contour.from); !status) return status;
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

  // Each is used on the fold of the piece, or told.
  Status add_mirror(const Contour& contour) {
    const auto& curves = contour.raw.curves;
    std::optional<UnusedMirror> unused;
    if (!is_straight(curves)) {
      unused = bent_mirror(piece_, curves, contour.closed);
    } else {
      const BoundAxis mirror{start_of(curves.front()), end_of(curves.back()), contour.from};
      const auto longer = [](const BoundAxis& a, const BoundAxis& b) {
        return distance(a.from, a.to) > distance(b.from, b.to);
      };
      piece_.mirrors.insert(std::upper_bound(piece_.mirrors.begin(), piece_.mirrors.end(), mirror, longer),
                            mirror);
      unused = unused_mirror(piece_, {mirror.from, mirror.to});
    }
    if (unused) left_.push_back({thing_, std::move(unused->reason), false, true, unused->not_doubled});
    return Done{};
  }

  Status add_nick(const Contour& contour) {
    // A nick drawn as a line is where the line meets the edge:
    // its end that is nearer to the outline, or its tip.
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
    best->depth = drawn_depth(contour, *best);
    return keep(*best, best_distance);
  }
  // Of a straight line from the edge, about square to it.
  [[nodiscard]] double drawn_depth(const Contour& contour, const BoundNick& nick) const {
    if (contour.raw.curves.size() != 1 || !std::holds_alternative<Line>(contour.raw.curves.front()))
      return 0.0;
    const Vec2 way = end_of(contour.raw.curves.front()) - start_of(contour.raw.curves.front());
    const double depth = norm(way);
    if (depth < kLeastDrawnNick || depth > kMostDrawnNick) return 0.0;
    const Vec2 along = tangent_at(piece_.edges[nick.edge].chain.curves()[nick.curve], nick.t);
    constexpr double kSquareWithin = 0.5;  // the sine of 30 degrees
    return std::abs(dot(way, along)) <= kSquareWithin * depth ? depth : 0.0;
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
    Problem problem = thing_refused(
        fmt::format("a nick near {} is not on the outline", drawn_place(drawing_, nick.at)), nick.from);
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
  const Owners& owners_;
  std::size_t outline_;
  WithinPiece within_;
  BoundPiece& piece_;
  DrawnThing thing_;
  std::vector<LeftThing> left_;
  std::vector<std::pair<DrawnThing, const Contour*>> grains_;  // all that is on the layer
};

}  // namespace

Result<std::vector<LeftThing>> bind_features(const PatternDrawing& drawing, const Owners& owners,
                                             std::size_t outline, BoundPiece& piece) {
  return FeatureBinder(drawing, owners, outline, piece).run();
}

}  // namespace lastwright
