#include "grading/dies/tie_apart.hpp"

#include <algorithm>
#include <map>

namespace lastwright {

namespace {

bool is_of(const TiePiece& piece, std::size_t c, std::size_t die) {
  return c < piece.there.size() &&
         std::find(piece.there[c].begin(), piece.there[c].end(), die) != piece.there[c].end();
}

// By die that is there: the pieces that use it.
std::map<std::size_t, std::vector<std::size_t>> users(const TieProblem& problem,
                                                      const TieSolution& solution) {
  std::map<std::size_t, std::vector<std::size_t>> by_die;
  for (std::size_t p = 0; p < problem.pieces.size(); ++p) {
    for (const std::uint32_t c : solution.pieces[p].dies) {
      if (c >= problem.pieces[p].there.size()) continue;
      for (const std::size_t die : problem.pieces[p].there[c]) {
        std::vector<std::size_t>& pieces = by_die[die];
        if (pieces.empty() || pieces.back() != p) pieces.push_back(p);
      }
    }
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

// Of the choices in which a die may be used for several pieces, each use of these dies costs what it spares
// at most and one use of each is given back: no choice in which each is used once costs less. Where a piece
// may use one die twice, for two tooling groups, that does not hold.
double bound_apart(TieProblem problem, const std::vector<ApartDie>& apart) {
  double given_back = 0.0;
  bool once = true;
  for (TiePiece& piece : problem.pieces) {
    piece.forced.clear();  // what is forced may be another set once choices are struck
    piece.safe.clear();
    once = once && piece.group.empty();
  }
  for (const ApartDie& one : apart) {
    if (!once) break;
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
    std::map<std::size_t, std::vector<std::size_t>> shared = users(problem, solution);
    std::erase_if(shared, [](const auto& one) { return one.second.size() < 2; });
    if (shared.empty()) break;
    if (apart.empty()) all = problem;
    for (const auto& [die, pieces] : shared) {
      std::size_t keeps = pieces.front();
      for (const std::size_t p : pieces) {
        if (spared_by(problem.pieces[p], die) > spared_by(problem.pieces[keeps], die) + 1e-9) keeps = p;
      }
      ApartDie one{die, keeps, {}};
      for (std::size_t p = 0; p < problem.pieces.size(); ++p) {
        if (p != keeps && strike(problem.pieces[p], die)) one.not_for.push_back(p);
      }
      if (!one.not_for.empty()) apart.push_back(std::move(one));  // else struck with the other of its pair
    }
    if (anew) anew(problem);
    solution = solve_ties(problem);
  }
  if (apart.empty()) return solution;
  solution.bound = std::clamp(bound_apart(std::move(all), apart), 0.0, solution.cost);
  solution.proven = solution.cost <= solution.bound + 1e-6;
  solution.open.clear();
  solution.apart = std::move(apart);
  return solution;
}

}  // namespace lastwright
