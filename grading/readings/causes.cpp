#include "grading/readings/causes.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>

namespace lastwright {
namespace {

using Kind = Cause::Kind;
using Change = Cause::Change;
using Eigen::Index;

// Columns in a form in which those that cannot be told apart
// are equal: an unknown amount may be counted in any unit.
std::vector<long long> fingerprint(const Cause& cause) {
  constexpr double kGrid = 1e7;  // parts of a millimetre
  std::vector<long long> print{cause.known() ? 1 : 0};
  const double unit = cause.known() || cause.column.empty() ? 1.0 : cause.column.front().second;
  for (const auto& [row, value] : cause.column) {
    print.push_back(row);
    print.push_back(std::llround(value / unit * kGrid));
  }
  return print;
}

bool proportional(const SparseColumn& one, const SparseColumn& other) {
  if (one.size() != other.size() || one.empty()) return false;
  const double ratio = other.front().second / one.front().second;
  for (std::size_t i = 0; i < one.size(); ++i) {
    if (one[i].first != other[i].first || std::abs(other[i].second - ratio * one[i].second) > 1e-6)
      return false;
  }
  return true;
}

// Over whole batches a known step is one value for each place: moved sizes and widths.
struct Move {
  Fraction sizes;
  Fraction widths;
};

std::vector<Move> moves_of(Kind kind) {
  std::vector<Move> moves{{0, 1}, {0, -1}};
  if (kind == Kind::kWidth) return moves;
  for (const Fraction& sizes : {Fraction(1, 2), Fraction(1)}) {
    moves.push_back({sizes, 0});
    moves.push_back({-sizes, 0});
  }
  return moves;
}

// Width steps from one width to the next of the ladder; beyond its end as far as to the one before.
Fraction next_width(const std::vector<Fraction>& ladder, Fraction from, bool wider) {
  const auto at = std::find(ladder.begin(), ladder.end(), from);
  if (at == ladder.end() || ladder.size() < 2) return wider ? 1 : -1;
  const bool last = at + 1 == ladder.end();
  const Fraction above = last ? *at - *(at - 1) : *(at + 1) - *at;
  const Fraction below = at == ladder.begin() ? *(at + 1) - *at : *at - *(at - 1);
  return wider ? above : -below;
}

// The causes that are asked of every batch, each with the readings it covers and what it changes of them.
class CommonCauses {
 public:
  using Moved = std::function<double(const PlacedReading&, const Move&)>;
  struct Made {
    Cause cause;
    double class_prior = 0.0;
  };

  CommonCauses(const BatchLayout& layout, const MeasureTable& table, const CausePriors& priors, Moved moved)
      : layout_(layout),
        table_(table),
        priors_(priors),
        moved_(std::move(moved)),
        girths_(std::count_if(layout.measures.begin(), layout.measures.end(),
                              [&](std::size_t m) { return is_girth(table.measures()[m]); })) {}

  // Each with its log prior, those that cannot be told apart in one group, in the order of their first.
  std::vector<std::vector<Cause>> groups() {
    of_batch();
    if (layout_.sizes.size() > 1) of_sizes();
    if (layout_.widths.size() > 1) of_widths();
    if (layout_.tapes.size() > 1) of_tapes();
    of_hands();
    std::vector<std::vector<Cause>> groups;
    std::map<std::vector<long long>, std::size_t> known;
    for (Made& made : all_) {
      made.cause.log_prior = std::log(made.class_prior / places_[made.cause.kind]);
      const auto [at, first] = known.try_emplace(fingerprint(made.cause), groups.size());
      if (first) groups.emplace_back();
      groups[at->second].push_back(std::move(made.cause));
    }
    return groups;
  }

 private:
  using Covers = std::function<bool(const PlacedReading&)>;
  using Value = std::function<double(const PlacedReading&)>;

  static double one(const PlacedReading& /*whatever it is*/) { return 1.0; }
  static bool every(const PlacedReading& /*whatever it is*/) { return true; }

  void add(Cause cause, double prior, const Covers& covers, const Value& value) {
    for (Index i = 0; i < layout_.count(); ++i) {
      const PlacedReading& reading = layout_.readings[static_cast<std::size_t>(i)];
      if (!covers(reading)) continue;
      if (const double one = value(reading); std::abs(one) > 1e-9) cause.column.emplace_back(i, one);
    }
    if (cause.column.empty()) return;
    places_[cause.kind] += 1.0;
    all_.push_back({std::move(cause), prior});
  }
  // A cause by measure, by all girths and, where `all_too`, by all readings.
  void by_amount(Kind kind, std::size_t place, double amount, double prior, bool all_too,
                 const Covers& covers, const Value& value) {
    for (const std::size_t m : layout_.measures) {
      Cause cause{kind, Change::kMeasure, place, m};
      cause.amount_spread = amount;
      add(
          std::move(cause), prior, [&](const PlacedReading& r) { return r.measure == m && covers(r); },
          value);
    }
    if (girths_ > 1) {
      Cause cause{kind, Change::kGirths, place};
      cause.amount_spread = amount;
      add(
          std::move(cause), prior, [&](const PlacedReading& r) { return r.girth && covers(r); }, value);
    }
    if (all_too && layout_.measures.size() > 1) {
      Cause cause{kind, Change::kAll, place};
      cause.amount_spread = amount;
      add(std::move(cause), prior, covers, value);
    }
  }
  void in_proportion(Kind kind, std::size_t place, double percent, double prior, const Covers& covers) {
    Cause cause{kind, Change::kScale, place};
    cause.amount_spread = percent;
    add(std::move(cause), prior, covers, [](const PlacedReading& r) { return r.wanted / 100.0; });
  }
  void by_cell(Kind kind, std::size_t place, double prior, const Covers& covers) {
    for (const Move& move : moves_of(kind)) {
      Cause cause{kind, Change::kOtherCell, place};
      cause.sizes_more = move.sizes;
      cause.widths_more = move.widths;
      add(std::move(cause), prior, covers, [&](const PlacedReading& r) { return moved_(r, move); });
    }
  }

