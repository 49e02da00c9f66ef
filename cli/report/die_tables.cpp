#include "cli/report/die_tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdint>
#include <set>

#include "cli/report/die_words.hpp"
#include "grading/dies/die_punches.hpp"

namespace lastwright {

namespace {

TableCell text(std::string value) {
  return {std::move(value), Emphasis::kNone};
}
TableCell whole_cell(std::int64_t value) {
  return {value, Emphasis::kNone};
}
TableCell number(double value) {
  return {value, Emphasis::kNone};
}
TableCell maybe(const MaybeLength& length) {
  return length ? number(length->value) : text("none");
}
TableCell radius(const MaybeLength& length) {
  return length && length->value > kAsStraight ? text("none below 1000") : maybe(length);
}
TableCell degrees(const std::optional<Corner>& corner) {
  return corner ? number(to_degrees(corner->inside)) : text("none");
}
TableCell or_words(std::string value, const char* words) {
  return text(value.empty() ? std::string(words) : std::move(value));
}

}  // namespace

std::string fact_words(const std::vector<StatedFact>& facts, const std::string& what) {
  const auto found =
      std::find_if(facts.begin(), facts.end(), [&](const StatedFact& fact) { return fact.what == what; });
  return found == facts.end() ? "" : found->words;
}

TableCell rule_height_cell(const DieOrder& order, const DieOrderLine& line) {
  if (line.rule_height && line.height_stated && !line.heights_differ) return number(*line.rule_height);
  return text(fact_words(die_stated(order, line), "rule height"));
}

TableCell rule_thickness_cell(const DieOrder& order, const DieOrderLine& line) {
  if (line.to_make > 0 && order.making.rule_thickness) return number(*order.making.rule_thickness);
  return text(fact_words(die_stated(order, line), "rule thickness"));
}

double bound_below(double bound) {
  return std::floor(100.0 * bound + 1e-6) / 100.0;
}

std::string below_limit(double value, double limit) {
  for (int decimals = 3; decimals < 9; ++decimals) {
    std::string shown = with_decimals(value, decimals);
    double read = 0.0;
    std::from_chars(shown.data(), shown.data() + shown.size(), read);
    if ((read < limit) == (value < limit)) return shown;
  }
  return with_decimals(value, 9);
}

Table die_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "dies";
  table.filter = true;
  table.fixed_columns = 2;
  table.columns = {{"die", 8, 0},
                   {"piece", 18, 0},
                   {"drawn as", 16, 0},
                   {"serves", 28, 0},
                   {"L or R", 18, 0},
                   {"why", 30, 0},
                   {"stamp", 50, 0},
                   {"stamp on the other foot's", 50, 0},
                   {"stamp of the die that is there", 50, 0},
                   {"dies to make", 8, 0},
                   {"cut per pair", 8, 0},
                   {"rule outside, mm", 10, 1},
                   {"rule inside, mm", 10, 1},
                   {"area, mm2", 10, 0},
                   {"box length, mm", 10, 1},
                   {"box width, mm", 10, 1},
                   {"least radius outside, mm", 10, 2},
                   {"least radius inside, mm", 10, 2},
                   {"corners", 8, 0},
                   {"sharpest corner, deg inside the piece", 10, 1},
                   {"hole to rule, mm", 10, 2},
                   {"cut-outs", 8, 0},
                   {"punches", 8, 0},
                   {"special punches", 8, 0},
                   {"punches, count × diameter", 24, 0},
                   {"pricks", 8, 0},
                   {"nicks", 8, 0},
                   {"nicks, form and depth", 40, 0},
                   {"joint proposed", 30, 0},
                   {"bridges proposed", 8, 0},
                   {"material", 24, 0},
                   {"rule height, mm", 30, 1},
                   {"rule height of the die that is there", 30, 0},
                   {"rule thickness, mm", 30, 2},
                   {"bevel", 30, 0},
                   {"handle", 24, 0},
                   {"cutting edges", 24, 0},
                   {"order number", 16, 0},
                   {"date", 16, 0},
                   {"contact", 24, 0},
                   {"weight of one, kg", 12, 2},
                   {"greatest deviation, mm", 10, 3},
                   {"part of tolerance used", 10, 2},
                   {"price of one", 10, 2},
                   {"price", 10, 2},
                   {"already owned", 20, 0}};
  const std::vector<StatedFact> head = head_stated(order.head);
  for (const DieOrderLine& line : order.lines) {
    const PlannedDie& die = plan.dies[line.die];
    const DieFacts& facts = die.facts;
    const std::vector<StatedFact> stated = die_stated(order, line);
    int special = 0;
    for (const SpecialPunchGroup& group : die.work.special_punches) special += group.count;
    table.rows.push_back({text(line.number),
                          text(line.piece),
                          text(line.drawn_as),
                          text(line.serves),
                          text(to_make_text(die, line)),
                          text(die.hands.why),
                          text(line.stamp_drawn),
                          or_words(line.stamp_mirrored, "none: one die cuts both feet"),
                          text(stamps_there(line)),
                          whole_cell(line.to_make),
                          whole_cell(line.per_pair),
                          number(stated_length(facts.rule_outer)),
                          number(stated_length(die.work.rule_inner)),
                          number(facts.area),
                          number(die.box_length),
                          number(die.box_width),
                          radius(facts.smallest_radius_outside),
                          radius(facts.smallest_radius_inside),
                          whole_cell(static_cast<std::int64_t>(facts.corners.size())),
                          degrees(facts.sharpest),
                          maybe(facts.hole_to_edge),
                          whole_cell(facts.cut_outs),
                          whole_cell(facts.punches),
                          whole_cell(special),
                          or_words(punches_text(die.work), "none"),
                          whole_cell(facts.pricks),
                          whole_cell(facts.nicks),
                          or_words(nicks_text(die.work), "none"),
                          or_words(joint_text(die.work), "none"),
                          whole_cell(static_cast<std::int64_t>(die.work.bridges.size())),
                          text(fact_words(stated, "material")),
                          rule_height_cell(order, line),
                          text(heights_there(line)),
                          rule_thickness_cell(order, line),
                          text(fact_words(stated, "bevel")),
                          text(fact_words(stated, "handle")),
                          text(fact_words(stated, "cutting edges")),
                          text(head[0].words),
                          text(head[1].words),
                          text(head[2].words),
                          line.weight ? number(*line.weight) : text("not stated"),
                          number(die.worst_deviation),
                          number(die.worst_ratio),
                          order.priced ? number(line.price) : text("no rates stated"),
                          order.priced ? number(line.total) : text("no rates stated"),
                          or_words(line.owned, "no")});
  }
  return table;
}

