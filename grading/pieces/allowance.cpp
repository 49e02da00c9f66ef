#include "grading/pieces/allowance.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include "geometry/offset/offset.hpp"

namespace lastwright {

namespace {

OffsetCorner offset_corner(CornerForm form) {
  switch (form) {
    case CornerForm::kFull:
      return OffsetCorner::kFull;
    case CornerForm::kMitre:
      return OffsetCorner::kMitre;
    case CornerForm::kSquare:
      return OffsetCorner::kSquare;
    case CornerForm::kStep:
      return OffsetCorner::kStep;
    case CornerForm::kRound:
      return OffsetCorner::kRound;
  }
  return OffsetCorner::kFull;
}

CornerForm form_at(const PieceSpec& spec, const std::string& corner) {
  const auto found = std::find_if(spec.corners.begin(), spec.corners.end(),
                                  [&](const CornerSpec& one) { return one.name == corner; });
  return found == spec.corners.end() ? CornerSpec{}.form : found->form;
}

// The corner at which the segment i of an outline starts; nothing inside an edge.
const std::string* corner_at(const PieceSpec& spec, const std::vector<std::uint16_t>& edge, std::size_t i) {
  const std::size_t n = edge.size();
  const EdgeSpec& before = spec.edges[edge[(i + n - 1) % n]];
  const EdgeSpec& after = spec.edges[edge[i]];
  if (&before != &after) {
    if (before.to == after.from) return &after.from;
    if (before.from == after.to) return &before.from;  // on the other half of a piece that is cut double
    return nullptr;
  }
  if (!spec.fold) return spec.edges.size() == 1 && i == 0 ? &after.from : nullptr;
  const auto fold = std::find_if(spec.edges.begin(), spec.edges.end(),
                                 [&](const EdgeSpec& one) { return one.name == *spec.fold; });
  if (fold == spec.edges.end()) return nullptr;
  return i == 0 ? &fold->to : 2 * i == n ? &fold->from : nullptr;
}

OffsetOptions offset_options(const PieceSpec& spec, const std::vector<std::uint16_t>& edge) {
  OffsetOptions options;
  options.corners.assign(edge.size(), OffsetCorner::kMitre);
  for (std::size_t i = 0; i < edge.size(); ++i) {
    if (const std::string* corner = corner_at(spec, edge, i))
      options.corners[i] = offset_corner(form_at(spec, *corner));
  }
  return options;
}

// At a hollow corner the wider allowance runs over the beginning of the edge beside it. Where it runs over
// the whole of an edge that has less, that edge is nowhere cut as it was asked for.
std::optional<Problem> run_over(const PieceSpec& spec, std::span<const Millimetres> allowances,
                                const EdgedOutline& net, const OffsetOutline& cut) {
  constexpr double kRunOver = 1.0;  // mm beyond its own allowance, wherever it is least
  const std::size_t n = spec.edges.size();
  for (std::size_t e = 0; e < n; ++e) {
    const double own = allowances[e].value();
    const double beside = std::max(allowances[(e + 1) % n].value(), allowances[(e + n - 1) % n].value());
    // A part that runs on beyond the edge's end lies farther out.
    const auto beside_it = [&](std::size_t i) {
      const OffsetSource& source = cut.source[i];
      return !source.corner && net.edge[source.segment] == e &&
             net.path.segment(source.segment).distance_to(cut.path.segment(i).point_at(0.5)) <=
                 own + kRunOver;
    };
    bool kept = own >= beside;
    for (std::size_t i = 0; i < cut.source.size() && !kept; ++i) kept = beside_it(i);
    if (kept) continue;
    double least = std::numeric_limits<double>::infinity();
    Vec2 at;
    const auto look = [&](Vec2 place) {
      const double beyond = distance_to(cut.path, place) - own;
      if (beyond >= least) return;
      least = beyond;
      at = place;
    };
    for (std::size_t i = 0; i < net.edge.size(); ++i) {
      if (net.edge[i] != e) continue;
      const Vec2 from = net.path.vertices[i].at;
      const Vec2 to = net.path.vertices[(i + 1) % net.edge.size()].at;
      for (const Vec2 place : {from, 0.5 * (from + to), to}) look(place);
    }
    if (!std::isfinite(least) || least <= kRunOver) continue;
    Problem problem{
        Trouble::kGeometry,
        fmt::format("{:g} mm run over the whole of the edge '{}' beside them, which has {:g} mm: it would be "
                    "cut {:.2f} mm too far out at the least, at ({:.4f}, {:.4f})",
                    beside, spec.edges[e].name, own, least, at.x, at.y),
        {},
        {},
        {}};
    problem.value = least;
    problem.limit = kRunOver;
    return problem;
  }
  return std::nullopt;
}

// One offset of an outline by its edges.
class EdgeOffset {
 public:
  EdgeOffset(const PieceSpec& spec, const EdgedOutline& from)
      : spec_(spec), from_(from), options_(offset_options(spec, from.edge)) {}

  [[nodiscard]] Result<OffsetOutline> result(std::span<const Millimetres> allowances) const {
    Result<OffsetOutline> moved = offset(from_.path, distances(allowances), options_);
    if (!moved) return moved;
    if (std::optional<Problem> lost = run_over(spec_, allowances, from_, *moved)) return std::move(*lost);
    return moved;
  }

  // As result(), which takes longer where there is none.
  [[nodiscard]] bool fits(std::span<const Millimetres> allowances) const {
    return offset_fits(from_.path, distances(allowances), options_) && result(allowances).ok();
  }

