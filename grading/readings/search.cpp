#include "grading/readings/search.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "grading/readings/screening.hpp"

namespace lastwright {
namespace {

using Eigen::VectorXd;
using Kind = Cause::Kind;

// Exact evidence is asked of so many of the candidates that look best, no more than these of one kind.
constexpr std::size_t kAsked = 12;
constexpr std::size_t kAskedOfKind = 3;
// Where none of them is to be believed, as many more of those that still look as if they were, no more than
// these of one pair: slips look like stamps until they are asked.
constexpr std::size_t kAskedMore = 36;
constexpr std::size_t kAskedOfPair = 2;
// Of these, the ones within kNearBest of the best have their own noise estimated.
constexpr std::size_t kFitted = 5;
constexpr double kNearBest = 12.0;
// A linear estimate below this does not stand for a cause, whatever its exact evidence.
constexpr double kHopeless = -8.0;
constexpr int kExchanges = 3;
// What is explained so far is asked again where another noise makes it likelier by this, natural logarithm.
constexpr double kMoreWithout = 0.1;

bool same_cause(const Cause& a, const Cause& b) {
  return a.kind == b.kind && a.change == b.change && a.place == b.place && a.measure == b.measure &&
         a.sizes_more == b.sizes_more && a.widths_more == b.widths_more &&
         (!a.stamp() || same_cell(a.cell, b.cell));
}

struct AskedCause {
  Candidate candidate;
  FittedNoise fit;
  double gain = 0.0;
};

class Search {
 public:
  Search(const BatchLayout& layout, const CauseMaker& maker, const SearchOptions& options)
      : layout_(layout),
        maker_(maker),
        options_(options),
        least_gain_(std::log(options.sure / (1.0 - options.sure))) {}

  BatchExplanation run() {
    fit_ = fit_noise(layout_, {}, usual_noise(layout_, options_.noise), options_.noise);
    take_all();
    describe();
    // What describe() asked the rest of may explain the batch better than the search knew.
    for (int again = 0; again < kExchanges && drop_unproven(); ++again) {
      take_all();
      describe();
    }
    while (drop_unproven()) describe();
    return std::move(result_);
  }

 private:
  struct Taken {
    Cause cause;
    std::vector<Cause> same;
    double amount = 1.0;
  };

  void take_all() {
    for (int exchange = 0; exchange <= kExchanges; ++exchange) {
      while (take_best()) {
      }
      const bool dropped = drop_needless();
      if (!exchange_one() && !dropped) break;
    }
  }

  [[nodiscard]] Hypothesis hypothesis_of(const std::vector<Taken>& taken) const {
    Hypothesis made;
    for (const Taken& one : taken) {
      if (one.cause.known() && !made.offset.size()) made.offset = VectorXd::Zero(layout_.count());
      VectorXd column = VectorXd::Zero(one.cause.known() ? 0 : layout_.count());
      for (const auto& [row, value] : one.cause.column)
        (one.cause.known() ? made.offset : column)(row) +=
            value * (one.cause.known() ? 1.0 : one.cause.amount_spread);
      if (!one.cause.known()) made.columns.push_back(std::move(column));
    }
    return made;
  }

  // Where the readings would be with a candidate beside what is explained so far: the modes of a hypothesis
  // are searched from there, or a large fault would stay a heap of slips.
  [[nodiscard]] VectorXd start_with(const FittedNoise& fit, const Candidate& candidate) const {
    VectorXd start = fit.mode.departure;
    if (candidate.cause.known()) return start;
    for (const auto& [row, value] : candidate.cause.column) start(row) += value * candidate.amount;
    return start;
  }

  static std::vector<Taken> with(std::vector<Taken> taken, const Candidate& candidate) {
    taken.push_back({candidate.cause, candidate.same, candidate.amount});
    return taken;
  }

  // A last that is another cell already is not asked again, nor is anything taken twice.
  static bool taken_already(const std::vector<Taken>& taken, const BatchLayout& layout, const Cause& cause) {
    const auto block_of = [&](const Cause& one) {
      return one.kind == Kind::kStampOfPair || one.kind == Kind::kPair ? one.place
                                                                       : layout.block_of_last[one.place];
    };
    for (const Taken& one : taken) {
      if (same_cause(one.cause, cause) || nested(one.cause, cause)) return true;
      if (one.cause.of_one_item() && cause.of_one_item() && block_of(one.cause) == block_of(cause) &&
          (one.cause.kind == cause.kind
               ? one.cause.place == cause.place
               : one.cause.kind == Kind::kStampOfPair || cause.kind == Kind::kStampOfPair))
        return true;
    }
    return false;
  }