namespace {

// "D0001 to D0003, D0007"
std::string number_ranges(const std::vector<std::string>& numbers, const DieOrder& order) {
  std::vector<std::size_t> lines;
  for (std::size_t k = 0; k < order.lines.size(); ++k) {
    if (std::find(numbers.begin(), numbers.end(), order.lines[k].number) != numbers.end()) lines.push_back(k);
  }
  std::string text;
  for (std::size_t i = 0; i < lines.size();) {
    std::size_t end = i;
    while (end + 1 < lines.size() && lines[end + 1] == lines[end] + 1) ++end;
    text += (text.empty() ? "" : ", ") + order.lines[lines[i]].number;
    if (end > i) text += (end == i + 1 ? ", " : " to ") + order.lines[lines[end]].number;
    i = end + 1;
  }
  return text;
}

}  // namespace

Table die_punches_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "punches";
  table.filter = true;
  table.columns = {{"piece", 20, 0},        {"punch", 26, 0},          {"on a die", 10, 0},
                   {"dies to make", 12, 0}, {"punches in all", 14, 0}, {"dies", 40, 0}};
  for (const PunchUse& one : punches_used(order, plan)) {
    table.rows.push_back({text(one.piece), text(one.punch), whole_cell(one.on_a_die), whole_cell(one.dies),
                          whole_cell(std::int64_t{one.on_a_die} * one.dies),
                          text(number_ranges(one.numbers, order))});
  }
  return table;
}

