// How the features of a piece, and what is drawn in it,
// keep off its edges and each other, in one size and width.
//
// Each is a footprint (grading/checks/lasting/footprint). What is judged, in mm; the limits stand in FeatureLimits:
//
//   what              against                                                      rule
//   hole              finished edge; in the allowance the cut line                 kHoleToEdge
//   hole              holes, cut-outs                                              kHoleToHole
//   cut-out, slot     finished edge; in the allowance the cut line                 kCutOutToEdge
//   cut-out, slot     cut-outs, slots                                              kCutOutGap
//   nick              corners, finished edge, nicks                                kNickToCorner to
//   kNickToNick nick              holes, cut-outs                                              kNickToHole
//   stitch line, prick, text, frame of a pair number: holes, cut-outs              kMarkToHole
//   features; drawn stitch lines, pricks, cut-outs: the cut line                   kInside
//   drawn nick        the cut line, where it starts                                kNickAtCut
//   features on both halves: their own mirror image                                kBothHalves
//
// and what is told without a limit, where it is so at all:
//
//   stitch line, text, frame: out of the finished edge                             kInAllowance
//   lap guide         holes, cut-outs                                              kGuideOverHole
//   text              texts                                                        kTextOverText
//   drawn line, text  out of the cut line                                          kDrawnOutside
//   line beside its mirror image: the fold, which it crosses                         kOverFold
//   hole, cut-out, slot: whole beyond the finished edge                            kHoleInAllowance
//   skive band        as far as it is wider than the piece                         kSkiveBeyond
//
// What lies on the two halves of a piece that is cut double is judged against each other like all else.
// Distances are from arc to arc and exact; below 0 two things overlap. The box of a text is an estimate, and
// what stands out of an outline is told to 0.01 mm.
#pragma once

#include <cstdint>
#include <vector>

#include "grading/checks/lasting/footprint.hpp"

namespace lastwright {

enum class FeatureRule : std::uint8_t {
  kHoleToEdge,
  kHoleToHole,
  kCutOutToEdge,
  kCutOutGap,
  kNickToCorner,
  kNickToNet,
  kNickInEdge,
  kNickToNick,
  kNickToHole,
  kMarkToHole,
  kInside,
  kNickAtCut,
  kBothHalves,
  kInAllowance,
  kGuideOverHole,
  kTextOverText,
  kDrawnOutside,
  kSkiveBeyond,
  kOverFold,
  kHoleInAllowance,
  kStitchCross,
};
inline constexpr std::size_t kFeatureRules = 21;  // as many as are listed above

// Whether the smaller value is the worse one.
bool least_of(FeatureRule rule);

// The worst that one feature comes to by one rule.
struct FeatureMet {
  static constexpr std::uint16_t kNothing = 0xffff;
  double value = 0.0;
  Vec2 at;                         // where, on the forme
  std::uint16_t feature = 0;       // of PieceSpec::features; their number for what is drawn
  std::uint16_t other = kNothing;  // what it comes too near to, likewise; nothing: an edge
  FeatureRule rule = FeatureRule::kHoleToEdge;
  FootprintKind kind = FootprintKind::kHole;  // of the feature
  FootprintKind other_kind = FootprintKind::kHole;
};

// By feature, then by rule; without what there is nothing
// to say of. Empty where the features could not be placed.
using FeatureLook = std::vector<FeatureMet>;

// `piece`: with its cut line, without the features, which are one for each of the spec's.
FeatureLook look_at_features(const GradedPiece& piece, const PieceSpec& spec,
                             const std::vector<PlacedFeature>& features);

}  // namespace lastwright
