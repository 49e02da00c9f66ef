#include "grading/pieces/piece_bind.hpp"

#include <algorithm>
#include <optional>
#include <set>
#include <utility>

#include "grading/json/json_text.hpp"
#include "grading/pieces/account_maker.hpp"
#include "grading/pieces/allowance.hpp"
#include "grading/pieces/net_recovery.hpp"
#include "grading/pieces/outline_split.hpp"
#include "grading/pieces/ownership.hpp"
#include "grading/pieces/piece_contour.hpp"
#include "grading/pieces/piece_features.hpp"

namespace lastwright {

namespace {

struct BoundTo {
  BoundPiece piece;
  std::vector<LeftThing> left;
};

Result<BoundTo> bind_to(const PieceSpec& spec, const FormeSpec& forme, const PatternDrawing& drawing,
                        const Owners& owners, std::size_t contour) {
  const auto in_drawing = [&](const Problem& problem) {
    return problem.in_file(drawing.drawing.file).in("piece", spec.name);
  };
  const Result<ClosedOutline> outline =
      make_closed_outline(drawing.contours[contour].contour.raw, drawing.spec.chain_gap);
  if (!outline) return in_drawing(outline.problem());
  const Result<SplitOutline> split = split_outline(*outline, spec, forme);
  if (!split) return in_drawing(split.problem());
  BoundTo out;
  out.piece.spec = spec;
  out.piece.edges = split->edges;
  out.piece.notes = split->notes;
  Result<std::vector<LeftThing>> left = bind_features(drawing, owners, contour, out.piece);
  if (!left) return in_drawing(left.problem());
  out.left = std::move(*left);
  return out;
}

Problem without_outline(const Problem& problem, const PieceSpec& spec, const PatternDrawing& drawing) {
  return problem.in("drawing", drawing.spec.file).in("piece", spec.name);
}

class StyleBinder {
 public:
  // `sizes`: none to leave the pieces as they are drawn.
  StyleBinder(const StyleSpec& style, const std::map<std::string, PatternDrawing>& drawings,
              const SizeRun* sizes)
      : style_(style), drawings_(drawings), sizes_(sizes) {}

  BoundStyle run() {
    find_outlines();
    for (const auto& [key, drawing] : drawings_) owners_.emplace(key, Owners(drawing, used_[key]));
    for (std::size_t i = 0; i < style_.pieces.size(); ++i) bind(i);
    for (const auto& [key, drawing] : drawings_) {
      AccountMade made = make_account(drawing, owners_.at(key), there_[key]);
      std::move(made.problems.begin(), made.problems.end(), std::back_inserter(out_.problems));
      std::move(made.notes.begin(), made.notes.end(), std::back_inserter(out_.notes));
      out_.accounts.push_back(std::move(made.account));
    }
    return std::move(out_);
  }

 private:
  void find_outlines() {
    for (const PieceSpec& spec : style_.pieces) {
      const auto drawing = drawings_.find(spec.source.drawing);
      invariant(drawing != drawings_.end(), "a piece has its drawing");
      outlines_.push_back(find_contour(spec.source, drawing->second));
      if (outlines_.back()) used_[drawing->first].insert(*outlines_.back());
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
    Result<BoundTo> bound = bind_to(spec, *forme, drawing, owners_.at(spec.source.drawing), *outlines_[i]);
    if (bound && sizes_ != nullptr) {
      if (Status net = recover_net(bound->piece, base_allowances(spec, *sizes_)); !net)
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
    out_.pieces.push_back(std::move(bound->piece));
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
  BoundStyle out_;
};

}  // namespace

Result<BoundPiece> bind_piece(const PieceSpec& spec, const FormeSpec& forme, const PatternDrawing& drawing) {
  const Result<std::size_t> contour = find_contour(spec.source, drawing);
  if (!contour) return without_outline(contour.problem(), spec, drawing);
  Result<BoundTo> bound = bind_to(spec, forme, drawing, Owners(drawing, {*contour}), *contour);
  if (!bound) return bound.problem();
  return std::move(bound->piece);
}

BoundStyle bind_pieces(const StyleSpec& style, const std::map<std::string, PatternDrawing>& drawings,
                       const SizeRun& run) {
  return StyleBinder(style, drawings, &run).run();
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
