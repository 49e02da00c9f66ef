#include "tests/last/demo_last.hpp"

#include <algorithm>
#include <array>
#include <numbers>
#include <vector>

#include "geometry/solid/kernel/kernel.hpp"
#include "geometry/solid/refit.hpp"
#include "geometry/solid/step_write.hpp"
#include "grading/lasts/axis_frame.hpp"
#include "grading/lasts/fit_targets.hpp"
#include "grading/lasts/landmarks.hpp"
#include "grading/lasts/last_definitions.hpp"

namespace lastwright {

namespace {

constexpr double kPi = std::numbers::pi;

// Control values every tenth of the length, from one tenth before the heel to one tenth beyond the toe.
using Control = std::vector<double>;
// The featherline is the outline of the demo style's insole within half a millimetre.
const Control kOuterHalf{36, 37.5, 40.6, 36.3, 30.6, 28.1, 33.2, 42.6, 47.4, 47.7, 45.4, 37, 28};
const Control kInnerHalf{36, 38, 40, 36.5, 30.8, 28.2, 32.6, 42.5, 48.4, 47.4, 44.4, 38, 29};
const Control kMiddle{0.5, 0.4, 0, 0.6, 3.2, 6.4, 7.4, 5.3, 2.3, 1, 0.7, -0.1, -1.3};
// Bottom profile: parts of the heel height, then of the toe spring.
const Control kHeelPart{1.0, 1.0, 1.0, 0.97, 0.82, 0.55, 0.25, 0.05, 0.0, 0.0, 0.0, 0.0, 0.0};
const Control kToePart{0, 0, 0, 0, 0, 0, 0, 0, 0, 0.08, 0.38, 0.95, 1.55};
// How far the bottom lies over the level of the seat's middle where the seat is steeper, for each slope of
// one: parts of the length.
const Control kSeatPart{0.26, 0.16, 0.06, -0.04, -0.07, -0.04, -0.01, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0};
const Control kCrown{0, 0, 0, 0.3, 0.5, 0.2, -0.6, -1.2, -1.4, -1.2, -0.8, -0.3, 0};  // times -(y / 40)^2, mm

double read_last_text(const Control& control, double share) {
  AxisSpline spline(1.0, static_cast<int>(control.size()), 0.0);
  spline.coefficients = control;
  return spline(share);
}

struct DemoSpot {
  double x = 0.0;
  double z = 0.0;
};

// A cubic spline near its control points, ends exact.
DemoSpot read_last_text(const std::vector<DemoSpot>& control, double t) {
  std::vector<double> breaks;
  const int spans = static_cast<int>(control.size()) - 3;
  for (int i = 0; i <= spans; ++i) breaks.push_back(static_cast<double>(i) / spans);
  BSplineCurve3 curve;
  curve.knots = clamped_knots(3, breaks);
  for (const DemoSpot& s : control) curve.poles.push_back({s.x, 0, s.z});
  const Vec3 p = curve.point(t);
  return {p.x, p.z};
}

class Recipe {
 public:
  explicit Recipe(const DemoLast& demo) : demo_(demo) {}

  // Height of the bottom over the ground, before any adjustment.
  [[nodiscard]] double bottom(double x, double y) const {
    const double s = x / demo_.length;
    const double across = y / 40.0;
    const double steeper = std::tan(demo_.steeper_seat * kPi / 180.0) * demo_.length;
    return demo_.heel_height * read_last_text(kHeelPart, s) + demo_.toe_spring * read_last_text(kToePart, s) +
           (steeper == 0.0 ? 0.0 : steeper * read_last_text(kSeatPart, s)) -
           read_last_text(kCrown, s) * across * across;
  }

