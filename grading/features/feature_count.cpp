#include "grading/features/feature_count.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// What one thing of each kind is compared at.
std::vector<Vec2> points_of(const GradedHole& hole) {
  return {hole.centre};
}
template <class Path>
std::vector<Vec2> points_of_path(const Path& path) {
  std::vector<Vec2> points;
  for (const ArcVertex& vertex : path.vertices) points.push_back(vertex.at);
  for (std::size_t i = 0; i < path.size(); ++i) points.push_back(path.segment(i).point_at(0.5));
  return points;
}
std::vector<Vec2> points_of(const GradedLine& line) {
  return points_of_path(line.path);
}
std::vector<Vec2> points_of(const ClosedArcPath& path) {
  return points_of_path(path);
}
std::vector<Vec2> points_of(const PlacedNick& nick) {
  return points_of_path(nick.path);
}

double distance_from(const GradedHole& hole, Vec2 p) {
  return distance(hole.centre, p);
}
double distance_from(const GradedLine& line, Vec2 p) {
  return distance_to(line.path, p);
}
double distance_from(const ClosedArcPath& path, Vec2 p) {
  return distance_to(path, p);
}
double distance_from(const PlacedNick& nick, Vec2 p) {
  return distance_to(nick.path, p);
}

template <class Thing>
double off_image(const Thing& thing, const std::vector<Thing>& all, const Mirror& fold) {
  std::vector<Vec2> image = points_of(thing);
  for (Vec2& p : image) p = fold(p);
  double best = std::numeric_limits<double>::infinity();
  for (const Thing& other : all) {
    double off = 0.0;
    for (const Vec2 p : image) {
      off = std::max(off, distance_from(other, p));
      if (off >= best) break;
    }
    best = std::min(best, off);
  }
  return best;
}

template <class Thing>
void worst_image(const std::vector<Thing>& all, const Mirror& fold, std::pair<double, Vec2>& worst) {
  for (const Thing& thing : all) {
    const double off = off_image(thing, all, fold);
    if (off > worst.first) worst = {off, points_of(thing).front()};
  }
}

struct Counts {
  std::size_t holes = 0;
  std::size_t lines = 0;
  std::size_t cut_outs = 0;
  std::size_t nicks = 0;
  std::size_t texts = 0;
};

// What a feature states, on the half that is drawn. A row by pitch alone has as many as fit, and a skive band
// as many parts as the edge has allowances and the piece stretches: these state at least that.
class Stated {
 public:
  Stated(const PlannedFeature& planned, const SizeWidth& at, const Size& drawn_as)
      : planned_(planned), at_(at), drawn_as_(drawn_as) {}

  bool at_least = false;
  std::size_t unit = 1;  // holes come in groups of so many

  Counts operator()(const HoleWork&) { return {1, 0, 0, 0, 0}; }
  Counts operator()(const PrickWork&) { return {1, 0, 0, 0, 0}; }
  Counts operator()(const RowWork& work) {
    const std::optional<int> count = count_in(work.spacing, planned_, drawn_as_);
    at_least = !count.has_value();
    unit = work.unit.size();
    return {static_cast<std::size_t>(count.value_or(1)) * unit, 0, 0, 0, 0};
  }
  Counts operator()(const SlotWork&) { return {0, 0, 1, 0, 0}; }
  Counts operator()(const BuckleBarWork&) { return {0, 2, 1, 0, 0}; }
  Counts operator()(const LineWork& work) { return {0, static_cast<std::size_t>(work.rows), 0, 0, 0}; }
  Counts operator()(const SkiveWork& work) {
    at_least = true;
    return {0, 1, 0, 0, work.depth > Millimetres(0.0) ? std::size_t{1} : 0};
  }
  Counts operator()(const NickWork&) { return {0, 0, 0, 1, 0}; }
  Counts operator()(const SizeMarksWork&) { return {0, 0, 0, marks_in(planned_, at_).size(), 0}; }
  Counts operator()(const TextWork&) { return {0, 0, 0, 0, 1}; }
  Counts operator()(const PairNumberWork&) { return {0, 1, 0, 0, 1}; }

 private:
  const PlannedFeature& planned_;
  const SizeWidth& at_;
  const Size& drawn_as_;
};

// `made` of `stated`, and up to twice as many on both halves.
Status all_found(const char* what, std::size_t stated, std::size_t made, bool both, bool at_least) {
  const bool enough = made >= stated;
  const bool too_many = !at_least && made > (both ? 2 * stated : stated);
  if (enough && !too_many) return Done{};
  return Problem{Trouble::kGeometry,
                 fmt::format("{} {} stated, {} made", stated, what, made),
                 {},
                 static_cast<double>(made),
                 static_cast<double>(stated)};
}

