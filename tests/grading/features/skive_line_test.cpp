// Where the line of a skive band may lie, on outlines nobody chose.
#include "grading/features/skive_line.hpp"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

#include "geometry/check/simple.hpp"
#include "tests/support/blob.hpp"
#include "tests/support/feature_panel.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;
using Catch::Detail::Approx;

namespace {

using SkivedPanel = test::FeaturePanel;

constexpr double kOff = 0.011;  // mm: what a parallel may be off, and rounding

using Edges = std::vector<std::uint16_t>;
using Widths = std::vector<Millimetres>;

// How far the nearest of some paths is, and whether what is nearest is not one of its vertices.
std::pair<double, bool> nearest(const std::vector<OpenArcPath>& paths, Vec2 p) {
  std::pair<double, bool> best{INFINITY, false};
  for (const OpenArcPath& path : paths) {
    for (std::size_t s = 0; s < path.size(); ++s) {
      const ArcSegment segment = path.segment(s);
      const double t = segment.nearest(p);
      const double off = distance(segment.point_at(t), p);
      if (off < best.first - 1e-9) best = {off, t > 1e-6 && t < 1.0 - 1e-6};
    }
  }
  return best;
}

// Whether every line of the band keeps the law; the first place that does not is named.
std::string against_law(const SkivedPanel& ground, const Edges& along, double width,
                        const PlacedFeature& band, double widest, bool judge_beside) {
  const ClosedArcPath& cut = ground.graded.cut.path;
  const std::optional<Mirror> fold = ground.fold ? std::optional(ground.fold->mirror()) : std::nullopt;
  std::vector<OpenArcPath> cut_edges;  // of both halves
  std::vector<OpenArcPath> net_edges;
  for (const std::uint16_t edge : along) {
    for (const auto& [outline, found] :
         {std::pair{&ground.graded.cut, &cut_edges}, std::pair{&ground.graded.net, &net_edges}}) {
      found->push_back(PieceEdges(*outline, ground.piece.edges.size(), fold).edge(edge));
      if (fold) found->push_back(fold->image(found->back()));
    }
  }
  for (const GradedLine& line : band.lines) {
    for (const Vec2 end : {line.path.vertices.front().at, line.path.vertices.back().at}) {
      const bool on_fold = fold && std::abs(fold->side(end)) < kOff;
      if (!on_fold && distance_to(cut, end) > 1e-5) return "an end off the cut line";
    }
    double left = 0.0;
    double right = 0.0;
    for (std::size_t i = 0; i < line.path.size(); ++i) {
      for (int k = 0; k <= 20; ++k) {
        const Vec2 p = line.path.segment(i).point_at(k / 20.0);
        if (!contains(cut, p) && distance_to(cut, p) > 1e-5) return "outside the cut line";
        const auto [off, on_cut] = nearest(cut_edges, p);
        const auto [net_off, on_net] = nearest(net_edges, p);
        if (judge_beside && on_cut && on_net && off > width + kOff)
          return "farther than its width beside its edge";
        const bool in_allowance = !contains(ground.graded.net.path, p);
        // In an allowance that a long mitre takes most of, the line goes on along the net line.
        const double away = in_allowance ? std::min(off, net_off) : off;
        if (away > 2.0 * std::max(width, in_allowance ? widest : 0.0) + kOff) return "far from its edge";
        if (!fold) continue;
        left = std::max(left, fold->side(p));
        right = std::max(right, -fold->side(p));
      }
    }
    if (!fold || std::min(left, right) < kOff) continue;
    // A line on both halves is its own mirror image.
    if (distance_to(line.path, (*fold)(line.path.vertices.front().at)) > kOff) return "over the fold";
  }
  return "";
}

// A piece cut double whose lower half is drawn: `n` segments from one end of the fold to the other, each an
// edge of its own.
SkivedPanel folded_blob(std::uint64_t seed, int n) {
  test::Dice dice(seed);
  SkivedPanel ground(test::box_path(10, 10), 0.0, 1);
  const double wide = dice(25.0, 70.0);
  const double deep = dice(6.0, 45.0);
  ClosedArcPath& net = ground.graded.net.path;
  net.vertices.clear();
  ground.graded.net.edge.clear();
  ground.piece.edges.clear();
  for (int i = 0; i <= n; ++i) {
    const double angle = M_PI * (1.0 + (i + (i == 0 || i == n ? 0.0 : dice(-0.35, 0.35))) / n);
    const double r = i == 0 || i == n ? 1.0 : dice(0.75, 1.25);
    const double bulge = i == n || dice(0.0, 1.0) < 0.4 ? 0.0 : dice(-0.12, 0.3);
    net.vertices.push_back(
        {{wide * r * std::cos(angle), i == 0 || i == n ? 0.0 : deep * r * std::sin(angle)}, bulge});
  }
  for (int i = n - 1; i > 0; --i) {
    const ArcVertex v = net.vertices[static_cast<std::size_t>(i)];
    net.vertices.push_back({{v.at.x, -v.at.y}, net.vertices[static_cast<std::size_t>(i) - 1].bulge});
  }
  net.vertices[static_cast<std::size_t>(n)].bulge = net.vertices[static_cast<std::size_t>(n) - 1].bulge;
  for (int i = 0; i < n; ++i)
    ground.piece.edges.push_back({"edge " + std::to_string(i), "", "", Treatment::kRaw, {}, {}, false});
  ground.piece.edges.push_back({"fold", "", "", Treatment::kRaw, {}, {}, false});
  ground.piece.fold = "fold";
  for (int i = 0; i < 2 * n; ++i)
    ground.graded.net.edge.push_back(static_cast<std::uint16_t>(i < n ? i : 2 * n - 1 - i));
  ground.graded.cut = ground.graded.net;
  ground.fold = FoldLine{{wide, 0.0}, {-wide, 0.0}};
  return ground;
}

bool cut_by(SkivedPanel& ground, const Widths& allowances) {
  if (!check_simple(ground.graded.net.path).ok()) return false;
  Widths distances;
  for (const std::uint16_t edge : ground.graded.net.edge) distances.push_back(allowances[edge]);
  const Result<OffsetOutline> cut = offset(ground.graded.net.path, distances);
  if (!cut) return false;
  ground.graded.cut.path = cut->path;
  ground.graded.cut.edge.clear();
  for (const OffsetSource& source : cut->source)
    ground.graded.cut.edge.push_back(ground.graded.net.edge[source.segment]);
  return true;
}

}  // namespace

