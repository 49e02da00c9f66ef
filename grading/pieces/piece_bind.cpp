#include "grading/pieces/piece_bind.hpp"
#include "grading/pieces/drawing/mark_account.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <optional>
#include <set>
#include <span>
#include <utility>

#include "geometry/curve/nearest.hpp"
#include "grading/json/json_text.hpp"
#include "grading/pieces/allowance.hpp"
#include "grading/pieces/drawing/account_maker.hpp"
#include "grading/pieces/drawing/outline_split.hpp"
#include "grading/pieces/drawing/ownership.hpp"
#include "grading/pieces/net/net_recovery.hpp"
#include "grading/pieces/piece_contour.hpp"
#include "grading/pieces/piece_features.hpp"
#include "grading/pieces/place/off_forme.hpp"
#include "grading/pieces/unit_words.hpp"
#include "grading/style/lies_check.hpp"

namespace lastwright {

namespace {

struct BoundTo {
  BoundPiece piece;
  std::vector<LeftThing> left;
};

// `drawing` and the coordinates of `spec` in the frame of the forme.
Result<BoundTo> bind_lying(const PieceSpec& spec, const FormeSpec& forme, const PatternDrawing& drawing,
                           const Owners& owners, std::size_t contour) {
  const auto in_drawing = [&](const Problem& problem) {
    return problem.in_file(drawing.drawing.file).in("piece", spec.name);
  };
  const Result<ClosedOutline> outline =
      make_closed_outline(drawing.contours[contour].contour.raw, drawing.spec.chain_gap);
  if (!outline) return in_drawing(outline.problem());
  const Result<SplitOutline> split = split_outline(*outline, spec, forme);
  if (!split) {
    Problem problem = split.problem();
    // Whether the unit is wrong matters only where a corner is far off.
    const std::string unit =
        problem.value && problem.limit ? fitting_unit(*outline, spec, forme, drawing.drawing.unit_in_mm) : "";
    if (!unit.empty())
      problem.message += fmt::format(
          "; the unit seems wrong: the drawing was taken in {}, and all corners would be on the outline if "
          "it "
          "were in {} (\"units\": \"{}\" of the drawing, or --units {})",
          unit_name(drawing.drawing.unit_in_mm), unit, unit, unit);
    return in_drawing(problem);
  }
  BoundTo out;
  out.piece.spec = spec;
  out.piece.edges = split->edges;
  out.piece.notes = split->notes;
  Result<std::vector<LeftThing>> left = bind_features(drawing, owners, contour, out.piece);
  if (!left) return in_drawing(left.problem());
  out.left = std::move(*left);
  return out;
}

// Whether the outline of one lies elsewhere than that of the other, by more than what meets may miss.
bool lies_otherwise(const BoundPiece& one, const BoundPiece& other) {
  constexpr std::size_t kPlaces = 9;
  const auto away = [&](Vec2 p) {
    double least = std::numeric_limits<double>::infinity();
    for (const BoundEdge& edge : other.edges) {
      for (const Curve& curve : edge.chain.curves()) least = std::min(least, nearest(curve, p).distance);
    }
    return least;
  };
  for (const BoundEdge& edge : one.edges) {
    for (const Vec2 p : evenly_along(edge.chain, kPlaces)) {
      if (away(p) > one.spec.lies->limit.value()) return true;
    }
  }
  return false;
}

Result<BoundTo> bind_to(const PieceSpec& spec, const FormeSpec& forme, const PatternDrawing& drawing,
                        const Owners& owners, std::size_t contour, const PiecesByName& lying,
                        std::span<const Millimetres> allowances) {
  if (!spec.lies || spec.lies->as_drawn) return bind_lying(spec, forme, drawing, owners, contour);
  const Result<ClosedOutline> drawn =
      make_closed_outline(drawing.contours[contour].contour.raw, drawing.spec.chain_gap);
  if (!drawn) return drawn.problem().in_file(drawing.drawing.file).in("piece", spec.name);
  const auto laid = [&](const PieceSpec& one) -> Result<BoundTo> {
    const Result<FoundLie> found = find_lie(one, forme, *drawn, lying, allowances);
    if (!found) return found.problem().in("piece", spec.name);
    // What belongs to the piece is known by its index, wherever it lies.
    Result<BoundTo> bound =
        bind_lying(moved(one, found->motion), forme, moved(drawing, found->motion), owners, contour);
    if (bound) bound->piece.lie = found->lie;
    return bound;
  };
  Result<BoundTo> bound = laid(spec);
  // Places that meet may do so either way; the edges may tell which was meant.
  PieceSpec over = spec;
  over.lies->mirrored = !spec.lies->mirrored;
  const Result<BoundTo> other = laid(over);
  if (bound && other && over.lies->mirrored && lies_otherwise(bound->piece, other->piece))
    bound->piece.notes.emplace_back(
        "its places meet equally well turned over, and then it lies differently: is it drawn as the other "
        "hand (\"mirrored\": true in its \"lies\")? A third place, off the line of the others, would tell");
  if (bound || !other) return bound;
  Problem problem = bound.problem();
  problem.message += spec.lies->mirrored
                         ? "; it fits where it is not turned over: leave \"mirrored\" out of its \"lies\""
                         : "; it fits turned over, as it must be where it is drawn as the other hand: say "
                           "\"mirrored\": true in its \"lies\"";
  return problem;
}

Problem without_outline(const Problem& problem, const PieceSpec& spec, const PatternDrawing& drawing) {
  return problem.in("drawing", drawing.spec.file).in("piece", spec.name);
}

class StyleBinder {
 public:
  // `sizes`: none to leave the pieces as they are drawn.
  StyleBinder(const StyleSpec& style, const std::map<std::string, PatternDrawing>& drawings,
              const SizeRun* sizes)
      : style_(style),
        drawings_(drawings),
        sizes_(sizes),
        bound_(style.pieces.size()),
        tried_(style.pieces.size(), false) {}

