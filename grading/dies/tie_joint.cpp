#include "grading/dies/tie_joint.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "grading/dies/tie_own.hpp"

namespace lastwright {

namespace {

// What may serve one demand of one group.
struct JointChoice {
  std::uint32_t candidate = 0;
  double fee = 0.0;   // what the seams' prices add to serving the demand by it
  double used = 0.0;  // by the relaxation at these prices: 0 or 1
  double mean = 0.0;  // over the later steps
};

struct JointDie {
  double cost = 0.0;
  std::vector<std::pair<std::uint32_t, std::uint32_t>> serves;  // row, choice of the row
};

// One side of a seam at one demand: the first `of_one` choices of the row `one` match nothing beyond the
// first `of_other` choices of the row `other`.
struct Prefix {
  std::uint32_t of_one = 0;
  std::uint32_t of_other = 0;
  double price = 0.0;
  double step = 0.0;
};
struct SeamRows {
  std::uint32_t one = 0;
  std::uint32_t other = 0;
  std::vector<std::uint32_t> order_one;  // choices by length
  std::vector<std::uint32_t> order_other;
  std::vector<Prefix> prefixes;
};

class JointPrices {
 public:
  JointPrices(const TieProblem& problem, const std::vector<JointGroup>& groups,
              const std::vector<JointSeam>& seams)
      : demands_(problem.demands), rows_(groups.size() * problem.demands) {
    for (std::size_t g = 0; g < groups.size(); ++g) add_group(groups[g], g);
    for (const JointSeam& seam : seams) {
      for (std::size_t d = 0; d < demands_; ++d) {
        for (const bool rising : {true, false}) {
          add_rows(problem, seam, d, rising, true);
          add_rows(problem, seam, d, rising, false);
        }
      }
    }
    step_.assign(rows_.size(), 0.0);
  }

  double climb(double aim) {
    constexpr double kWork = 3e8;  // choices and prefixes looked at: about a second
    constexpr int kMostSteps = 12000;
    constexpr int kPatience = 100;  // steps without a gain before they are shortened
    constexpr double kShorter = 0.8;
    constexpr double kLeast = 1e-3;  // of the step's share: below it nothing is gained
    constexpr double kGain = 1e-3;
    const int steps = static_cast<int>(std::min<double>(kMostSteps, kWork / static_cast<double>(size())));
    double share = 1.0;
    int since = 0;
    best_ = value();
    keep();
    for (int k = 0; k < steps && share >= kLeast && best_ < aim - kEnough; ++k) {
      double now = k == 0 ? best_ : value();
      if (now > best_) {
        if (now > best_ + kGain) since = 0;
        best_ = now;
        keep();
      }
      if (++since > kPatience) {
        share *= kShorter;
        since = 0;
        restore();
        now = value();
      }
      take_means();
      if (!step(share * std::max(aim - now, 0.1))) break;
    }
    return best_;
  }

  [[nodiscard]] std::vector<std::vector<std::vector<double>>> use() const {
    std::vector<std::vector<std::vector<double>>> use(groups_.size());
    for (std::size_t g = 0; g < groups_.size(); ++g) {
      for (std::size_t k = groups_[g].first; k < groups_[g].second; ++k) {
        use[g].emplace_back();
        for (const auto& [row, choice] : dies_[k].serves) use[g].back().push_back(rows_[row][choice].mean);
      }
    }
    return use;
  }

 private:
  static constexpr double kEnough = 1e-6;  // of a cost: rounding of the aim

  void add_group(const JointGroup& group, std::size_t g) {
    groups_.emplace_back(dies_.size(), dies_.size() + group.columns.size());
    for (std::size_t k = 0; k < group.columns.size(); ++k) {
      JointDie die{group.columns[k].cost, {}};
      for (const std::uint32_t d : group.columns[k].rows) {
        const auto row = static_cast<std::uint32_t>(g * demands_ + d);
        die.serves.emplace_back(row, static_cast<std::uint32_t>(rows_[row].size()));
        rows_[row].push_back({group.candidate[k]});
      }
      dies_.push_back(std::move(die));
    }
    const std::vector<double> prices = row_prices(demands_, group.columns);
    price_.insert(price_.end(), prices.begin(), prices.end());
  }