  // The skirt: turn 0 at the heel, pi at the toe, 2 pi at the heel again, outside first; rise 0 at the
  // featherline, 1 at the rim of the top plane.
  [[nodiscard]] Vec3 upper(double turn, double rise) const {
    const double k = demo_.length / 279.4;
    static const std::vector<DemoSpot> kBack{{6, 0}, {1.5, 12}, {-0.5, 27}, {3, 46}, {9, 63}, {14, 80}};
    static const std::vector<DemoSpot> kFront{{275.5, 0}, {281, 8},  {280, 20}, {262, 25.5}, {238, 28},
                                              {212, 36},  {187, 48}, {162, 76}, {143, 99},   {124, 113}};
    DemoSpot heel = read_last_text(kBack, rise);
    static const std::vector<DemoSpot> kThin{{275.5, 0}, {281, 5},  {281, 12}, {268, 15}, {240, 19},
                                             {212, 31},  {187, 47}, {162, 76}, {143, 99}, {124, 113}};
    DemoSpot toe = read_last_text(kFront, rise);
    const DemoSpot thin = read_last_text(kThin, rise);
    toe.x += demo_.chisel * (thin.x - toe.x);
    toe.z += demo_.chisel * (thin.z - toe.z);
    heel.x *= k;
    toe.x *= k;
    const double c = std::cos(turn);
    const double s = 0.5 * (1.0 - c);
    const double x = heel.x + (toe.x - heel.x) * s;
    const double share = x / demo_.length;
    const double square = demo_.chisel * std::max(0.0, -c) * c * c;  // at the toe alone
    const double oval = std::sin(turn) * std::sqrt(1.0 + c * c * (1.0 + 3.0 * square));
    const double narrow = 1.0 - std::pow(rise, 2.4);
    const double wall = 7.0 * rise * (1.0 - rise) * (1.0 - rise);
    const double half = read_last_text(turn <= kPi ? kOuterHalf : kInnerHalf, share);
    const double width = (half + wall) * narrow + 19.0 * (1.0 - narrow);
    const double y = read_last_text(kMiddle, share) * (1.0 - rise) + width * oval;
    // Near the feather the wall follows the bottom; at the rim it lies in the plane through both ends.
    const double floor = bottom(x, y);
    const double on_bottom = floor + heel.z + (toe.z - heel.z) * s;
    const double seat = bottom(heel.x, 0.0);
    const double tip = bottom(toe.x, read_last_text(kMiddle, toe.x / demo_.length));
    const double in_plane = seat + heel.z + (tip + toe.z - seat - heel.z) * s;
    return {x, y, on_bottom + (in_plane - on_bottom) * rise * rise};
  }