  void of_batch() {
    by_amount(Kind::kBatch, 0, priors_.amount, priors_.batch, true, every, one);
    in_proportion(Kind::kBatch, 0, priors_.batch_percent, priors_.batch, every);
    by_cell(Kind::kBatch, 0, priors_.batch, every);
  }
  void of_sizes() {
    by_amount(Kind::kStepBySize, 0, priors_.step_amount, priors_.step, true, every,
              [](const PlacedReading& r) { return r.size_steps; });
    // Where the table's increment changes on the way, a wrong one may have been taken in one stretch alone.
    for (std::size_t k = 0; k < layout_.stretches.size(); ++k) {
      by_amount(Kind::kStepBySize, k + 1, priors_.step_amount, priors_.step, false, every,
                [&, k](const PlacedReading& r) {
                  return layout_.stretches[k].steps(table_.base().at.size.position,
                                                    layout_.sizes[r.size].position);
                });
    }
    for (std::size_t place = 0; place < layout_.sizes.size(); ++place) {
      const Covers here = [place](const PlacedReading& r) { return r.size == place; };
      by_amount(Kind::kSize, place, priors_.amount, priors_.size, false, here, one);
      by_cell(Kind::kSize, place, priors_.size, here);
    }
  }
  void of_widths() {
    by_amount(Kind::kStepByWidth, 0, priors_.step_amount, priors_.step, false, every,
              [](const PlacedReading& r) { return r.width_steps; });
    for (std::size_t place = 0; place < layout_.widths.size(); ++place) {
      const Covers here = [place](const PlacedReading& r) { return r.width == place; };
      by_amount(Kind::kWidth, place, priors_.amount, priors_.width, false, here, one);
      by_cell(Kind::kWidth, place, priors_.width, here);
    }
  }
  void of_tapes() {
    for (std::size_t place = 0; place < layout_.tapes.size(); ++place) {
      const Covers here = [place](const PlacedReading& r) { return r.tape == place; };
      by_amount(Kind::kTape, place, priors_.tape_amount, priors_.tape, true, here, one);
      in_proportion(Kind::kTape, place, priors_.tape_percent, priors_.tape, here);
    }
  }
  void of_hands() {
    const auto is_left = [](const PlacedReading& r) { return r.foot == Foot::kLeft; };
    const auto lefts = std::count_if(layout_.readings.begin(), layout_.readings.end(), is_left);
    if (lefts > 0 && lefts < layout_.count()) {
      for (const std::size_t place : {std::size_t{0}, std::size_t{1}}) {
        by_amount(
            Kind::kHand, place, priors_.hand_amount, priors_.hand, true,
            [&](const PlacedReading& r) { return is_left(r) == (place == 0); }, one);
      }
    }
  }