  void add_rows(const TieProblem& problem, const JointSeam& seam, std::size_t d, bool rising,
                bool first_side) {
    SeamRows rows;
    rows.one = static_cast<std::uint32_t>((first_side ? seam.one : seam.other) * demands_ + d);
    rows.other = static_cast<std::uint32_t>((first_side ? seam.other : seam.one) * demands_ + d);
    const TieSeam& spec = *seam.seam;
    rows.order_one = ordered(rows_[rows.one], first_side ? spec.one_length : spec.other_length, rising);
    rows.order_other = ordered(rows_[rows.other], first_side ? spec.other_length : spec.one_length, rising);
    const double limit = seam_limit_of(problem, spec, d);
    const auto match = [&](std::uint32_t a, std::uint32_t b) {
      return (first_side ? seam_mismatch(spec, a, b) : seam_mismatch(spec, b, a)) <= limit;
    };
    std::uint32_t reach = 0;
    for (std::uint32_t k = 0; k + 1 < rows.order_one.size(); ++k) {
      for (std::uint32_t e = reach; e < rows.order_other.size(); ++e) {
        if (match(rows_[rows.one][rows.order_one[k]].candidate,
                  rows_[rows.other][rows.order_other[e]].candidate))
          reach = e + 1;
      }
      if (reach == rows.order_other.size()) break;
      if (!rows.prefixes.empty() && rows.prefixes.back().of_other == reach) {
        rows.prefixes.back().of_one = k + 1;  // says more than the one before
      } else {
        rows.prefixes.push_back({k + 1, reach});
      }
    }
    if (!rows.prefixes.empty()) seams_.push_back(std::move(rows));
  }

  static std::vector<std::uint32_t> ordered(const std::vector<JointChoice>& row,
                                            const std::vector<double>& length, bool rising) {
    std::vector<std::uint32_t> order(row.size());
    for (std::uint32_t k = 0; k < order.size(); ++k) order[k] = k;
    std::stable_sort(order.begin(), order.end(), [&](std::uint32_t a, std::uint32_t b) {
      const double one = length[row[a].candidate];
      const double other = length[row[b].candidate];
      return rising ? one < other : one > other;
    });
    return order;
  }

  [[nodiscard]] std::size_t size() const {
    std::size_t size = 1;
    for (const std::vector<JointChoice>& row : rows_) size += row.size();
    for (const SeamRows& rows : seams_)
      size += rows.prefixes.size() + rows.order_one.size() + rows.order_other.size();
    return size;
  }

  void set_fees() {
    for (std::vector<JointChoice>& row : rows_) {
      for (JointChoice& choice : row) choice.fee = choice.used = 0.0;
    }
    for (const SeamRows& rows : seams_) {
      double one = 0.0;
      double other = 0.0;
      std::uint32_t at_one = rows.prefixes.back().of_one;
      std::uint32_t at_other = rows.prefixes.back().of_other;
      for (std::size_t k = rows.prefixes.size(); k-- > 0;) {
        const Prefix& prefix = rows.prefixes[k];
        while (at_one > prefix.of_one) rows_[rows.one][rows.order_one[--at_one]].fee += one;
        while (at_other > prefix.of_other) rows_[rows.other][rows.order_other[--at_other]].fee -= other;
        one += prefix.price;
        other += prefix.price;
      }
      while (at_one > 0) rows_[rows.one][rows.order_one[--at_one]].fee += one;
      while (at_other > 0) rows_[rows.other][rows.order_other[--at_other]].fee -= other;
    }
  }

