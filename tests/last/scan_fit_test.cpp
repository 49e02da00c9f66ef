// A scan of known error against its nominal last. The scans are made here: mesh points of the demo last,
// moved along their normals by noise and by a bump of known height, then turned into another pose.
#include "grading/lasts/scan_measure.hpp"

#include <catch2/catch.hpp>
#include <cmath>
#include <cstdint>

#include "grading/lasts/landmarks.hpp"
#include "grading/lasts/last_definitions.hpp"
#include "tests/last/standing_last.hpp"

using namespace lastwright;

namespace {

// A fixed generator: the same scan on every machine.
class ScanNoise {
 public:
  double normal() {
    double sum = -6.0;
    for (int i = 0; i < 12; ++i) sum += uniform();
    return sum;
  }

 private:
  double uniform() {
    state_ = state_ * 6364136223846793005u + 1442695040888963407u;
    return static_cast<double>(state_ >> 11) / 9007199254740992.0;
  }
  std::uint64_t state_ = 42;
};

std::vector<Vec3> made_scan(double sigma, double bump, double stretch) {
  static const Body fine_body = [] {
    const StandingLast& last = demo_standing();
    Result<Body> made = to_body(*last.shape, 0.1);
    REQUIRE(made.ok());
    move(*made, last.standing.motion);
    return *made;
  }();
  const Body* fine = &fine_body;
  ScanNoise noise;
  std::vector<Vec3> scan;
  const auto add = [&](int face, Vec3 weights, const Triangle& t) {
    const auto& nodes = fine->mesh.nodes;
    const double u =
        weights.x * nodes[t.node[0]].u + weights.y * nodes[t.node[1]].u + weights.z * nodes[t.node[2]].u;
    const double v =
        weights.x * nodes[t.node[0]].v + weights.y * nodes[t.node[1]].v + weights.z * nodes[t.node[2]].v;
    const SurfaceSpot spot{face, u, v};
    const Vec3 p = fine->at(spot).p;
    const double lift = (face < 2 ? bump : 0.0) * std::exp(-std::pow((p.x - 190.0) / 15.0, 2));
    Vec3 q = p + (sigma * noise.normal() + lift) * fine->normal_at(spot);
    q.x *= stretch;
    scan.push_back(q);
  };
  // A point every 2.5 mm: scanners give more, and more is only easier.
  for (const Triangle& t : fine->mesh.triangles) {
    double longest = 0.0;
    for (std::size_t k = 0; k < 3; ++k) {
      const auto& nodes = fine->mesh.nodes;
      longest = std::max(longest, distance(nodes[t.node[k]].point, nodes[t.node[(k + 1) % 3]].point));
    }
    const int parts = std::max(1, static_cast<int>(std::ceil(longest / 2.5)));
    for (int i = 0; i < parts; ++i) {
      for (int j = 0; i + j < parts; ++j) {
        const Vec3 w{(i + 1.0 / 3.0) / parts, (j + 1.0 / 3.0) / parts, 0.0};
        add(t.face, {w.x, w.y, 1.0 - w.x - w.y}, t);
      }
    }
  }
  Motion pose;  // a sixth of a turn about an oblique axis, and shifted
  const Vec3 k = unit(Vec3{1, 2, 3});
  const auto turned = [&](Vec3 p) {
    return 0.5 * p + 0.8660254037844386 * cross(k, p) + 0.5 * dot(k, p) * k;
  };
  const Vec3 x = turned({1, 0, 0});
  const Vec3 y = turned({0, 1, 0});
  const Vec3 z = turned({0, 0, 1});
  pose.rows = {Vec3{x.x, y.x, z.x}, Vec3{x.y, y.y, z.y}, Vec3{x.z, y.z, z.z}};
  pose.shift = {100, -50, 30};
  for (Vec3& p : scan) p = pose(p);
  return scan;
}

// A scan without noise in its place, found once for all that asks of it.
const ScanFit& exact_fit() {
  static const ScanFit found = [] {
    const Result<ScanFit> fit = fit_scan(demo_standing().body, made_scan(0.0, 0.0, 1.0));
    REQUIRE(fit.ok());
    return *fit;
  }();
  return found;
}

const MeasureDefinition& definition(const std::string& measure) {
  static const std::vector<MeasureDefinition> all = default_last_definitions();
  for (const MeasureDefinition& d : all) {
    if (d.measure == measure) return d;
  }
  throw std::logic_error(measure);
}

}  // namespace