template <class Thing, class Same>
bool kept(const std::vector<Thing>& half, const std::vector<Thing>& whole, const Same& same) {
  return std::all_of(half.begin(), half.end(), [&](const Thing& one) {
    return std::any_of(whole.begin(), whole.end(), [&](const Thing& other) { return same(one, other); });
  });
}

}  // namespace

bool on_both_halves(const FeatureSpec& feature) {
  const bool once = std::holds_alternative<TextWork>(feature.work) ||
                    std::holds_alternative<PairNumberWork>(feature.work) ||
                    std::holds_alternative<SizeMarksWork>(feature.work);
  return feature.both_halves.value_or(!once);
}

std::optional<Mirror> fold_of(const GradedPiece& piece) {
  for (const GradedLine& line : piece.lines) {
    if (line.operation != Operation::kFold || line.path.size() != 1) continue;
    const Vec2 from = line.path.vertices.front().at;
    return Mirror{from, unit(line.path.vertices.back().at - from)};
  }
  return std::nullopt;
}

std::pair<double, Vec2> off_mirror_image(const PlacedFeature& feature, const Mirror& fold) {
  std::pair<double, Vec2> worst{0.0, {}};
  worst_image(feature.holes, fold, worst);
  worst_image(feature.lines, fold, worst);
  worst_image(feature.cut_outs, fold, worst);
  worst_image(feature.nicks, fold, worst);
  return worst;
}

Status all_made(const PieceSpec& piece, const FeaturePlan& plan, const SizeWidth& at, const Size& drawn_as,
                const std::optional<Mirror>& fold, const std::vector<PlacedFeature>& made) {
  for (std::size_t f = 0; f < piece.features.size(); ++f) {
    const FeatureSpec& feature = piece.features[f];
    const auto wrong = [&](const Problem& problem) {
      return problem.in("feature", feature.name).in("piece", piece.name);
    };
    if (f >= made.size()) return wrong({Trouble::kGeometry, "nothing was made of it", {}, {}, {}});
    Stated stated(plan.features[f], at, drawn_as);
    const Counts counts = std::visit(stated, feature.work);
    const bool both = fold && on_both_halves(feature);
    const PlacedFeature& here = made[f];
    if (here.holes.size() % std::max<std::size_t>(1, stated.unit) != 0 && !fold)
      return wrong({Trouble::kGeometry, "a unit of the row is not whole", {}, {}, {}});
    const std::pair<const char*, std::pair<std::size_t, std::size_t>> all[] = {
        {"holes", {counts.holes, here.holes.size()}},
        {"lines", {counts.lines, here.lines.size()}},
        {"cut-outs", {counts.cut_outs, here.cut_outs.size()}},
        {"nicks", {counts.nicks, here.nicks.size()}},
        {"texts", {counts.texts, here.texts.size()}}};
    for (const auto& [what, numbers] : all) {
      const Status so = all_found(what, numbers.first, numbers.second, both, stated.at_least);
      if (!so) return wrong(so.problem());
    }
  }
  return Done{};
}

Status all_drawn_kept(const GradedPiece& half, const GradedPiece& whole, const std::optional<Mirror>& fold) {
  const double same = tolerance::kMapped.value();
  const auto lost = [&](const char* what) {
    return Problem{
        Trouble::kGeometry, fmt::format("a drawn {} is not there in what is cut", what), {}, {}, {}}
        .in("piece", half.piece);
  };
  const auto twice = [&](std::size_t n, std::size_t made) {
    return made >= n && made <= (fold ? 2 * n + 1 : n);
  };
  if (!twice(half.holes.size(), whole.holes.size()) ||
      !kept(half.holes, whole.holes, [&](const GradedHole& a, const GradedHole& b) {
        return distance(a.centre, b.centre) <= same && a.radius == b.radius && a.operation == b.operation;
      }))
    return lost("hole");
  if (!twice(half.cut_outs.size(), whole.cut_outs.size()) ||
      !kept(half.cut_outs, whole.cut_outs,
            [](const ClosedArcPath& a, const ClosedArcPath& b) { return a.vertices == b.vertices; }))
    return lost("cut-out");
  // Nicks are moved to the cut line: counted only.
  if (!twice(half.lines.size(), whole.lines.size()) ||
      !kept(half.lines, whole.lines, [](const GradedLine& a, const GradedLine& b) {
        return a.operation == b.operation &&
               (a.operation == Operation::kNick || a.path.vertices == b.path.vertices);
      }))
    return lost("line");
  if (half.texts.size() != whole.texts.size()) return lost("text");
  return Done{};
}

}  // namespace lastwright