  // What the prices prove. Sets which choices the relaxation uses.
  double value() {
    set_fees();
    double value = 0.0;
    double moved = 0.0;  // amounts added up: rounding is a part of these
    for (const double price : price_) value += price;
    moved += value;
    for (const JointDie& die : dies_) {
      double rest = die.cost;
      for (const auto& [row, choice] : die.serves)
        rest -= std::max(0.0, price_[row] - rows_[row][choice].fee);
      if (rest >= 0.0) continue;
      value += rest;
      moved -= rest;
      for (const auto& [row, choice] : die.serves)
        rows_[row][choice].used = price_[row] > rows_[row][choice].fee ? 1.0 : 0.0;
    }
    return value - 1e-12 * moved;
  }

  // Along the slope, and what is left of the steps before. False where the slope is level.
  bool step(double rise) {
    constexpr double kKept = 0.7;  // of the step before: fewer turns to and fro than with none
    double square = 0.0;
    for (std::size_t r = 0; r < rows_.size(); ++r) {
      double slope = 1.0;
      for (const JointChoice& choice : rows_[r]) slope -= choice.used;
      step_[r] = slope + kKept * step_[r];
      square += step_[r] * step_[r];
    }
    for (SeamRows& rows : seams_) {
      double used = 0.0;
      std::uint32_t at_one = 0;
      std::uint32_t at_other = 0;
      for (Prefix& prefix : rows.prefixes) {
        while (at_one < prefix.of_one) used += rows_[rows.one][rows.order_one[at_one++]].used;
        while (at_other < prefix.of_other) used -= rows_[rows.other][rows.order_other[at_other++]].used;
        prefix.step = used + kKept * prefix.step;
        if (prefix.price <= 0.0) prefix.step = std::max(0.0, prefix.step);
        square += prefix.step * prefix.step;
      }
    }
    if (square == 0.0) return false;
    const double length = rise / square;
    for (std::size_t r = 0; r < rows_.size(); ++r) price_[r] = std::max(0.0, price_[r] + length * step_[r]);
    for (SeamRows& rows : seams_) {
      for (Prefix& prefix : rows.prefixes) prefix.price = std::max(0.0, prefix.price + length * prefix.step);
    }
    return true;
  }

  void take_means() {
    constexpr double kNew = 0.02;  // a mean over about the last fifty steps
    for (std::vector<JointChoice>& row : rows_) {
      for (JointChoice& choice : row) choice.mean += kNew * (choice.used - choice.mean);
    }
  }

  void keep() {
    kept_ = price_;
    kept_seams_.clear();
    for (const SeamRows& rows : seams_) {
      for (const Prefix& prefix : rows.prefixes) kept_seams_.push_back(prefix.price);
    }
  }
  void restore() {
    price_ = kept_;
    std::fill(step_.begin(), step_.end(), 0.0);
    std::size_t k = 0;
    for (SeamRows& rows : seams_) {
      for (Prefix& prefix : rows.prefixes) {
        prefix.price = kept_seams_[k++];
        prefix.step = 0.0;
      }
    }
  }

  std::size_t demands_;
  std::vector<std::vector<JointChoice>> rows_;  // by group and demand
  std::vector<JointDie> dies_;
  std::vector<std::pair<std::size_t, std::size_t>> groups_;  // their dies, first and past the last
  std::vector<SeamRows> seams_;
  std::vector<double> price_;  // by row
  std::vector<double> step_;
  std::vector<double> kept_;
  std::vector<double> kept_seams_;
  double best_ = 0.0;
};

}  // namespace

JointBound joint_bound(const TieProblem& problem, const std::vector<JointGroup>& groups,
                       const std::vector<JointSeam>& seams, double aim) {
  JointPrices prices(problem, groups, seams);
  JointBound result;
  result.bound = prices.climb(aim);
  result.use = prices.use();
  return result;
}

}  // namespace lastwright
