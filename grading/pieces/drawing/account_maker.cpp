#include "grading/pieces/drawing/account_maker.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "geometry/curve/nearest.hpp"
#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/pieces/drawing/no_role.hpp"
#include "grading/pieces/first/first_boundaries.hpp"
#include "grading/pieces/first/first_doubts.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostLost = 20;  // more of one drawing tell nobody more

class AccountMaker {
 public:
  AccountMaker(const PatternDrawing& drawing, const Owners& owners,
               const std::map<std::size_t, std::vector<PieceThere>>& pieces)
      : drawing_(drawing), owners_(owners), pieces_(pieces) {}

  AccountMade run() {
    DrawingAccount& account = out_.account;
    account.file = drawing_.drawing.file;
    account.read = drawing_.drawing.entities_in;
    account.unit_in_mm = drawing_.laid ? 1.0 : drawing_.drawing.unit_in_mm;
    for (const LeftOut& one : drawing_.drawing.left_out) {
      if (would_be_cut(one)) {
        unread(one);
      } else {
        account.left_out.push_back({one.from, {}, "", one.reason, 1, false});
      }
    }
    for (const DrawnThing thing : things_in(drawing_)) settle(thing);
    for (const Guess& guess : guesses_) tell(guess);
    if (lost_ > kMostLost) {
      Problem problem{Trouble::kGeometry, "", {}, {}, {}};
      problem.message =
          fmt::format("and {} more holes, cut-outs and notches that would be lost", lost_ - kMostLost);
      out_.problems.push_back(problem.in_file(account.file));
    }
    invariant(account.adds_up(), "every entity of a drawing is used, left out by name or in error");
    return std::move(out_);
  }

 private:
  struct Guess {
    const std::string* piece;
    std::vector<std::size_t> others;
    DrawnThing first;
    std::size_t count = 0;
  };

  // What is not read, and stands on a layer whose things are cut. Of what is hidden that is nobody's guess.
  [[nodiscard]] bool would_be_cut(const LeftOut& one) const {
    const std::optional<LayerRole> role = drawing_.role(one.from);
    return (role == LayerRole::kCutOuts || role == LayerRole::kDrillHoles || role == LayerRole::kNotches) &&
           could_be_outline(one) && one.reason != kMarkedInvisible;
  }

  void unread(const LeftOut& one) {
    ++out_.account.in_error;
    if (++lost_ > kMostLost) return;
    Problem problem{Trouble::kGeometry, "", {}, {}, {}};
    problem.message = fmt::format(
        "a {} on the layer of {} is not read, and what it shows would not be cut: {}; draw it as lines, "
        "arcs, "
        "circles or polylines, or on a layer to which \"layers\" gives the role \"ignore\"",
        one.from.entity, name_of(*drawing_.role(one.from)), one.reason);
    add_place(one.from, problem);
  }

  void add_place(const DrawnFrom& from, Problem& problem) {
    problem.place.file = drawing_.drawing.file;
    problem.place.line = from.line;
    problem.place.named.emplace_back("layer", from.layer);
    if (!from.block.empty()) problem.place.named.emplace_back("block", from.block);
    out_.problems.push_back(std::move(problem));
  }

  [[nodiscard]] std::size_t entities_of(DrawnThing thing) const {
    if (thing.kind != DrawnKind::kContour) return 1;
    return std::max<std::size_t>(1, drawing_.contours[thing.index].contour.paths.size());
  }

  [[nodiscard]] std::optional<LayerRole> role_of(DrawnThing thing) const {
    if (thing.kind == DrawnKind::kContour) return drawing_.contours[thing.index].role;
    return drawing_.role(from_of(drawing_, thing));
  }

  void leave_out(DrawnThing thing, std::string piece, std::string reason, bool asked = false) {
    out_.account.left_out.push_back({from_of(drawing_, thing), place_of(drawing_, thing), std::move(piece),
                                     std::move(reason), entities_of(thing), asked});
    if (thing.kind != DrawnKind::kContour) return;
    for (const std::size_t path : drawing_.contours[thing.index].contour.paths)
      count_kind(out_.account.left_out.back().kinds, drawing_.drawing.paths[path].from.entity, 1);
  }

  void settle(DrawnThing thing) {
    if (thing.kind == DrawnKind::kContour && owners_.is_outline(thing.index)) {
      outline(thing);
      return;
    }
    const Owner& owner = owners_.of(thing);
    if (!owner.outline) {
      nobodys(thing);
      return;
    }
    const auto pieces = pieces_.find(*owner.outline);
    if (pieces != pieces_.end()) {
      of_piece(thing, owner, pieces->second);
    } else if (role_of(thing) == LayerRole::kIgnore) {
      leave_out(thing, "", "", true);
    } else {
      const PatternContour& boundary = drawing_.contours[*owner.outline];
      const bool mirror = role_of(thing) == LayerRole::kMirrorLine;
      leave_out(thing, "",
                fmt::format("{} belongs to a boundary that no piece uses ({})",
                            mirror ? "a mirror line that" : "it", described(boundary)));
    }
  }