  [[nodiscard]] bool full(const std::vector<Taken>& taken, bool item) const {
    const auto of_kind = [&](const Taken& one) { return one.cause.of_one_item() == item; };
    const auto count = static_cast<std::size_t>(std::count_if(taken.begin(), taken.end(), of_kind));
    return count >= (item ? options_.most_items : options_.most_common);
  }

  // The causes that explain most beside `taken`, by exact evidence, the best first.
  std::vector<AskedCause> ask(const std::vector<Taken>& taken, const FittedNoise& fit, bool room_only) const {
    ScreenOptions screening;
    screening.common = layout_.lasts.size() >= options_.least_lasts;
    screening.skip = [&](const Cause& cause) {
      if (cause.kind == Kind::kPair || cause.kind == Kind::kLast) {
        if (layout_.lasts.size() < options_.least_lasts) return true;
      }
      return taken_already(taken, layout_, cause) || (room_only && full(taken, cause.of_one_item()));
    };
    const std::vector<Candidate> candidates = screen(layout_, maker_, hypothesis_of(taken), fit, screening);
    std::map<Kind, std::size_t> of_kind;
    std::vector<AskedCause> asked;
    for (const Candidate& candidate : candidates) {
      if (asked.size() >= kAsked || candidate.gain < kHopeless) break;
      if (of_kind[candidate.cause.kind]++ >= kAskedOfKind) continue;
      asked.push_back(exactly(taken, fit, candidate));
    }
    ask_more(taken, fit, candidates, asked);
    // All cells that fit a last about as well are asked, and left against both.
    if (!asked.empty()) {
      const auto best = std::max_element(asked.begin(), asked.end(), less_gain);
      if (best->candidate.cause.of_one_item()) {
        const Candidate top = best->candidate;
        std::size_t more = 0;
        for (const Candidate& candidate : candidates) {
          if (more >= kAsked || candidate.gain < top.gain - 7.0) break;
          if (!candidate.cause.of_one_item() || !touch(candidate.cause, top.cause)) continue;
          const bool known = std::any_of(asked.begin(), asked.end(), [&](const AskedCause& one) {
            return same_cause(one.candidate.cause, candidate.cause);
          });
          if (known) continue;
          asked.push_back(exactly(taken, fit, candidate));
          ++more;
        }
      }
    }
    std::stable_sort(asked.begin(), asked.end(), more_gain);
    fit_nearest(taken, fit, asked);
    return asked;
  }

  void ask_more(const std::vector<Taken>& taken, const FittedNoise& fit,
                const std::vector<Candidate>& candidates, std::vector<AskedCause>& asked) const {
    const auto believed = [&](const AskedCause& one) { return one.gain >= least_gain_; };
    if (std::any_of(asked.begin(), asked.end(), believed)) return;
    std::map<std::size_t, std::size_t> of_pair;
    for (const AskedCause& one : asked) {
      if (one.candidate.block) ++of_pair[*one.candidate.block];
    }
    const std::size_t most = asked.size() + kAskedMore;
    for (const Candidate& candidate : candidates) {
      if (asked.size() >= most || candidate.gain < least_gain_) return;
      const bool known = std::any_of(asked.begin(), asked.end(), [&](const AskedCause& one) {
        return same_cause(one.candidate.cause, candidate.cause);
      });
      if (known || (candidate.block && of_pair[*candidate.block]++ >= kAskedOfPair)) continue;
      asked.push_back(exactly(taken, fit, candidate));
      if (believed(asked.back())) return;
    }
  }

  [[nodiscard]] bool touch(const Cause& a, const Cause& b) const {
    if (a.column.empty() || b.column.empty()) return false;
    const auto block = [&](const Cause& one) {
      return layout_.readings[static_cast<std::size_t>(one.column.front().first)].block;
    };
    return block(a) == block(b);
  }

  AskedCause exactly(const std::vector<Taken>& taken, const FittedNoise& fit,
                     const Candidate& candidate) const {
    AskedCause asked{candidate, fit, 0.0};
    const Hypothesis hypothesis = hypothesis_of(with(taken, candidate));
    asked.fit.mode = evidence_of(layout_, hypothesis, fit.noise, start_with(fit, candidate));
    // Where what is tolerated holds the fault already, the mode lies where it was: a start that adds the
    // fault once more is far from it, which shows by less evidence than the straight reckoning promised.
    constexpr double kPromised = 2.0;
    if (!candidate.cause.known() &&
        asked.fit.log_posterior() + candidate.cause.log_prior - fit.log_posterior() <
            candidate.gain - kPromised) {
      Mode still = evidence_of(layout_, hypothesis, fit.noise, fit.mode.departure);
      if (still.log_evidence > asked.fit.mode.log_evidence) asked.fit.mode = std::move(still);
    }
    asked.gain = asked.fit.log_posterior() + candidate.cause.log_prior - fit.log_posterior();
    return asked;
  }

