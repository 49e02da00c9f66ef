#include "grading/checks/limit_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <initializer_list>
#include <string>

#include "grading/checks/reach_check.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

// Times that a limit may be what holds unless it is stated: beyond, it finds little that is not seen by eye.
constexpr double kLoose = 3.0;

// A limit, as it is stated and as it holds unless it is, and the checks that it judges.
struct Judging {
  std::string key;
  double given = 0.0;
  double usual = 0.0;
  const char* unit = "mm";
  std::vector<std::string> checks;
  double loose = kLoose;
  bool least = false;  // what has to be left at least

  [[nodiscard]] bool looser() const { return least ? given < usual : given > usual; }
  [[nodiscard]] bool too_loose() const { return least ? kLoose * given < usual : given > loose * usual; }
  // What would hold instead of the limit of a finding, which may be a share of something.
  [[nodiscard]] double usual_for(double limit) const { return given > 0.0 ? limit * usual / given : usual; }
};

std::vector<Judging> judging_limits(const StyleSpec& style) {
  const StyleSpec usual;
  std::vector<Judging> all;
  const auto most = [&](const char* key, Millimetres given, Millimetres unless,
                        std::initializer_list<std::string> checks, double loose = kLoose) {
    all.push_back({key, given.value(), unless.value(), "mm", checks, loose});
  };
  const auto share = [&](const char* key, double given, double unless, const char* unit,
                         std::initializer_list<std::string> checks, double loose = kLoose) {
    all.push_back({key, given, unless, unit, checks, loose});
  };
  const SeamLimits& seams = style.seam_limits;
  most("seam", style.seam_limit, usual.seam_limit, {"seam", "seam, shared"});
  if (!seams.nicks) all.back().checks.emplace_back("seam nicks");
  most("seam_base", seams.base, usual.seam_limits.base, {"seam, base"});
  if (seams.nicks) most("seam_nicks", *seams.nicks, usual.seam_limit, {"seam nicks"}, 20.0);
  most("seam_allowances", seams.allowances, usual.seam_limits.allowances, {"seam allowances"});
  most("holes_meet", seams.holes, usual.seam_limits.holes, {"eyelets meet", "holes meet"}, 5.0);
  most("check_line", style.check_line_limit, usual.check_line_limit, {"check line"});
  share("seam_turn", style.seam_turn_limit, usual.seam_turn_limit, "degrees", {"seam end, smooth"});
  share("fold_turn", style.fold_turn_limit, usual.fold_turn_limit, "degrees", {"fold, smooth"});
  most("open_girth", style.open_girth_limit, usual.open_girth_limit, {"open girth"});
  most("girth_in_pieces", style.piece_girth_limit, usual.piece_girth_limit, {"girth in pieces"});
  share("girth_base", style.girth_base_limit, usual.girth_base_limit, "percent", {"base of girth"}, 2.5);
  if (style.base_limit) share("base", *style.base_limit, 2.0, "percent", {}, 6.0);
  if (style.rule_away_limit) share("rule_away", style.rule_away_limit->value(), 0.5, "mm", {}, 10.0);
  const FeatureLimits& stated = style.feature_limits;
  const FeatureLimits& held = usual.feature_limits;
  most("nick_in_edge", stated.nick_in_edge, held.nick_in_edge, {"nick in edge"});
  const auto least = [&](const char* key, Millimetres given, Millimetres unless, const char* check) {
    all.push_back({key, given.value(), unless.value(), "mm", {check}, kLoose, true});
  };
  least("lap_stitch", seams.lap_stitch, usual.seam_limits.lap_stitch, "lap width");
  least("hole_to_edge", stated.hole_to_edge, held.hole_to_edge, "hole to edge");
  least("hole_to_hole", stated.hole_to_hole, held.hole_to_hole, "hole to hole");
  least("cut_out_to_edge", stated.cut_out_to_edge, held.cut_out_to_edge, "cut-out to edge");
  least("cut_out_gap", stated.cut_out_gap, held.cut_out_gap, "cut-out gap");
  least("nick_to_hole", stated.nick_to_hole, held.nick_to_hole, "nick to hole");
  least("nick_to_corner", stated.nick_to_corner, held.nick_to_corner, "nick to corner");
  least("nick_to_nick", stated.nick_to_nick, held.nick_to_nick, "nick to nick");
  least("nick_to_net", stated.nick_to_net, held.nick_to_net, "nick to net");
  for (const auto& [treatment, limit] : style.missing_limits) {
    constexpr double kMuch = 5.0;  // mm; of the allowances only lasting ones are much wider
    all.push_back({fmt::format("missing_allowance, {}", name_of(treatment)),
                   limit.value(),
                   0.1,
                   "mm",
                   {},
                   10.0 * kMuch});
  }
  constexpr double kNoneRuns = 1.3;  // the cut line is cut across at 4 times, 1.33 times what holds
  for (const auto& [treatment, limit] : style.reach_limits)
    share(("cut_line_reach, " + std::string(name_of(treatment))).c_str(), limit, kFarthestReach, "times", {},
          kNoneRuns);
  most("widest_allowance", style.widest_allowance, usual.widest_allowance, {});
  least("spike_width", style.spike_limit, usual.spike_limit, "spike");
  for (const PieceSpec& piece : style.pieces) {
    if (piece.lies && !piece.lies->as_drawn)
      most(("lies of " + piece.name).c_str(), piece.lies->limit, LiesSpec{}.limit, {});
  }
  return all;
}

}  // namespace

std::vector<StyleFinding> loose_limits(const StyleSpec& style) {
  std::vector<StyleFinding> all;
  for (const Judging& limit : judging_limits(style)) {
    if (!limit.too_loose()) continue;
    all.push_back(doubtful_finding(
        "loose limit", limit.key, limit.given, limit.unit,
        fmt::format("is the limit that is stated, where {:g} {} holds unless one is: a check "
                    "with so wide a limit says little",
                    limit.usual, limit.unit)));
  }
  return all;
}

void add_passed_by_limit(const StyleSpec& style, std::vector<StyleFinding>& findings) {
  for (const Judging& limit : judging_limits(style)) {
    if (!limit.looser()) continue;
    const StyleFinding* worst = nullptr;
    double most = 0.0;  // beyond what would hold
    for (const StyleFinding& one : findings) {
      if (!one.passed || !one.limit ||
          std::find(limit.checks.begin(), limit.checks.end(), one.check) == limit.checks.end())
        continue;
      const double beyond = (one.worst - limit.usual_for(*one.limit)) * (limit.least ? -1.0 : 1.0);
      if (beyond <= most) continue;
      most = beyond;
      worst = &one;
    }
    if (worst == nullptr) continue;
    const std::string what =
        fmt::format("{} of {} passes by it alone: {:.3f} {}, where {:.4g} holds unless a limit is stated",
                    worst->check, worst->subject, worst->worst, worst->unit, limit.usual_for(*worst->limit));
    const auto told = std::find_if(findings.begin(), findings.end(), [&](const StyleFinding& one) {
      return one.check == "loose limit" && one.subject == limit.key;
    });
    if (told != findings.end()) {
      told->note += "; " + what;
      continue;
    }
    findings.push_back(doubtful_finding("loose limit", limit.key, limit.given, limit.unit,
                                        "is the limit that is stated, and " + what));
  }
}

}  // namespace lastwright
