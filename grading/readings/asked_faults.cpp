#include "grading/readings/asked_faults.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace lastwright {
namespace {

using Kind = Cause::Kind;
using Change = Cause::Change;

struct AskedStep {
  double amount = 1.0;  // millimetres a step
  std::string words;    // "1/16 in (3/16 in for 1/4 in)"
};

// How far a step is taken to be off: a sixteenth where the table has sixteenths, else a millimetre.
AskedStep asked_step(const MeasureTable& table, const std::vector<std::size_t>& measures, bool by_size) {
  const Fraction sixteenth(127, 80);
  std::optional<Fraction> one;
  bool equal = true;
  for (const std::size_t m : measures) {
    const Measure& measure = table.measures()[m];
    const Fraction own = (by_size ? measure.per_size : measure.per_width).millimetres;
    equal = equal && measure.breaks.empty() && (!by_size || measure.law == Law::kArithmetic) &&
            (!one || *one == own);
    one = own;
  }
  if (!one || !equal || *one <= Fraction(2)) return {1.0, "1 mm"};
  const Fraction parts = *one / sixteenth;
  if (parts.denominator() == 1 && parts > 1) {
    const auto inches = [&](Fraction count) { return to_mixed(count / 16) + " in"; };
    return {sixteenth.value(),
            fmt::format("{} ({} for {})", inches(1), inches(parts - Fraction(1)), inches(parts))};
  }
  return {1.0, fmt::format("1 mm ({:g} mm for {:g} mm)", (*one - Fraction(1)).value(), one->value())};
}

std::string sizes_in_words(Fraction sizes) {
  if (sizes == Fraction(1, 2)) return "half a size";
  if (sizes == Fraction(1)) return "one size";
  return fmt::format("{:g} sizes", sizes.value());
}

std::size_t weight_of(const Cause& cause) {
  return cause.column.size();
}

class FaultAsker {
 public:
  FaultAsker(const BatchLayout& layout, const CauseMaker& maker, const MeasureTable& table,
             const AskedAmounts& amounts)
      : layout_(layout), maker_(maker), table_(table), amounts_(amounts) {
    for (const std::size_t m : layout.measures) {
      if (is_girth(table.measures()[m])) girths_.push_back(m);
    }
  }

  std::vector<AskedFault> all() {
    const bool one_size = layout_.sizes.size() < 2;
    const bool one_width = layout_.widths.size() < 2;
    const std::string size = one_size ? "another size" : "";
    const std::string width = one_width ? "another width" : "";
    steps(Kind::kStepBySize, true, size);
    steps(Kind::kStepByWidth, false, width);
    common(Kind::kBatch, Change::kMeasure, amounts_.measure, "one measure of the whole batch", "");
    common(Kind::kSize, Change::kMeasure, amounts_.measure, "one measure of one size", size);
    common(Kind::kWidth, Change::kMeasure, amounts_.measure, "one measure of one width", width);
    common(Kind::kTape, layout_.measures.size() > 1 ? Change::kAll : Change::kMeasure, amounts_.tape,
           "one of the gauges",
           layout_.tapes.size() < 2 ? "some of these readings again with a second gauge" : "");
    const bool girths = girths_.size() > 1;
    common(Kind::kHand, girths ? Change::kGirths : Change::kMeasure, amounts_.hand,
           girths ? "all girths of one hand" : "one measure of one hand", "the other hand too");
    stamps();
    return std::move(asked_);
  }

 private:
  // Of places that are alike the one in the middle; else the one that was read least.
  static std::optional<Cause> weakest(std::vector<Cause> found) {
    if (found.empty()) return std::nullopt;
    const auto fewer = [](const Cause& a, const Cause& b) { return weight_of(a) < weight_of(b); };
    const std::size_t least = weight_of(*std::min_element(found.begin(), found.end(), fewer));
    std::erase_if(found, [&](const Cause& one) { return weight_of(one) > least; });
    return found[found.size() / 2];
  }

  void steps(Kind kind, bool by_size, const std::string& besides) {
    const bool girths = girths_.size() > 1;
    const std::vector<std::size_t>& of = girths_.empty() ? layout_.measures : girths_;
    const AskedStep step = asked_step(table_, of, by_size);
    const std::string what = girths            ? "all girths"
                             : girths_.empty() ? "one measure"
                                               : "the " + table_.measures()[girths_.front()].name;
    add(kind, girths ? Change::kGirths : Change::kMeasure, step.amount,
        fmt::format("a step by {} of {} off by {}", by_size ? "size" : "width", what, step.words), besides);
  }