  void fit_nearest(const std::vector<Taken>& taken, const FittedNoise& fit,
                   std::vector<AskedCause>& asked) const {
    if (asked.empty()) return;
    const double near = asked.front().gain - kNearBest;
    for (std::size_t i = 0; i < asked.size() && i < kFitted; ++i) {
      AskedCause& one = asked[i];
      if (one.gain < near) break;
      const Hypothesis hypothesis = hypothesis_of(with(taken, one.candidate));
      FittedNoise own = fit_noise(layout_, hypothesis, one.fit.noise, options_.noise, one.fit.mode.departure);
      // The noise so far may be full of the fault that this cause explains.
      const BatchNoise usual = usual_noise(layout_, options_.noise);
      if (fit.noise.reading > 1.6 * usual.reading || fit.noise.pair > 2.0 * usual.pair) {
        FittedNoise fresh = fit_noise(layout_, hypothesis, usual, options_.noise, one.fit.mode.departure);
        if (fresh.log_posterior() > own.log_posterior()) own = std::move(fresh);
      }
      one.gain = own.log_posterior() + one.candidate.cause.log_prior - fit.log_posterior();
      one.fit = std::move(own);
    }
    std::stable_sort(asked.begin(), asked.end(), more_gain);
  }

  bool take_best() {
    std::vector<AskedCause> asked = ask(taken_, fit_, true);
    // A cause must not win because noise was sought further with it than without: its noise is asked of what
    // is explained so far too, and where that does better, all is asked again.
    for (int again = 0; again <= kExchanges; ++again) {
      if (asked.empty() || asked.front().gain < least_gain_) return false;
      FittedNoise without_it = fit_noise(layout_, hypothesis_of(taken_), asked.front().fit.noise,
                                         options_.noise, fit_.mode.departure);
      if (without_it.log_posterior() <= fit_.log_posterior() + kMoreWithout) break;
      fit_ = std::move(without_it);
      asked = ask(taken_, fit_, true);
    }
    if (asked.empty() || asked.front().gain < least_gain_) return false;
    taken_ = with(std::move(taken_), asked.front().candidate);
    fit_ = std::move(asked.front().fit);
    return true;
  }

  // The first cause that, with its own noise asked of the rest too, explains no more than its price: out.
  bool drop_unproven() {
    if (!unproven_) return false;
    taken_ = without(taken_, unproven_->first);
    fit_ = std::move(unproven_->second);
    return true;
  }

  [[nodiscard]] double price(const std::vector<Taken>& taken) const {
    double sum = 0.0;
    for (const Taken& one : taken) sum += one.cause.log_prior;
    return sum;
  }

  static std::vector<Taken> without(std::vector<Taken> taken, std::size_t which) {
    taken.erase(taken.begin() + static_cast<std::ptrdiff_t>(which));
    return taken;
  }

  [[nodiscard]] FittedNoise fit_of(const std::vector<Taken>& taken) const {
    VectorXd start = VectorXd::Zero(layout_.count());
    for (const Taken& one : taken) {
      if (one.cause.known()) continue;
      for (const auto& [row, value] : one.cause.column) start(row) += value * one.amount;
    }
    const Hypothesis hypothesis = hypothesis_of(taken);
    FittedNoise made = fit_noise(layout_, hypothesis, fit_.noise, options_.noise, fit_.mode.departure);
    FittedNoise fresh = fit_noise(layout_, hypothesis, fit_.noise, options_.noise, start);
    return fresh.log_posterior() > made.log_posterior() ? fresh : made;
  }

  bool drop_needless() {
    bool dropped = false;
    for (std::size_t i = taken_.size(); i-- > 0;) {
      if (taken_.size() < 2) break;
      const std::vector<Taken> rest = without(taken_, i);
      FittedNoise fit = fit_of(rest);
      if (fit_.log_posterior() + taken_[i].cause.log_prior - fit.log_posterior() >= least_gain_) continue;
      taken_ = rest;
      fit_ = std::move(fit);
      dropped = true;
    }
    return dropped;
  }

