// Plans of reading, kinds of noise and planted faults, to see how often a fault is named and a sound batch
// accused. The same on every machine.
#pragma once

#include <algorithm>
#include <cmath>
#include <functional>
#include <string>
#include <vector>

#include "grading/readings/search.hpp"
#include "tests/support/synthetic_readings.hpp"

namespace lastwright::test {

// English 5 to 13 in half sizes, five widths, base 8 F; the first of: stick length, ball, instep and waist
// girth, short heel. Or girths only.
inline MeasureTable plan_table(const SmallStyle& style, std::size_t count, bool length = true) {
  struct Row {
    const char* name;
    const char* value;
    const char* per_width;
  };
  const std::vector<Row> rows{{"ball girth", "246 mm", "1/4 in"},
                              {"instep girth", "256 mm", "1/4 in"},
                              {"waist girth", "242 mm", "3/16 in"},
                              {"short heel", "331 mm", "1/4 in"}};
  std::vector<Measure> measures;
  if (length) measures.push_back(*measure_from_scale("stick length", style.scale, style.run.base.size));
  for (const Row& row : rows) {
    if (measures.size() >= count) break;
    Measure girth;
    girth.name = row.name;
    girth.base = *parse_quantity(row.value);
    girth.per_size = *parse_quantity("1/4 in");
    girth.per_width = *parse_quantity(row.per_width);
    measures.push_back(std::move(girth));
  }
  return *MeasureTable::build(std::move(measures),
                              {style.run.base, style.scale.length(style.run.base.size), style.scale.step});
}

struct ReadingPlan {
  std::string name;
  std::vector<std::string> sizes;
  std::vector<std::string> widths;
  int pairs = 2;  // of each size and width
  std::size_t measures = 3;
  bool length = true;  // the first measure is the stick length
  bool singles = false;
};

struct ReadingNoiseKind {
  std::string name;
  double made = 0.3;   // of one measure of one last, millimetres
  double read = 0.3;   // of one reading
  bool heavy = false;  // Student's t, 3 degrees of freedom, scaled by the same figures
  double step = 0.5;
  double pair = 0.0;     // common to left and right of one measure
  double last = 0.0;     // common to the girths of one last
  double apart = 0.0;    // the second tape reads this much more: two operators
  double missing = 0.0;  // part of the readings
};

// Where a planted fault acts.
struct Placed {
  const Reading* reading;
  std::size_t size;  // place in the plan's
  std::size_t width;
  int number;  // of the pair
};

struct PlantedFault {
  std::string name;
  std::function<bool(const ReadingPlan&)> possible;
  // What the last really is, in sizes and widths beyond its stamp.
  std::function<std::pair<Fraction, Fraction>(const ReadingPlan&, const Placed&)> moved;
  // Added to a reading, millimetres.
  std::function<double(const ReadingPlan&, const Placed&)> added;
  std::function<bool(const ReadingPlan&, const BatchLayout&, const Cause&)> names;
};

inline std::vector<Reading> make_plan_batch(const SmallStyle& style, const MeasureTable& table,
                                            const ReadingPlan& plan, const ReadingNoiseKind& kind,
                                            const PlantedFault* fault, std::uint64_t seed) {
  Noise noise(seed);
  const auto error = [&](double spread) {
    const double normal = noise(spread);
    if (!kind.heavy) return normal;
    double squares = 0.0;
    for (int i = 0; i < 3; ++i) {
      const double one = noise(1.0);
      squares += one * one;
    }
    return normal / std::sqrt(squares / 3.0);
  };
  std::vector<Reading> readings;
  int number = 0;
  for (std::size_t s = 0; s < plan.sizes.size(); ++s) {
    for (std::size_t w = 0; w < plan.widths.size(); ++w) {
      for (int pair = 0; pair < plan.pairs; ++pair) {
        ++number;
        const SizeWidth stamp = style.at(plan.sizes[s].c_str(), plan.widths[w].c_str());
        std::vector<double> common;
        for (std::size_t m = 0; m < table.size(); ++m) common.push_back(noise(kind.pair));
        for (const Foot foot : {Foot::kLeft, Foot::kRight}) {
          if (plan.singles && (foot == Foot::kLeft) != (number % 2 == 0)) continue;
          const double own = noise(kind.last);
          for (std::size_t m = 0; m < table.size(); ++m) {
            Reading reading;
            reading.id = "P" + std::to_string(1000 + number);
            reading.foot = foot;
            reading.stamped = stamp;
            reading.measure = m;
            reading.gauge = noise(1.0) > 0.0 ? "T1" : "T2";
            if (m > 0 && !readings.empty() && readings.back().id == reading.id)
              reading.gauge = readings.back().gauge;
            SizeWidth truth = stamp;
            const Placed placed{&reading, s, w, number};
            if (fault && fault->moved) {
              const auto [sizes, widths] = fault->moved(plan, placed);
              truth.size.position = truth.size.position + sizes;
              truth.width.position = truth.width.position + widths;
            }
            reading.value = table.value(m, truth) + error(kind.made) + error(kind.read) + common[m];
            if (is_girth(table.measures()[m])) reading.value += own;
            if (reading.gauge == "T2") reading.value += kind.apart;
            if (fault && fault->added) reading.value += fault->added(plan, placed);
            reading.step = kind.step;
            reading.value = std::round(reading.value / kind.step) * kind.step;
            reading.line = static_cast<long>(readings.size()) + 2;
            if (kind.missing > 0.0) {
              // The quantile of a normal deviate is not at hand:
              // a fixed part by a second deviate's sign bits.
              const double lot = std::abs(noise(1.0));
              const double bound = kind.missing == 0.3 ? 0.385 : 0.0;  // P(|z| < 0.385) = 0.30
              if (lot < bound) continue;
            }
            readings.push_back(std::move(reading));
          }
        }
      }
    }
  }
  return readings;
}

// At least twelve kinds; `size` is that of a fault without a natural amount, millimetres.
inline std::vector<PlantedFault> planted_faults(const SizeWidth& base, double size) {
  using Kind = Cause::Kind;
  using Change = Cause::Change;
  const auto always = [](const ReadingPlan&) { return true; };
  const auto several_sizes = [](const ReadingPlan& p) { return p.sizes.size() >= 3; };
  const auto several_widths = [](const ReadingPlan& p) { return p.widths.size() >= 2; };
  const auto girth = [](const ReadingPlan& p, const Placed& at) {
    return !p.length || at.reading->measure > 0;
  };
  const auto ball = [](const ReadingPlan& p, const Placed& at) {
    return at.reading->measure == (p.length && p.measures > 1 ? 1u : 0u);
  };
  // The middle size of the plan, and its pairs.
  const auto middle = [](const ReadingPlan& p) { return p.sizes.size() / 2; };
  // A pair in the middle of the plan.
  const auto chosen = [](const ReadingPlan& p) {
    const std::size_t cells = p.sizes.size() / 2 * p.widths.size() + p.widths.size() / 2;
    return static_cast<int>(cells) * p.pairs + 1;
  };
  std::vector<PlantedFault> all;
  const auto names_chosen = [=](const ReadingPlan& p, const BatchLayout& l, const Cause& c) {
    const bool pair = c.kind == Kind::kStampOfPair;
    if (!c.stamp()) return false;
    const std::size_t last =
        pair ? l.readings[static_cast<std::size_t>(l.blocks[c.place].first)].last : c.place;
    return l.lasts[last].first == "P" + std::to_string(1000 + chosen(p));
  };
  all.push_back({"batch: one measure off",
                 always,
                 {},
                 [=](const ReadingPlan& p, const Placed& at) { return ball(p, at) ? size : 0.0; },
                 [](const ReadingPlan&, const BatchLayout&, const Cause& c) {
                   return c.kind == Kind::kBatch && c.change == Change::kMeasure;
                 }});
  all.push_back(
      {"batch: one width wide",
       always,
       [](const ReadingPlan&, const Placed&) {
         return std::pair{Fraction(0), Fraction(1)};
       },
       {},
       [](const ReadingPlan&, const BatchLayout&, const Cause& c) { return c.kind == Kind::kBatch; }});
  all.push_back(
      {"batch: half a size short",
       always,
       [](const ReadingPlan&, const Placed&) {
         return std::pair{Fraction(1, 2), Fraction(0)};
       },
       {},
       [](const ReadingPlan&, const BatchLayout&, const Cause& c) { return c.kind == Kind::kBatch; }});
  all.push_back({"size: middle one drifted",
                 several_sizes,
                 {},
                 [=](const ReadingPlan& p, const Placed& at) {
                   return at.size == middle(p) && ball(p, at) ? size : 0.0;
                 },
                 [=](const ReadingPlan& p, const BatchLayout&, const Cause& c) {
                   return c.kind == Kind::kSize && c.place == middle(p);
                 }});
  all.push_back({"size: end one drifted",
                 several_sizes,
                 {},
                 [=](const ReadingPlan& p, const Placed& at) {
                   return at.size + 1 == p.sizes.size() && ball(p, at) ? -2.0 * size : 0.0;
                 },
                 [](const ReadingPlan& p, const BatchLayout&, const Cause& c) {
                   return c.kind == Kind::kSize && c.place + 1 == p.sizes.size();
                 }});
  all.push_back({"size: one a width up",
                 several_sizes,
                 [=](const ReadingPlan& p, const Placed& at) {
                   return std::pair{Fraction(0), Fraction(at.size == middle(p) ? 1 : 0)};
                 },
                 {},
                 [=](const ReadingPlan& p, const BatchLayout&, const Cause& c) {
                   return c.kind == Kind::kSize && c.place == middle(p);
                 }});
  all.push_back({"width: one drifted",
                 several_widths,
                 {},
                 [=](const ReadingPlan& p, const Placed& at) {
                   return at.width + 1 == p.widths.size() && ball(p, at) ? size : 0.0;
                 },
                 [](const ReadingPlan& p, const BatchLayout&, const Cause& c) {
                   return c.kind == Kind::kWidth && c.place + 1 == p.widths.size();
                 }});
  all.push_back(
      {"step: girths 3/16 in a size",
       several_sizes,
       {},
       [=](const ReadingPlan& p, const Placed& at) {
         return girth(p, at) ? -25.4 / 16.0 * (at.reading->stamped.size - base.size).count.value() : 0.0;
       },
       [](const ReadingPlan&, const BatchLayout&, const Cause& c) { return c.kind == Kind::kStepBySize; }});
  all.push_back(
      {"step: girths 5 mm a width",
       several_widths,
       {},
       [=](const ReadingPlan& p, const Placed& at) {
         return girth(p, at) ? -1.35 * (at.reading->stamped.width - base.width).count.value() : 0.0;
       },
       [](const ReadingPlan&, const BatchLayout&, const Cause& c) { return c.kind == Kind::kStepByWidth; }});
  all.push_back({"tape: reads more",
                 always,
                 {},
                 [=](const ReadingPlan&, const Placed& at) { return at.reading->gauge == "T2" ? size : 0.0; },
                 [](const ReadingPlan&, const BatchLayout& l, const Cause& c) {
                   return c.kind == Kind::kTape && l.tapes[c.place] == "T2";
                 }});
  all.push_back({"tape: stretched 0.8 %",
                 always,
                 {},
                 [](const ReadingPlan&, const Placed& at) {
                   return at.reading->gauge == "T2" ? -0.008 * at.reading->value : 0.0;
                 },
                 [](const ReadingPlan&, const BatchLayout& l, const Cause& c) {
                   return c.kind == Kind::kTape && l.tapes[c.place] == "T2";
                 }});
  all.push_back({"hand: rights fuller",
                 always,
                 {},
                 [=](const ReadingPlan& p, const Placed& at) {
                   return at.reading->foot == Foot::kRight && girth(p, at) ? size : 0.0;
                 },
                 [](const ReadingPlan&, const BatchLayout&, const Cause& c) {
                   return c.kind == Kind::kHand && c.place == 1;
                 }});
  all.push_back({"stamp: a pair half a size short",
                 always,
                 [=](const ReadingPlan& p, const Placed& at) {
                   return std::pair{Fraction(at.number == chosen(p) ? 1 : 0, 2), Fraction(0)};
                 },
                 {},
                 names_chosen});
  all.push_back({"stamp: a pair a width wide",
                 always,
                 [=](const ReadingPlan& p, const Placed& at) {
                   return std::pair{Fraction(0), Fraction(at.number == chosen(p) ? 1 : 0)};
                 },
                 {},
                 names_chosen});
  all.push_back({"stamp: one last half a size short",
                 always,
                 [=](const ReadingPlan& p, const Placed& at) {
                   const bool here = at.number == chosen(p) && (p.singles || at.reading->foot == Foot::kLeft);
                   return std::pair{Fraction(here ? 1 : 0, 2), Fraction(0)};
                 },
                 {},
                 names_chosen});
  return all;
}

// From 12 to 200 lasts, 2 to 9 sizes, 1 to 5 widths, 1 to 5 measures, pairs and singles.
inline std::vector<ReadingPlan> reading_plans() {
  const std::vector<std::string> nine{"6", "6.5", "7", "7.5", "8", "8.5", "9", "9.5", "10"};
  return {{"p60", {"6.5", "7.5", "8.5", "9.5", "10.5"}, {"E", "F", "G"}, 2},
          {"p12", {"7", "8", "9"}, {"F"}, 2},
          {"p12w2", {"7", "8", "9"}, {"F", "G"}, 1},
          {"p30", {"7", "8", "9"}, {"D", "E", "F", "G", "H"}, 1},
          {"p54s9", nine, {"E", "F", "G"}, 1},
          {"p60s3", {"7", "8", "9"}, {"E", "F"}, 5},
          {"p60w5", {"7", "8", "9"}, {"D", "E", "F", "G", "H"}, 2},
          {"p60m2", {"6.5", "7.5", "8.5", "9.5", "10.5"}, {"E", "F", "G"}, 2, 2},
          {"p60m1", {"6.5", "7.5", "8.5", "9.5", "10.5"}, {"E", "F", "G"}, 2, 1, false},
          {"p60g2", {"6.5", "7.5", "8.5", "9.5", "10.5"}, {"E", "F", "G"}, 2, 2, false},
          {"p48s2", {"7", "9"}, {"E", "F", "G", "H"}, 3},
          {"p60m5", {"6.5", "7.5", "8.5", "9.5", "10.5"}, {"E", "F", "G"}, 2, 5},
          {"s30", {"6.5", "7.5", "8.5", "9.5", "10.5"}, {"E", "F", "G"}, 2, 3, true, true},
          {"p200", {"6", "7", "8", "9", "10"}, {"D", "E", "F", "G", "H"}, 4}};
}

// Fault sizes are counted in the spread of the first: 0.42 mm.
inline std::vector<ReadingNoiseKind> reading_noises() {
  std::vector<ReadingNoiseKind> all(9);
  all[0].name = "normal";
  all[1].name = "heavy";
  all[1].heavy = true;
  all[2].name = "sixteenth";
  all[2].step = 25.4 / 16.0;
  all[3].name = "one_mm";
  all[3].step = 1.0;
  all[4].name = "pairs";
  all[4].pair = 0.6;
  all[5].name = "lasts";
  all[5].last = 0.5;
  all[6].name = "missing";
  all[6].missing = 0.3;
  all[7].name = "operators";
  all[7].apart = 0.5;
  all[8].name = "rough";
  all[8].made = all[8].read = 0.6;
  return all;
}

struct BatchScore {
  bool named = false;    // the planted fault is an explanation
  bool tied = false;     // it is named beside another that is nearly as likely
  bool accused = false;  // something else is named
  std::size_t causes = 0;
};

inline BatchScore score_of(const ReadingPlan& plan, const PlantedFault* fault, const BatchLayout& layout,
                           const BatchExplanation& explained) {
  BatchScore score;
  score.causes = explained.causes.size();
  for (const Explanation& one : explained.causes) {
    const auto hits = [&](const Cause& cause) { return fault && fault->names(plan, layout, cause); };
    if (hits(one.cause) || std::any_of(one.same.begin(), one.same.end(), hits)) {
      score.named = true;
    } else if (std::any_of(one.rivals.begin(), one.rivals.end(), hits)) {
      score.tied = true;
    } else {
      score.accused = true;
    }
  }
  return score;
}

}  // namespace lastwright::test