  void common(Kind kind, Change change, double amount, const std::string& what, const std::string& besides) {
    std::string words = kind == Kind::kTape ? fmt::format("{} reads {:g} mm more", what, amount)
                                            : fmt::format("{} off by {:g} mm", what, amount);
    add(kind, change, amount, std::move(words), besides);
  }

  void add(Kind kind, Change change, double amount, std::string words, const std::string& besides) {
    AskedFault asked{kind, std::move(words), amount, {}, {}, {}};
    std::vector<Cause> found;
    std::vector<std::optional<Cause>> alike;
    for (const std::vector<Cause>& group : maker_.common()) {
      for (Cause cause : group) {
        if (cause.kind != kind || cause.change != change) continue;
        if (kind == Kind::kStepBySize && cause.place > 0) continue;  // the whole step stands for its parts
        // The one girth stands for all girths.
        const bool of_girths = kind == Kind::kStepBySize || kind == Kind::kStepByWidth;
        if (of_girths && change == Change::kMeasure && !girths_.empty() && cause.measure != girths_.front())
          continue;
        cause.log_prior = group.front().log_prior;
        const auto other = [&](const Cause& one) { return one.kind != kind; };
        const auto rival = std::find_if(group.begin(), group.end(), other);
        alike.push_back(rival == group.end() ? std::nullopt : std::optional(*rival));
        found.push_back(std::move(cause));
      }
    }
    asked.cause = weakest(found);
    // Where another place can be told apart the kind is.
    if (!found.empty() &&
        std::all_of(alike.begin(), alike.end(), [](const auto& one) { return one.has_value(); })) {
      asked.alike = alike.front();
    }
    if (!asked.cause || asked.alike) asked.besides = besides.empty() ? telling(kind, asked.alike) : besides;
    if (asked.cause && asked.alike) asked.besides += ", to tell one from the other";
    asked_.push_back(std::move(asked));
  }

  static std::string telling(Kind kind, const std::optional<Cause>& alike) {
    const auto is = [&](Kind one) { return kind == one || (alike && alike->kind == one); };
    if (is(Kind::kTape)) return "some of these readings again with another gauge";
    if (is(Kind::kHand)) return "the other hand too";
    if (is(Kind::kStepByWidth) || is(Kind::kWidth)) return "another width";
    return "another size";
  }

  void stamps() {
    std::size_t block = layout_.blocks.size() / 2;
    for (std::size_t b = 0; b < layout_.blocks.size(); ++b) {
      if (layout_.blocks[b].count < layout_.blocks[block].count) block = b;
    }
    const PlacedReading& first = layout_.readings[static_cast<std::size_t>(layout_.blocks[block].first)];
    const Size& size = layout_.sizes[first.size];
    const Width& width = layout_.widths[first.width];
    const std::vector<Cause> causes = maker_.of_block(block);
    for (const Kind kind : {Kind::kStampOfPair, Kind::kStampOfLast}) {
      const char* what = kind == Kind::kStampOfPair ? "pair" : "last";
      for (const bool by_size : {true, false}) {
        std::vector<Cause> found;
        for (const Cause& cause : causes) {
          if (cause.kind != kind) continue;
          if (by_size ? cause.cell.width.position == width.position
                      : cause.cell.size.position == size.position)
            found.push_back(cause);
        }
        const auto nearest = std::max_element(found.begin(), found.end(), [](const Cause& a, const Cause& b) {
          return a.log_prior < b.log_prior;
        });
        if (nearest == found.end()) continue;
        const Fraction sizes = nearest->cell.size.position - size.position;
        asked_.push_back({kind,
                          fmt::format("one {} {} off", what,
                                      by_size ? sizes_in_words(sizes < 0 ? -sizes : sizes) : "a width"),
                          1.0,
                          *nearest,
                          {},
                          {}});
      }
    }
  }

  const BatchLayout& layout_;
  const CauseMaker& maker_;
  const MeasureTable& table_;
  const AskedAmounts& amounts_;
  std::vector<std::size_t> girths_;
  std::vector<AskedFault> asked_;
};

}  // namespace

std::vector<AskedFault> asked_faults(const BatchLayout& layout, const CauseMaker& maker,
                                     const MeasureTable& table, const AskedAmounts& amounts) {
  return FaultAsker(layout, maker, table, amounts).all();
}

}  // namespace lastwright