  // Another cause in the stead of one that was taken early, when others were still unexplained.
  bool exchange_one() {
    if (taken_.size() < 2) return false;
    for (std::size_t i = 0; i < taken_.size(); ++i) {
      if (taken_[i].cause.of_one_item() && taken_.size() > 6) continue;
      const std::vector<Taken> rest = without(taken_, i);
      const FittedNoise fit = fit_of(rest);
      std::vector<AskedCause> asked = ask(rest, fit, true);
      if (asked.empty() || same_cause(asked.front().candidate.cause, taken_[i].cause)) continue;
      const double now = fit_.log_posterior() + price(taken_);
      const double then =
          asked.front().fit.log_posterior() + price(rest) + asked.front().candidate.cause.log_prior;
      if (then < now + 0.5) continue;
      taken_ = with(rest, asked.front().candidate);
      fit_ = std::move(asked.front().fit);
      return true;
    }
    return false;
  }

  // Whether a candidate still explains something when `best` is in: then it is no rival, but another cause.
  [[nodiscard]] bool needed_beside(const std::vector<Taken>& all, const FittedNoise& fit,
                                   const Candidate& candidate) const {
    const AskedCause both = exactly(all, fit, candidate);
    return both.gain >= least_gain_;
  }

  void describe() {
    result_ = {};
    unproven_.reset();
    result_.hypothesis = hypothesis_of(taken_);
    result_.fit = fit_;
    const VectorXd a = fit_.mode.precision.times(fit_.mode.working);
    std::size_t free = 0;
    for (std::size_t i = 0; i < taken_.size(); ++i) {
      Explanation made{taken_[i].cause, taken_[i].same, {}, {}, 0.0, 1.0, 0.0};
      if (!made.cause.known()) {
        made.amount = made.cause.amount_spread * fit_.mode.precision.amount_mean(free, a);
        made.amount_spread = made.cause.amount_spread * fit_.mode.precision.amount_spread(free);
        ++free;
      }
      compare(i, made);
      result_.causes.push_back(std::move(made));
    }
    if (full(taken_, true) || full(taken_, false)) {
      const std::vector<AskedCause> asked = ask(taken_, fit_, false);
      if (!asked.empty() && asked.front().gain >= least_gain_)
        result_.left_over = asked.front().candidate.cause;
    }
  }

  // What else would have explained what one cause explains.
  void compare(std::size_t which, Explanation& made) {
    const std::vector<Taken> rest = without(taken_, which);
    const FittedNoise fit = fit_of(rest);
    const double own = fit_.log_posterior() + made.cause.log_prior - fit.log_posterior();
    made.log_odds = own;
    if (own < least_gain_) {
      if (!unproven_) unproven_.emplace(which, fit);
      return;
    }
    for (const AskedCause& one : ask(rest, fit, false)) {
      const Cause& other = one.candidate.cause;
      if (one.gain <= own - made.log_odds && made.next) break;
      if (same_cause(other, made.cause) || nested(other, made.cause)) continue;
      if (same_column(other, made.cause)) {
        made.same.push_back(other);
        continue;
      }
      if (own - one.gain >= made.log_odds || one.gain <= 0.0) break;
      if (needed_beside(taken_, fit_, one.candidate)) continue;
      if (own - one.gain < std::log(options_.rival_odds)) {
        made.rivals.push_back(other);
      } else {
        made.next = other;
        made.log_odds = own - one.gain;
        break;
      }
    }
  }

  static bool less_gain(const AskedCause& a, const AskedCause& b) { return a.gain < b.gain; }
  static bool more_gain(const AskedCause& a, const AskedCause& b) { return a.gain > b.gain; }

  const BatchLayout& layout_;
  const CauseMaker& maker_;
  const SearchOptions& options_;
  double least_gain_;
  std::vector<Taken> taken_;
  FittedNoise fit_;
  std::optional<std::pair<std::size_t, FittedNoise>> unproven_;  // a cause taken, and the rest without it
  BatchExplanation result_;
};

}  // namespace

BatchExplanation explain(const BatchLayout& layout, const CauseMaker& maker, const SearchOptions& options) {
  if (layout.readings.empty()) return {};
  return Search(layout, maker, options).run();
}

BatchExplanation explain(const BatchLayout& layout, const MeasureTable& table, const SizeRun& run,
                         const SearchOptions& options) {
  return explain(layout, CauseMaker(layout, table, run, options.causes), options);
}

}  // namespace lastwright
