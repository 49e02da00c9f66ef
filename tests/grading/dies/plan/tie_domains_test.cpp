#include "grading/dies/plan/tie_domains.hpp"

#include <catch2/catch.hpp>

#include <algorithm>

#include "tests/support/blob.hpp"
#include "tests/support/row_pieces.hpp"

using namespace lastwright;
using namespace lastwright::test;

namespace {

bool matched(const TieSeam& seam, std::uint32_t one, std::uint32_t other) {
  return std::abs(seam.other_length[other] - seam.one_length[one] - seam.wanted) <= seam.limit;
}

// By the words alone: while a choice has no match among all the mate's, it goes. Returns how many went.
int struck_by_words(const TieProblem& problem, TieDomains& domains) {
  int struck = 0;
  for (bool changed = true; changed;) {
    changed = false;
    for (const TieSeam& seam : problem.seams) {
      for (std::size_t d = 0; d < problem.demands; ++d) {
        std::vector<std::uint32_t>& ones = domains[seam.one][d];
        std::vector<std::uint32_t>& others = domains[seam.other][d];
        const auto without = [](std::vector<std::uint32_t>& of, const auto& fits, const auto& among) {
          return static_cast<int>(std::erase_if(of, [&](std::uint32_t c) {
            return std::none_of(among.begin(), among.end(), [&](std::uint32_t e) { return fits(c, e); });
          }));
        };
        int gone = without(
            ones, [&](auto c, auto e) { return matched(seam, c, e); }, others);
        gone += without(
            others, [&](auto c, auto e) { return matched(seam, e, c); }, ones);
        struck += gone;
        changed = changed || gone > 0;
      }
    }
  }
  return struck;
}

}  // namespace

TEST_CASE("what is struck is what no choice of a mate matches, at its own place or elsewhere", "[tie]") {
  Dice dice(71);
  int struck = 0;
  int elsewhere = 0;  // choices that only a mate at another place matches
  for (int round = 0; round < 60; ++round) {
    TieProblem problem;
    problem.demands = 6;
    for (const char* name : {"a", "b", "c"}) problem.pieces.push_back(row_piece(name, 6, dice(0.2, 0.9)));
    const auto lengths = [&] {
      std::vector<double> of;
      for (int c = 0; c < 11; ++c) of.push_back(dice(40.0, 44.0));
      return of;
    };
    problem.seams = {{"ab", 0, 1, lengths(), lengths(), dice(-0.5, 0.5), dice(0.05, 0.8)},
                     {"bc", 1, 2, lengths(), lengths(), 0.0, dice(0.05, 0.8)}};
    // Own outlines match, so that no limit is wider than the stated one.
    for (TieSeam& seam : problem.seams) {
      for (std::size_t c = 0; c < 11; c += 2) seam.other_length[c] = seam.one_length[c] + seam.wanted;
    }
    const TiePart part(problem, {0, 1, 2});
    TieDomains domains = part.starting_domains({});
    TieDomains expected = domains;
    struck += struck_by_words(problem, expected);
    REQUIRE_FALSE(part.strike(domains));
    CHECK(domains == expected);
    for (const TieSeam& seam : problem.seams) {
      for (const std::vector<std::uint32_t>& left : domains[seam.one]) {
        for (const std::uint32_t c : left) elsewhere += matched(seam, c, c) ? 0 : 1;
      }
    }
  }
  CHECK(struck > 100);
  CHECK(elsewhere > 100);
}
