// What cuts, lumps and holes of a scan do to its measures, by made scans of the demo last: nothing where they
// are away from a measure, and no more than is stated where they are on its way.
#include "grading/lasts/scan_cover.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>

#include "grading/lasts/landmarks.hpp"
#include "grading/lasts/last_definitions.hpp"
#include "grading/lasts/scan_measure.hpp"
#include "grading/lasts/verify_last.hpp"
#include "tests/last/standing_last.hpp"
#include "tests/support/laws.hpp"

using namespace lastwright;

namespace {

// A fixed generator: the same cases on every machine.
class Draw {
 public:
  explicit Draw(std::uint64_t seed) : state_(seed) { between(0, 1); }
  double between(double low, double high) {
    state_ = state_ * 6364136223846793005u + 1442695040888963407u;
    return low + (high - low) * static_cast<double>(state_ >> 11) / 9007199254740992.0;
  }

 private:
  std::uint64_t state_;
};

// Points about 1 mm apart, all on the form, as a registration would give them.
ScanFit fit_of_all(const Body& body) {
  ScanFit fit;
  for (const Vec3& p : surface_points(body, 1.4)) fit.residuals.push_back({p, 0, 0.0, true});
  const std::size_t nodes = body.mesh.nodes.size();
  for (std::size_t i = 0; i < nodes; ++i) fit.residuals[i].face = body.mesh.nodes[i].face;
  std::size_t at = nodes;
  for (const Triangle& t : body.mesh.triangles) {
    const double side =
        std::max({distance(body.mesh.nodes[t.node[0]].point, body.mesh.nodes[t.node[1]].point),
                  distance(body.mesh.nodes[t.node[1]].point, body.mesh.nodes[t.node[2]].point),
                  distance(body.mesh.nodes[t.node[2]].point, body.mesh.nodes[t.node[0]].point)});
    const int parts = std::clamp(static_cast<int>(std::ceil(side / 1.4)), 1, 200);
    for (int i = 0; i < parts * (parts + 1) / 2; ++i) fit.residuals[at++].face = t.face;
  }
  REQUIRE(at == fit.residuals.size());
  return fit;
}

const ScanFit& unholed() {
  static const ScanFit fit = fit_of_all(demo_standing().body);
  return fit;
}

ScanFit without_ball(const ScanFit& fit, Vec3 middle, double radius) {
  ScanFit left;
  for (const Residual& r : fit.residuals) {
    if (distance(r.foot, middle) >= radius) left.residuals.push_back(r);
  }
  return left;
}

const MeasureDefinition& girth_of(const std::string& measure) {
  static const std::vector<MeasureDefinition> all = default_last_definitions();
  for (const MeasureDefinition& d : all) {
    if (d.measure == measure) return d;
  }
  throw std::logic_error(measure);
}

}  // namespace

TEST_CASE("cuts, lumps and a stand do not pull a scan off its place", "[last][scan][cover]") {
  const StandingLast& last = demo_standing();
  std::vector<Vec3> normals;
  const std::vector<Vec3> points = surface_points(last.body, 5.0, &normals);
  const std::size_t nodes = last.body.mesh.nodes.size();
  for (std::uint64_t seed = 1; seed <= static_cast<std::uint64_t>(test::law_rounds(2)); ++seed) {
    Draw draw(seed);
    std::vector<Vec3> scan(points.begin() + static_cast<std::ptrdiff_t>(nodes), points.end());
    ScanFitOptions options;
    options.normals.assign(normals.begin() + static_cast<std::ptrdiff_t>(nodes), normals.end());
    // One cut right through the cone as a V with its walls, lumps and dents, an edge of a stand beside the
    // heel.
    const double cut = draw.between(0.25, 0.45) * last.standing.length;
    const double wide = draw.between(5.0, 16.0);
    for (std::size_t i = 0; i < scan.size(); ++i) {
      const double deep = 25.0 * (1.0 - std::abs(scan[i].x - cut) / wide);
      if (deep > 0.0 && scan[i].z > 95.0) {
        scan[i].z -= deep;
        options.normals[i] = {scan[i].x < cut ? 0.9 : -0.9, 0.0, 0.43};
      }
    }
    for (int k = 0; k < 3; ++k) {
      const auto at = static_cast<std::size_t>(draw.between(0, static_cast<double>(scan.size() - 1)));
      const Vec3 middle = scan[at];
      const double high = draw.between(-8.0, 8.0);
      for (std::size_t i = 0; i < scan.size(); ++i) {
        if (distance(scan[i], middle) < 12.0) scan[i] += high * options.normals[i];
      }
    }
    const Motion turned{{Vec3{0, 0, 1}, Vec3{1, 0, 0}, Vec3{0, 1, 0}}, {50, -20, 30}};
    for (Vec3& p : scan) p = turned(p);
    for (Vec3& n : options.normals) n = (seed % 2 == 0 ? 1.0 : -1.0) * turned.turned(n);
    const Result<ScanFit> fit = fit_scan(last.body, scan, options);
    REQUIRE(fit.ok());
    INFO("seed " << seed << ", left out " << fit->left_out);
    CHECK(fit->left_out > 0.002);
    CHECK(fit->left_out < 0.2);
    for (const auto& [name, spot] : last.landmarks) {
      const Vec3 p = last.body.at(spot).p;
      INFO(name);
      CHECK(distance(fit->pose(turned(p)), p) < 0.02);
    }
  }
}

