#include "cli/report/die_notes.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "cli/report/die_cells.hpp"
#include "cli/report/die_finding_tables.hpp"
#include "cli/report/die_words.hpp"
#include "cli/report/failed_checks.hpp"
#include "grading/dies/order/die_stated.hpp"
#include "grading/style/foot_words.hpp"

namespace lastwright {

std::vector<std::string> die_cautions() {
  return {
      // NOLINTNEXTLINE(bugprone-suspicious-missing-comma): a caution is a sentence over two lines
      "Cutting edges: handle dies with cut-resistant gloves, carry them edge down or covered, and store them "
      "with the edge guarded.",
      "Presses: work only with every guard in place and two-hand control in order; no hand goes under the "
      "beam or between plates, and the drive is isolated before a die is freed.",
      "Set stroke and pressure for the rule height stated here; never put dies of different heights under "
      "one stroke.",
      "The law, local codes, the machine's own manual and the die maker's advice count for more than this "
      "sheet. "
      "Leave set-up and repair to people licensed or trained for it.",
      "Cut and check one pair in every size and width a die serves before cutting leather in quantity. A die "
      "that serves several sizes cannot mark the size: mark it another way.",
      "Limits called common practice or from memory have no published source: set your own.",
  };
}

namespace {

std::string bridge_words(double every) {
  return fmt::format(
      "Bridges across a piece stiffen long rule: one for each {0:g} mm, or part of them, of the longer side "
      "of "
      "its box beyond the first {0:g} "
      "(\"bridge_every\"; 120 by common practice), none on a shorter piece. A bar lies 5 mm or more from "
      "punches and cut-outs; where there is no such place near, as far from them as may be, and where a rule "
      "could not stand beside them either, the order says that one is called for and has no place. Others "
      "hold a cut-out that is bent from rule to the outline, on either side of it.",
      every);
}

// What the two dies of a pair are called, where each piece says which foot it is drawn for, and where not.
std::string pair_words(const DieOrder& order) {
  bool left = false;
  bool right = false;
  bool plain = false;  // as drawn and mirrored
  bool both = false;
  for (const DieOrderLine& line : order.lines) {
    if (line.stamp_mirrored.empty()) continue;
    left = left || line.drawn_foot == "left";
    right = right || line.drawn_foot == "right";
    both = both || line.drawn_foot == "both";
    plain = plain || !one_foot(line.drawn_foot);
  }
  const bool pairs = left || right || plain;
  if (!pairs && one_foot(order.drawn_foot)) (order.drawn_foot == "left" ? left : right) = true;
  std::string words;
  if (left || right) {
    words = left && right ? "Which foot a piece is drawn for differs: go by the L or R of each die."
                          : fmt::format("The style's drawings show the {} foot{}.", left ? "left" : "right",
                                        plain ? ", but for the pieces whose dies say neither L nor R" : "");
    words +=
        " A pair is two dies with one number, L and R: the one as drawn and its mirror image, each with a "
        "drawing of its own. One die that serves both feet is made once. The drawings are in the folder "
        "dies, "
        "named by the number, the piece, what it is drawn as and, of a pair, L or R.";
  }
  if (plain || words.empty()) {
    words += words.empty() ? "A pair is two dies with one number: " : " Of the other pairs ";
    words +=
        both ? "one is as drawn; the other, its mirror image, "
             : "the one as drawn cuts the foot that the style's drawings show; the other, its mirror image, ";
    words += "has \"mirrored\" in its file name and is stamped with M.";
    if (both) words += " Each shoe is cut with both of them where a note says so.";
    if (left || right) return words;
    if (!both) words += " The style does not say which foot is drawn.";
    words += " The drawings are in the folder dies, named by the number, the piece and what it is drawn as.";
  }
  return words;
}

}  // namespace

std::vector<std::string> die_reading_notes(const DieOrder& order) {
  std::vector<std::string> notes{
      "All lengths are millimetres, in the drawings too: an inch is 25.4. Each drawing states its rule "
      "length "
      "and box, to be measured again where a program has scaled it.",
      "A drawing shows the piece as it is cut, seen from above, with the material under the die: you look at "
      "the back of the die. Seen from the cutting edges, everything is mirrored. The lines on CUT and "
      "CUT_OUT "
      "are the cutting edges; HOLE, NICK and PRICK are punched; nothing on TEXT and GUIDE is cut.",
      pair_words(order),
      "Stamp every die with the style, the piece, the sizes and widths it serves, L or R, and its number. "
      "\"E F: 8 to 9\" means the sizes 8 to 9 in the widths E and F. \"Drawn as\" names the size and width "
      "whose outline the die has, \"between\" two of them the outline half way; it is not stamped.",
      "The joint of the rule and the bridges are proposals: the die maker decides. " +
          bridge_words(order.making.bridge_every) +
          " Punches are given as count x diameter. Special punches "
          "are closed shapes too small to be bent from rule, given as count x special, length x width: the "
          "greatest "
          "length, tip to tip, and the width square to it; of a square, a rectangle or a slot its sides. "
          "They "
          "are not in the rule length.",
      "Bends are given by the radius of the rule: outside where it bulges out of the piece, inside where it "
      "bulges into it. Corners are turns of 20 degrees or more. Their angles are measured inside the piece, "
      "above 180 "
      "degrees "
      "where a corner points into it. The box lies along the fold of a piece cut double; otherwise it is the "
      "smallest that holds the outline. "
      "A die has nicks that tell size or width where they are the same, and true, of all that it serves; a "
      "note names those "
      "that could have them and have none.",
      "Which sizes and widths share a die is chosen for the fewest dies to make, or the least price where "
      "that is asked "
      "for, and then for the fewest dies to stamp anew. After that each size and width is given to that of "
      "these dies "
      "which fits it best, and each die to make is drawn at the place where the greatest deviation in what "
      "it serves, "
      "as a share of its tolerance, is least; dies that a seam holds to each other change together. No seam, "
      "stamp, "
      "price or nick that tells size or width is given up for it. Other sets of as few dies, which may "
      "deviate less, are not "
      "sought.",
      "The making tolerance is how far a die as made may be from its drawing, either way. The greatest "
      "deviation is that of an outline from the die as drawn: a piece as cut may deviate by both together.",
      "The area of a die is that of the piece as it is cut, holes and cut-outs taken off. What a piece takes "
      "of its "
      "material (\"lastwright areas\") has them in: nobody lays another piece in a hole.",
      "Totals add up exact values and are rounded once: the rows, each rounded by itself, may add up to a "
      "little "
      "more or less in the last places. A price is a whole number of hundredths, so prices add up exactly.",
  };
  if (std::any_of(order.lines.begin(), order.lines.end(),
                  [](const DieOrderLine& line) { return line.two_edged; }))
    notes.emplace_back(
        "A two-edged die cuts with either side and has no back: its drawing shows the edge of one side, seen "
        "from the "
        "other. Its bevel lies as each card says, the same at both edges; where its bridges lie between the "
        "edges is as "
        "stated, or to be agreed with the die maker.");
  return notes;
}

std::string checks_words(const DieOrder& order) {
  FailedStyles failed;
  add_failed(failed, order.style, order.failed);
  return failed.empty() ? "passed" : failed_line(failed) + ": have no die made before they pass";
}

Table with_checks(Table table, const DieOrder& order) {
  const std::string words = checks_words(order);
  table.columns.push_back({"checks of the style", order.failed.empty() ? 10.0 : 50.0, 0});
  for (std::vector<TableCell>& row : table.rows) {
    row.resize(table.columns.size() - 1);
    row.push_back({words, order.failed.empty() ? Emphasis::kNone : Emphasis::kBad});
  }
  return table;
}

Table die_notes_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "notes";
  table.columns = {{"kind", 24, 0}, {"note", 120, 0}};
  const auto row = [&](const char* kind, std::string words) {
    table.rows.push_back({text_cell(kind), text_cell(std::move(words))});
  };
  if (!order.failed.empty()) row("checks", checks_words(order));
  for (const StyleFinding& finding : order.failed)
    row("check that failed", finding.check + ", " + finding.subject +
                                 (finding.where.empty() ? "" : ", " + to_text(finding.where)) +
                                 (finding.note.empty() ? "" : ": " + finding.note));
  row("order", head_text(order));
  for (const std::string& fact : not_stated(order)) row("not stated", fact);
  for (const std::string& note : order.notes) row("note", note);
  for (const std::string& note : plan.notes) row("note", note);
  row("unless a die says otherwise", in_words(making_stated(order.making)));
  for (const auto& found : gathered_findings_table(order, plan).rows) {
    const auto words = [&](std::size_t c) { return std::get<std::string>(found[c].value); };
    row("look at before making", fmt::format("{}: {} {:.3f} {}, limit {:g} ({}); worst on {}", words(0),
                                             words(1), std::get<double>(found[2].value), words(4),
                                             std::get<double>(found[3].value), words(8), words(7)));
  }
  for (std::string& caution : die_cautions()) row("caution", std::move(caution));
  for (std::string& note : die_reading_notes(order)) row("how to read it", std::move(note));
  return table;
}

}  // namespace lastwright