Table short_punches_table(const DieOrder& order, const DiePlan& plan) {
  struct Short {
    std::string punch;
    std::string pieces;
    std::string last_piece;
    std::int64_t all = 0;
    std::set<std::string> special;  // ones that differ
  };
  std::vector<Short> rows;
  for (const PunchUse& one : punches_used(order, plan)) {
    auto row = std::find_if(rows.begin(), rows.end(), [&](const Short& s) {
      return one.special ? !s.special.empty() && s.last_piece == one.piece : s.punch == one.punch;
    });
    if (row == rows.end()) row = rows.insert(rows.end(), {one.punch, "", "", 0, {}});
    if (row->last_piece != one.piece) row->pieces += (row->pieces.empty() ? "" : ", ") + one.piece;
    row->last_piece = one.piece;
    row->all += std::int64_t{one.on_a_die} * one.dies;
    if (one.special) row->special.insert(one.punch);
  }
  Table table;
  table.name = "punches";
  table.columns = {{"punch", 26, 0}, {"pieces", 40, 0}, {"punches in all", 14, 0}};
  for (const Short& row : rows) {
    table.rows.push_back(
        {text(row.special.size() > 1 ? fmt::format("special, {} different", row.special.size()) : row.punch),
         text(row.pieces), whole_cell(row.all)});
  }
  return table;
}

Table die_totals_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "totals";
  table.columns = {{"what", 44, 0}, {"value", 14, 2}, {"unit", 10, 0}};
  const auto row = [&](const char* what, TableCell value, const char* unit) {
    table.rows.push_back({text(what), std::move(value), text(unit)});
  };
  row("dies, one for every size and width", whole_cell(plan.dies_without), "dies");
  row("dies needed with ties", whole_cell(plan.dies_needed), "dies");
  row("of these already owned: outlines", whole_cell(order.totals.owned), "outlines");
  row("dies to make", whole_cell(order.totals.dies), "dies");
  const bool price = plan.minimised == Minimise::kCost;
  row(price ? "lower bound of the price, which was made least" : "lower bound of dies to make",
      price ? number(bound_below(plan.bound))
            : whole_cell(static_cast<std::int64_t>(std::ceil(plan.bound - 1e-6))),
      price ? order.currency.c_str() : "dies");
  row("proven least", text(plan.proven ? "yes" : "no"), "");
  row("rule outside", number(order.totals.rule_outer), "mm");
  row("rule inside", number(order.totals.rule_inner), "mm");
  row("corners", whole_cell(order.totals.corners), "");
  row("punches", whole_cell(order.totals.punches), "");
  row("special punches", whole_cell(order.totals.special_punches), "");
  if (order.totals.weight) row("weight of the rule", number(*order.totals.weight), "kg");
  row("greatest seam difference as served", text(below_limit(plan.worst_seam, plan.seam_limit)), "mm");
  row("seam limit", text(fmt::format("{:g}", plan.seam_limit)), "mm");
  if (order.priced) row("price", number(order.totals.price), order.currency.c_str());
  return table;
}

Table die_piece_table(const DiePlan& plan) {
  Table table;
  table.name = "pieces";
  table.columns = {{"piece", 20, 0},
                   {"sizes and widths", 10, 0},
                   {"outlines chosen", 10, 0},
                   {"outlines if no seam held it", 12, 0},
                   {"dies without ties", 10, 0},
                   {"dies", 10, 0},
                   {"greatest deviation, mm", 12, 3}};
  for (const PieceSummary& piece : plan.pieces) {
    table.rows.push_back({text(piece.name), whole_cell(piece.outlines_without), whole_cell(piece.outlines),
                          whole_cell(piece.alone), whole_cell(piece.dies_without), whole_cell(piece.dies),
                          number(piece.worst_deviation)});
  }
  return table;
}