TEST_CASE("a skive line stays in its piece and near its edge, and ends on the cut line or the fold",
          "[features][skive]") {
  int made = 0;
  int folded = 0;
  for (std::uint64_t seed = 1; seed <= 600; ++seed) {
    test::Dice dice(seed + 7000);
    const bool fold = dice(0.0, 1.0) < 0.5;
    const int n = static_cast<int>(dice(3.0, 7.0)) * (fold ? 1 : 2);
    SkivedPanel ground = fold ? folded_blob(seed, n) : SkivedPanel(test::blob(seed), 0.0, n);
    // None, one all round, or one for each edge.
    const double kind = dice(0.0, 3.0);
    const Millimetres all_round(dice(1.0, 14.0));
    Widths allowances;
    for (int i = 0; i <= n; ++i)
      allowances.push_back(kind < 1.0   ? Millimetres(0.0)
                           : kind < 2.0 ? all_round
                                        : Millimetres(std::max(0.0, dice(-6.0, 14.0))));
    if (fold) allowances.back() = Millimetres(0.0);
    if (!cut_by(ground, allowances)) continue;
    const auto edge = static_cast<std::uint16_t>(dice(0.0, n));
    Edges along{edge};
    if (edge + 1 < n && dice(0.0, 1.0) < 0.25) along.push_back(static_cast<std::uint16_t>(edge + 1));
    const double width = dice(2.0, 18.0);
    SkiveWork work{{}, Millimetres(width), Millimetres(0.0)};
    for (const std::uint16_t one : along) work.edges.push_back("edge " + std::to_string(one));
    ground.piece.features = {{"band", work, {}}};
    const FeaturePlan plan = ground.plan();
    const Result<std::vector<PlacedFeature>> placed = place_features(
        {ground.piece, plan, plan.spots, ground.fold, ground.graded, allowances, ground.graded.at.size});
    CAPTURE(seed, fold, width, edge, n, along.size(), kind);
    if (!placed) {  // with the edge and the place
      const std::string text = to_text(placed.problem());
      INFO(text);
      CHECK(std::any_of(work.edges.begin(), work.edges.end(),
                        [&](const std::string& name) { return text.find(name) != std::string::npos; }));
      CHECK((text.find("at (") != std::string::npos || text.find("nothing is left") != std::string::npos));
      continue;
    }
    ++made;
    folded += fold ? 1 : 0;
    // Each of two lines in one band has an edge of its own.
    const bool judge_beside = along.size() == 1 || allowances[along[0]] == allowances[along[1]];
    double widest = 0.0;
    for (const Millimetres one : allowances) widest = std::max(widest, one.value());
    CHECK(against_law(ground, along, width, placed->front(), widest, judge_beside) == "");
  }
  CHECK(made > 400);
  CHECK(folded > 150);
}