  // What is wrong, and the largest that fits.
  [[nodiscard]] Problem refusal(std::span<const Millimetres> asked, const Problem& why) const {
    std::size_t blamed = asked.size();
    double best = -1.0;
    double limit = 0.0;
    for (std::size_t e = 0; e < asked.size(); ++e) {
      if (asked[e].value() == 0.0) continue;
      const double fits = largest(asked, e);
      if (fits / asked[e].value() <= best) continue;
      best = fits / asked[e].value();
      limit = fits;
      blamed = e;
    }
    Problem problem{Trouble::kGeometry, "", {}, {}, {}};
    if (best >= 0.0) {
      problem.message = fmt::format("an allowance of {:g} mm does not fit, {:.2f} mm would: {}",
                                    asked[blamed].value(), limit, why.message);
    } else {
      const auto widest = std::max_element(asked.begin(), asked.end());
      blamed = static_cast<std::size_t>(widest - asked.begin());
      limit = in_proportion(asked, widest->value());
      problem.message = fmt::format(
          "the allowances do not fit together; with all of them reduced in proportion {:.2f} mm instead of "
          "{:g} mm would: {}",
          limit, widest->value(), why.message);
    }
    problem.value = asked[blamed].value();
    problem.limit = limit;
    return problem.in("edge", spec_.edges[blamed].name);
  }

 private:
  static constexpr double kStep = 0.01;  // mm, in which the largest that fits is told

  static double rounded(double fits) { return std::floor(fits / kStep) * kStep; }

  [[nodiscard]] std::vector<Millimetres> distances(std::span<const Millimetres> allowances) const {
    std::vector<Millimetres> all;
    all.reserve(from_.edge.size());
    for (const std::uint16_t e : from_.edge) all.push_back(allowances[e]);
    return all;
  }

  // The largest allowance of one edge that fits, the others as asked; below 0 when not even none does.
  [[nodiscard]] double largest(std::span<const Millimetres> asked, std::size_t edge) const {
    std::vector<Millimetres> tried(asked.begin(), asked.end());
    const auto good = [&](double value) {
      tried[edge] = Millimetres(value);
      return fits(tried);
    };
    return good(0.0) ? largest_told(asked[edge].value(), good) : -1.0;
  }

  // The widest allowance, in the steps in which it is told, when all are reduced in proportion.
  [[nodiscard]] double in_proportion(std::span<const Millimetres> asked, double widest) const {
    return largest_told(widest, [&](double value) {
      std::vector<Millimetres> tried;
      for (const Millimetres one : asked) tried.emplace_back(one.value() * (value / widest));
      return fits(tried);
    });
  }

  // By halving, then what is told is tried. Rounding down can
  // lead out of what fits, as where two edges just touch.
  [[nodiscard]] double largest_told(double asked, const auto& good) const {
    double fits = 0.0;
    double fails = std::min(asked, widest_offset(from_.path).value());
    while (fails - fits > 0.1 * kStep) {
      const double middle = 0.5 * (fits + fails);
      (good(middle) ? fits : fails) = middle;
    }
    constexpr int kSteps = 100;
    const double told = rounded(fits);
    for (int step = 0; step < kSteps && told > step * kStep; ++step) {
      if (good(rounded(told - step * kStep + 0.1 * kStep))) return rounded(told - step * kStep + 0.1 * kStep);
    }
    return 0.0;
  }

  const PieceSpec& spec_;
  const EdgedOutline& from_;
  OffsetOptions options_;
};

}  // namespace

Millimetres EdgeAllowance::at(const Size& size) const {
  Millimetres allowance = below;
  for (const auto& [position, wider] : from) {
    if (size.position < position) break;
    allowance = wider;
  }
  return allowance;
}

OffsetCorner corner_form(const PieceSpec& spec, const std::string& corner) {
  return offset_corner(form_at(spec, corner));
}

std::vector<EdgeAllowance> edge_allowances(const PieceSpec& spec, const SizeRun& run) {
  std::vector<EdgeAllowance> all;
  for (const EdgeSpec& edge : spec.edges) {
    EdgeAllowance allowance{edge.allowance, {}};
    for (const AllowanceStep& step : edge.allowance_from) {
      const auto found = run.named.find(step.from);
      invariant(found != run.named.end(), "the run knows the sizes that its pieces name");
      allowance.from.emplace_back(found->second, step.allowance);
    }
    std::sort(allowance.from.begin(), allowance.from.end(),
              [](const auto& a, const auto& b) { return a.first < b.first; });
    all.push_back(std::move(allowance));
  }
  return all;
}

std::vector<Millimetres> base_allowances(const PieceSpec& spec, const SizeRun& run) {
  std::vector<Millimetres> all;
  for (const EdgeAllowance& edge : edge_allowances(spec, run)) all.push_back(edge.at(run.base.size));
  return all;
}

bool allowances_fit(const PieceSpec& spec, std::span<const Millimetres> allowances,
                    const GradedPiece& piece) {
  return EdgeOffset(spec, piece.net).fits(allowances);
}

Status apply_allowances(const PieceSpec& spec, std::span<const Millimetres> allowances, GradedPiece& piece) {
  invariant(allowances.size() == spec.edges.size(), "a piece needs one allowance for each of its edges");
  piece.cut = piece.net;
  const bool any = std::any_of(piece.net.edge.begin(), piece.net.edge.end(),
                               [&](std::uint16_t e) { return allowances[e].value() != 0.0; });
  if (!any) return Done{};
  const EdgeOffset by_edge(spec, piece.net);
  Result<OffsetOutline> moved = by_edge.result(allowances);
  if (!moved) return by_edge.refusal(allowances, moved.problem()).in("piece", piece.piece);
  EdgedOutline outline{std::move(moved->path), {}};
  outline.edge.reserve(moved->source.size());
  for (const OffsetSource& source : moved->source) outline.edge.push_back(piece.net.edge[source.segment]);
  piece.cut = std::move(outline);
  return Done{};
}

}  // namespace lastwright
