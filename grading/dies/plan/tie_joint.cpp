#include "grading/dies/plan/tie_joint.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <functional>

#include "grading/dies/plan/tie_own.hpp"

namespace lastwright {

namespace {

// What may serve one demand of one group.
struct JointChoice {
  std::uint32_t candidate = 0;
  double fee = 0.0;    // what the seams' prices add to serving the demand by it
  double use = 0.0;    // how much of the demand the relaxation serves by it, 0 to 1
  double ahead = 0.0;  // as far beyond `use` as the last step went: what the prices answer to
  double sum = 0.0;    // of `use` since the steps began anew
};

struct JointDie {
  double cost = 0.0;
  double made = 0.0;   // how much of it the relaxation makes, no less than any of its use
  double reach = 0.0;  // length of its steps
  std::vector<std::pair<std::uint32_t, std::uint32_t>> serves;  // row, choice of the row
};

// Prices of rows and seams at one time.
struct KeptPrices {
  std::vector<double> rows;
  std::vector<double> seams;
};

// One side of a seam at one demand: the first `of_one` choices of the row `one` match nothing beyond the
// first `of_other` choices of the row `other`.
struct Prefix {
  std::uint32_t of_one = 0;
  std::uint32_t of_other = 0;
  double price = 0.0;
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
    set_reach();
  }

  double climb(double aim, int most_steps) {
    constexpr double kWork = 6e8;  // choices and prefixes looked at
    constexpr int kLooks = 60;     // steps from one look at the bound to the next
    constexpr int kLeastRun = 4 * kLooks;
    constexpr int kPatience = 10 * kLooks;
    constexpr double kGain = 1e-6;  // of the bound, in so many steps: nothing more is to be had
    const int steps = static_cast<int>(std::min<double>(most_steps, kWork / static_cast<double>(size())));
    KeptPrices sums = with_prices(0.0);
    int run = 0;  // steps since they began anew
    best_ = value();
    double gained_from = best_;
    for (int k = 1; k <= steps && best_ < aim - kEnough; ++k) {
      step_use();
      step_prices(sums);
      ++run;
      if (k % kLooks != 0) continue;
      if (k % kPatience == 0) {
        if (best_ - gained_from < kGain * best_) break;
        gained_from = best_;
      }
      const double last = looked_at();
      const KeptPrices here = prices();
      set_prices(sums, 1.0 / run);
      const double mean = looked_at();
      // The mean is nearer to the saddle than where the steps have come to, which go round it.
      if (mean > last && run >= kLeastRun && 3 * run > k) {
        take_mean_use(run);
        sums = with_prices(0.0);
        run = 0;
      } else {
        set_prices(here, 1.0);
      }
    }
    if (run > 0) take_mean_use(run);
    return best_;
  }

  [[nodiscard]] std::vector<std::vector<std::vector<double>>> use() const {
    std::vector<std::vector<std::vector<double>>> use(groups_.size());
    for (std::size_t g = 0; g < groups_.size(); ++g) {
      for (std::size_t k = groups_[g].first; k < groups_[g].second; ++k) {
        use[g].emplace_back();
        for (const auto& [row, choice] : dies_[k].serves) use[g].back().push_back(rows_[row][choice].use);
      }
    }
    return use;
  }

 private:
  static constexpr double kEnough = 1e-6;  // of a cost: rounding of the aim

  void add_group(const JointGroup& group, std::size_t g) {
    groups_.emplace_back(dies_.size(), dies_.size() + group.columns.size());
    for (std::size_t k = 0; k < group.columns.size(); ++k) {
      JointDie die;
      die.cost = group.columns[k].cost;
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
      for (JointChoice& choice : row) choice.fee = 0.0;
    }
    for (const SeamRows& rows : seams_) {
      JointChoice* const row_one = rows_[rows.one].data();
      JointChoice* const row_other = rows_[rows.other].data();
      const std::uint32_t* const order_one = rows.order_one.data();
      const std::uint32_t* const order_other = rows.order_other.data();
      double one = 0.0;
      double other = 0.0;
      std::uint32_t at_one = rows.prefixes.back().of_one;
      std::uint32_t at_other = rows.prefixes.back().of_other;
      for (std::size_t k = rows.prefixes.size(); k-- > 0;) {
        const Prefix& prefix = rows.prefixes[k];
        while (at_one > prefix.of_one) row_one[order_one[--at_one]].fee += one;
        while (at_other > prefix.of_other) row_other[order_other[--at_other]].fee -= other;
        one += prefix.price;
        other += prefix.price;
      }
      while (at_one > 0) row_one[order_one[--at_one]].fee += one;
      while (at_other > 0) row_other[order_other[--at_other]].fee -= other;
    }
  }