TEST_CASE("a skive on the tip of a strap ends square at the ends of the tip", "[features][skive]") {
  // 150 long, 12 wide, round at one end: the line of 4 mm is a half circle of 2, and 4 mm on either side.
  SkivedPanel ground({{{{0, -6}}, {{144, -6}, 1.0}, {{144, 6}}, {{0, 6}}}}, 0.0, 4);
  ground.piece.features = {{"tip", SkiveWork{{"edge 1"}, Millimetres(4), Millimetres(0.5)}, {}}};
  const auto placed = ground.place();
  REQUIRE(placed);
  REQUIRE(placed->front().lines.size() == 1);
  const OpenArcPath& line = placed->front().lines.front().path;
  CHECK(length(line) == Approx(2.0 * M_PI + 8.0));
  CHECK(distance(line.vertices.front().at, {144, -6}) < 1e-9);
  CHECK(distance(line.vertices.back().at, {144, 6}) < 1e-9);
  // What is wider than the tip is refused with the edge, the place and how wide it may be.
  ground.piece.features = {{"tip", SkiveWork{{"edge 1"}, Millimetres(7), Millimetres(0.5)}, {}}};
  const auto wide = ground.place();
  REQUIRE_FALSE(wide);
  const std::string text = to_text(wide.problem());
  CHECK_THAT(text, Catch::Contains("edge 1"));
  CHECK_THAT(text, Catch::Contains("144"));
  CHECK(wide.problem().limit.value_or(0.0) == Approx(6.0).margin(0.01));
}

TEST_CASE("a skive line runs through an allowance to the cut line, and along no smooth joint",
          "[features][skive]") {
  // A box with 16 mm at its bottom: the band along its left side goes through them.
  SkivedPanel ground(test::box_path(100, 60), 0.0, 4);
  Widths allowances{Millimetres(16), Millimetres(0), Millimetres(0), Millimetres(0)};
  REQUIRE(cut_by(ground, allowances));
  const auto lines = [&](const std::string& edge) {
    ground.piece.features = {{"band", SkiveWork{{edge}, Millimetres(4), Millimetres(0.5)}, {}}};
    const FeaturePlan plan = ground.plan();
    const auto placed = place_features(
        {ground.piece, plan, plan.spots, ground.fold, ground.graded, allowances, ground.graded.at.size});
    REQUIRE(placed);
    REQUIRE(placed->front().lines.size() == 1);
    return placed->front().lines.front().path;
  };
  CHECK(length(lines("edge 3")) == Approx(76.0));
  // An edge of 8 mm in a straight side: what follows it on either side is not thinned.
  ground = SkivedPanel({{{{0, 0}}, {{40, 0}}, {{48, 0}}, {{100, 0}}, {{100, 50}}, {{0, 50}}}}, 0.0, 6);
  allowances = Widths(6, Millimetres(0));
  CHECK(length(lines("edge 1")) == Approx(16.0));
  // A corner that the outline turns outward.
  ground = SkivedPanel({{{{0, 0}}, {{40, 0}}, {{40, -30}}, {{100, -30}}, {{100, 50}}, {{0, 50}}}}, 0.0, 6);
  const OpenArcPath line = lines("edge 0");
  CHECK(length(line) == Approx(44.0));
  CHECK(distance(line.vertices.back().at, {40, 0}) < 1e-9);
}
