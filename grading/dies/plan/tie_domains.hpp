// What may still serve each size and width of pieces that are joined by seams: choices that no mate can match
// are struck out, and sizes that a forced tie holds together keep the same choices.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "grading/dies/plan/tie_solve.hpp"

namespace lastwright {

using TieChoices = std::vector<std::vector<std::uint32_t>>;  // by demand: candidates, ascending
using TieDomains = std::vector<TieChoices>;                  // by piece
using TieGroups = std::vector<std::vector<std::size_t>>;     // pieces that are chosen as one

class TiePart {
 public:
  // `pieces`: joined by seams to each other and to no others. `only`: what is struck there; empty:
  // everywhere.
  TiePart(const TieProblem& problem, std::vector<std::size_t> pieces, std::vector<std::uint32_t> only = {});

  [[nodiscard]] const TieProblem& problem() const { return problem_; }
  [[nodiscard]] const std::vector<std::size_t>& pieces() const { return pieces_; }
  [[nodiscard]] const std::vector<const TieSeam*>& seams() const { return seams_; }

  // `safe`, by demand: what is known to match there and nothing else, see TiePiece::safe.
  [[nodiscard]] TieChoices starting_choices(std::size_t piece, const std::vector<bool>& safe) const;
  [[nodiscard]] TieDomains starting_domains(const std::vector<bool>& safe) const;

  // Strikes until nothing is left to strike. Returns a demand that is left without a choice, if there is one.
  [[nodiscard]] std::optional<std::size_t> strike(TieDomains& domains) const;

  // Leaves choices that are in both, where there are any.
  void keep_within(const TieDomains& within, TieDomains& domains) const;

  // Pieces joined by a seam that matches at the same place of the grade only, and at every such place.
  [[nodiscard]] TieGroups locked_groups(const TieDomains& domains) const;

  // Choices all pieces of a group have in common and whose seams within the group match.
  [[nodiscard]] TieChoices shared_choices(const std::vector<std::size_t>& group,
                                          const TieDomains& domains) const;

  // Demands that one die serves, as the forced ties of these pieces say together. Each holds two or more.
  [[nodiscard]] std::vector<std::vector<std::uint32_t>> forced_together(
      const std::vector<std::size_t>& group) const;

  // The demands that forced ties hold together with this one, itself among them; ascending.
  [[nodiscard]] std::vector<std::uint32_t> held_with(std::uint32_t demand) const;

 private:
  [[nodiscard]] bool match(const TieSeam& seam, std::size_t demand, std::uint32_t one,
                           std::uint32_t other) const;
  [[nodiscard]] bool locked(const TieSeam& seam, const TieDomains& domains) const;
  std::optional<std::size_t> strike_side(const TieSeam& seam, bool one_side, TieDomains& domains,
                                         bool& changed) const;

  const TieProblem& problem_;
  std::vector<std::size_t> pieces_;
  std::vector<const TieSeam*> seams_;
  std::vector<std::uint32_t> demands_;  // that are struck
};

// The parts of a problem: pieces that no seam joins are apart.
TieGroups parts_of(const TieProblem& problem);

}  // namespace lastwright
