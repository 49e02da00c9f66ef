#include "grading/pieces/net/net_recovery.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <tuple>
#include <utility>

#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"
#include "grading/pieces/net/net_corners.hpp"
#include "grading/pieces/net/net_proof.hpp"

namespace lastwright {

namespace {

// The net line of a drawn cut line: what its corners explain by themselves, then whatever else of the parts
// that they may have gives the cut line back, and of several the one with the fewest corners that have no
// name.
class NetSearch {
 public:
  NetSearch(const NetCorners& corners, const NetProof& proof, std::size_t edges)
      : corners_(corners), proof_(proof) {
    for (std::size_t e = 0; e < edges; ++e) possible_.push_back(corners.possible(e));
  }

  struct Found {
    std::vector<CornerPart> parts;
    Result<std::vector<BoundEdge>> net;
    std::optional<std::vector<BoundEdge>> rival;  // another net line that does as well
  };

  Found run() {
    Look best = look(corners_.explained());
    while (true) {
      std::optional<Look> better = best_change(best);
      if (!better && best.misses > 0) better = best_pair(best);
      if (!better || spent_ > kMostLooks) break;
      best = *std::move(better);
    }
    Found found{best.parts, best.net, {}};
    if (best.misses == 0) found.rival = rival_of(best);
    return found;
  }

 private:
  // Beyond it a net line that is not found is refused.
  static constexpr std::size_t kMostLooks = 2000;

  struct Look {
    std::vector<CornerPart> parts;
    Result<std::vector<BoundEdge>> net;
    std::vector<double> apart;  // by corner
    double worst = INFINITY;    // of these
    std::size_t misses = 0;     // corners that are apart; of a net that is none, more than there are
    std::size_t nameless = 0;   // corners within the net's edges
    std::size_t farther = 0;    // corners where the edges meet at another place than the one that leaves most
  };

  // The order of what is better.
  static bool better(const Look& one, const Look& two) {
    return std::tuple(one.misses, one.nameless, one.farther) <
           std::tuple(two.misses, two.nameless, two.farther);
  }

  Look look(std::vector<CornerPart> parts) {
    ++spent_;
    Look here{
        std::move(parts), Result<std::vector<BoundEdge>>(std::vector<BoundEdge>{}), {}, INFINITY, 0, 0, 0};
    here.net = corners_.net(here.parts);
    here.misses = here.parts.size() + 1;
    for (const CornerPart& part : here.parts) here.farther += part.place;
    if (!here.net) {
      ++here.misses;
      return here;
    }
    here.nameless = nameless_corners(*here.net);
    std::optional<std::vector<double>> apart = proof_.apart(corners_.spec(here.parts), *here.net);
    if (!apart) return here;
    here.apart = *std::move(apart);
    here.worst = *std::max_element(here.apart.begin(), here.apart.end());
    here.misses = static_cast<std::size_t>(
        std::count_if(here.apart.begin(), here.apart.end(), [](double off) { return off > 0.0; }));
    return here;
  }

  static std::size_t nameless_corners(const std::vector<BoundEdge>& net) {
    constexpr double kCornered = 0.02;  // radians
    std::size_t count = 0;
    for (const BoundEdge& edge : net) {
      const std::vector<Curve>& curves = edge.chain.curves();
      for (std::size_t i = 1; i < curves.size(); ++i)
        count +=
            std::abs(angle_between(tangent_at(curves[i - 1], 1.0), tangent_at(curves[i], 0.0))) > kCornered;
    }
    return count;
  }

  // The best of those that differ at one corner.
  std::optional<Look> best_change(const Look& from) {
    std::optional<Look> best;
    for (std::size_t e = 0; e < possible_.size(); ++e) {
      for (const CornerPart& part : possible_[e]) {
        if (part == from.parts[e] || spent_ > kMostLooks) continue;
        std::vector<CornerPart> parts = from.parts;
        parts[e] = part;
        Look tried = look(std::move(parts));
        if (better(tried, best ? *best : from)) best = std::move(tried);
      }
    }
    return best;
  }

