#include "grading/dies/plan/die_seams.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/counted.hpp"
#include "grading/dies/order/die_names.hpp"

namespace lastwright {

namespace {

bool is_lap(const StyleSpec& style, const SeamSide& side) {
  for (const PieceSpec& piece : style.pieces) {
    for (const EdgeSpec& edge : piece.edges) {
      if (piece.name == side.piece && edge.name == side.edge) return edge.treatment == Treatment::kLap;
    }
  }
  return false;
}

std::string tooling_words(const PieceRules& rules, std::uint32_t tooling) {
  return tooling == 0 ? "the sizes in no group" : rules.groups[tooling - 1].name;
}

// The number of a die that is there, and that of the die of the other foot where it is used with it.
std::string numbers_used(const DiePlanInput& input, const DiePlan& plan, std::size_t there) {
  for (const PlannedDie& die : plan.dies) {
    if (!die.owned || !die.owned_other || *die.owned == *die.owned_other) continue;
    if (*die.owned == there || *die.owned_other == there)
      return input.owned[*die.owned].number + " and " + input.owned[*die.owned_other].number;
  }
  return input.owned[there].number;
}

// What dies that are there are used for, of all that they fit.
void note_apart(const DiePlanInput& input, const TieSolution& solution, DiePlan& plan) {
  constexpr std::size_t kNot = 5;  // uses that a die is not put to, by name
  std::vector<std::string> pieces;
  std::vector<std::string> groups;
  for (const ApartDie& die : solution.apart) {
    const std::string number = numbers_used(input, plan, die.there);
    const std::string& piece = input.style->pieces[die.piece].name;
    std::vector<std::string> names;
    for (const std::size_t p : die.not_for) names.push_back(input.style->pieces[p].name);
    if (!names.empty())
      pieces.push_back(fmt::format("{} for the {}, not for the {}", number, piece, some_of(names, kNot)));
    const PieceRules& rules = input.rules->rules_of(piece);
    names.clear();
    for (const std::uint32_t tooling : die.not_tooling) names.push_back(tooling_words(rules, tooling));
    if (!names.empty())
      groups.push_back(fmt::format("{} ({}) for {}, not for {}", number, piece,
                                   tooling_words(rules, die.tooling), some_of(names, kNot)));
  }
  const char* rest = "); whether fewer dies would be stamped anew with another of these uses is not sought";
  if (!pieces.empty())
    plan.notes.push_back(
        "dies that are there already fit several pieces, and each is used for one, as it bears one stamp (" +
        named_of(pieces, kDiesThereFile, "; ") + rest);
  if (!groups.empty())
    plan.notes.push_back(
        "dies that are there already fit several tooling groups of their piece, and each is used for one, as "
        "it is one die (" +
        named_of(groups, kDiesThereFile, "; ") + rest);
}

}  // namespace

double seam_limit(const DiePlanInput& input) {
  return input.rules->seam_limit.value_or(input.style->seam_limit.value());
}

double seam_limit(const DiePlanInput& input, const SeamSpec& seam) {
  const auto own = input.rules->seam_limits.find(seam.name);
  if (own != input.rules->seam_limits.end()) return own->second;
  if (input.rules->lap_seam_limit && (is_lap(*input.style, seam.one) || is_lap(*input.style, seam.other)))
    return *input.rules->lap_seam_limit;
  return seam_limit(input);
}

std::vector<ServedSeam> served_seams(const DiePlanInput& input, const TieSolution& solution) {
  std::vector<ServedSeam> seams;
  for (std::size_t s = 0; s < solution.seams.size(); ++s) {
    const TieSeamServed& served = solution.seams[s];
    const SeamSpec& seam = input.style->seams[s];
    const bool tied =
        std::any_of(input.style->pieces.begin(), input.style->pieces.end(), [&](const PieceSpec& piece) {
          return !piece.sizes_tied.empty() &&
                 (piece.name == seam.one.piece || piece.name == seam.other.piece);
        });
    seams.push_back({seam.name, served.worst, input.places.demands[served.at], served.over,
                     seam_limit(input, seam), tied});
  }
  return seams;
}

std::vector<PieceHeld> held_pieces(const DiePlanInput& input, const TieProblem& problem,
                                   const std::vector<PieceSummary>& pieces) {
  std::vector<PieceHeld> held;
  std::vector<std::size_t> which;
  for (std::size_t p = 0; p < pieces.size(); ++p) {
    if (pieces[p].alone >= pieces[p].outlines) continue;
    which.push_back(p);
    held.push_back({pieces[p].name, pieces[p].outlines, pieces[p].alone, {}, {}});
  }
  const auto holds = [&](const TieSeam& seam) {
    return seam.one != seam.other && std::any_of(which.begin(), which.end(), [&](std::size_t p) {
             return p == seam.one || p == seam.other;
           });
  };
  for (std::size_t s = 0; s < problem.seams.size(); ++s) {
    const TieSeam& seam = problem.seams[s];
    if (!holds(seam)) continue;
    TieProblem without = problem;
    for (TiePiece& piece : without.pieces) {  // how many dies, not which
      piece.outside.clear();
      piece.stamps.clear();
    }
    without.seams.erase(without.seams.begin() + static_cast<std::ptrdiff_t>(s));
    CoverOptions options;
    options.rounds = 400;
    options.jointly = false;  // told is what is found; how few would do is not asked
    const TieSolution solution = solve_ties(without, options);
    for (std::size_t k = 0; k < which.size(); ++k) {
      const std::size_t p = which[k];
      if (p != seam.one && p != seam.other) continue;
      const int outlines = static_cast<int>(solution.pieces[p].dies.size());
      if (outlines >= held[k].outlines) continue;
      held[k].seams.push_back(
          {seam.name, input.style->pieces[p == seam.one ? seam.other : seam.one].name, outlines});
    }
  }
  for (std::size_t k = 0; k < which.size(); ++k) {
    if (!held[k].seams.empty()) continue;
    for (const TieSeam& seam : problem.seams) {
      if (seam.one != seam.other && (seam.one == which[k] || seam.other == which[k]))
        held[k].together.push_back(seam.name);
    }
  }
  for (PieceHeld& one : held) {
    std::stable_sort(one.seams.begin(), one.seams.end(),
                     [](const auto& a, const auto& b) { return a.without < b.without; });
  }
  return held;
}

void prove_whole(Minimise minimise, TieSolution& solution) {
  const double parts = minimise == Minimise::kCost ? 100.0 : 1.0;
  const auto whole = [&](double bound, double cost) {
    return std::max(bound, std::min(std::ceil(parts * (bound - 1e-6)) / parts, cost));
  };
  std::vector<OpenTies> open;
  for (OpenTies& one : solution.open) {
    const double raised = whole(one.bound, one.cost);
    solution.bound += raised - one.bound;
    one.bound = raised;
    if (one.cost > one.bound + 1e-6) open.push_back(std::move(one));
  }
  solution.open = std::move(open);
  solution.bound = whole(solution.bound, solution.cost);
  solution.proven = solution.cost <= solution.bound + 1e-6;
}

void note_open(const DiePlanInput& input, const TieSolution& solution, DiePlan& plan) {
  const auto of = [&](double cost, double bound) {
    return input.rules->minimise == Minimise::kCost
               ? fmt::format("the price {:.2f} ({:.2f} at least)", cost, bound)
               : fmt::format("{:.0f} dies ({:.0f} at least)", cost, std::ceil(bound - 1e-6));
  };
  if (!solution.proven && solution.open.empty() && !solution.apart.empty())
    plan.notes.push_back("not proven least: " + of(solution.cost, solution.bound) +
                         ", as dies that are there already fit several pieces or tooling groups and each is "
                         "used for one");
  note_apart(input, solution, plan);
  for (const OpenTies& open : solution.open) {
    std::vector<std::string> names;
    for (const std::size_t p : open.pieces) names.push_back(input.style->pieces[p].name);
    plan.notes.push_back(
        fmt::format("not proven least: {} of {}, which seams join; that of every other piece is",
                    of(open.cost, open.bound), fmt::join(names, ", ")));
  }
}

bool alone_known(const DiePlan& plan) {
  return plan.minimised == Minimise::kCount && plan.unused.empty() &&
         std::none_of(plan.dies.begin(), plan.dies.end(),
                      [](const PlannedDie& die) { return die.owned.has_value(); });
}

std::vector<ServedSeam> tied_seams(const DiePlan& plan) {
  constexpr double kShown = 0.0005;  // mm: less is printed as 0.000
  std::vector<ServedSeam> seams;
  for (const ServedSeam& seam : plan.seams) {
    if (seam.tied && seam.worst >= kShown) seams.push_back(seam);
  }
  std::stable_sort(seams.begin(), seams.end(),
                   [](const ServedSeam& a, const ServedSeam& b) { return a.worst > b.worst; });
  return seams;
}

std::vector<std::string> tied_seam_words(const DiePlan& plan) {
  std::vector<std::string> words;
  for (const ServedSeam& seam : tied_seams(plan))
    words.push_back(fmt::format("{} {:.3f} mm at {}", seam.name, seam.worst, label_of(seam.at)));
  return words;
}

void note_seams(DiePlan& plan) {
  for (const bool tied : {false, true}) {
    std::size_t seams = 0;
    std::size_t at = 0;
    for (const ServedSeam& seam : plan.seams) {
      if (seam.over == 0 || seam.tied != tied) continue;
      ++seams;
      at += seam.over;
    }
    if (seams == 0) continue;
    plan.notes.push_back(fmt::format(
        "{} beyond {} limit with the sizes' own outlines already (in {}){}; shared "
        "dies do not make {} worse",
        counted(seams, "seam is", "seams are"), seams == 1 ? "its" : "their",
        counted(at, "size and width", "sizes and widths"),
        tied ? ", reported only: whole sizes are tied on a piece" : "", seams == 1 ? "it" : "them"));
  }
  if (const std::vector<std::string> tied = tied_seam_words(plan); !tied.empty())
    plan.notes.push_back(
        "LOOK: the greatest seam difference as served leaves out the seams of pieces on which whole sizes "
        "are "
        "tied: beyond what they differ by in the base size, " +
        some_of(tied, tied.size()));
}

}  // namespace lastwright