  void outline(DrawnThing thing) {
    const auto pieces = pieces_.find(thing.index);
    if (pieces == pieces_.end()) {
      const auto inside = piece_around(thing.index);
      if (inside && !drawing_.spec.inside.empty()) return not_applied(thing, inside->name);
      leave_out(
          thing, inside ? inside->name : "",
          inside
              ? "a closed line inside the piece's outline on its layer; \"inside\" of the drawing says what "
                "such lines are"
              : fmt::format("a boundary that no piece uses, {:.1f} x {:.1f} mm",
                            drawing_.contours[thing.index].box.width(),
                            drawing_.contours[thing.index].box.height()));
    } else if (pieces->second.front().bound) {
      out_.account.used[pieces->second.front().name] += entities_of(thing);
    } else {
      out_.account.in_error += entities_of(thing);
    }
  }

  // What is said of such lines and comes to nothing must not vanish.
  void not_applied(DrawnThing thing, const std::string& piece) {
    out_.account.in_error += entities_of(thing);
    if (++lost_ > kMostLost) return;
    Problem problem{Trouble::kGeometry, "", {}, {}, {}};
    problem.message = fmt::format(
        "a closed line at {} lies inside the outline of {}, on its layer, and \"inside\": \"{}\" of the "
        "drawing, which says what such lines are, cannot be applied to it; draw it on a layer of its own, "
        "and "
        "give that its role in \"layers\"",
        drawn_place(drawing_, place_of(drawing_, thing)), piece, drawing_.spec.inside);
    add_place(from_of(drawing_, thing), problem);
  }

  // The piece whose outline, of the same layer and insertion, goes round a boundary.
  [[nodiscard]] const PieceThere* piece_around(std::size_t contour) const {
    const PatternContour& inner = drawing_.contours[contour];
    const DrawnFrom& from = inner.contour.from;
    for (const auto& [outline, pieces] : pieces_) {
      const PatternContour& outer = drawing_.contours[outline];
      const DrawnFrom& other = outer.contour.from;
      if (other.layer == from.layer && other.block == from.block && other.insert == from.insert &&
          outer.area > inner.area && outer.box.overlaps(inner.box) && !inner.polygon.empty() &&
          inside_polygon(outer.polygon, inner.polygon.front()))
        return &pieces.front();
    }
    return nullptr;
  }

  void of_piece(DrawnThing thing, const Owner& owner, const std::vector<PieceThere>& pieces) {
    const PieceThere& first = pieces.front();
    const auto unbound =
        std::find_if(pieces.begin(), pieces.end(), [](const PieceThere& one) { return !one.bound; });
    if (unbound != pieces.end()) {
      out_.account.in_error += entities_of(thing);
      return;
    }
    // Of several that take one outline, what one has no use for is told, whatever the others do.
    for (const PieceThere& piece : pieces) {
      const auto left = std::lower_bound(piece.left.begin(), piece.left.end(), thing,
                                         [](const LeftThing& a, DrawnThing b) { return a.thing < b; });
      if (left == piece.left.end() || left->thing != thing) continue;
      leave_out(thing, piece.name, left->reason, left->asked);
      out_.account.left_out.back().mirror_line = left->mirror_line;
      out_.account.left_out.back().not_doubled = left->not_doubled;
      return;
    }
    out_.account.used[first.name] += entities_of(thing);
    if (!owner.others.empty()) guess(first.name, owner.others, thing);
  }

  void guess(const std::string& piece, const std::vector<std::size_t>& others, DrawnThing thing) {
    for (Guess& known : guesses_) {
      if (known.piece == &piece && known.others == others) {
        ++known.count;
        return;
      }
    }
    guesses_.push_back({&piece, others, thing, 1});
  }

  void tell(const Guess& guess) {
    std::string others;
    for (const std::size_t outline : guess.others) {
      const auto piece = pieces_.find(outline);
      others += (others.empty() ? "" : ", ") +
                (piece == pieces_.end() ? described(drawing_.contours[outline]) : piece->second.front().name);
    }
    const DrawnFrom& from = from_of(drawing_, guess.first);
    const Vec2 at = place_of(drawing_, guess.first);
    out_.notes.push_back(fmt::format(
        "{}: {} {} in {} and also in {}, taken as {}'s because that piece is the smallest: {} on the layer "
        "{} at {}, line {}{}; what is on a piece's own layer or in its block is that piece's",
        drawing_.drawing.file, guess.count == 1 ? "one thing" : fmt::format("{} things", guess.count),
        guess.count == 1 ? "lies" : "lie", *guess.piece, others, *guess.piece, from.entity, from.layer,
        drawn_place(drawing_, at, 1), from.line, guess.count > 1 ? " and others" : ""));
  }

