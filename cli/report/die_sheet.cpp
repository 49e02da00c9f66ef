#include "cli/report/die_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/report/die_notes.hpp"
#include "cli/report/die_words.hpp"
#include "grading/dies/order/die_stated.hpp"
#include "grading/grade/piece_sheet.hpp"

namespace lastwright {

namespace {

// A place for the text: the middle of the outline's box, or
// the inner point farthest from every rule of a coarse grid.
Vec2 roomiest(const DieShape& shape, const Box2& box) {
  constexpr int kGrid = 12;
  Vec2 best = box.centre();
  double room = -1.0;
  for (int i = 1; i < kGrid; ++i) {
    for (int j = 1; j < kGrid; ++j) {
      const Vec2 p{box.low.x + box.width() * i / kGrid, box.low.y + box.height() * j / kGrid};
      if (!contains(shape.cut.path, p)) continue;
      double d = distance_to(shape.cut.path, p);
      for (const ClosedArcPath& cut_out : shape.cut_outs) d = std::min(d, distance_to(cut_out, p));
      for (const GradedHole& hole : shape.holes) d = std::min(d, distance(hole.centre, p) - hole.radius);
      if (d > room + 1e-9) {
        room = d;
        best = p;
      }
    }
  }
  return best;
}

// "corners: 8, sharpest 43 degrees; tightest bend outside 2.00 mm, inside 3.10 mm".
std::string bends_words(const DieFacts& facts) {
  std::string words = fmt::format("corners: {}", facts.corners.size());
  if (facts.sharpest) {
    const double inside = to_degrees(facts.sharpest->inside);
    words += fmt::format(", sharpest {:.0f} degrees{}", inside,
                         inside > 180.0 ? " (it points into the piece)" : "");
  }
  words += "; tightest bend";
  words += facts.smallest_radius_outside
               ? fmt::format(" outside {:.2f} mm", facts.smallest_radius_outside->value)
               : std::string(" outside none");
  return words + (facts.smallest_radius_inside
                      ? fmt::format(", inside {:.2f} mm", facts.smallest_radius_inside->value)
                      : std::string(", inside none"));
}

constexpr double kCapital = 3.0;  // mm, of a capital
constexpr double kLineStep = 5.0;

// Two strokes across the rule where its ends may meet.
void add_joint(const JointPlace& joint, bool mirror, Sheet& sheet) {
  constexpr double kHalf = 4.0;  // mm either side of the rule
  const auto seen = [mirror](Vec2 p) { return mirror ? Vec2{-p.x, p.y} : p; };
  const Vec2 across = left_of(joint.along);
  for (const double along : {-0.75, 0.75}) {
    const Vec2 on = joint.at + along * joint.along;
    sheet.lines.push_back({OpenArcPath{{{seen(on - kHalf * across), 0.0}, {seen(on + kHalf * across), 0.0}}},
                           Operation::kGuide});
  }
}

}  // namespace

std::vector<std::string> die_words(const PlannedDie& die, const DieOrder& order, const DieOrderLine& line,
                                   bool mirror) {
  std::vector<std::string> words;
  if (!order.failed.empty()) words.push_back(checks_words(order));
  words.push_back("stamp: " + (mirror ? line.stamp_mirrored : line.stamp_drawn));
  words.push_back("dies to make: " + to_make_text(die, line));
  if (die.hands.mode == HandMode::kPair) words.push_back("this drawing: " + hand_words(line, mirror));
  words.push_back(
      fmt::format("drawn in millimetres: rule outside {:.1f} mm, inside {:.1f} mm, together {:.1f} mm; box "
                  "{:.1f} x {:.1f} mm",
                  die.facts.rule_outer, die.work.rule_inner, die.facts.rule_outer + die.work.rule_inner,
                  die.box_length, die.box_width));
  words.push_back(bends_words(die.facts));
  words.push_back(fmt::format("cut per pair: {}; an outline it cuts deviates by {:.3f} mm at most",
                              cut_words_of_one(die, line), die.worst_deviation));
  if (line.weight) words.push_back(fmt::format("weight of one die's rule: {:.3f} kg", *line.weight));
  if (order.priced && line.to_make > 0)
    words.push_back(fmt::format("price of one: {:.2f} {}", line.price, order.currency));
  for (const StatedFact& fact : die_stated(order, line)) words.push_back(in_words(fact));
  words.emplace_back(line.two_edged
                         ? "CUT and CUT_OUT are the cutting edges of one side, seen from the other side"
                         : "CUT and CUT_OUT are the cutting edges, seen from the back of the die");
  if (line.special_punches > 0)
    words.push_back(fmt::format(
        "of the shapes on CUT_OUT {} {}, not bent from rule, and not in the rule inside",
        line.special_punches, line.special_punches == 1 ? "is a special punch" : "are special punches"));
  const auto add = [&words](const char* what, const std::string& text) {
    if (!text.empty()) words.push_back(what + text);
  };
  add("punches: ", punches_text(die.work));
  if (die.facts.pricks > 0) words.push_back(fmt::format("pricks: {}", die.facts.pricks));
  for (const GatheredFinding& kind : gathered(die.findings))
    words.push_back("look at: " + finding_words(kind));
  add("nicks: ", nicks_words(die));
  if (die.work.joint) words.emplace_back("double stroke: proposed joint");
  add("lines across: proposed bridges, ", bridges_text(die.work));
  add("bridges: ", die.work.bridges_missing);
  for (const StatedFact& fact : head_stated(order.head)) words.push_back(in_words(fact));
  return words;
}

Sheet die_sheet(const PlannedDie& die, const DieOrder& order, const DieOrderLine& line, bool mirror) {
  const DieShape shape = mirror ? mirrored(die.shape) : die.shape;
  const std::string hand = mirror ? line.hand_mirrored : line.hand_drawn;
  Sheet sheet;
  sheet.title = line.number + " " + line.piece + " " + line.drawn_as + (hand.empty() ? "" : " " + hand);
  sheet.outlines.push_back({shape.cut.path, Operation::kCut});
  for (const ClosedArcPath& cut_out : shape.cut_outs) sheet.outlines.push_back({cut_out, Operation::kCutOut});
  for (const GradedLine& mark : shape.marks) sheet.lines.push_back({mark.path, mark.operation});
  for (const GradedLine& mark : shape.size_marks) sheet.lines.push_back({mark.path, mark.operation});
  for (const GradedHole& hole : shape.holes) sheet.holes.push_back(sheet_hole(hole));
  if (die.work.joint) add_joint(*die.work.joint, mirror, sheet);
  for (const Bridge& bridge : die.work.bridges) {
    const auto seen = [mirror](Vec2 p) { return mirror ? Vec2{-p.x, p.y} : p; };
    sheet.lines.push_back(
        {OpenArcPath{{{seen(bridge.from), 0.0}, {seen(bridge.to), 0.0}}}, Operation::kGuide});
  }
  const Box2 box = bounds(shape.cut.path);
  sheet.texts.push_back({roomiest(shape, box), kCapital, Radians(0.0),
                         line.number + (hand.empty() ? "" : " " + hand), Operation::kText});
  Vec2 below{box.low.x, box.low.y - 2.0 * kLineStep};
  for (const std::string& words : die_words(die, order, line, mirror)) {
    sheet.texts.push_back({below, kCapital, Radians(0.0), words, Operation::kText});
    below.y -= kLineStep;
  }
  return sheet;
}

}  // namespace lastwright
