#include "grading/checks/piece_look.hpp"

#include <algorithm>

#include "geometry/check/simple.hpp"
#include "geometry/io/paper/sheet_prepare.hpp"
#include "geometry/parallel.hpp"
#include "grading/checks/kept_check.hpp"
#include "grading/checks/piece_hands.hpp"
#include "grading/features/feature_count.hpp"
#include "grading/grade/piece_sheet.hpp"
#include "grading/style/seam_lookup.hpp"

namespace lastwright {

namespace {

std::vector<std::size_t> edges_in_seams(const StyleSpec& style, const BoundPiece& piece) {
  std::vector<std::size_t> edges;
  for (std::size_t e = 0; e < piece.edges.size(); ++e) {
    if (seam_names_edge(style, piece.spec.name, piece.edges[e].spec.name)) edges.push_back(e);
  }
  return edges;
}

std::optional<Problem> fault_of(const Status& status) {
  return status ? std::nullopt : std::optional(status.problem());
}

// The edge of the shortest segment of the cut line, where that is too short to cut; at a corner of the piece
// both edges that meet there.
std::string too_short_at(const EdgedOutline& cut, const PieceSpec& spec) {
  const std::size_t n = cut.path.size();
  std::size_t at = 0;
  for (std::size_t i = 1; i < n; ++i) {
    if (cut.path.segment(i).length() < cut.path.segment(at).length()) at = i;
  }
  if (cut.path.segment(at).length() >= tolerance::kShortestSegment.value()) return {};
  const std::uint16_t own = cut.edge[at];
  std::string text = spec.edges[own].name;
  for (const std::size_t beside : {(at + n - 1) % n, (at + 1) % n}) {
    if (cut.edge[beside] != own) text += ", at its corner with " + spec.edges[cut.edge[beside]].name;
  }
  return text;
}

// What `grade` writes is tried, so that it refuses nothing that was passed.
std::optional<Problem> sheet_fault(const GradedPiece& piece, const PieceSpec& spec) {
  const Result<Sheet> prepared = prepare_sheet(sheet_of(piece));
  if (prepared) return std::nullopt;
  Problem fault = prepared.problem();
  if (const std::string edge = too_short_at(piece.cut, spec); !edge.empty()) fault = fault.in("edge", edge);
  return fault.in("width", piece.at.width.label).in("size", piece.at.size.label);
}

}  // namespace

StyleLooker::StyleLooker(const StyleSpec& style, const StyleGrade& grade)
    : grade_(grade), lines_(girth_lines(style, grade)) {
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    sewn_.push_back(edges_in_seams(style, grade.pieces[p].bound));
    const Result<GradedPiece> sample = grade.cut_piece(p, grade.base_cell());
    mirrored_.push_back(sample && mirror_deviation(*sample) <= kMirrorImage.value());
  }
}

StyleLooks StyleLooker::none() const {
  return StyleLooks(grade_.pieces.size(), std::vector<PieceLook>(grade_.cells.size()));
}

PieceLook StyleLooker::look(const MadePiece& made, SheetTrial trial) const {
  const PreparedPiece& piece = grade_.pieces[made.piece];
  PieceLook look;
  look.drawn_fault = fault_of(check_simple(made.drawn.net.path));
  look.corners_fault = corners_lost(grade_, made);
  look.cut_fault = made.outlined ? fault_of(check_simple(made.outlined->cut.path)) : made.outlined.problem();
  const EdgedOutline& net = made.drawn.net;
  if (const std::optional<std::size_t> fold = fold_edge(piece.bound)) look.fold = fold_angles(net, *fold);
  for (const std::size_t edge : sewn_[made.piece])
    look.sewn.push_back({edge, edge_in_seam(net, made.drawn.lines, piece.bound, edge)});
  look.on_lines.resize(lines_.size());
  for (std::size_t l = 0; l < lines_.size(); ++l) {
    const GirthLine& line = lines_[l];
    if (line.forme == piece.forme)
      look.on_lines[l] = stretches_inside({line.from[made.cell], line.to[made.cell], 0.0}, net.path);
  }
  if (!made.outlined) return look;
  const std::vector<Millimetres> allowances = grade_.allowances(made.piece, made.cell);
  const bool half = fold_edge(piece.bound).has_value();
  look.missing = missing_allowances(*made.outlined, allowances, half);
  look.absorbed = absorbed_move(made.outlined->cut.path);
  look.reaches = cut_reaches(*made.outlined, allowances);
  look.spikes = net_spikes(made.outlined->net, allowances, half);
  if (!made.features) {
    look.features_fault = made.features.problem();
    return look;
  }
  const std::optional<Mirror> fold = fold_edge(piece.bound) ? fold_of(*made.outlined) : std::nullopt;
  Status kept = all_made(piece.bound.spec, piece.features, grade_.cells[made.cell],
                         grade_.cells[piece.drawn_as[made.cell]].size, fold, *made.features);
  if (kept) kept = all_drawn_kept(made.drawn, *made.outlined, fold);
  if (!kept) {
    const SizeWidth& at = grade_.cells[made.cell];
    look.features_fault = kept.problem().in("width", at.width.label).in("size", at.size.label);
  }
  look.edge_holes = holes_along_edges(piece.bound.spec, *made.features);
  look.single_holes = single_holes(piece.bound.spec, made.drawn, *made.features);
  look.features = look_at_features(*made.outlined, piece.bound.spec, *made.features);
  const bool mirrored = mirrored_[made.piece] && piece.drawn_as[made.cell] == made.cell;
  if (!mirrored && trial == SheetTrial::kByWriting) return look;
  const Result<GradedPiece> whole = cut_of(made);
  if (!whole) return look;
  if (trial == SheetTrial::kHere) look.sheet_fault = sheet_fault(*whole, piece.bound.spec);
  if (mirrored) look.mirror = mirror_deviation(*whole);
  return look;
}

StyleLooks StyleLooker::all(unsigned threads) const {
  StyleLooks looks = none();
  const std::size_t cells = grade_.cells.size();
  const Status done = run_jobs(looks.size() * cells, threads, [&](std::size_t i) -> Status {
    looks[i / cells][i % cells] = look(grade_.made_piece(i / cells, i % cells));
    return Done{};
  });
  invariant(done.ok(), "looking cannot fail");
  return looks;
}

}  // namespace lastwright