  // What the prices prove.
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
    }
    return value - 1e-12 * moved;
  }
  double looked_at() {
    const double now = value();
    best_ = std::max(best_, now);
    return now;
  }

  // Steps as long as the rows and columns they go along allow: one over the rows that a choice stands in, one
  // over the choices that a row has.
  void set_reach() {
    // Steps of the use against those of the prices: these are as large as the dies' costs, use is of 0 to 1.
    constexpr double kBalance = 10.0;
    double cost = 0.0;
    for (const JointDie& die : dies_) cost += die.cost;
    if (cost > 0.0) balance_ = kBalance * static_cast<double>(dies_.size()) / cost;
    std::vector<std::vector<double>> rows_of;
    for (const std::vector<JointChoice>& row : rows_) rows_of.emplace_back(row.size(), 1.0);
    for (const SeamRows& rows : seams_) {
      const auto add = [&](std::uint32_t row, const std::vector<std::uint32_t>& order, auto end_of) {
        std::size_t k = 0;
        for (std::uint32_t at = 0; at < order.size(); ++at) {
          while (k < rows.prefixes.size() && end_of(rows.prefixes[k]) <= at) ++k;
          rows_of[row][order[at]] += static_cast<double>(rows.prefixes.size() - k);
        }
      };
      add(rows.one, rows.order_one, [](const Prefix& prefix) { return prefix.of_one; });
      add(rows.other, rows.order_other, [](const Prefix& prefix) { return prefix.of_other; });
    }
    for (JointDie& die : dies_) {
      double most = 1.0;
      for (const auto& [row, choice] : die.serves) most = std::max(most, rows_of[row][choice]);
      die.reach = balance_ / most;
    }
  }

  // Dies and their use go where they cost less, and stay between nothing and whole, use below made.
  void step_use() {
    set_fees();
    std::vector<double> wanted;
    std::vector<double> greatest;
    for (JointDie& die : dies_) {
      wanted.clear();
      for (const auto& [row, choice] : die.serves) {
        const JointChoice& one = rows_[row][choice];
        wanted.push_back(one.use + die.reach * (price_[row] - one.fee));
      }
      greatest = wanted;
      std::sort(greatest.begin(), greatest.end(), std::greater<>());
      double sum = die.made - die.reach * die.cost;
      double count = 1.0;
      for (const double use : greatest) {
        if (use * count <= sum) break;
        sum += use;
        count += 1.0;
      }
      die.made = std::clamp(sum / count, 0.0, 1.0);
      for (std::size_t k = 0; k < wanted.size(); ++k) {
        JointChoice& one = rows_[die.serves[k].first][die.serves[k].second];
        const double now = std::clamp(wanted[k], 0.0, die.made);
        one.ahead = 2.0 * now - one.use;
        one.use = now;
        one.sum += now;
      }
    }
  }

  // Prices rise where a demand is not wholly served or a prefix is used too much.
  void step_prices(KeptPrices& sums) {
    for (std::size_t r = 0; r < rows_.size(); ++r) {
      double missing = 1.0;
      for (const JointChoice& choice : rows_[r]) missing -= choice.ahead;
      const double reach = 1.0 / (balance_ * static_cast<double>(std::max<std::size_t>(1, rows_[r].size())));
      price_[r] = std::max(0.0, price_[r] + reach * missing);
      sums.rows[r] += price_[r];
    }
    std::size_t at = 0;
    for (SeamRows& rows : seams_) {
      const JointChoice* const row_one = rows_[rows.one].data();
      const JointChoice* const row_other = rows_[rows.other].data();
      const std::uint32_t* const order_one = rows.order_one.data();
      const std::uint32_t* const order_other = rows.order_other.data();
      double used = 0.0;
      std::uint32_t at_one = 0;
      std::uint32_t at_other = 0;
      for (Prefix& prefix : rows.prefixes) {
        while (at_one < prefix.of_one) used += row_one[order_one[at_one++]].ahead;
        while (at_other < prefix.of_other) used -= row_other[order_other[at_other++]].ahead;
        const double reach = 1.0 / (balance_ * (prefix.of_one + prefix.of_other));
        prefix.price = std::max(0.0, prefix.price + reach * used);
        sums.seams[at++] += prefix.price;
      }
    }
  }

  void take_mean_use(int run) {
    for (std::vector<JointChoice>& row : rows_) {
      for (JointChoice& choice : row) {
        choice.use = choice.sum / run;
        choice.sum = 0.0;
      }
    }
    for (JointDie& die : dies_) {
      for (const auto& [row, choice] : die.serves) die.made = std::max(die.made, rows_[row][choice].use);
    }
  }

  [[nodiscard]] KeptPrices prices() const {
    KeptPrices kept{price_, {}};
    for (const SeamRows& rows : seams_) {
      for (const Prefix& prefix : rows.prefixes) kept.seams.push_back(prefix.price);
    }
    return kept;
  }
  [[nodiscard]] KeptPrices with_prices(double all) const {
    KeptPrices kept = prices();
    std::fill(kept.rows.begin(), kept.rows.end(), all);
    std::fill(kept.seams.begin(), kept.seams.end(), all);
    return kept;
  }
  void set_prices(const KeptPrices& kept, double part) {
    for (std::size_t r = 0; r < price_.size(); ++r) price_[r] = part * kept.rows[r];
    std::size_t k = 0;
    for (SeamRows& rows : seams_) {
      for (Prefix& prefix : rows.prefixes) prefix.price = part * kept.seams[k++];
    }
  }

  std::size_t demands_;
  std::vector<std::vector<JointChoice>> rows_;  // by group and demand
  std::vector<JointDie> dies_;
  std::vector<std::pair<std::size_t, std::size_t>> groups_;  // their dies, first and past the last
  std::vector<SeamRows> seams_;
  std::vector<double> price_;  // by row
  double balance_ = 1.0;
  double best_ = 0.0;
};

}  // namespace

JointBound joint_bound(const TieProblem& problem, const std::vector<JointGroup>& groups,
                       const std::vector<JointSeam>& seams, double aim, int most_steps) {
  JointPrices prices(problem, groups, seams);
  JointBound result;
  result.bound = prices.climb(aim, most_steps);
  result.use = prices.use();
  return result;
}

double whole_bound(const TieProblem& problem, const std::vector<std::size_t>& pieces, double bound) {
  constexpr double kRounding = 1e-6;  // of a bound: more than its sum is rounded by
  for (const std::size_t p : pieces) {
    for (const double cost : problem.pieces[p].cost) {
      if (cost != std::floor(cost)) return bound - kRounding;
    }
  }
  return std::ceil(bound - kRounding);
}

}  // namespace lastwright