TEST_CASE("a noisy scan of the nominal last in any pose measures as the last does", "[last][scan]") {
  const StandingLast& last = demo_standing();
  for (double sigma : {0.0, 0.1}) {
    INFO("noise " << sigma);
    const Result<ScanFit> fit = sigma > 0.0 ? fit_scan(last.body, made_scan(sigma, 0.0, 1.0)) : exact_fit();
    REQUIRE(fit.ok());
    const Form form = make_form(last.body);
    for (const char* name : {"stick length", "ball girth", "waist girth", "instep girth", "tread", "seat"}) {
      INFO(name);
      const Result<Measured> exact = measure(definition(name), form, last.landmarks);
      const Result<ScannedMeasure> scanned =
          scanned_measure(definition(name), last.body, last.landmarks, *fit);
      REQUIRE(exact.ok());
      REQUIRE(scanned.ok());
      CHECK(scanned->covered > 0.95);
      // A girth of 250 mm from points of noise sigma: a tenth of a millimetre is what was reached at 0.1.
      CHECK(std::abs(scanned->value - exact->value) < 0.02 + sigma);
    }
  }
}

TEST_CASE("measures scatter as their uncertainty says", "[last][scan]") {
  // Five scans of the same feet, each with noise of its own; one point in three is the scanner's, the two
  // after it lie between it and the next, as on a coarse mesh that is filled up.
  const StandingLast& last = demo_standing();
  std::vector<MeasureDefinition> wanted;
  for (const char* name :
       {"stick length", "ball girth", "waist girth", "instep girth", "short heel", "tread", "seat"}) {
    wanted.push_back(definition(name));
  }
  const Result<std::vector<ScannedMeasure>> exact =
      scanned_measures(wanted, last.body, last.landmarks, exact_fit());
  REQUIRE(exact.ok());
  ScanNoise noise;
  std::vector<double> scores;  // squares of the errors in standard deviations
  for (int run = 0; run < 5; ++run) {
    ScanFit scan = exact_fit();
    double before = 0.1 * noise.normal();
    for (std::size_t i = 0; i < scan.residuals.size(); i += 3) {
      const double after = 0.1 * noise.normal();
      for (std::size_t k = 0; k < 3 && i + k < scan.residuals.size(); ++k) {
        scan.residuals[i + k].own = k == 0;
        scan.residuals[i + k].off += before + (after - before) * static_cast<double>(k) / 3.0;
      }
      before = after;
    }
    const Result<std::vector<ScannedMeasure>> found =
        scanned_measures(wanted, last.body, last.landmarks, scan);
    REQUIRE(found.ok());
    for (std::size_t i = 0; i < wanted.size(); ++i) {
      scores.push_back(std::pow(((*found)[i].value - (*exact)[i].value) / (*found)[i].noise, 2));
    }
  }
  double mean = 0.0;
  for (double s : scores) mean += s / static_cast<double>(scores.size());
  INFO("mean square of the errors in standard deviations: " << mean);
  // One if the uncertainty is right. Of 35 unconnected values the mean square has a deviation of 0.24: two
  // and a half of them.
  CHECK(mean > 0.4);
  CHECK(mean < 1.6);
}

