#include "grading/pieces/net_recovery.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/check/hausdorff.hpp"
#include "geometry/curve/biarc.hpp"
#include "geometry/curve/nearest.hpp"
#include "geometry/tolerance.hpp"
#include "grading/pieces/allowance.hpp"
#include "grading/pieces/corner_part.hpp"
#include "grading/pieces/mirror.hpp"
#include "grading/pieces/net_ring.hpp"
#include "grading/pieces/unfold.hpp"

namespace lastwright {

namespace {

// Curves that a corner may put between two edges: the arc of a round one with a jog at either end.
constexpr std::size_t kMostCornerCurves = 3;
// The proof compares lines and arcs, which leave the curves by no more than this.
constexpr Millimetres kProofFit{1e-4};

class Recovery {
 public:
  Recovery(const BoundPiece& piece, std::span<const Millimetres> allowances)
      : piece_(piece), allowances_(allowances) {}

  Result<std::vector<BoundEdge>> edges() {
    Result<std::vector<RingCurve>> ring = ring_curves(piece_.edges, allowances_);
    if (!ring) return ring.problem();
    curves_ = *std::move(ring);
    corner_.assign(curves_.size(), false);
    for (std::size_t i = 0; i < curves_.size(); ++i) {
      if (starts_edge(i)) find_corner_part(i);
    }
    return joined_ring(curves_, corner_, piece_.edges);
  }

  // After edges(): the corners that are drawn as a mitre
  // where no form is stated and their own would be a step.
  [[nodiscard]] const std::vector<std::string>& mitred() const { return mitred_; }

 private:
  [[nodiscard]] std::size_t back(std::size_t i) const { return i == 0 ? curves_.size() - 1 : i - 1; }
  [[nodiscard]] std::size_t onward(std::size_t i) const { return i + 1 == curves_.size() ? 0 : i + 1; }
  [[nodiscard]] bool starts_edge(std::size_t i) const {
    return curves_[i].edge != curves_[back(i)].edge || (piece_.edges.size() == 1 && i == 0);
  }
  [[nodiscard]] bool on_fold(std::size_t i) const {
    return piece_.spec.fold && piece_.edges[curves_[i].edge].spec.name == *piece_.spec.fold;
  }
  [[nodiscard]] std::size_t curves_in(std::size_t edge) const {
    return static_cast<std::size_t>(std::count_if(curves_.begin(), curves_.end(),
                                                  [&](const RingCurve& one) { return one.edge == edge; }));
  }

  // As many curves to either side of the corner at the start of `i` as its form explains.
  void find_corner_part(std::size_t i) {
    const std::size_t one = curves_[back(i)].edge;
    const std::size_t two = curves_[i].edge;
    const std::size_t before = on_fold(back(i)) ? 0 : std::min(kMostCornerCurves, curves_in(one) - 1);
    const std::size_t after = on_fold(i) ? 0 : std::min(kMostCornerCurves, curves_in(two) - 1);
    for (std::size_t total = kMostCornerCurves; total > 0; --total) {
      for (std::size_t k = 0; k <= std::min(total, before); ++k) {
        if (total - k > after || !explained(i, k, total - k)) continue;
        for (std::size_t n = 0, at = back(i); n < k; ++n, at = back(at)) corner_[at] = true;
        for (std::size_t n = 0, at = i; n < total - k; ++n, at = onward(at)) corner_[at] = true;
        return;
      }
    }
    if (drawn_mitred(i)) mitred_.push_back(piece_.edges[two].spec.from);
  }

