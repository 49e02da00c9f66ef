#include "grading/lasts/stand.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

#include "geometry/solid/section.hpp"
#include "grading/lasts/axes_doubt.hpp"
#include "grading/lasts/bottom_marks.hpp"
#include "grading/lasts/pose.hpp"
#include "grading/lasts/roles.hpp"

namespace lastwright {

namespace {

constexpr double kRadian = std::numbers::pi / 180.0;  // a degree in radians

void apply(Body& body, Motion& total, const Motion& next) {
  move(body, next);
  Motion both;
  for (std::size_t i = 0; i < 3; ++i) {
    const Vec3 r = next.rows[i];
    both.rows[i] = r.x * total.rows[0] + r.y * total.rows[1] + r.z * total.rows[2];
  }
  both.shift = next(total.shift);
  total = both;
}

void onto_axes(Body& body, Motion& total, const LastAxes& axes) {
  Motion m;
  m.rows = {axes.ahead, axes.left, axes.up};
  apply(body, total, m);
}

Motion turned_by(double angle) {
  Motion m;
  m.rows = {Vec3{std::cos(angle), std::sin(angle), 0}, Vec3{-std::sin(angle), std::cos(angle), 0},
            Vec3{0, 0, 1}};
  return m;
}

// Where the ends of a last are, looking along a heading.
struct Ends {
  SurfaceSpot heel;
  SurfaceSpot toe;
  double heel_middle = 0.0;
};

// The middle across of what lies within a third of a millimetre of an end of
// the last, at its height. The farthest point itself wanders by millimetres
// over a blunt heel or a square toe when the form changes by a micrometre.
double middle_of_end(const Form& form, Vec3 end, Vec3 outward, Vec3 left) {
  constexpr double kCap = 0.3;
  const double rim = dot(outward, end) - kCap;
  const Section level = cut_section(form, plane_through(end, {0, 0, 1}), {0.003, 12, outward, rim});
  const double middle = dot(left, end);
  double low = -std::numeric_limits<double>::infinity();
  double high = -low;
  const auto cross_rim = [&](Vec3 a, Vec3 b) {
    const double ha = dot(outward, a) - rim;
    const double hb = dot(outward, b) - rim;
    if ((ha > 0.0) == (hb > 0.0)) return;
    const double at = dot(left, lerp(a, b, ha / (ha - hb)));
    if (at < middle) low = std::max(low, at);
    if (at >= middle) high = std::min(high, at);
  };
  for (const SectionStretch& s : level.stretches) {
    cross_rim(level.points[s.point[0]].p, level.points[s.point[1]].p);
    cross_rim(level.points[s.point[1]].p, level.points[s.point[2]].p);
  }
  return std::isfinite(low) && std::isfinite(high) ? 0.5 * (low + high) : middle;
}

// How far left of the heel's end the toe's end lies, looking along a heading (radians from x).
double toe_to_left(const Body& body, double heading, bool exact, Ends& s) {
  const Vec3 along{std::cos(heading), std::sin(heading), 0};
  const Vec3 left{-std::sin(heading), std::cos(heading), 0};
  if (exact) {
    s.heel = farthest(body, -along);
    s.toe = farthest(body, along);
    const Form form = make_form(body);
    s.heel_middle = middle_of_end(form, body.at(s.heel).p, -along, left);
    return middle_of_end(form, body.at(s.toe).p, along, left) - s.heel_middle;
  }
  Vec3 heel = body.mesh.nodes.front().point;
  Vec3 toe = heel;
  for (const MeshNode& n : body.mesh.nodes) {
    if (dot(along, n.point) < dot(along, heel)) heel = n.point;
    if (dot(along, n.point) > dot(along, toe)) toe = n.point;
  }
  return dot(left, toe - heel);
}

// Turns the heading until the middles of heel end and toe end lie on the x axis. A round toe has one such
// heading; a square one has one at each corner and one between: the middle one is taken.
// `rough`: the heading is known to some degrees only; otherwise it is already near.
void set_heading(Body& body, Standing& s, bool rough) {
  constexpr double kScan = 0.5 * kRadian;
  constexpr int kSteps = 24;  // to each side: the rough heading is nearer than that
  constexpr double kMet = 2e-5;
  constexpr double kClose = 0.05;  // mm: the middles of the ends are found to less
  Ends ends;
  double first = 0.0;
  if (rough) {
    std::vector<double> changes;
    double before = toe_to_left(body, -kSteps * kScan, false, ends);
    for (int i = -kSteps + 1; i <= kSteps; ++i) {
      const double here = toe_to_left(body, i * kScan, false, ends);
      if ((before > 0.0) != (here > 0.0)) changes.push_back((i - 0.5) * kScan);
      before = here;
    }
    if (!changes.empty()) first = changes[changes.size() / 2];
  }
  // A round end is met in a few steps of the line from heel to toe, a corner only by halving.
  double heading = first;
  double off = toe_to_left(body, heading, true, ends);
  for (int i = 0; i < 10 && std::abs(off) > kMet; ++i) {
    heading += std::atan2(off, distance(body.at(ends.heel).p, body.at(ends.toe).p));
    off = toe_to_left(body, heading, true, ends);
  }
  if (std::abs(off) > kClose) {
    double low = first - 2.0 * kScan;
    double high = first + 2.0 * kScan;
    const bool falling = toe_to_left(body, low, true, ends) > 0.0;
    for (int i = 0; i < 30; ++i) {
      heading = 0.5 * (low + high);
      ((toe_to_left(body, heading, true, ends) > 0.0) == falling ? low : high) = heading;
    }
  }
  apply(body, s.motion, turned_by(heading));  // what `ends` was last found for
  s.heel = farthest(body, {-1, 0, 0});
  s.toe = farthest(body, {1, 0, 0});
  Motion to_heel;
  to_heel.shift = {-body.at(s.heel).p.x, -ends.heel_middle, 0.0};
  apply(body, s.motion, to_heel);
  s.length = body.at(s.toe).p.x;
}

void set_ground(Body& body, Standing& s) {
  Motion down;
  down.shift = {0, 0, -body.at(farthest(body, {0, 0, -1})).p.z};
  apply(body, s.motion, down);
}

std::vector<ProfilePiece> middle_profile(const Body& body) {
  const Section section = cut_section(make_form(body), plane_through({0, 0, 0}, {0, 1, 0}), {0.05, 8});
  std::vector<ProfilePiece> pieces;
  for (const SectionStretch& stretch : section.stretches) {
    for (std::size_t k = 0; k < 2; ++k) {
      const Vec3 a = section.points[stretch.point[k]].p;
      const Vec3 b = section.points[stretch.point[k + 1]].p;
      pieces.push_back({a.x, a.z, b.x, b.z});
    }
  }
  return pieces;
}

// The unit normals of bottom and top plane; the bottom's by its exact rim where there is one.
struct Faces {
  Vec3 bottom;
  Vec3 top;
};
Faces faces_of(const Body& body, const LastAxes& axes) {
  const std::vector<int> marks = mark_bottom(body, axes);
  Faces faces;
  for (std::size_t i = 0; i < marks.size(); ++i) {
    const Triangle& t = body.mesh.triangles[i];
    const Vec3 a = body.mesh.nodes[t.node[0]].point;
    const Vec3 area = cross(body.mesh.nodes[t.node[1]].point - a, body.mesh.nodes[t.node[2]].point - a);
    if (marks[i] == 1) faces.bottom += area;
    if (marks[i] == 2) faces.top += area;
  }
  return {unit(faces.bottom), unit(faces.top)};
}

// Rolls and pitches a body that stands roughly by these signs of its form until they are met.
void settle_by_form(Body& body, Standing& s) {
  set_heading(body, s, true);
  for (int round = 0; round < 10; ++round) {
    const Faces faces = faces_of(body, {});
    const Vec3 way = body.at(s.toe).p - body.at(s.heel).p;
    LastAxes axes;
    axes.left = across_of(faces.bottom, faces.top, way, {0, 1, 0});
    axes.up = unit(Vec3{0, 0, 1} - axes.left.z * axes.left);
    axes.ahead = cross(axes.left, axes.up);
    const double rolled = std::abs(axes.left.z);
    onto_axes(body, s.motion, axes);
    set_heading(body, s, false);
    const PitchSigns signs = pitch_signs(middle_profile(body), 0.0, s.length);
    if (!std::isfinite(signs.doubt)) break;
    s.doubt = signs.doubt;
    Motion m;
    m.rows = {Vec3{std::cos(signs.turn), 0, std::sin(signs.turn)}, Vec3{0, 1, 0},
              Vec3{-std::sin(signs.turn), 0, std::cos(signs.turn)}};
    apply(body, s.motion, m);
    if (std::abs(signs.turn) + rolled < 1e-7) break;
  }
}

struct FileAxis {
  Vec3 way;  // in the standing frame
  double pitch = 0.0;
  double aside = 0.0;
};
// The axis of the file nearest to a direction of the standing frame, with how far it leans.
FileAxis nearest_file_axis(const Motion& motion, Vec3 to, Vec3 lean, Vec3 aside) {
  FileAxis best;
  double nearest = -1.0;
  for (const Vec3 axis : {Vec3{1, 0, 0}, Vec3{0, 1, 0}, Vec3{0, 0, 1}}) {
    const Vec3 way = motion.turned(axis);
    const double along = dot(way, to);
    if (std::abs(along) <= nearest) continue;
    nearest = std::abs(along);
    const Vec3 same = along < 0.0 ? -way : way;
    best = {same, std::atan2(dot(same, lean), dot(same, to)),
            std::asin(std::clamp(dot(same, aside), -1.0, 1.0))};
  }
  return best;
}

Problem two_ways(double form_pitch, double near) {
  return {Trouble::kGeometry,
          fmt::format(
              "the last may stand in two ways: by the axes of its file, or by its form with the toe {:.1f} "
              "degrees {}; up to {:.1f} degrees the file would be taken. Say which by --heel-height, or by "
              "--axes for the file's own axes, such as --axes x,z",
              std::abs(form_pitch) / kRadian, form_pitch > 0.0 ? "lower" : "higher", near / kRadian),
          {},
          {},
          {}};
}

// Lets axes of the file decide what the form shows only roughly.
Status snap_to_file(Body& body, Standing& s, bool pitch_will_be_set) {
  constexpr double kRoll = 0.7 * kRadian;
  constexpr double kLeast = 3.5 * kRadian;  // of pitch: makers differ by that, children's lasts from others
  constexpr double kMost = 6.0 * kRadian;   // what a heel of 95 mm leaves open
  constexpr double kYaw = 3.5 * kRadian;
  constexpr double kElse = 14.0 * kRadian;  // farther off than this no maker has meant the file's axes
  const double near = std::clamp(2.2 * s.doubt, kLeast, kMost);
  const FileAxis up = nearest_file_axis(s.motion, {0, 0, 1}, {1, 0, 0}, {0, 1, 0});
  LastAxes axes;
  if (std::abs(up.aside) < kRoll && std::abs(up.pitch) < near) {
    s.by = PoseBy::kFileUp;
    s.form_pitch = up.pitch;  // the file's way up leans to the toe: by the form the toe lies lower
    axes.up = up.way;
    axes.left = unit(cross(axes.up, Vec3{1, 0, 0}));
    axes.ahead = cross(axes.left, axes.up);
    onto_axes(body, s.motion, axes);
    return Done{};
  }
  if (std::abs(up.aside) < kRoll && std::abs(up.pitch) < kElse && !pitch_will_be_set)
    return two_ways(up.pitch, near);
  const FileAxis ahead = nearest_file_axis(s.motion, {1, 0, 0}, {0, 0, 1}, {0, 1, 0});
  if (std::abs(ahead.aside) < kYaw && std::abs(ahead.pitch) < near) {
    s.by = PoseBy::kFilePitch;
    s.form_pitch = -ahead.pitch;
    axes.up = unit(Vec3{0, 0, 1} - dot(ahead.way, {0, 0, 1}) * ahead.way);
    axes.left = unit(cross(axes.up, Vec3{1, 0, 0}));
    axes.ahead = cross(axes.left, axes.up);
    onto_axes(body, s.motion, axes);
  }
  return Done{};
}

std::optional<Vec3> named_axis(const std::string& name) {
  const std::string bare = !name.empty() && (name[0] == '-' || name[0] == '+') ? name.substr(1) : name;
  const double sign = name.starts_with('-') ? -1.0 : 1.0;
  if (bare == "x") return Vec3{sign, 0, 0};
  if (bare == "y") return Vec3{0, sign, 0};
  if (bare == "z") return Vec3{0, 0, sign};
  return std::nullopt;
}

Result<LastAxes> stated_axes(const std::string& text) {
  const std::size_t comma = text.find(',');
  const std::optional<Vec3> ahead = named_axis(text.substr(0, comma));
  const std::optional<Vec3> up =
      comma == std::string::npos ? std::nullopt : named_axis(text.substr(comma + 1));
  if (!ahead || !up || dot(*ahead, *up) != 0.0) {
    return Problem{
        Trouble::kBadValue,
        fmt::format("'{}' does not name two axes of the file, the one that points to the toe and the "
                    "one that points up, such as x,z or -y,z",
                    text),
        {},
        {},
        {}};
  }
  return LastAxes{*ahead, cross(*up, *ahead), *up};
}

Status tell_foot(const Body& body, const StandOptions& options, Standing& s) {
  s.foot_signs = foot_signs(bottom_outline(body, s.length));
  const bool doubt = s.foot_signs.in_doubt();
  const LastFoot by_form = s.foot_signs.likelier();
  s.foot = options.foot.value_or(by_form);
  s.foot_by = options.foot ? FootBy::kStated : doubt ? FootBy::kDoubt : FootBy::kForm;
  if (doubt || s.foot == by_form) return Done{};
  return Problem{
      Trouble::kGeometry,
      fmt::format("it is stated to be a {} last, and its form is beyond doubt that of a {} one: {}",
                  name_of(s.foot), name_of(by_form), told_of(s.foot_signs)),
      {},
      {},
      {}};
}

Problem not_last_like(const std::string& why) {
  return {Trouble::kGeometry, "this is not the form of a last: " + why, {}, {}, {}};
}

// The longest way through the form, roughly: what is no last's size is said before anything else.
Status size_of_last(const Body& body) {
  double longest = 0.0;
  for (int k = 0; k < 3; ++k) {
    const Vec3 axis{k == 0 ? 1.0 : 0.0, k == 1 ? 1.0 : 0.0, k == 2 ? 1.0 : 0.0};
    double low = std::numeric_limits<double>::infinity();
    double high = -low;
    for (const MeshNode& n : body.mesh.nodes) {
      low = std::min(low, dot(axis, n.point));
      high = std::max(high, dot(axis, n.point));
    }
    longest = std::hypot(longest, high - low);
  }
  if (longest >= 135.0 && longest <= 700.0) return Done{};
  return Problem{Trouble::kGeometry,
                 "the form is not as long as a last (120 to 420 mm); are its units right?",
                 {},
                 longest,
                 {}};
}

// Turns the body so that its form stands roughly. Refuses what is no last, and what may lie two ways.
Status stand_roughly(Body& body, Standing& s) {
  const Result<std::vector<PoseGuess>> guesses = guess_poses(body);
  if (!guesses) return guesses.problem();
  const PoseGuess& best = guesses->front();
  if (best.mismatch >= kNoLast) return not_last_like(best.unlike);
  for (const PoseGuess& other : *guesses) {
    const bool another =
        dot(other.axes.up, best.axes.up) < 0.8 || dot(other.axes.ahead, best.axes.ahead) < 0.8;
    if (another && other.mismatch < kNoLast && other.mismatch < best.mismatch + 1.0) {
      return Problem{
          Trouble::kGeometry,
          "the last may stand in two ways, and its form does not tell which: say by --axes which axis "
          "of the file points to the toe and which up, such as --axes x,z",
          {},
          {},
          {}};
    }
  }
  onto_axes(body, s.motion, best.axes);
  s.doubt = best.doubt;
  return Done{};
}

}  // namespace

void tilt(Body& body, Standing& s, double toe_down) {
  Motion m;
  m.rows = {Vec3{std::cos(toe_down), 0, std::sin(toe_down)}, Vec3{0, 1, 0},
            Vec3{-std::sin(toe_down), 0, std::cos(toe_down)}};
  apply(body, s.motion, m);
  set_heading(body, s, false);
  set_ground(body, s);
}

std::string told_of(const Standing& s) {
  switch (s.by) {
    case PoseBy::kAxes:
      return "it stands by the axes that were stated";
    case PoseBy::kFileUp:
      return fmt::format(
          "it stands by the file's own axes; the form alone would have its toe {:.1f} degrees {} (+- {:.1f})",
          std::abs(s.form_pitch) / kRadian, s.form_pitch > 0.0 ? "lower" : "higher", 2.0 * s.doubt / kRadian);
    case PoseBy::kFilePitch:
      return fmt::format(
          "the file's axes are rolled or turned against the last: its bottom and top say how it stands, the "
          "file's long axis how it is pitched; the form alone would have its toe {:.1f} degrees {} (+- "
          "{:.1f})",
          std::abs(s.form_pitch) / kRadian, s.form_pitch > 0.0 ? "lower" : "higher", 2.0 * s.doubt / kRadian);
    case PoseBy::kHeelHeight:
      return "it is tilted to the heel height that was stated";
    case PoseBy::kForm:
      break;
  }
  return fmt::format(
      "the file's axes are not those of a standing last: it stands by its form, pitched to +- {:.1f} "
      "degrees",
      2.0 * s.doubt / kRadian);
}

Result<Standing> stand_pose(Body& body, const StandOptions& options) {
  Standing s;
  if (body.mesh.triangles.empty())
    return Problem{Trouble::kGeometry, "the form has no triangles", {}, {}, {}};
  if (const Status size = size_of_last(body); !size) return size.problem();
  if (!options.axes.empty()) {
    const Result<LastAxes> axes = stated_axes(options.axes);
    if (!axes) return axes.problem();
    onto_axes(body, s.motion, *axes);
    s.by = PoseBy::kAxes;
  } else {
    if (const Status rough = stand_roughly(body, s); !rough) return rough.problem();
    settle_by_form(body, s);
    if (const Status snapped = snap_to_file(body, s, options.pitch_will_be_set); !snapped)
      return snapped.problem();
  }
  set_heading(body, s, !options.axes.empty());
  set_ground(body, s);
  if (!(s.length >= 120.0 && s.length <= 420.0)) {
    return Problem{Trouble::kGeometry,
                   "the form is not as long as a last (120 to 420 mm); are its units right?",
                   {},
                   s.length,
                   {}};
  }
  return s;
}

Result<Standing> stand(Body& body, const StandOptions& options) {
  // Before it is moved: how its form would stand it.
  std::vector<PoseGuess> guesses;
  if (!options.axes.empty()) {
    if (Result<std::vector<PoseGuess>> found = guess_poses(body); found) guesses = std::move(*found);
  }
  Result<Standing> s = stand_pose(body, options);
  if (!s) {
    const Result<LastAxes> stated = stated_axes(options.axes);
    return with_axes_doubt(s.problem(), stated ? axes_doubt(guesses, *stated) : std::string());
  }
  const std::array<Vec3, 3>& rows = s->motion.rows;
  s->against_axes = axes_doubt(guesses, {rows[0], rows[1], rows[2]});
  if (!s->against_axes.empty()) body.notes.push_back(s->against_axes);
  find_roles(body);
  // Meshes are parted along their featherline, and their triangles counted anew.
  if (body.facets) {
    s->heel = farthest(body, {-1, 0, 0});
    s->toe = farthest(body, {1, 0, 0});
  }
  if (std::none_of(body.faces.begin(), body.faces.end(),
                   [](const BodyFace& f) { return f.role == FaceRole::kBottom; })) {
    return with_axes_doubt(
        {Trouble::kGeometry,
         "no face looks down: a last needs a bottom; where its faces go over into the upper, name them "
         "by hand (\"bottom\" of a base, --bottom)",
         {},
         {},
         {}},
        s->against_axes);
  }
  if (const Status told = tell_foot(body, options, *s); !told)
    return with_axes_doubt(told.problem(), s->against_axes);
  return s;
}

}  // namespace lastwright
