#include "grading/dies/plan/tie_restamp_search.hpp"

#include <algorithm>
#include <map>

#include "grading/dies/plan/tie_domains.hpp"
#include "grading/dies/plan/tie_own.hpp"
#include "grading/dies/plan/tie_stamps.hpp"

namespace lastwright {

namespace {

using Die = std::pair<std::uint32_t, std::uint32_t>;  // candidate, tooling group

// A die that is there and stamped, while demands are given to dies one after the other.
struct Borne {
  std::uint32_t candidate = 0;
  TieStamp stamp;
  int uses = 0;
  int off = 0;  // demands that it serves and does not bear, or bears and does not serve
  [[nodiscard]] int restamps() const {
    if (uses == 0) return 0;
    return off == 0 && !stamp.bears.empty() ? stamp.kept : stamp.changed;
  }
};

struct OnePiece {
  std::size_t piece = 0;
  std::vector<std::uint32_t> die_of;
  std::map<Die, int> uses;
  std::map<std::uint32_t, std::uint32_t>
      group_of;                                    // of the dies that are there and used: their tooling group
  std::vector<double> price;                       // by demand, see row_prices
  std::vector<int> served;                         // by demand: how many dies that are used could serve it
  std::vector<std::vector<std::uint32_t>> serves;  // by candidate
  std::vector<Borne> borne;
};

class RestampSearch {
 public:
  RestampSearch(const TieProblem& problem, const std::vector<std::size_t>& part, const TieSolution& chosen,
                std::size_t work)
      : problem_(problem), part_(problem, part), domains_(part_.starting_domains({})), work_(work) {
    for (const std::size_t p : part) {
      limit_ += chosen.pieces[p].cost;
      best_ += restamps_of(problem.pieces[p], chosen.pieces[p].die_of);
      leave_out(problem.pieces[p], chosen.pieces[p].dies, domains_[p]);
    }
    possible_ = !part_.strike(domains_);
    for (const std::size_t p : part) pieces_.push_back(made_ready(p));
  }

  // True where all was looked at.
  bool run(TieSolution& chosen) {
    if (!possible_) return false;
    assign(0, 0);
    if (!found_.empty()) {
      for (std::size_t k = 0; k < pieces_.size(); ++k) {
        PieceTies& ties = chosen.pieces[pieces_[k].piece];
        ties.die_of = found_[k];
        count_anew(problem_.pieces[pieces_[k].piece], ties);
      }
    }
    return work_ > 0;
  }

 private:
  static void leave_out(const TiePiece& piece, const std::vector<std::uint32_t>& dies, TieChoices& choices) {
    for (std::size_t d = 0; d < choices.size(); ++d) {
      std::erase_if(choices[d], [&](std::uint32_t c) {
        const bool safe = !piece.safe.empty() && piece.safe[d] == c;
        return c < piece.outside.size() && piece.outside[c] && !safe &&
               !std::binary_search(dies.begin(), dies.end(), c);
      });
    }
  }
  [[nodiscard]] std::uint32_t tooling(std::size_t p, std::uint32_t d) const {
    return problem_.pieces[p].group.empty() ? 0 : problem_.pieces[p].group[d];
  }

  OnePiece made_ready(std::size_t p) {
    const TiePiece& piece = problem_.pieces[p];
    OnePiece one;
    one.piece = p;
    one.die_of.resize(problem_.demands);
    one.served.resize(problem_.demands, 0);
    one.serves.resize(piece.serves.size());
    std::map<Die, std::vector<std::uint32_t>> rows;
    for (std::uint32_t d = 0; d < problem_.demands; ++d) {
      for (const std::uint32_t c : domains_[p][d]) {
        one.serves[c].push_back(d);
        rows[{c, tooling(p, d)}].push_back(d);
      }
    }
    std::vector<CoverColumn> columns;
    for (auto& [die, demands] : rows) columns.push_back({piece.cost[die.first], std::move(demands)});
    one.price = row_prices(problem_.demands, columns);
    for (const double price : one.price) rest_ += price;
    for (std::uint32_t c = 0; c < piece.stamps.size(); ++c) {
      if (piece.stamps[c].changed > 0 || piece.stamps[c].kept > 0) one.borne.push_back({c, piece.stamps[c]});
    }
    for (TieChoices::value_type& choices : domains_[p]) {  // what bears the demand first
      const auto d = static_cast<std::uint32_t>(&choices - domains_[p].data());
      std::stable_partition(choices.begin(), choices.end(), [&](std::uint32_t c) {
        return c < piece.stamps.size() && bears(piece.stamps[c], d);
      });
    }
    return one;
  }
  static bool bears(const TieStamp& stamp, std::uint32_t d) {
    return std::binary_search(stamp.bears.begin(), stamp.bears.end(), d);
  }

