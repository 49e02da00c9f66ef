#include "grading/checks/judge.hpp"

#include <algorithm>
#include <functional>
#include <iterator>
#include <optional>

#include "geometry/parallel.hpp"
#include "grading/checks/allowances/drawn_net.hpp"
#include "grading/checks/allowances/short_edges.hpp"
#include "grading/checks/features/figure_check.hpp"
#include "grading/checks/features/hole_check.hpp"
#include "grading/checks/features/said_check.hpp"
#include "grading/checks/features/words_check.hpp"
#include "grading/checks/girths/growth_check.hpp"
#include "grading/checks/lasting/foot_check.hpp"
#include "grading/checks/lasting/inner_likes.hpp"
#include "grading/checks/lasting/lasted_check.hpp"
#include "grading/checks/lasting/layer_check.hpp"
#include "grading/checks/lasting/lining_check.hpp"
#include "grading/checks/lasting/margin_check.hpp"
#include "grading/checks/lasting/margin_growth.hpp"
#include "grading/checks/lasting/sole_check.hpp"
#include "grading/checks/lasting/sole_parts.hpp"
#include "grading/checks/lasting/upper_check.hpp"
#include "grading/checks/lasting/upper_foot_check.hpp"
#include "grading/checks/like_check.hpp"
#include "grading/checks/limit_check.hpp"
#include "grading/checks/place_check.hpp"
#include "grading/checks/reach_check.hpp"
#include "grading/checks/seams/alike_check.hpp"
#include "grading/checks/seams/closed_edges.hpp"
#include "grading/checks/seams/parted_lines.hpp"
#include "grading/checks/seams/seam_feet_check.hpp"
#include "grading/checks/seams/unsewn_check.hpp"
#include "grading/checks/work_check.hpp"

namespace lastwright {

namespace {

using Check = std::function<std::vector<StyleFinding>()>;

// Each looks at what is graded and at nothing that another finds, so they run side by side; told in the order
// of the list.
std::vector<StyleFinding> found_by(const std::vector<Check>& checks, unsigned threads) {
  std::vector<std::vector<StyleFinding>> found(checks.size());
  static_cast<void>(run_jobs(checks.size(), threads, [&](std::size_t i) -> Status {
    found[i] = checks[i]();
    return Done{};
  }));
  std::vector<StyleFinding> all;
  for (std::vector<StyleFinding>& one : found)
    all.insert(all.end(), std::make_move_iterator(one.begin()), std::make_move_iterator(one.end()));
  return all;
}

}  // namespace

JudgedStyle judge_style(const StyleSpec& style, const StyleGrade& grade, const MeasureTable& table,
                        const StyleLooker& looker, const StyleLooks& looks, unsigned threads,
                        const std::vector<StyleFinding>* one_to_one) {
  std::optional<Result<std::vector<SeamReport>>> seams;
  std::optional<Result<std::vector<PieceGirth>>> girths;
  static_cast<void>(run_jobs(2, threads, [&](std::size_t i) -> Status {
    if (i == 0) girths.emplace(piece_girths(style, grade, table, looker.lines(), looks));
    if (i == 1) seams.emplace(seam_reports(style, grade, looks, 1));
    return Done{};
  }));
  const StyleCheckOptions options = style_check_options(style);
  std::vector<StyleFinding> one_to_one_now;
  if (one_to_one == nullptr) {
    one_to_one_now = check_one_to_one(grade, options, threads);
    one_to_one = &one_to_one_now;
  }
  std::vector<const BoundPiece*> pieces;
  for (const PreparedPiece& piece : grade.pieces) pieces.push_back(&piece.bound);
  const std::vector<Check> checks{
      [&] { return check_lies(grade); },
      [&] { return check_places(style, pieces); },
      [&] { return check_base(style, table); },
      [&] { return check_outlines(grade, looks); },
      [&] { return check_cut_lines(grade, looks); },
      [&] { return check_allowances(style, grade, looks); },
      [&] { return check_reach(style, grade, looks); },
      [&] { return *one_to_one; },
      [&] { return check_lines(grade, style.check_line_limit); },
      [&] { return check_girths(style, grade, table); },
      [&] { return check_piece_girths(grade, *girths, options); },
      [&] { return check_seams(style, grade, *seams, options); },
      [&] { return check_seam_sides(style, grade, looks, *seams); },
      [&] { return check_unsewn(style, grade); },
      [&] { return check_closed_edges(style, grade); },
      [&] { return check_layers(style, grade, *girths); },
      [&] { return check_alike(style, grade); },
      [&] { return check_margins(style, grade); },
      [&] { return check_short_edges(grade); },
      [&] { return check_drawn_cut(grade); },
      [&] { return check_drawn_net(style, grade); },
      [&] { return check_lasted(grade); },
      [&] { return check_linings(grade); },
      [&] { return check_inner_likes(grade); },
      [&] { return check_parted_lines(grade); },
      [&] { return check_growth(style, grade); },
      [&] { return check_soles(grade); },
      [&] { return check_sole_parts(grade); },
      [&] { return check_margin_growth(grade); },
      [&] { return check_drawn_foot(style, grade); },
      [&] { return check_upper_feet(style, grade); },
      [&] { return check_folds(grade, looks, options); },
      [&] { return check_features(style, grade, looks); },
      [&] { return check_holes(style, grade, looks); },
      [&] { return check_steps(style, grade, table); },
      [&] { return check_figures(style, grade, table); },
      [&] { return check_work(style, grade); },
      [&] { return check_likes(style, grade); },
      [&] { return check_words(style, grade); },
      [&] { return check_uppers(style, grade); },
      [&] { return check_said(style, grade, table); },
      [&] { return check_kept(style, grade, table, looks, *seams); },
  };
  JudgedStyle judged{found_by(checks, threads), {}, *std::move(seams), *std::move(girths)};
  if (Result<std::vector<PieceHands>> hands = piece_hands(grade, looks)) judged.hands = *std::move(hands);
  add_hand_findings(judged.hands, judged.findings);
  add_seam_feet(style, judged.hands, judged.findings);
  add_sole_feet(style, judged.hands, judged.findings);
  add_passed_by_limit(style, judged.findings);
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