  const BatchLayout& layout_;
  const MeasureTable& table_;
  const CausePriors& priors_;
  Moved moved_;
  std::ptrdiff_t girths_;
  std::vector<Made> all_;
  std::map<Kind, double> places_;  // how many there are of a kind
};

}  // namespace

bool same_column(const Cause& one, const Cause& other) {
  return one.known() == other.known() && fingerprint(one) == fingerprint(other);
}

bool nested(const Cause& one, const Cause& other) {
  return one.kind == other.kind && one.place == other.place && one.known() != other.known() &&
         proportional(one.column, other.column);
}

CauseMaker::CauseMaker(const BatchLayout& layout, const MeasureTable& table, const SizeRun& run,
                       const CausePriors& priors)
    : layout_(layout), table_(table), priors_(priors), cells_(run.cells()) {
  values_.resize(table.size());
  for (const std::size_t m : layout.measures) {
    for (const SizeWidth& cell : cells_) values_[m].push_back(table.value(m, cell));
  }
  make_common();
}

double CauseMaker::moved(const PlacedReading& reading, Fraction sizes, Fraction widths) const {
  SizeWidth at{layout_.sizes[reading.size], layout_.widths[reading.width]};
  at.size.position = at.size.position + sizes;
  if (widths != Fraction(0))
    at.width.position = at.width.position + next_width(layout_.ladder, at.width.position, widths > 0);
  return table_.value(reading.measure, at) - reading.wanted;
}

void CauseMaker::make_common() {
  common_ = CommonCauses(layout_, table_, priors_, [&](const PlacedReading& reading, const Move& move) {
              return moved(reading, move.sizes, move.widths);
            }).groups();
  for (std::vector<Cause>& group : common_) {
    // Where one size alone lies in a stretch its step is told beside the size, not before it.
    const auto of_a_stretch = [](const Cause& step) {
      return step.kind == Kind::kStepBySize && step.place > 0;
    };
    std::stable_sort(group.begin(), group.end(), [&](const Cause& a, const Cause& b) {
      return std::pair(of_a_stretch(a), -a.log_prior) < std::pair(of_a_stretch(b), -b.log_prior);
    });
    double sum = 0.0;
    for (const Cause& cause : group) sum += std::exp(cause.log_prior);
    group.front().log_prior = std::log(sum);
  }
}

void CauseMaker::add_stamps(std::size_t block, std::optional<std::size_t> last,
                            std::vector<Cause>& causes) const {
  const Block& rows = layout_.blocks[block];
  const PlacedReading* stamped = nullptr;
  std::vector<Index> mine;
  for (Index i = rows.first; i < rows.first + rows.count; ++i) {
    const PlacedReading& reading = layout_.readings[static_cast<std::size_t>(i)];
    if (last && reading.last != *last) continue;
    if (!stamped) stamped = &reading;
    if (reading.size != stamped->size || reading.width != stamped->width) return;  // two stamps in one pair
    mine.push_back(i);
  }
  const SizeWidth stamp{layout_.sizes[stamped->size], layout_.widths[stamped->width]};
  const double stamp_size = stamp.size.position.value();
  const double stamp_width = stamp.width.position.value();
  std::vector<double> shares;
  double sum = 0.0;
  for (const SizeWidth& cell : cells_) {
    const double sizes = std::abs(cell.size.position.value() - stamp_size);
    const double widths = std::abs(cell.width.position.value() - stamp_width);
    shares.push_back(sizes + widths > 0.0 ? std::exp2(-2.0 * sizes - widths) : 0.0);
    sum += shares.back();
  }
  const auto places = static_cast<double>(last ? layout_.lasts.size() : layout_.blocks.size());
  for (std::size_t c = 0; c < cells_.size(); ++c) {
    if (shares[c] == 0.0) continue;
    Cause cause{last ? Kind::kStampOfLast : Kind::kStampOfPair, Change::kOtherCell, last ? *last : block};
    cause.cell = cells_[c];
    cause.log_prior = std::log(priors_.stamp / places * shares[c] / sum);
    for (const Index i : mine) {
      const PlacedReading& reading = layout_.readings[static_cast<std::size_t>(i)];
      const double more = values_[reading.measure][c] - reading.wanted;
      if (std::abs(more) > 1e-9) cause.column.emplace_back(i, more);
    }
    if (!cause.column.empty()) causes.push_back(std::move(cause));
  }
}

std::vector<Cause> CauseMaker::of_block(std::size_t block) const {
  std::vector<Cause> causes;
  const Block& rows = layout_.blocks[block];
  const auto at = [&](Index i) -> const PlacedReading& {
    return layout_.readings[static_cast<std::size_t>(i)];
  };
  std::vector<std::size_t> lasts;
  for (Index i = rows.first; i < rows.first + rows.count; ++i) {
    if (lasts.empty() || lasts.back() != at(i).last) lasts.push_back(at(i).last);
  }
  const auto add = [&](Kind kind, Change change, std::size_t place, std::size_t measure, double places) {
    Cause cause{kind, change, place, measure};
    cause.amount_spread = priors_.amount;
    cause.log_prior = std::log(priors_.item / places);
    for (Index i = rows.first; i < rows.first + rows.count; ++i) {
      if (kind == Kind::kLast && at(i).last != place) continue;
      if (change == Change::kMeasure ? at(i).measure == measure : at(i).girth)
        cause.column.emplace_back(i, 1.0);
    }
    if (cause.column.size() > 1) causes.push_back(std::move(cause));  // one reading alone is a slip
  };
  const auto blocks = static_cast<double>(layout_.blocks.size());
  const auto measures = static_cast<double>(layout_.measures.size());
  if (lasts.size() > 1) {
    add_stamps(block, std::nullopt, causes);
    add(Kind::kPair, Change::kGirths, block, 0, blocks);
    for (const std::size_t m : layout_.measures)
      add(Kind::kPair, Change::kMeasure, block, m, blocks * measures);
  }
  for (const std::size_t last : lasts) {
    add_stamps(block, last, causes);
    add(Kind::kLast, Change::kGirths, last, 0, static_cast<double>(layout_.lasts.size()));
    if (layout_.repeats) {
      for (const std::size_t m : layout_.measures)
        add(Kind::kLast, Change::kMeasure, last, m, static_cast<double>(layout_.lasts.size()) * measures);
    }
  }
  return causes;
}

}  // namespace lastwright