  // Gives the demand to the die, or takes it back.
  void give(OnePiece& one, std::uint32_t d, std::uint32_t c, int sign) {
    const TiePiece& piece = problem_.pieces[one.piece];
    const std::uint32_t group = tooling(one.piece, d);
    int& uses = one.uses[{c, group}];
    const bool new_die = sign > 0 ? uses == 0 : uses == 1;
    uses += sign;
    if (new_die) {
      cost_ += sign * piece.cost[c];
      for (const std::uint32_t other : one.serves[c]) {
        if (tooling(one.piece, other) != group) continue;
        const bool first = sign > 0 ? one.served[other] == 0 : one.served[other] == 1;
        one.served[other] += sign;
        if (first) rest_ -= sign * one.price[other];
      }
      if (c >= piece.first_owned) {
        if (sign > 0)
          one.group_of[c] = group;
        else
          one.group_of.erase(c);
      }
    }
    for (Borne& die : one.borne) {
      const bool same = die.candidate == c;
      if (same == bears(die.stamp, d)) {
        if (same) restamped(die, sign, 0);
        continue;
      }
      restamped(die, same ? sign : 0, sign);
    }
    one.die_of[d] = c;
  }
  void restamped(Borne& die, int uses, int off) {
    restamps_ -= die.restamps();
    die.uses += uses;
    die.off += off;
    restamps_ += die.restamps();
  }

  [[nodiscard]] bool may(const OnePiece& one, std::size_t k, std::uint32_t d, std::uint32_t c) const {
    const TiePiece& piece = problem_.pieces[one.piece];
    const auto there = one.group_of.find(c);
    if (there != one.group_of.end() && there->second != tooling(one.piece, d)) return false;
    for (const std::vector<std::uint32_t>& together : piece.forced) {
      if (!std::binary_search(together.begin(), together.end(), d)) continue;
      if (together.front() < d && one.die_of[together.front()] != c) return false;
    }
    for (const TieSeam* seam : part_.seams()) {
      const std::size_t mate = seam->one == one.piece ? seam->other : seam->one;
      if (mate == one.piece || (seam->one != one.piece && seam->other != one.piece)) continue;
      for (std::size_t other = 0; other < k; ++other) {
        if (pieces_[other].piece != mate) continue;
        const std::uint32_t e = pieces_[other].die_of[d];
        const double off = seam->one == one.piece ? seam_mismatch(*seam, c, e) : seam_mismatch(*seam, e, c);
        if (off > seam_limit_of(problem_, *seam, d)) return false;
      }
    }
    return true;
  }

  void assign(std::uint32_t d, std::size_t k) {
    if (k == pieces_.size()) {
      ++d;
      k = 0;
    }
    if (d == problem_.demands) {
      best_ = restamps_;
      found_.clear();
      for (const OnePiece& one : pieces_) found_.push_back(one.die_of);
      return;
    }
    OnePiece& one = pieces_[k];
    for (const std::uint32_t c : domains_[one.piece][d]) {
      const std::size_t steps = 1 + one.borne.size();
      work_ -= std::min(work_, steps);
      if (work_ == 0 || best_ == 0) return;
      if (!may(one, k, d, c)) continue;
      give(one, d, c, 1);
      if (restamps_ < best_ && cost_ + rest_ <= limit_ + kRounding) assign(d, k + 1);
      give(one, d, c, -1);
    }
  }

  static constexpr double kRounding = 1e-6;  // of a sum of costs and prices
  const TieProblem& problem_;
  TiePart part_;
  TieDomains domains_;
  std::vector<OnePiece> pieces_;
  bool possible_ = false;
  double limit_ = 0.0;
  double cost_ = 0.0;
  double rest_ = 0.0;  // what all that no die that is used could serve costs at least
  int restamps_ = 0;   // at least
  int best_ = 0;
  std::size_t work_;
  std::vector<std::vector<std::uint32_t>> found_;
};

}  // namespace

bool search_restamps(const TieProblem& problem, const std::vector<std::size_t>& part, TieSolution& chosen,
                     std::size_t work) {
  return RestampSearch(problem, part, chosen, work).run(chosen);
}

}  // namespace lastwright