Table die_held_table(const DiePlan& plan) {
  Table table;
  table.name = "what keeps the number up";
  table.columns = {
      {"piece", 20, 0}, {"outlines chosen", 10, 0},  {"if no seam held it", 10, 0}, {"seam", 30, 0},
      {"with", 20, 0},  {"without this seam", 10, 0}};
  for (const PieceHeld& piece : plan.held) {
    if (piece.seams.empty()) {
      table.rows.push_back(
          {text(piece.piece), whole_cell(piece.outlines), whole_cell(piece.alone),
           text("several seams together: " + fmt::format("{}", fmt::join(piece.together, ", ")))});
    }
    for (const PieceHeld::Seam& seam : piece.seams) {
      table.rows.push_back({text(piece.piece), whole_cell(piece.outlines), whole_cell(piece.alone),
                            text(seam.name), text(seam.mate), whole_cell(seam.without)});
    }
  }
  return table;
}

std::string held_note() {
  return "These pieces would need fewer outlines if their seams left them free: the seam limit, not the "
         "tolerance, "
         "decides. Where a seam may be eased by more (a lining, a lap that is skived), give it a limit of "
         "its own "
         "in the rules, \"seam_limits\"; \"lap_seam_limit\" is for all laps.";
}

Table die_curve_table(const DiePlan& plan) {
  Table table;
  table.name = "tolerance";
  table.columns = {{"tolerance, mm", 12, 2},
                   {"dies to make", 12, 0},
                   {"at least, by the proof", 12, 0},
                   {"saved by this step", 12, 0}};
  for (std::size_t k = 0; k < plan.curve.size(); ++k) {
    const CurvePoint& point = plan.curve[k];
    table.rows.push_back({number(point.tolerance), whole_cell(point.dies), whole_cell(point.bound),
                          k == 0 ? TableCell{} : whole_cell(plan.curve[k - 1].dies - point.dies)});
  }
  return table;
}

Table die_findings_table(const DieOrder& order, const DiePlan& plan) {
  Table table;
  table.name = "findings";
  table.filter = true;
  table.columns = {{"die", 8, 0},
                   {"piece", 18, 0},
                   {"check", 22, 0},
                   {"value", 10, 3},
                   {"limit", 10, 2},
                   {"unit", 6, 0},
                   {"x, mm", 10, 2},
                   {"y, mm", 10, 2},
                   {"basis of the limit", 18, 0},
                   {"source of the limit", 50, 0}};
  for (const DieOrderLine& line : order.lines) {
    for (const DieFinding& finding : plan.dies[line.die].findings) {
      table.rows.push_back({text(line.number), text(line.piece), text(finding.check), number(finding.value),
                            number(finding.limit.value), text(finding.unit), number(finding.at.x),
                            number(finding.at.y), text(name_of(finding.limit.provenance)),
                            text(finding.limit.source)});
    }
  }
  return table;
}

Table gathered_findings_table(const DieOrder& order, const DiePlan& plan) {
  struct Gathered {
    std::string piece;
    std::string check;
    std::size_t count = 0;
    std::size_t served = 0;  // sizes and widths
    std::string last_die;
    const DieFinding* worst = nullptr;
    std::string where;
  };
  std::vector<Gathered> all;  // in the order of the pieces
  for (const DieOrderLine& line : order.lines) {
    for (const DieFinding& finding : plan.dies[line.die].findings) {
      auto one = std::find_if(all.begin(), all.end(), [&](const Gathered& g) {
        return g.check == finding.check && g.piece == line.piece;
      });
      if (one == all.end()) one = all.insert(all.end(), {line.piece, finding.check, 0, 0, "", nullptr, ""});
      ++one->count;
      if (one->last_die != line.number) one->served += line.sizes_widths.size();
      one->last_die = line.number;
      const auto off = [](const DieFinding& f) { return std::abs(f.value - f.limit.value); };
      if (one->worst != nullptr && off(finding) <= off(*one->worst)) continue;
      one->worst = &finding;
      one->where = line.number + ", " + line.drawn_as;
    }
  }
  Table table;
  table.name = "findings by piece";
  table.columns = {{"piece", 18, 0},
                   {"check", 22, 0},
                   {"worst", 10, 3},
                   {"limit", 10, 2},
                   {"unit", 6, 0},
                   {"sizes and widths", 10, 0},
                   {"findings", 10, 0},
                   {"worst on", 24, 0},
                   {"basis of the limit", 18, 0},
                   {"source of the limit", 50, 0}};
  for (const Gathered& one : all) {
    table.rows.push_back({text(one.piece), text(one.check), number(one.worst->value),
                          number(one.worst->limit.value), text(one.worst->unit),
                          whole_cell(static_cast<std::int64_t>(one.served)),
                          whole_cell(static_cast<std::int64_t>(one.count)), text(one.where),
                          text(name_of(one.worst->limit.provenance)), text(one.worst->limit.source)});
  }
  return table;
}