  // The first that is better of those that differ at a corner and the next one.
  std::optional<Look> best_pair(const Look& from) {
    for (std::size_t e = 0; e < possible_.size(); ++e) {
      const std::size_t next = (e + 1) % possible_.size();
      if (!from.apart.empty() && from.apart[e] == 0.0 && from.apart[next] == 0.0) continue;
      for (const CornerPart& one : possible_[e]) {
        for (const CornerPart& two : possible_[next]) {
          if (one == from.parts[e] || two == from.parts[next] || spent_ > kMostLooks) continue;
          std::vector<CornerPart> parts = from.parts;
          parts[e] = one;
          parts[next] = two;
          Look tried = look(std::move(parts));
          if (better(tried, from)) return tried;
        }
      }
    }
    return std::nullopt;
  }

  // Another net line with as few nameless corners that gives the cut line back; or with fewer, where it
  // misses by no more than a drawing may be inexact: what is kept of a corner as an edge comes back exactly
  // however it is drawn, and a net line with corners that nobody named is not to be had by that alone.
  std::optional<std::vector<BoundEdge>> rival_of(const Look& best) {
    constexpr double kInexact = 0.1;  // mm, chosen here: a hundred times the third decimal
    for (std::size_t e = 0; e < possible_.size(); ++e) {
      for (const CornerPart& part : possible_[e]) {
        if (part == best.parts[e]) continue;
        std::vector<CornerPart> parts = best.parts;
        parts[e] = part;
        const Look tried = look(std::move(parts));
        const bool nearly = tried.nameless < best.nameless && tried.worst <= kInexact;
        if ((better(best, tried) && !nearly) || proof_.same(*best.net, *tried.net)) continue;
        return *tried.net;
      }
    }
    return std::nullopt;
  }

