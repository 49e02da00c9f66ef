#include "grading/lasts/soundness.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "geometry/vec2.hpp"
#include "grading/lasts/roles.hpp"

namespace lastwright {

namespace {

constexpr int kStations = 60;
constexpr double kHalfWidth = 0.17;  // of the length: a last at its widest

// What a last maker can do about a form that will not follow its table: rules of its own that move it are
// named first.
std::string advice(bool in_height, const AxisMap& map) {
  constexpr double kMoved = 0.05;  // mm
  std::string text;
  for (const auto& [rule, moved] : {std::pair{"heel height", map.heel_lift}, {"toe spring", map.toe_lift}}) {
    if (std::abs(moved) < kMoved) continue;
    text += fmt::format("change the rule of the {}, which moves it by {:+.1f} mm here, or ", rule, moved);
  }
  text += in_height ? "give it a nearer base last, or let top plane and toe thickness go with the girths"
                    : "give it a nearer base last, or let girths and bottom widths go together";
  return text;
}

void judge_factors(const AxisMap& map, const Body& body, const SoundnessLimits& limits, Soundness& s) {
  s.least_factor = 1e300;
  bool in_height = false;
  for (const MeshNode& n : body.mesh.nodes) {
    AxisMap::Derivative d;
    map.with_derivative(n.point, d);
    const double factor = std::min(d.yy, d.zz) / std::max(map.stretch, 1e-12);
    if (!(factor >= s.least_factor)) {
      in_height = d.zz < d.yy;
      s.least_factor = factor;
      s.least_factor_at = n.point.x / map.frame.length;
    }
  }
  if (!(s.least_factor >= limits.least_factor)) {
    s.failures.push_back(
        {Trouble::kGrade,
         fmt::format("the last {} in {} at {:.0f} % of its length: {}",
                     s.least_factor > 0.0 ? "is squeezed too far" : "folds", in_height ? "height" : "width",
                     100.0 * s.least_factor_at, advice(in_height, map)),
         {},
         s.least_factor,
         limits.least_factor});
  }
}

void judge_fields(const AxisMap& map, const AxisMap& prior, const SoundnessLimits& limits, Soundness& s) {
  s.lowest_field = 1e300;
  s.highest_field = -1e300;
  struct NamedField {
    const char* name;
    const AxisSpline* field;
    const AxisSpline* proportional;
  };
  const NamedField fields[] = {{"bottom's width", &map.bottom_width, &prior.bottom_width},
                               {"upper's width", &map.upper_width, &prior.upper_width},
                               {"height", &map.height, &prior.height}};
  const NamedField* lowest = fields;
  const NamedField* highest = fields;
  const NamedField* bent = fields;
  for (const NamedField& each : fields) {
    const auto& [name, field, proportional] = each;
    for (int i = 0; i <= kStations; ++i) {
      const double share = static_cast<double>(i) / kStations;
      const double x = share * map.frame.length;
      const double ratio = (*field)(x) / (*proportional)(x);
      if (!(ratio >= s.lowest_field)) {
        s.lowest_field = ratio;
        s.lowest_at = share;
        lowest = &each;
      }
      // Curvature that the field adds to a line at half the width of a last.
      constexpr double kStep = 5.0;
      const double bend = ((*field)(x - kStep) - 2.0 * (*field)(x) + (*field)(x + kStep)) / (kStep * kStep);
      const double added = std::abs(bend) * kHalfWidth * map.frame.length / (map.stretch * map.stretch);
      if (!(added <= s.added_curvature)) {
        s.added_curvature = added;
        s.added_curvature_at = share;
        bent = &each;
      }
      if (!(ratio <= s.highest_field)) {
        s.highest_field = ratio;
        s.highest_at = share;
        highest = &each;
      }
    }
  }
  const auto advised = [&](const NamedField* field) { return advice(field->field == &map.height, map); };
  if (!(s.added_curvature <= limits.bend)) {
    s.failures.push_back(
        {Trouble::kGrade,
         fmt::format("the grade bends the last's lines by its {} at {:.0f} % of the length, in curvature per "
                     "mm: {}",
                     bent->name, 100.0 * s.added_curvature_at, advised(bent)),
         {},
         s.added_curvature,
         limits.bend});
  }
  const auto report = [&](const char* what, const NamedField* field, double value, double limit, double at) {
    s.failures.push_back(
        {Trouble::kGrade,
         fmt::format("the {} is {} against the proportional grade at {:.0f} % of the length: {}", field->name,
                     what, 100.0 * at, advised(field)),
         {},
         value,
         limit});
  };
  if (!(s.lowest_field >= limits.lowest_field))
    report("too small", lowest, s.lowest_field, limits.lowest_field, s.lowest_at);
  if (!(s.highest_field <= limits.highest_field)) {
    report("too large", highest, s.highest_field, limits.highest_field, s.highest_at);
  }
}

}  // namespace

std::vector<LastLine> last_lines(const Body& body, const Standing& standing) {
  const bool left_outside = standing.foot == LastFoot::kLeft;
  std::vector<LastLine> lines{{left_outside ? "featherline outside" : "featherline inside", true, {}},
                              {left_outside ? "featherline inside" : "featherline outside", true, {}},
                              {"bottom", false, {}},
                              {"ridge", false, {}}};
  const std::vector<int> feather = feather_edges(body);
  const Form form = make_form(body);
  for (int i = 2; i < kStations - 1; ++i) {
    const double x = standing.length * i / kStations;
    if (const std::optional<FeatherPair> pair = feather_at(body, feather, x)) {
      lines[0].points.push_back(pair->left);
      lines[1].points.push_back(pair->right);
      lines[2].points.push_back(0.5 * (pair->left + pair->right));
    }
    // The highest point found lies as far below the ridge as the section bows between two points: over
    // stations 5 mm apart 5e-4 mm are 1e-4 per mm of curvature, well below a wave.
    const Section section = cut_section(form, plane_through({x, 0, 0}, {1, 0, 0}), {5e-4, 16});
    const SectionPoint* top = nullptr;
    bool under_top = false;
    for (const SectionStretch& s : section.stretches) {
      const int role = body.faces[static_cast<std::size_t>(s.face)].role;
      under_top = under_top || role == FaceRole::kTop;
      if (role != FaceRole::kUpper) continue;
      for (std::size_t k : s.point) {
        const SectionPoint& p = section.points[k];
        if (!top || p.p.z > top->p.z) top = &p;
      }
    }
    if (top && !under_top) lines[3].points.push_back(top->p);
  }
  return lines;
}

std::vector<std::size_t> turns_of(const std::vector<Vec3>& line, bool in_plan, double wave, double bow) {
  struct Run {
    int sign = 0;
    std::size_t first = 0;  // of its points
    double strongest = 0.0;
    double turn = 0.0;  // radians
    double length = 0.0;
  };
  std::vector<Run> runs;
  const auto flat = [&](const Vec3& p) { return in_plan ? Vec2{p.x, p.y} : Vec2{p.x, p.z}; };
  for (std::size_t i = 1; i + 1 < line.size(); ++i) {
    const Vec2 a = flat(line[i - 1]);
    const Vec2 b = flat(line[i]);
    const Vec2 c = flat(line[i + 1]);
    const double product = distance(a, b) * distance(b, c) * distance(a, c);
    if (!(product > 0.0)) continue;
    const double curvature = 2.0 * cross(b - a, c - b) / product;
    const int sign = curvature > 0.0 ? 1 : -1;
    if (runs.empty() || runs.back().sign != sign) runs.push_back({sign, i, 0.0, 0.0, 0.0});
    Run& run = runs.back();
    const double length = 0.5 * (distance(a, b) + distance(b, c));
    run.strongest = std::max(run.strongest, std::abs(curvature));
    run.turn += std::abs(curvature) * length;
    run.length += length;
  }
  std::vector<std::size_t> turns;
  int last = 0;
  for (const Run& run : runs) {
    // An arc that turns by t over the length l bows by t l / 8 over its chord.
    if (run.strongest < wave || run.turn * run.length / 8.0 < bow) continue;
    if (last != 0 && run.sign != last) turns.push_back(run.first);
    last = run.sign;
  }
  return turns;
}

namespace {

// Which of a line's turns is farthest from those that it had before: that one is new.
std::size_t new_turn(const std::vector<std::size_t>& now, const std::vector<std::size_t>& before) {
  std::size_t best = now.front();
  std::size_t farthest = 0;
  for (const std::size_t turn : now) {
    std::size_t nearest = before.empty() ? 1 : static_cast<std::size_t>(-1);
    for (const std::size_t old : before) nearest = std::min(nearest, turn > old ? turn - old : old - turn);
    if (nearest <= farthest) continue;
    farthest = nearest;
    best = turn;
  }
  return best;
}

void judge_waves(const AxisMap& map, const std::vector<LastLine>& lines, const SoundnessLimits& limits,
                 Soundness& s) {
  bool in_height = false;
  std::string places;
  for (const LastLine& line : lines) {
    std::vector<Vec3> image;
    for (const Vec3& p : line.points) image.push_back(map(p));
    // A wave of the base that hides under the limit must not count as new: the base is judged at half of it.
    const auto at_half = turns_of(line.points, line.in_plan, 0.5 * limits.wave, 0.5 * limits.bow);
    const auto at_limit = turns_of(line.points, line.in_plan, limits.wave, limits.bow);
    const auto& base = at_half.size() > at_limit.size() ? at_half : at_limit;
    const auto now = turns_of(image, line.in_plan, limits.wave, limits.bow);
    if (now.size() <= base.size()) continue;
    s.new_waves += static_cast<int>(now.size() - base.size());
    s.waves_on += (s.waves_on.empty() ? "" : ", ") + line.name;
    const double x = line.points[new_turn(now, base)].x;
    places += fmt::format("{}{} at {:.0f} % of its length", places.empty() ? "" : ", ", line.name,
                          100.0 * x / map.frame.length);
    in_height = in_height || !line.in_plan;
  }
  if (s.new_waves > 0) {
    s.failures.push_back({Trouble::kGrade,
                          fmt::format("the grade adds waves to the {}: {}", places, advice(in_height, map)),
                          {},
                          static_cast<double>(s.new_waves),
                          0.0});
  }
}

}  // namespace

Soundness judge(const AxisMap& map, const AxisMap& prior, const Body& body,
                const std::vector<LastLine>& lines, const SoundnessLimits& limits) {
  Soundness s;
  judge_factors(map, body, limits, s);
  judge_fields(map, prior, limits, s);
  judge_waves(map, lines, limits, s);
  return s;
}

}  // namespace lastwright