Table unused_dies_table(const DieOrder& order) {
  Table table;
  table.name = "owned, not used";
  table.columns = {{"owned die", 30, 0}, {"why no size of this run is cut with it", 100, 0}};
  for (const auto& [number, why] : order.unused) table.rows.push_back({text(number), text(why)});
  return table;
}

Table failed_checks_table(const DieOrder& order) {
  Table table;
  table.name = "CHECKS FAILED";
  table.columns = {{"check", 18, 0}, {"of", 40, 0},    {"value", 12, 4},        {"limit", 12, 4},
                   {"unit", 10, 0},  {"where", 24, 0}, {"what it means", 70, 0}};
  for (const StyleFinding& finding : order.failed) {
    table.rows.push_back({text(finding.check), text(finding.subject), number(finding.worst),
                          finding.limit ? number(*finding.limit) : TableCell{}, text(finding.unit),
                          text(finding.where), text(finding.note)});
  }
  return table;
}

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

std::vector<std::string> die_reading_notes(const DieOrder& order) {
  const bool stated = !order.drawn_foot.empty();
  return {
      "All lengths are millimetres, in the drawings too: an inch is 25.4. Each drawing states its rule "
      "length "
      "and box, to be measured again where a program has scaled it.",
      "A drawing shows the piece as it is cut, seen from above, with the material under the die: you look at "
      "the back of the die. Seen from the cutting edges, everything is mirrored. The lines on CUT and "
      "CUT_OUT "
      "are the cutting edges; HOLE, NICK and PRICK are punched; nothing on TEXT and GUIDE is cut.",
      stated ? "The style's drawings show the " + order.drawn_foot +
                   " foot. A pair is two dies with one number, L and R: the one as drawn and its mirror "
                   "image, each with a drawing of its own. One die that serves both feet is made once."
             : std::string(
                   "A pair is two dies with one number: the one as drawn cuts the foot that the style's "
                   "drawings show; the other, its mirror image, has \"mirrored\" in its file name and is "
                   "stamped with M. The style does not say which foot is drawn."),
      "Stamp every die with the style, the piece, the sizes and widths it serves, L or R, and its number. "
      "\"E F: 8 to 9\" means the sizes 8 to 9 in the widths E and F. \"Drawn as\" names the size and width "
      "whose outline the die has, \"between\" two of them the outline half way; it is not stamped.",
      "The joint of the rule and the bridges at the back of the die are proposals: the die maker decides. "
      "Bridges hold bent cut-outs to the outline. Punches are given as count x diameter. Special punches "
      "are closed shapes too small to be bent from rule, given as count x special, length x width; "
      "they are not in the rule length.",
      "Corners are turns of 20 degrees or more. Their angles are measured inside the piece, above 180 "
      "degrees "
      "where a corner points into it. The box lies along the fold of a piece cut double; otherwise it is the "
      "smallest that holds the outline. Only a die that serves a single size and width has nicks that tell "
      "the size.",
  };
}

Table die_cautions_table(const DieOrder& order) {
  Table table;
  table.name = "cautions";
  table.columns = {{"cautions, and how to read the order", 120, 0}};
  for (std::string& caution : die_cautions()) table.rows.push_back({text(std::move(caution))});
  for (std::string& note : die_reading_notes(order)) table.rows.push_back({text(std::move(note))});
  return table;
}

}  // namespace lastwright