 private:
  DemoLast demo_;
};

Breaks even(double from, double to, int spans) {
  Breaks breaks;
  for (int i = 0; i <= spans; ++i) {
    breaks.at.push_back(from + (to - from) * i / spans);
    breaks.multiplicity.push_back(1);
  }
  return breaks;
}

}  // namespace

Body make_demo_last(const DemoLast& demo) {
  const Recipe recipe(demo);
  // The skirt bulges beyond its control points' ends: stretched so that the stick length is exact.
  double low = 1e9;
  double high = -1e9;
  for (int i = 0; i <= 4000; ++i) {
    low = std::min(low, recipe.upper(0.0, i / 4000.0).x);
    high = std::max(high, recipe.upper(kPi, i / 4000.0).x);
  }
  const double k = demo.length / (high - low);
  const auto placed = [&](Vec3 p) {
    p.x = (p.x - low) * k;
    return demo.adjust ? (*demo.adjust)(demo.standing(p)) : p;
  };
  const auto upper = [&](double u, double v) { return placed(recipe.upper(u, v)); };
  const auto feather = [&](double u) { return upper(u, 0.0); };

  Body body;
  const auto edge = [&](const std::function<Vec3(double)>& exact, double from, double to, int start,
                        int end) {
    BodyEdge e;
    e.curve = fit_curve(exact, even(from, to, 8), 0.2 * demo.fit).curve;
    e.from = from;
    e.to = to;
    e.start = start;
    e.end = end;
    body.edges.push_back(std::move(e));
  };
  body.vertices = {feather(0.0), feather(kPi), upper(0.0, 1.0), upper(kPi, 1.0)};
  edge(feather, 0.0, kPi, 0, 1);
  edge(feather, kPi, 2.0 * kPi, 1, 0);
  edge([&](double v) { return upper(0.0, v); }, 0.0, 1.0, 0, 2);
  edge([&](double v) { return upper(kPi, v); }, 0.0, 1.0, 1, 3);
  edge([&](double u) { return upper(u, 1.0); }, 0.0, kPi, 2, 3);
  edge([&](double u) { return upper(u, 1.0); }, kPi, 2.0 * kPi, 3, 2);

  const auto face = [&](BSplineSurface surface, bool outward, std::vector<EdgeUse> uses) {
    BodyFace f;
    f.surface = std::move(surface);
    f.outward = outward;
    f.loops.push_back({std::move(uses), true});
    body.faces.push_back(std::move(f));
  };
  // du runs outside from heel to toe, dv upward: du x dv
  // points to the inside of the foot there, into the body.
  face(fit_surface(upper, {even(0.0, kPi, 12), even(0.0, 1.0, 6)}, demo.fit), false,
       {{0, true}, {3, true}, {4, false}, {2, false}});
  face(fit_surface(upper, {even(kPi, 2.0 * kPi, 12), even(0.0, 1.0, 6)}, demo.fit), false,
       {{1, true}, {2, true}, {5, false}, {3, false}});
  const auto bottom = [&](double x, double y) { return placed({x, y, recipe.bottom(x, y)}); };
  face(fit_surface(bottom, {even(-6.0, 288.0 * demo.length / 279.4, 12), even(-66.0, 56.0, 4)}, demo.fit),
       false, {{1, false}, {0, false}});
  // The rim is plane by construction and stays so under the
  // map; the face is the plane through three of its points.
  const Vec3 back = body.vertices[2];
  const Vec3 ahead = body.vertices[3] - back;
  const auto top = [&](double u, double v) { return back + u * ahead + Vec3{0, v, 0}; };
  face(fit_surface(top, {even(-0.3, 1.3, 1), even(-45.0, 45.0, 1)}, demo.fit), true, {{4, true}, {5, true}});
  return body;
}

namespace {

struct Read {
  Body body;
  Standing standing;
  Landmarks landmarks;
};
Result<Read> read_back(const std::string& step) {
  const Result<KernelShape> shape = read_step(step);
  if (!shape) return shape.problem();
  Result<Body> body = to_body(*shape, 0.8);
  if (!body) return body.problem();
  const Result<Standing> standing = stand(*body);
  if (!standing) return standing.problem();
  const Result<Landmarks> landmarks = propose_landmarks(*body, *standing);
  if (!landmarks) return landmarks.problem();
  return Read{std::move(*body), *standing, *landmarks};
}

}  // namespace

Result<std::string> demo_last_step() {
  const StepHeader header{"demo last 8 F left", "synthesised demo last, English 8 F, left"};
  const Result<std::string> rough = write_step(make_demo_last({}), header);
  if (!rough) return rough.problem();
  Result<Read> first = read_back(*rough);
  if (!first) return first.problem();
  const Result<AxisFrame> frame = axis_frame_of(first->body, first->standing, first->landmarks);
  if (!frame) return frame.problem();
  AxisMap start = identity_map(*frame);
  const std::vector<std::pair<std::string, double>> wanted{
      {"ball girth", 247.0},
      {"waist girth", 245.0},
      {"instep girth", 256.0},
      {"tread", 94.0},
      {"seat", 66.0},
      // so that the bottom under them is as wide as the insole
      {"waist width", 70.4},
      {"instep width", 62.6}};
  std::vector<MeasureDefinition> definitions = default_last_definitions();
  for (MeasureDefinition& d : bottom_width_definitions()) definitions.push_back(std::move(d));
  std::vector<MeasureTarget> targets;
  for (const auto& [measure, value] : wanted) {
    for (const MeasureDefinition& d : definitions) {
      if (d.measure == measure) targets.push_back({d, value});
    }
  }
  // Landmarks are proposed anew on the adjusted last, a little beside the old ones: six rounds settle that.
  std::string step;
  double stretch = 279.4 / first->standing.length;
  for (int round = 0; round < 6; ++round) {
    start.stretch = stretch;
    const Result<Fit> fit = fit_targets(first->body, first->landmarks, start, targets);
    if (!fit) return fit.problem();
    DemoLast adjusted;
    adjusted.adjust = &fit->map;
    adjusted.standing = first->standing.motion;
    Result<std::string> written = write_step(make_demo_last(adjusted), header);
    if (!written) return written.problem();
    step = std::move(*written);
    const Result<Read> now = read_back(step);
    if (!now) return now.problem();
    const Form form = make_form(now->body);
    stretch *= 279.4 / now->standing.length;
    for (std::size_t i = 0; i < targets.size(); ++i) {
      const Result<Measured> m = measure(targets[i].definition, form, now->landmarks);
      if (!m) return m.problem();
      targets[i].value += wanted[i].second - m->value;
    }
  }
  return step;
}

}  // namespace lastwright
