// A choice of dies of pieces joined by seams, made better a few sizes and widths at a time.
//
// In each round all that is chosen for some sizes and widths is taken back, in every piece, and chosen anew,
// group after group, each in the cheapest way beside what stays; what the mates of one group cannot match is
// struck out before the next. A round that costs no more is kept, one that costs more is not. Which sizes and
// widths, in which order and without which dies is thrown by dice that fall alike in every run.
#pragma once

#include <map>

#include "grading/dies/plan/tie_domains.hpp"
#include "grading/dies/plan/tie_solve.hpp"

namespace lastwright {

// `groups` of the part's pieces, `domains` struck already, `chosen` by piece, a whole choice that matches.
// `aim`: no choice costs less. Returns what the new choice costs: never more than before.
double chosen_by_windows(const TiePart& part, const TieGroups& groups, const TieDomains& domains, double aim,
                         const CoverOptions& options, std::map<std::size_t, PieceTies>& chosen);

}  // namespace lastwright