  // A corner in full would end in a step, which is not there.
  [[nodiscard]] bool drawn_mitred(std::size_t i) const {
    const std::size_t a = back(i);
    if (on_fold(a) || on_fold(i) || !curves_[a].moved || !curves_[i].moved) return false;
    if (corner_form(piece_.spec, piece_.edges[curves_[i].edge].spec.from) != OffsetCorner::kFull)
      return false;
    const std::optional<RingJoint> joint = joint_of(*curves_[a].moved, *curves_[i].moved);
    if (!joint) return false;
    const Vec2 in = curves_[a].moved->tangent(joint->on_one);
    const Vec2 out = curves_[i].moved->tangent(joint->on_two);
    const double one = allowances_[curves_[a].edge].value();
    const double two = allowances_[curves_[i].edge].value();
    const double narrow = std::min(one, two);
    const double wide = std::max(one, two);
    return cross(in, out) > 0.0 && narrow < wide * dot(in, out);
  }

  // Whether the last `k` curves before the corner at the start of `i` and the first `m` after it are what its
  // form puts there.
  [[nodiscard]] bool explained(std::size_t i, std::size_t k, std::size_t m) const {
    std::size_t a = back(i);
    for (std::size_t n = 0; n < k; ++n) a = back(a);
    std::size_t b = i;
    for (std::size_t n = 0; n < m; ++n) b = onward(b);
    if (a == b || corner_[a] || corner_[b] || !curves_[a].moved || !curves_[b].moved) return false;
    CornerTrial trial;
    for (std::size_t at = onward(a); at != b; at = onward(at)) {
      if (corner_[at]) return false;
      trial.corner.push_back(curves_[at].drawn);
    }
    trial.form = corner_form(piece_.spec, piece_.edges[curves_[i].edge].spec.from);
    if (k > 0 && runs_on(curves_[a].drawn, trial.corner.front(), trial.form)) return false;
    if (m > 0 && runs_on(trial.corner.back(), curves_[b].drawn, trial.form)) return false;
    const std::optional<RingJoint> joint = joint_of(*curves_[a].moved, *curves_[b].moved);
    if (!joint) return false;
    trial.vertex = joint->on_one.at;
    trial.in = curves_[a].moved->tangent(joint->on_one);
    trial.out = curves_[b].moved->tangent(joint->on_two);
    trial.bends_in = curves_[a].moved->curvature(joint->on_one);
    trial.bends_out = curves_[b].moved->curvature(joint->on_two);
    trial.before = allowances_[curves_[a].edge];
    trial.after = allowances_[curves_[b].edge];
    for (const std::size_t edge : {curves_[a].edge, curves_[b].edge}) {
      const auto& chain = piece_.edges[edge].chain.curves();
      trial.edges.insert(trial.edges.end(), chain.begin(), chain.end());
    }
    if (on_fold(a)) {
      const Mirror mirror{trial.vertex, trial.in};
      trial.drawn_side = left_of(trial.in);
      trial.in = -mirrored_along(mirror, trial.out);
      trial.bends_in = trial.bends_out;
      trial.before = trial.after;
    } else if (on_fold(b)) {
      const Mirror mirror{trial.vertex, trial.out};
      trial.drawn_side = left_of(trial.out);
      trial.out = -mirrored_along(mirror, trial.in);
      trial.bends_out = trial.bends_in;
      trial.after = trial.before;
    }
    return makes_corner(trial);
  }

  static Vec2 mirrored_along(const Mirror& mirror, Vec2 direction) {
    return 2.0 * dot(direction, mirror.along) * mirror.along - direction;
  }

  // A curve that only goes on where another one ends is no part of a corner, but for the arc of a round one.
  static bool runs_on(const Curve& one, const Curve& two, OffsetCorner form) {
    if (form == OffsetCorner::kRound) return false;
    constexpr double kOnward = 2e-3;  // radians
    return std::abs(angle_between(tangent_at(one, 1.0), tangent_at(two, 0.0))) < kOnward;
  }