TEST_CASE("a hole on a girth's way hides no more than the girth's uncertainty, elsewhere nothing",
          "[last][scan][cover]") {
  const StandingLast& last = demo_standing();
  const MeasureDefinition& ball = girth_of("ball girth");
  const Form form = make_form(last.body);
  const Section line = cut_section(form, *plane_of(ball.plane, form, last.landmarks));
  // Only what lies about the line: quicker.
  ScanFit fit;
  for (const Residual& r : unholed().residuals) {
    if (r.foot.x > 0.5 * last.standing.length && r.foot.x < 0.85 * last.standing.length)
      fit.residuals.push_back(r);
  }
  const Result<ScannedMeasure> seen = scanned_measure(ball, last.body, last.landmarks, fit);
  REQUIRE(seen.ok());
  CHECK(seen->covered == 1.0);
  CHECK(seen->hidden == 0.0);
  CHECK(seen->gaps.empty());
  double most = 0.0;
  for (std::uint64_t seed = 1; seed <= 25; ++seed) {
    Draw draw(seed);
    const auto at = static_cast<std::size_t>(draw.between(0, static_cast<double>(line.points.size() - 1)));
    const Vec3 middle = line.points[at].p + draw.between(-6.0, 6.0) * line.plane.normal;
    const double radius = draw.between(2.5, 14.0);
    const double steep = draw.between(-0.5, 0.5);
    ScanFit lump = fit;  // rising from the rim of the hole that will hide it
    for (Residual& r : lump.residuals)
      r.off += steep * std::max(0.0, radius - distance(r.foot, middle) - kSeenWithin);
    const Result<ScannedMeasure> truth = scanned_measure(ball, last.body, last.landmarks, lump);
    const Result<ScannedMeasure> found =
        scanned_measure(ball, last.body, last.landmarks, without_ball(lump, middle, radius));
    REQUIRE(truth.ok());
    REQUIRE(found.ok());
    INFO("seed " << seed << ": radius " << radius << ", slope " << steep << ", hidden " << found->hidden
                 << ", covered " << found->covered);
    CHECK(std::abs(truth->value - found->value) <= found->hidden + 0.02);
    CHECK((found->covered < 1.0) == !found->gaps.empty());
    most = std::max(most, std::abs(truth->value - found->value));
  }
  CHECK(most > 0.3);  // there was something to hide
}

TEST_CASE("what is left out above a hole counts as what may hide in it", "[last][scan][cover]") {
  const StandingLast& last = demo_standing();
  const MeasureDefinition& ball = girth_of("ball girth");
  const Form form = make_form(last.body);
  const Section line = cut_section(form, *plane_of(ball.plane, form, last.landmarks));
  const Vec3 top = std::max_element(line.points.begin(), line.points.end(), [](const auto& a, const auto& b) {
                     return a.p.z < b.p.z;
                   })->p;
  ScanFit clay = unholed();
  for (Residual& r : clay.residuals) {
    if (distance(r.foot, top) > 5.0 || r.foot.z < 20.0) continue;
    r.off = 6.0;
    r.apart = true;
  }
  const Result<ScannedMeasure> found = scanned_measure(ball, last.body, last.landmarks, clay);
  REQUIRE(found.ok());
  CHECK(found->hidden > 2.0);  // a half disc of 6 mm over 10 mm would take the tape 3 mm farther
  REQUIRE(found->gaps.size() == 1);
  CHECK(found->gaps.front().size == Approx(10.0).margin(2.0));
}

TEST_CASE("a hole away from the measures is told with its size and place, a whole scan has none",
          "[last][scan][cover]") {
  const StandingLast& last = demo_standing();
  const double length = last.standing.length;
  const ScanCover all = cover_of(unholed(), last.body);
  CHECK(all.unseen == 0.0);
  CHECK(told_holes(all, length, LastFoot::kLeft).empty());
  CHECK(told_left_out(all, kBeyondForm, 0.0, length, LastFoot::kLeft).empty());
  Vec3 side{0, -1e9, 0};
  for (const Residual& r : unholed().residuals) {
    if (std::abs(r.foot.x - 0.3 * length) < 2.0 && r.foot.z > 60.0 && r.foot.z < 64.0 && r.foot.y > side.y)
      side = r.foot;
  }
  const ScanCover holed = cover_of(without_ball(unholed(), side, 7.5), last.body);
  REQUIRE(holed.holes.size() == 1);
  CHECK(holed.holes.front().size == Approx(15.0).margin(2.0));
  CHECK(distance(holed.holes.front().middle, side) < 3.0);
  CHECK(holed.unseen > 0.0005);
  CHECK(holed.unseen < 0.005);
  const std::string told = told_holes(holed, length, LastFoot::kLeft);  // the left side is its outside
  INFO(told);
  CHECK(told.find("in a hole of 1") != std::string::npos);
  CHECK(told.find("mm to the outside") != std::string::npos);
  CHECK(told.find("on the upper") != std::string::npos);
}

TEST_CASE("what may hide is part of a measure's uncertainty", "[last][scan][cover]") {
  CHECK(may_lie_off(kSeenWithin) == 0.0);
  CHECK(may_lie_off(7.5) == Approx(3.0));
  VerifiedMeasure one;
  one.scanned.value = 100.0;
  one.scanned.noise = 0.05;
  VerifiedMeasure mate = one;
  mate.scanned.hidden = 0.45;
  const std::vector<PairMeasure> pair = compared_pair({one}, {mate}, 0.5);
  REQUIRE(pair.size() == 1);
  CHECK(pair.front().verdict == LastVerdict::kInconclusive);
  CHECK(pair.front().uncertainty == Approx(0.45 + 2.0 * std::hypot(0.05, 0.05)));
}
