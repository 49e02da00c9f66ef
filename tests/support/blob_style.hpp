// A style of blobs for tests of die plans.
#pragma once

#include <cmath>
#include <string>
#include <vector>

#include "grading/dies/plan/plan_input.hpp"
#include "tests/support/blob.hpp"

namespace lastwright::test {

// A style of blobs that grow by a share of their size per step, graded without a forme.
struct BlobStyle {
  StyleSpec style;
  std::vector<ClosedArcPath> outlines;
  std::vector<bool> punched;
  bool wider_holes = false;  // above size 8: no die serves sizes on either side of it
  bool size_nicks = false;   // a nick for each half size over 7, beside one that is always there
  bool same_nicks = false;   // two of them in every size
  bool width_nicks = false;  // their number tells the width

  void add(const std::string& name, std::uint64_t seed, double radius, Hand hand = Hand::kHanded) {
    PieceSpec piece;
    piece.name = name;
    piece.hand = hand;
    for (const char* edge : {"feather", "top", "front"})
      piece.edges.push_back({edge, "", "", Treatment::kRaw, Millimetres(0), {}, false, false});
    piece.edges[0].treatment = Treatment::kLasting;
    style.pieces.push_back(piece);
    outlines.push_back(blob(seed, 12, radius));
    punched.push_back(radius > 20);
  }

  [[nodiscard]] GradedPiece graded(std::size_t piece, const SizeWidth& at) const {
    const double sizes = at.size.position.value() - 8.0;
    const double widths = at.width.position.value() - 1.0;
    const double sx = 1.0 + 0.029 * sizes;
    const double sy = 1.0 + 0.025 * widths + 0.01 * sizes;
    GradedPiece result;
    result.piece = style.pieces[piece].name;
    result.at = at;
    result.cut.path = stretched(outlines[piece], sx, sy);
    for (std::size_t i = 0; i < result.cut.path.size(); ++i) {
      result.cut.edge.push_back(static_cast<std::uint16_t>(i * 3 / result.cut.path.size()));
    }
    result.net = result.cut;
    if (punched[piece])
      result.holes.push_back(
          {{5.0 * sx, 3.0 * sy}, wider_holes && sizes > 0.0 ? 2.5 : 2.0, Operation::kHole});
    if (!size_nicks && !width_nicks) return result;
    const auto nick = [&](std::size_t vertex, NickTells tells) {
      const Vec2 a = result.cut.path.vertices[vertex].at;
      result.lines.push_back({{{{a}, {0.98 * a}}}, Operation::kNick, tells});
    };
    nick(0, {});
    for (int k = 0; width_nicks && k < std::lround(widths + 2.0) && k < 3; ++k)
      nick(9 + static_cast<std::size_t>(k), {false, true});
    if (!size_nicks) return result;
    const auto told = same_nicks
                          ? std::size_t{2}
                          : static_cast<std::size_t>(std::lround(2.0 * (at.size.position.value() - 7.0)));
    for (std::size_t k = 0; k < told && k < 6; ++k) nick(3 + k, {true, false});
    return result;
  }
};

inline SizeRun run_of(int sizes, int widths) {
  SizeRun run;
  for (int i = 0; i < sizes; ++i) {
    const Fraction position = Fraction(7) + Fraction(i, 2);
    run.sizes.push_back({position, to_mixed(position)});
  }
  for (int j = 0; j < widths; ++j)
    run.widths.push_back({Fraction(j), std::string(1, static_cast<char>('E' + j))});
  run.base = {run.sizes[2], run.widths[1]};
  return run;
}

inline DiePlanInput input_at(const BlobStyle& blobs, const DieRules& rules, const SizeRun& run,
                             DiePlaces die_places) {
  DiePlanInput input;
  input.style = &blobs.style;
  input.rules = &rules;
  input.places = std::move(die_places);
  const std::vector<SizeWidth> places = input.places.places;
  input.outline = [&blobs, places](std::size_t piece, std::size_t place) -> Result<DieOutline> {
    const GradedPiece graded = blobs.graded(piece, places[place]);
    return DieOutline{die_shape_of(graded), edge_lengths(graded.net, 3)};
  };
  for (std::size_t p = 0; p < blobs.style.pieces.size(); ++p)
    input.base_edges.push_back(edge_lengths(blobs.graded(p, run.base).net, 3));
  return input;
}

inline DiePlanInput input_of(const BlobStyle& blobs, const DieRules& rules, const SizeRun& run) {
  return input_at(blobs, rules, run, die_places(run, rules.between));
}

// Of a part of a run, where these dies are there.
inline DiePlanInput part_input(const BlobStyle& blobs, const DieRules& rules, const SizeRun& part,
                               const std::vector<OwnedDie>& owned) {
  DiePlanInput input = input_at(blobs, rules, part, die_places_with(part, true, owned));
  input.owned = owned;
  return input;
}

inline BlobStyle small_style() {
  BlobStyle blobs;
  blobs.add("vamp", 3, 70);
  blobs.add("tongue", 5, 12);
  blobs.add("loop", 8, 8);
  return blobs;
}

}  // namespace lastwright::test