  const NetCorners& corners_;
  const NetProof& proof_;
  std::vector<std::vector<CornerPart>> possible_;
  std::size_t spent_ = 0;
};

// The largest allowance that leaves a net line, with the others as they are in proportion to it or not.
double largest(const BoundPiece& piece, std::span<const Millimetres> allowances,
               std::optional<std::size_t> edge) {
  std::vector<Millimetres> tried(allowances.begin(), allowances.end());
  const auto good = [&](double share) {
    for (std::size_t e = 0; e < tried.size(); ++e) {
      if (!edge || *edge == e) tried[e] = Millimetres(share * allowances[e].value());
    }
    const Result<NetCorners> corners = NetCorners::of(piece, tried);
    return corners && corners->net(corners->explained()).ok();
  };
  if (!good(0.0)) return -1.0;
  double fits = 0.0;
  double fails = 1.0;
  while (fails - fits > 1e-3) {
    const double middle = 0.5 * (fits + fails);
    (good(middle) ? fits : fails) = middle;
  }
  return fits;
}

// Says which allowance would do.
Problem with_limit(const BoundPiece& piece, std::span<const Millimetres> allowances, Problem problem) {
  constexpr std::size_t kMostCurves = 400;  // beyond it the search would take longer than it is worth
  std::size_t curves = 0;
  for (const BoundEdge& edge : piece.edges) curves += edge.chain.curves().size();
  if (curves > kMostCurves) return problem;
  std::optional<std::size_t> blamed;
  double best = 0.0;
  for (std::size_t e = 0; e < allowances.size(); ++e) {
    if (allowances[e].value() == 0.0) continue;
    const double share = largest(piece, allowances, e);
    if (share <= best) continue;
    best = share;
    blamed = e;
  }
  const auto told = [](double mm) { return 0.01 * std::floor(100.0 * mm); };
  if (blamed) {
    problem.value = allowances[*blamed].value();
    problem.limit = told(best * *problem.value);
    problem.message += fmt::format("; an allowance of {:g} mm of the edge {} is too wide, {:.2f} mm would do",
                                   *problem.value, piece.edges[*blamed].spec.name, *problem.limit);
    return problem;
  }
  const double share = largest(piece, allowances, std::nullopt);
  const double widest = std::max_element(allowances.begin(), allowances.end())->value();
  if (share <= 0.0) return problem;
  problem.value = widest;
  problem.limit = told(share * widest);
  problem.message +=
      fmt::format("; with all allowances reduced in proportion {:.2f} mm instead of {:g} mm would do",
                  *problem.limit, widest);
  return problem;
}

// A nick drawn on the cut line stands for the place of the net line straight inward of it.
Status move_nicks(BoundPiece& piece, std::span<const Millimetres> allowances) {
  for (BoundNick& nick : piece.nicks) {
    const auto& curves = piece.edges[nick.edge].chain.curves();
    const double allowance = allowances[nick.edge].value();
    const Vec2 drawn = nick.at;
    double least = INFINITY;
    for (std::size_t c = 0; c < curves.size(); ++c) {
      const NearestPoint here = nearest(curves[c], drawn);
      if (here.distance >= least) continue;
      least = here.distance;
      nick.at = here.at;
      nick.curve = c;
      nick.t = here.t;
    }
    const double beyond = least - allowance;
    if (beyond <= tolerance::kCornerSnap.value()) continue;
    Problem problem{
        Trouble::kGeometry,
        fmt::format("the nick at ({:.3f}, {:.3f}) of the drawn cut line stands beside a corner, "
                    "beyond the ends of its net edges: which place of the edge it means is not said",
                    drawn.x, drawn.y),
        {},
        least,
        allowance};
    return problem.in("edge", piece.edges[nick.edge].spec.name);
  }
  return Done{};
}

// Where two net lines that give the same cut line part.
Problem two_nets(const std::vector<BoundEdge>& one, const std::vector<BoundEdge>& two) {
  std::size_t worst = 0;
  double most = -1.0;
  for (std::size_t e = 0; e < one.size(); ++e) {
    const double apart =
        distance(start_of(one[e].chain.curves().front()), start_of(two[e].chain.curves().front()));
    if (apart <= most) continue;
    most = apart;
    worst = e;
  }
  const Vec2 a = start_of(one[worst].chain.curves().front());
  const Vec2 b = start_of(two[worst].chain.curves().front());
  Problem problem{
      Trouble::kGeometry,
      fmt::format("two net lines with these allowances have the drawn cut line: the corner {} is at "
                  "({:.3f}, {:.3f}) of the one and at ({:.3f}, {:.3f}) of the other; draw the net line",
                  one[worst].spec.from, a.x, a.y, b.x, b.y),
      {},
      most,
      tolerance::kOffset.value()};
  return problem.in("edge", one[worst].spec.name);
}

}  // namespace

Status recover_net(BoundPiece& piece, std::span<const Millimetres> allowances) {
  invariant(allowances.size() == piece.edges.size(), "a piece needs one allowance for each of its edges");
  const auto none = [](Millimetres allowance) { return allowance.value() == 0.0; };
  if (piece.spec.drawn == Drawn::kNet || std::all_of(allowances.begin(), allowances.end(), none))
    return Done{};
  const Result<NetCorners> corners = NetCorners::of(piece, allowances);
  if (!corners) return with_limit(piece, allowances, corners.problem());
  const Result<NetProof> proof = NetProof::of(piece, allowances);
  if (!proof) return proof.problem();
  NetSearch::Found found = NetSearch(*corners, *proof, piece.edges.size()).run();
  if (!found.net) return with_limit(piece, allowances, found.net.problem());
  PieceSpec spec = corners->spec(found.parts);
  if (Status proved = proof->holds(spec, *found.net); !proved) return proved;
  if (found.rival) return two_nets(*found.net, *found.rival);
  piece.spec = std::move(spec);
  piece.edges = *std::move(found.net);
  return move_nicks(piece, allowances);
}

}  // namespace lastwright