  void nobodys(DrawnThing thing) {
    const std::optional<LayerRole> role = role_of(thing);
    const bool text = thing.kind == DrawnKind::kText;
    const bool piece = thing.kind == DrawnKind::kContour && may_be_piece(drawing_.contours[thing.index]);
    if (role == LayerRole::kIgnore) {
      leave_out(thing, "", "", true);
    } else if (!role && !text) {
      leave_out(thing, "", "it lies in no piece, and " + no_role(from_of(drawing_, thing), piece));
    } else if (!text && (role == LayerRole::kCutOuts || role == LayerRole::kDrillHoles ||
                         role == LayerRole::kNotches)) {
      if (in_open_boundary(thing)) {
        leave_out(thing, "", "it lies in a boundary that does not close");
      } else {
        lost(thing, *role);
      }
    } else if (role == LayerRole::kMirrorLine && thing.kind == DrawnKind::kContour) {
      nobodys_mirror(thing);
    } else if (role == LayerRole::kBoundary && thing.kind == DrawnKind::kContour) {
      leave_out(thing, "", "a boundary that does not close, and lies in no piece");
    } else {
      leave_out(thing, "", text ? "a text that lies in no piece" : "it lies in no piece");
    }
  }

  [[nodiscard]] bool in_open_boundary(DrawnThing thing) const {
    const Vec2 at = place_of(drawing_, thing);
    return std::any_of(drawing_.contours.begin(), drawing_.contours.end(),
                       [&](const PatternContour& contour) {
                         return contour.role == LayerRole::kBoundary && !contour.contour.closed &&
                                contour.box.overlaps({at, at});
                       });
  }

  void lost(DrawnThing thing, LayerRole role) {
    out_.account.in_error += entities_of(thing);
    if (++lost_ > kMostLost) return;
    const Vec2 at = place_of(drawing_, thing);
    const DrawnFrom& from = from_of(drawing_, thing);
    const char* what = role == LayerRole::kNotches   ? "notch"
                       : role == LayerRole::kCutOuts ? "cut-out"
                                                     : "hole";
    const auto [nearest_piece, least] = nearest_outline({at});
    Problem problem{Trouble::kGeometry, "", {}, {}, {}};
    problem.message = fmt::format("a {} at {} belongs to no piece", what, drawn_place(drawing_, at));
    if (nearest_piece != nullptr)
      problem.message +=
          fmt::format(": the outline of {} is nearest, {:.3f} mm away", nearest_piece->name, least);
    problem.message +=
        "; draw it in its piece, in the piece's block, or on a layer to which \"layers\" gives the role "
        "\"ignore\"";
    add_place(from, problem);
  }

  void nobodys_mirror(DrawnThing thing) {
    const std::vector<Curve>& curves = drawing_.contours[thing.index].contour.raw.curves;
    const Vec2 from = start_of(curves.front());
    const Vec2 to = end_of(curves.back());
    const auto [piece, least] = nearest_outline({from, to});
    std::string reason = fmt::format("a mirror line of {:.2f} mm that lies in no piece", distance(from, to));
    if (piece != nullptr)
      reason += fmt::format(": its ends lie up to {:.3f} mm off the outline of {}, the nearest", least,
                            piece->name);
    leave_out(thing, "",
              reason +
                  "; draw it along the edge on which its piece is cut double, or put it on a layer to "
                  "which \"layers\" gives the role \"ignore\"");
    out_.account.left_out.back().mirror_line = true;
    out_.account.left_out.back().not_doubled = true;
  }

  // The piece off whose outline the places lie least, and how far the farthest of them does.
  [[nodiscard]] std::pair<const PieceThere*, double> nearest_outline(
      std::initializer_list<Vec2> places) const {
    std::pair<const PieceThere*, double> best{nullptr, INFINITY};
    for (const auto& [outline, pieces] : pieces_) {
      double most = 0.0;
      for (const Vec2 at : places) {
        double least = INFINITY;
        for (const Curve& curve : drawing_.contours[outline].contour.raw.curves)
          least = std::min(least, nearest(curve, at).distance);
        most = std::max(most, least);
      }
      if (most < best.second) best = {&pieces.front(), most};
    }
    return best;
  }

  const PatternDrawing& drawing_;
  const Owners& owners_;
  const std::map<std::size_t, std::vector<PieceThere>>& pieces_;
  std::vector<Guess> guesses_;
  std::size_t lost_ = 0;
  AccountMade out_;
};

}  // namespace

AccountMade make_account(const PatternDrawing& drawing, const Owners& owners,
                         const std::map<std::size_t, std::vector<PieceThere>>& pieces) {
  return AccountMaker(drawing, owners, pieces).run();
}

}  // namespace lastwright
