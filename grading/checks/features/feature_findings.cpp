// What the looks at features come to over the run, by the limits of the style.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <optional>

#include "geometry/counted.hpp"
#include "geometry/tolerance.hpp"
#include "grading/checks/features/feature_rules.hpp"
#include "grading/checks/style_checks.hpp"

namespace lastwright {

namespace {

struct RuleText {
  const char* check;
  const char* note;
};
// In the order of FeatureRule.
constexpr RuleText kTexts[kFeatureRules] = {
    {"hole to edge", "from the rim to the finished edge, or to the cut line for holes in the allowance"},
    {"hole to hole", "from rim to rim of the nearest other hole or cut-out"},
    {"cut-out to edge",
     "from a slot or cut-out to the finished edge, or to the cut line for one in the allowance"},
    {"cut-out gap", "from a slot or cut-out to the nearest other one"},
    {"nick to corner", "along the cut line or the finished edge, from the mouth of the nick"},
    {"nick to net", "from the tip of the nick to the finished edge"},
    {"nick in edge", "depth of a nick where there is no allowance: it shows on the finished edge"},
    {"nick to nick", "from mouth to mouth of the nearest other nick"},
    {"nick to hole", "from a nick to the nearest hole or cut-out"},
    {"mark to hole", "from a stitch line, prick, text or pair number to the nearest hole or cut-out"},
    {"feature inside", "stands out of the cut line by this much"},
    {"nick at cut line", "a drawn nick starts this far from the cut line: none lies in front of its place"},
    {"both halves", "as made, it is this far from its mirror image in the fold"},
    {"in allowance", "a stitch line, text or pair number stands out of the finished edge by this much"},
    {"guide over hole", "a lap guide runs into a hole or cut-out by this much"},
    {"text over text",
     "two texts, or one and its mirror image in the fold, overlap by this much, letters taken as 0.65 of "
     "their "
     "height wide: move one"},
    {"drawn outside",
     "what is drawn in the piece stands out of the cut line by this much: shorten it, or put it on a layer "
     "to which \"layers\" gives the role \"ignore\""},
    {"skive beyond",
     "the band is wider than the piece, or than its half up to the fold, over this length of its line"},
    {"over fold",
     "a line that is made on either half reaches over the fold onto the other, where it meets its own mirror "
     "image, by this much: end it at the fold"},
    {"in allowance, hole",
     "a hole, slot or cut-out lies this far beyond the finished edge, in the allowance, which is sewn in or "
     "lasted over: see whether it is meant there"},
    {"stitches cross",
     "two stitch lines cross, and each runs on by this much at least to either side: see whether it is "
     "meant"},
};

// What is told without a limit and is hardly ever meant: it is to be looked at.
bool to_be_looked_at(const FeatureMet& met) {
  constexpr double kTextsOver = 0.5;  // mm, a pen's line: how wide letters are is an estimate
  switch (met.rule) {
    case FeatureRule::kHoleInAllowance:
    case FeatureRule::kDrawnOutside:
    case FeatureRule::kOverFold:
    case FeatureRule::kStitchCross:
      return true;
    case FeatureRule::kTextOverText:
      return met.value > kTextsOver;
    default:
      return false;
  }
}

std::optional<Millimetres> limit_of(FeatureRule rule, const FeatureLimits& limits) {
  switch (rule) {
    case FeatureRule::kHoleToEdge:
      return limits.hole_to_edge;
    case FeatureRule::kHoleToHole:
      return limits.hole_to_hole;
    case FeatureRule::kCutOutToEdge:
      return limits.cut_out_to_edge;
    case FeatureRule::kCutOutGap:
      return limits.cut_out_gap;
    case FeatureRule::kNickToCorner:
      return limits.nick_to_corner;
    case FeatureRule::kNickToNet:
      return limits.nick_to_net;
    case FeatureRule::kNickInEdge:
      return limits.nick_in_edge;
    case FeatureRule::kNickToNick:
      return limits.nick_to_nick;
    case FeatureRule::kNickToHole:
      return limits.nick_to_hole;
    case FeatureRule::kMarkToHole:
      return limits.mark_to_hole;
    case FeatureRule::kInside:
    case FeatureRule::kBothHalves:
      return limits.outside;
    case FeatureRule::kNickAtCut:
      return tolerance::kMapped;
    default:
      return std::nullopt;
  }
}

const char* drawn(FootprintKind kind) {
  switch (kind) {
    case FootprintKind::kHole:
      return "drawn holes";
    case FootprintKind::kCutOut:
      return "drawn cut-outs";
    case FootprintKind::kNick:
      return "drawn nicks";
    case FootprintKind::kPrick:
      return "drawn pricks";
    case FootprintKind::kStitch:
      return "drawn sew lines";
    case FootprintKind::kText:
      return "drawn texts";
    default:
      return "drawn lines";
  }
}

std::string name_of(const PieceSpec& piece, std::uint16_t feature, FootprintKind kind) {
  return feature < piece.features.size() ? piece.features[feature].name : drawn(kind);
}

bool within(FeatureRule rule, double value, double limit) {
  const double slack = tolerance::kSamePoint.value();
  return least_of(rule) ? value >= limit - slack : value <= limit + slack;
}

// The worst that a feature of one piece comes to by one rule over the run.
struct WorstMet {
  FeatureMet met;
  std::size_t cell = 0;
  std::size_t failed = 0;  // cells beyond the limit
};

StyleFinding finding_of(const WorstMet& worst, const PieceSpec& piece, const StyleGrade& grade,
                        const FeatureLimits& limits) {
  const FeatureMet& met = worst.met;
  const RuleText& text = kTexts[static_cast<std::size_t>(met.rule)];
  const std::string name = name_of(piece, met.feature, met.kind);
  StyleFinding finding{
      text.check, piece.name + ": " + name, met.value, {}, "mm", grade.cells[worst.cell], true,
      text.note,  least_of(met.rule)};
  if (const std::optional<Millimetres> limit = limit_of(met.rule, limits)) {
    finding.limit = limit->value();
    finding.passed = within(met.rule, met.value, limit->value());
  }
  finding.doubtful = to_be_looked_at(met);
  if (finding.passed && finding.limit) return finding;
  if (met.other != FeatureMet::kNothing) {
    const std::string other = name_of(piece, met.other, met.other_kind);
    finding.note += other == name ? "; beside another of its own" : fmt::format("; beside \"{}\"", other);
  }
  finding.note += fmt::format("; at ({:.2f}, {:.2f})", met.at.x, met.at.y);
  if (finding.limit)
    finding.note += fmt::format("; in {} of {}", worst.failed,
                                counted(grade.run_cells(), "size and width", "sizes and widths"));
  return finding;
}

std::vector<StyleFinding> rule_findings(const PieceSpec& piece, const FeatureLimits& limits,
                                        const StyleGrade& grade, const std::vector<PieceLook>& looks) {
  std::map<std::pair<std::uint16_t, FeatureRule>, WorstMet> worst;
  for (std::size_t k = 0; k < looks.size(); ++k) {
    for (const FeatureMet& met : looks[k].features) {
      const auto [found, first] = worst.try_emplace({met.feature, met.rule}, WorstMet{met, k, 0});
      WorstMet& so_far = found->second;
      const std::optional<Millimetres> limit = limit_of(met.rule, limits);
      if (k < grade.run_cells() && limit && !within(met.rule, met.value, limit->value())) ++so_far.failed;
      const bool worse = least_of(met.rule) ? met.value < so_far.met.value : met.value > so_far.met.value;
      if (first || !worse) continue;
      so_far.met = met;
      so_far.cell = k;
    }
  }
  std::vector<StyleFinding> all;
  for (const auto& [key, one] : worst) all.push_back(finding_of(one, piece, grade, limits));
  return all;
}

}  // namespace

std::vector<StyleFinding> check_features(const StyleSpec& style, const StyleGrade& grade,
                                         const StyleLooks& looks) {
  std::vector<StyleFinding> all;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const PieceSpec& spec = grade.pieces[p].bound.spec;
    StyleFinding made{
        "features", spec.name, 0.0,  0.0,
        "faults",   {},        true, "every feature can be made, and is found again as often as stated",
        false};
    for (std::size_t k = 0; k < grade.cells.size(); ++k) {
      const std::optional<Problem>& fault = looks[p][k].features_fault;
      if (!fault || made.worst++ > 0.0) continue;
      made.note = to_text(*fault);
      made.where = grade.cells[k];
    }
    made.passed = made.worst == 0.0;
    if (!spec.features.empty() || !made.passed) all.push_back(made);
    StyleFinding drawable{"drawing", spec.name, 0.0,  0.0,
                          "faults",  {},        true, "it can be written as a drawing for cutters",
                          false};
    for (std::size_t k = 0; k < grade.cells.size(); ++k) {
      const std::optional<Problem>& fault = looks[p][k].sheet_fault;
      if (!fault || drawable.worst++ > 0.0) continue;
      drawable.note = to_text(*fault);
      drawable.where = grade.cells[k];
    }
    drawable.passed = drawable.worst == 0.0;
    if (!drawable.passed) all.push_back(drawable);
    StyleFinding absorbed{"cut steps", spec.name, 0.0,  tolerance::kShortestSegment.value(), "mm", {},
                          true,        "",        false};
    std::size_t cells = 0;
    for (std::size_t k = 0; k < grade.cells.size(); ++k) {
      const double moved = looks[p][k].absorbed;
      if (moved == 0.0) continue;
      ++cells;
      if (moved <= absorbed.worst) continue;
      absorbed.worst = moved;
      absorbed.where = grade.cells[k];
    }
    absorbed.note = fmt::format(
        "the cut line moves by no more than this where a step too short to cut, under {:g} mm, is absorbed "
        "into its neighbours; in {} of {} sizes and widths",
        tolerance::kShortestSegment.value(), cells, grade.cells.size());
    if (cells > 0) all.push_back(absorbed);
    const std::vector<StyleFinding> found = rule_findings(spec, style.feature_limits, grade, looks[p]);
    all.insert(all.end(), found.begin(), found.end());
  }
  return all;
}

}  // namespace lastwright