TEST_CASE("what chords of a coarse mesh lack at a width's ends lies within its uncertainty", "[last][scan]") {
  // Corners lie on the surface, what is filled in between them within it: at the feather edge, which no
  // triangle has as its side any more, by up to the chord's depth.
  const StandingLast& last = demo_standing();
  const std::vector<MeasureDefinition> wanted{definition("tread"), definition("seat")};
  const Result<std::vector<ScannedMeasure>> exact =
      scanned_measures(wanted, last.body, last.landmarks, exact_fit());
  REQUIRE(exact.ok());
  for (const double depth : {0.1, 0.3, 0.7}) {
    for (const std::size_t filled : {1u, 2u, 5u}) {  // after each corner
      ScanFit scan = exact_fit();
      for (std::size_t i = 0; i < scan.residuals.size(); ++i) {
        scan.residuals[i].own = i % (filled + 1) == 0;
        if (!scan.residuals[i].own) scan.residuals[i].off -= depth;
      }
      const Result<std::vector<ScannedMeasure>> found =
          scanned_measures(wanted, last.body, last.landmarks, scan);
      REQUIRE(found.ok());
      for (std::size_t i = 0; i < wanted.size(); ++i) {
        INFO(wanted[i].measure << ", " << depth << " mm, " << filled << " after each corner");
        const double lacks = (*exact)[i].value - (*found)[i].value;
        CHECK(lacks > 0.5 * depth);
        CHECK(lacks <= 2.0 * (*found)[i].noise + 1e-5);  // the ends do not move quite along the width
        CHECK((*found)[i].noise < depth);
      }
    }
  }
}

TEST_CASE("a real bump at the ball is seen in the ball girth and not in the seat", "[last][scan]") {
  const StandingLast& last = demo_standing();
  const Form form = make_form(last.body);
  const double ball = measure(definition("ball girth"), form, last.landmarks)->value;
  const double seat = measure(definition("seat"), form, last.landmarks)->value;
  const Result<ScanFit> fit = fit_scan(last.body, made_scan(0.05, 0.3, 1.0));
  REQUIRE(fit.ok());
  // By the definition itself: the upper of the section moved out by the bump, the bottom not.
  Section moved = cut_section(form, *plane_of(definition("ball girth").plane, form, last.landmarks));
  for (SectionPoint& p : moved.points) {
    const double lift = (p.face < 2 ? 0.3 : 0.0) * std::exp(-std::pow((p.p.x - 190.0) / 15.0, 2));
    p.p += lift * last.body.normal_at({p.face, p.u, p.v});
  }
  const double expected = tape_of(moved).length - ball;
  REQUIRE(expected > 0.4);
  CHECK(std::abs(scanned_measure(definition("ball girth"), last.body, last.landmarks, *fit)->value - ball -
                 expected) < 0.15);
  CHECK(std::abs(scanned_measure(definition("seat"), last.body, last.landmarks, *fit)->value - seat) < 0.1);
}

TEST_CASE("a last that is too long is told by its length, whatever the registration does", "[last][scan]") {
  const StandingLast& last = demo_standing();
  const Result<ScanFit> fit = fit_scan(last.body, made_scan(0.02, 0.0, 1.005));
  REQUIRE(fit.ok());
  const Result<ScannedMeasure> stick =
      scanned_measure(definition("stick length"), last.body, last.landmarks, *fit);
  REQUIRE(stick.ok());
  CHECK(std::abs(stick->value - 1.005 * last.standing.length) < 0.15);
}

TEST_CASE(
    "a point that stands twice lies off as its twin does, and each is the scanner's own or not by its "
    "place") {
  const StandingLast& last = demo_standing();
  std::vector<Vec3> once;
  for (const MeshNode& n : last.body.mesh.nodes) once.push_back(1.0005 * n.point);
  std::vector<Vec3> twice = once;
  for (std::size_t i = 0; i < once.size(); i += 3) twice.push_back(once[i]);
  ScanFitOptions options;
  options.own = once.size();
  const Result<ScanFit> fit = fit_scan(last.body, twice, options);
  REQUIRE(fit.ok());
  REQUIRE(fit->residuals.size() == twice.size());
  bool same = true;
  bool own = true;
  for (std::size_t i = 0; i < once.size(); ++i) own = own && fit->residuals[i].own;
  for (std::size_t i = once.size(); i < twice.size(); ++i) {
    const Residual& a = fit->residuals[3 * (i - once.size())];
    const Residual& b = fit->residuals[i];
    same = same && a.foot == b.foot && a.face == b.face && a.off == b.off;
    own = own && !b.own;
  }
  CHECK(same);
  CHECK(own);
}