  BoundStyle run() {
    find_outlines();
    for (const auto& [key, drawing] : drawings_) owners_.emplace(key, Owners(drawing, used_[key]));
    // In the order in which they can lie: those that meet others after them.
    for (bool more = true; more;) {
      more = false;
      for (std::size_t i = 0; i < bound_.size(); ++i) {
        if (tried_[i] || !ready(style_.pieces[i])) continue;
        tried_[i] = true;
        bind(i);
        more = true;
      }
    }
    for (std::optional<BoundPiece>& piece : bound_) {
      if (piece) out_.pieces.push_back(*std::move(piece));
    }
    for (const auto& [key, drawing] : drawings_) {
      note_shared_outlines(drawing, there_[key]);
      AccountMade made = make_account(drawing, owners_.at(key), there_[key]);
      count_marks(stated_marks(style_, key, drawing.drawing), drawing.drawing, made.account);
      std::move(made.problems.begin(), made.problems.end(), std::back_inserter(out_.problems));
      std::move(made.notes.begin(), made.notes.end(), std::back_inserter(out_.notes));
      out_.accounts.push_back(std::move(made.account));
    }
    return std::move(out_);
  }

 private:
  [[nodiscard]] bool ready(const PieceSpec& piece) const {
    const std::vector<std::string> others = lies_on(piece);
    return std::all_of(others.begin(), others.end(),
                       [&](const std::string& name) { return lying_.count(name) > 0; });
  }

  void find_outlines() {
    for (const PieceSpec& spec : style_.pieces) {
      const auto drawing = drawings_.find(spec.source.drawing);
      invariant(drawing != drawings_.end(), "a piece has its drawing");
      outlines_.push_back(find_contour(spec.source, drawing->second));
      if (outlines_.back()) used_[drawing->first].insert(*outlines_.back());
    }
  }

  void note_shared_outlines(const PatternDrawing& drawing,
                            const std::map<std::size_t, std::vector<PieceThere>>& there) {
    for (const auto& [outline, pieces] : there) {
      if (pieces.size() < 2) continue;
      std::string names = pieces.front().name;
      for (std::size_t i = 1; i < pieces.size(); ++i)
        names += (i + 1 == pieces.size() ? " and " : ", ") + pieces[i].name;
      out_.notes.push_back(fmt::format("{}: the pieces {} take the same outline: {}", drawing.drawing.file,
                                       names, described(drawing.contours[outline])));
    }
  }

