#include "grading/dies/plan/tie_apart.hpp"

#include <algorithm>
#include <map>
#include <set>
#include <utility>
#include <vector>

namespace lastwright {

namespace {

bool is_of(const TiePiece& piece, std::size_t c, std::size_t die) {
  return c < piece.there.size() &&
         std::find(piece.there[c].begin(), piece.there[c].end(), die) != piece.there[c].end();
}

// One use of a die that is there: a tooling group of a piece, and how much of it the die serves, and how much
// of that it bears.
struct DieUse {
  std::size_t piece = 0;
  std::uint32_t tooling = 0;
  std::size_t serves = 0;
  std::size_t bears = 0;
  [[nodiscard]] std::pair<std::size_t, std::size_t> use() const { return {serves, bears}; }
};

// By die that is there, ascending by piece and group.
std::map<std::size_t, std::vector<DieUse>> uses_of(const TieProblem& problem, const TieSolution& solution) {
  std::map<std::size_t, std::map<std::pair<std::size_t, std::uint32_t>, DieUse>> counts;
  for (std::size_t p = 0; p < problem.pieces.size(); ++p) {
    const TiePiece& piece = problem.pieces[p];
    for (std::size_t d = 0; d < solution.pieces[p].die_of.size(); ++d) {
      const std::uint32_t c = solution.pieces[p].die_of[d];
      if (c >= piece.there.size()) continue;
      const bool borne = c < piece.stamps.size() &&
                         std::binary_search(piece.stamps[c].bears.begin(), piece.stamps[c].bears.end(), d);
      for (const std::size_t die : piece.there[c]) {
        const std::uint32_t tooling = piece.group.empty() ? 0 : piece.group[d];
        DieUse& use = counts[die][{p, tooling}];
        use = {p, tooling, use.serves + 1, use.bears + (borne ? 1 : 0)};
      }
    }
  }
  std::map<std::size_t, std::vector<DieUse>> by_die;
  for (const auto& [die, places] : counts) {
    for (const auto& [at, use] : places) by_die[die].push_back(use);
  }
  return by_die;
}

// What a die spares in a piece, 0 where it serves none of it.
double spared_by(const TiePiece& piece, std::size_t die) {
  double most = 0.0;
  for (std::size_t c = 0; c < piece.there.size(); ++c) {
    if (is_of(piece, c, die) && !piece.serves[c].empty()) most = std::max(most, piece.spared[c]);
  }
  return most;
}

bool strike(TiePiece& piece, std::size_t die) {
  bool struck = false;
  for (std::size_t c = 0; c < piece.there.size(); ++c) {
    if (!is_of(piece, c, die) || piece.serves[c].empty()) continue;
    piece.serves[c].clear();
    struck = true;
  }
  return struck;
}

// In the other groups of the piece, which it returns.
std::vector<std::uint32_t> strike_beyond(TiePiece& piece, std::size_t die, std::uint32_t tooling) {
  std::set<std::uint32_t> struck;
  for (std::size_t c = 0; c < piece.there.size() && !piece.group.empty(); ++c) {
    if (!is_of(piece, c, die)) continue;
    std::erase_if(piece.serves[c], [&](const Serves& serves) {
      const std::uint32_t other = piece.group[serves.demand];
      if (other != tooling) struck.insert(other);
      return other != tooling;
    });
  }
  return {struck.begin(), struck.end()};
}

// The piece in which the die spares most, and of it the group of which it serves most; of equals that of
// which it bears most, else the first.
DieUse use_kept(const TieProblem& problem, std::size_t die, const std::vector<DieUse>& uses) {
  DieUse kept = uses.front();
  double spares = spared_by(problem.pieces[kept.piece], die);
  for (const DieUse& use : uses) {
    const double here = spared_by(problem.pieces[use.piece], die);
    const bool more = use.piece == kept.piece ? use.use() > kept.use() : here > spares + 1e-9;
    if (!more) continue;
    kept = use;
    spares = here;
  }
  return kept;
}

// Of the choices in which a die may be used several times, each use of these dies costs what it spares at
// most and one use of each is given back: no choice in which each is used once costs less.
double bound_apart(TieProblem problem, const std::vector<ApartDie>& apart) {
  double given_back = 0.0;
  for (TiePiece& piece : problem.pieces) {
    piece.forced.clear();  // what is forced may be another set once choices are struck
    piece.safe.clear();
    piece.stamps.clear();  // how many dies, not which
  }
  for (const ApartDie& one : apart) {
    double dearer = 0.0;
    for (const TiePiece& piece : problem.pieces) dearer = std::max(dearer, spared_by(piece, one.there));
    given_back += dearer;
    for (TiePiece& piece : problem.pieces) {
      for (std::size_t c = 0; c < piece.there.size(); ++c)
        piece.cost[c] += is_of(piece, c, one.there) ? dearer : 0.0;
    }
  }
  return solve_ties(problem).bound - given_back;
}

}  // namespace

TieSolution solve_apart(TieProblem& problem, const std::function<void(TieProblem&)>& anew) {
  TieSolution solution = solve_ties(problem);
  std::vector<ApartDie> apart;
  TieProblem all;  // before any choice is struck
  for (;;) {
    std::map<std::size_t, std::vector<DieUse>> shared = uses_of(problem, solution);
    std::erase_if(shared, [](const auto& one) { return one.second.size() < 2; });
    if (shared.empty()) break;
    if (apart.empty()) all = problem;
    for (const auto& [die, uses] : shared) {
      const DieUse keeps = use_kept(problem, die, uses);
      ApartDie one{die, keeps.piece, {}, keeps.tooling, {}};
      for (std::size_t p = 0; p < problem.pieces.size(); ++p) {
        if (p != keeps.piece && strike(problem.pieces[p], die)) one.not_for.push_back(p);
      }
      one.not_tooling = strike_beyond(problem.pieces[keeps.piece], die, keeps.tooling);
      // Else struck with the other of its pair.
      if (!one.not_for.empty() || !one.not_tooling.empty()) apart.push_back(std::move(one));
    }
    if (anew) anew(problem);
    solution = solve_ties(problem);
  }
  if (apart.empty()) return solution;
  solution.bound = std::clamp(bound_apart(std::move(all), apart), 0.0, solution.cost);
  solution.proven = solution.cost <= solution.bound + 1e-6;
  solution.open.clear();
  solution.restamps_at_least = 0;  // what is struck might have kept its stamp
  solution.apart = std::move(apart);
  return solution;
}

}  // namespace lastwright
