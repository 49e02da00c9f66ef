#include "grading/checks/judge.hpp"

#include <algorithm>

#include "grading/checks/alike_check.hpp"
#include "grading/checks/figure_check.hpp"
#include "grading/checks/growth_check.hpp"
#include "grading/checks/hole_check.hpp"
#include "grading/checks/layer_check.hpp"
#include "grading/checks/margin_check.hpp"
#include "grading/checks/place_check.hpp"
#include "grading/checks/said_check.hpp"
#include "grading/checks/sole_check.hpp"
#include "grading/checks/unsewn_check.hpp"
#include "grading/checks/upper_check.hpp"
#include "grading/checks/work_check.hpp"

namespace lastwright {

JudgedStyle judge_style(const StyleSpec& style, const StyleGrade& grade, const MeasureTable& table,
                        const StyleLooker& looker, const StyleLooks& looks, unsigned threads,
                        const std::vector<StyleFinding>* one_to_one) {
  JudgedStyle judged{{},
                     {},
                     seam_reports(style, grade, looks, threads),
                     piece_girths(style, grade, table, looker.lines(), looks)};
  const StyleCheckOptions options = style_check_options(style);
  const auto add = [&judged](const std::vector<StyleFinding>& more) {
    judged.findings.insert(judged.findings.end(), more.begin(), more.end());
  };
  add(check_lies(grade));
  std::vector<const BoundPiece*> pieces;
  for (const PreparedPiece& piece : grade.pieces) pieces.push_back(&piece.bound);
  add(check_places(style, pieces));
  add(check_base(style, table));
  add(check_outlines(grade, looks));
  add(check_cut_lines(grade, looks));
  add(check_allowances(style, grade, looks));
  add(one_to_one != nullptr ? *one_to_one : check_one_to_one(grade, options, threads));
  add(check_lines(grade, style.check_line_limit));
  add(check_girths(style, grade, table));
  add(check_piece_girths(grade, judged.girths, options));
  add(check_seams(style, grade, judged.seams, options));
  add(check_seam_sides(style, grade, looks, judged.seams));
  add(check_unsewn(style, grade));
  add(check_layers(style, grade, judged.girths));
  add(check_alike(style, grade));
  add(check_margins(style, grade));
  add(check_drawn_cut(grade));
  add(check_growth(style, grade));
  add(check_soles(grade));
  add(check_folds(grade, looks, options));
  add(check_features(style, grade, looks));
  add(check_holes(style, grade, looks));
  add(check_steps(style, grade, table));
  add(check_figures(style, grade, table));
  add(check_work(style, grade));
  add(check_uppers(style, grade));
  add(check_said(style, grade, table));
  add(check_kept(style, grade, table, looks, judged.seams));
  if (Result<std::vector<PieceHands>> hands = piece_hands(grade, looks)) judged.hands = *std::move(hands);
  add_hand_findings(judged.hands, judged.findings);
  return judged;
}

JudgedStyle judge_style(const StyleSpec& style, const StyleGrade& grade, const MeasureTable& table,
                        unsigned threads) {
  const StyleLooker looker(style, grade);
  return judge_style(style, grade, table, looker, looker.all(threads), threads);
}

bool none_can_be_made(const std::vector<StyleFinding>& findings) {
  return std::any_of(findings.begin(), findings.end(), [](const StyleFinding& one) {
    return !one.passed && (one.check == "cut line" || one.check == "features" || one.check == "drawing");
  });
}

}  // namespace lastwright