  void bind(std::size_t i) {
    const PieceSpec& spec = style_.pieces[i];
    const PatternDrawing& drawing = drawings_.at(spec.source.drawing);
    if (!outlines_[i]) {
      add(without_outline(outlines_[i].problem(), spec, drawing), i);
      return;
    }
    const auto forme = std::find_if(style_.formes.begin(), style_.formes.end(),
                                    [&](const FormeSpec& one) { return one.name == spec.forme; });
    invariant(forme != style_.formes.end(), "a piece has its forme");
    const std::vector<Millimetres> allowances =
        sizes_ != nullptr ? base_allowances(spec, *sizes_) : std::vector<Millimetres>{};
    Result<BoundTo> bound =
        bind_to(spec, *forme, drawing, owners_.at(spec.source.drawing), *outlines_[i], lying_, allowances);
    if (bound && sizes_ != nullptr) {
      if (Status net = recover_net(bound->piece, allowances); !net)
        bound = net.problem().in("piece", spec.name);
    }
    PieceThere& there = there_[spec.source.drawing][*outlines_[i]].emplace_back();
    there.name = spec.name;
    if (!bound) {
      add(bound.problem(), i);
      return;
    }
    there.bound = true;
    there.left = std::move(bound->left);
    bound_[i] = std::move(bound->piece);
    lying_[spec.name] = &*bound_[i];
  }

  // What is wrong in the drawing stands in the drawing's file, the rest in the style.
  void add(Problem problem, std::size_t i) {
    if (problem.place.file.empty()) problem.place.pointer = pointer_to("/pieces", i) + problem.place.pointer;
    out_.problems.push_back(std::move(problem));
  }

  const StyleSpec& style_;
  const std::map<std::string, PatternDrawing>& drawings_;
  const SizeRun* sizes_;
  std::vector<Result<std::size_t>> outlines_;  // by piece
  std::map<std::string, std::set<std::size_t>> used_;
  std::map<std::string, Owners> owners_;
  std::map<std::string, std::map<std::size_t, std::vector<PieceThere>>> there_;
  std::vector<std::optional<BoundPiece>> bound_;  // in the order of the style
  std::vector<bool> tried_;
  PiecesByName lying_;
  BoundStyle out_;
};

}  // namespace

Result<BoundPiece> bind_piece(const PieceSpec& spec, const FormeSpec& forme, const PatternDrawing& drawing,
                              const PiecesByName& lying, std::span<const Millimetres> allowances) {
  const Result<std::size_t> contour = find_contour(spec.source, drawing);
  if (!contour) return without_outline(contour.problem(), spec, drawing);
  Result<BoundTo> bound =
      bind_to(spec, forme, drawing, Owners(drawing, {*contour}), *contour, lying, allowances);
  if (!bound) return bound.problem();
  return std::move(bound->piece);
}

BoundStyle bind_pieces(const StyleSpec& style, const std::map<std::string, PatternDrawing>& drawings,
                       const SizeRun& run) {
  BoundStyle out = StyleBinder(style, drawings, &run).run();
  OffForme off = off_forme(style, out.pieces);
  for (Problem& problem : off.problems) out.problems.push_back(std::move(problem));
  for (std::string& note : off.notes) out.notes.push_back(std::move(note));
  return out;
}

BoundStyle bind_as_drawn(const StyleSpec& style, const std::map<std::string, PatternDrawing>& drawings) {
  return StyleBinder(style, drawings, nullptr).run();
}

std::optional<std::size_t> fold_edge(const BoundPiece& piece) {
  for (std::size_t e = 0; piece.spec.fold && e < piece.edges.size(); ++e) {
    if (piece.edges[e].spec.name == *piece.spec.fold) return e;
  }
  return std::nullopt;
}

}  // namespace lastwright