  const BoundPiece& piece_;
  std::span<const Millimetres> allowances_;
  std::vector<RingCurve> curves_;
  std::vector<bool> corner_;  // belongs to no edge
  std::vector<std::string> mitred_;
};

// The largest allowance that leaves a net line, with the others as they are in proportion to it or not.
double largest(const BoundPiece& piece, std::span<const Millimetres> allowances,
               std::optional<std::size_t> edge) {
  std::vector<Millimetres> tried(allowances.begin(), allowances.end());
  const auto good = [&](double share) {
    for (std::size_t e = 0; e < tried.size(); ++e) {
      if (!edge || *edge == e) tried[e] = Millimetres(share * allowances[e].value());
    }
    return Recovery(piece, tried).edges().ok();
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

// The edges as one outline of lines and arcs, unfolded where the piece is cut double.
Result<GradedPiece> outlined(const BoundPiece& piece, const std::vector<BoundEdge>& edges) {
  GradedPiece half;
  half.piece = piece.spec.name;
  for (std::size_t e = 0; e < edges.size(); ++e) {
    const OpenArcPath path = arc_fit(edges[e].chain, kProofFit);
    half.net.path.vertices.insert(half.net.path.vertices.end(), path.vertices.begin(),
                                  path.vertices.end() - 1);
    half.net.edge.insert(half.net.edge.end(), path.size(), static_cast<std::uint16_t>(e));
  }
  half.cut = half.net;
  if (const std::optional<std::size_t> fold = fold_edge(piece))
    return unfolded(half, static_cast<std::uint16_t>(*fold));
  return half;
}

// Adds the allowances to the net line and compares with what was drawn.
Status prove(const BoundPiece& piece, const std::vector<BoundEdge>& net,
             std::span<const Millimetres> allowances) {
  const Result<GradedPiece> drawn = outlined(piece, piece.edges);
  if (!drawn) return drawn.problem();
  Result<GradedPiece> made = outlined(piece, net);
  if (!made) return made.problem();
  if (Status fits = apply_allowances(piece.spec, allowances, *made); !fits) {
    Problem problem = fits.problem();
    problem.message = "the allowances cannot be added to the net line recovered from the drawn cut line: " +
                      problem.message;
    return problem;
  }
  const HausdorffResult apart = hausdorff(MeasuredOutline(drawn->net.path, drawn->net.edge),
                                          MeasuredOutline(made->cut.path, made->cut.edge));
  if (apart.value <= tolerance::kOffset.value() + 2.0 * kProofFit.value()) return Done{};
  const auto worst =
      std::max_element(apart.labels.begin(), apart.labels.end(),
                       [](const LabelDistance& a, const LabelDistance& b) { return a.value < b.value; });
  const BoundEdge& edge = piece.edges[static_cast<std::size_t>(worst - apart.labels.begin())];
  Problem problem{
      Trouble::kGeometry,
      fmt::format(
          "no net line with these allowances has the drawn cut line: at ({:.3f}, {:.3f}) it would be "
          "{:.3f} mm off; draw its corners as their forms make them (full or mitre unless stated), state the "
          "forms that are drawn, or draw the net line",
          worst->from.x, worst->from.y, worst->value),
      {},
      worst->value,
      tolerance::kOffset.value()};
  return problem.in("edge", edge.spec.name);
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

}  // namespace

Status recover_net(BoundPiece& piece, std::span<const Millimetres> allowances) {
  invariant(allowances.size() == piece.edges.size(), "a piece needs one allowance for each of its edges");
  const auto none = [](Millimetres allowance) { return allowance.value() == 0.0; };
  if (piece.spec.drawn == Drawn::kNet || std::all_of(allowances.begin(), allowances.end(), none))
    return Done{};
  Recovery recovery(piece, allowances);
  Result<std::vector<BoundEdge>> net = recovery.edges();
  if (!net) return with_limit(piece, allowances, net.problem());
  for (CornerSpec& corner : piece.spec.corners) {
    const std::vector<std::string>& mitred = recovery.mitred();
    if (std::find(mitred.begin(), mitred.end(), corner.name) != mitred.end())
      corner.form = CornerForm::kMitre;
  }
  if (Status proved = prove(piece, *net, allowances); !proved) return proved;
  piece.edges = *std::move(net);
  return move_nicks(piece, allowances);
}

}  // namespace lastwright
