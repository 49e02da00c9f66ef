#include "grading/lasts/base_last.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "grading/lasts/axes_doubt.hpp"
#include "grading/lasts/roles.hpp"
#include "grading/lasts/rounded_feather.hpp"

namespace lastwright {

namespace {

Result<LandmarkShares> shares_of(const std::map<std::string, LandmarkChoice>& choices) {
  LandmarkShares shares;
  const std::map<std::string, double*> known{{"seat outside", &shares.seat},
                                             {"seat inside", &shares.seat},
                                             {"tread outside", &shares.outside_tread},
                                             {"tread inside", &shares.inside_tread},
                                             {"waist bottom", &shares.waist},
                                             {"waist top", &shares.waist_top},
                                             {"instep bottom", &shares.instep_bottom},
                                             {"instep top", &shares.instep_top},
                                             {"ankle top", &shares.ankle},
                                             {"toe top", &shares.toe}};
  for (const auto& [name, choice] : choices) {
    const double* share = std::get_if<double>(&choice);
    if (!share) continue;
    const auto it = known.find(name);
    if (it == known.end()) {
      return Problem{Trouble::kBadValue,
                     fmt::format("the landmark '{}' cannot be moved by a share of the length, but to a face "
                                 "with u and v",
                                 name),
                     {},
                     {},
                     {}};
    }
    if (!(*share > 0.0 && *share < 1.0)) {
      return Problem{Trouble::kBadValue,
                     fmt::format("the share of the landmark '{}' must lie between 0 and 1", name),
                     {},
                     *share,
                     {}};
    }
    *it->second = *share;
  }
  return shares;
}

// Whether u and v are of a place in the face: in its parameters' range; of facets in a triangle.
bool on_face(const Body& body, const SpotOnFace& spot) {
  if (body.facets) {
    const bool of_one = spot.u >= 0.0 && spot.u < static_cast<double>(body.mesh.triangles.size());
    return of_one && spot.v >= 0.0 && spot.v <= 1.0 &&
           body.mesh.triangles[static_cast<std::size_t>(spot.u)].face == spot.face;
  }
  const BSplineSurface& surface = body.faces[static_cast<std::size_t>(spot.face)].surface;
  return spot.u >= surface.u.low() && spot.u <= surface.u.high() && spot.v >= surface.v.low() &&
         spot.v <= surface.v.high();
}

Status place_by_hand(Landmarks& landmarks, const Body& body,
                     const std::map<std::string, LandmarkChoice>& choices) {
  for (const auto& [name, choice] : choices) {
    const SpotOnFace* spot = std::get_if<SpotOnFace>(&choice);
    if (!spot) continue;
    if (!landmarks.contains(name)) {
      return Problem{Trouble::kBadValue, fmt::format("no landmark is named '{}'", name), {}, {}, {}};
    }
    if (spot->face < 0 || spot->face >= static_cast<int>(body.faces.size())) {
      return Problem{Trouble::kBadValue,
                     fmt::format("the landmark '{}' lies on a face the last does not have", name),
                     {},
                     static_cast<double>(spot->face),
                     static_cast<double>(body.faces.size()) - 1.0};
    }
    if (!on_face(body, *spot)) {
      return bad_value(
          fmt::format("the landmark '{}' is moved to u {:g}, v {:g}, which lies outside of face {}", name,
                      spot->u, spot->v, spot->face));
    }
    landmarks[name] = {spot->face, spot->u, spot->v};
  }
  return Done{};
}

Problem not_raised(double found, double wanted, const std::string& why) {
  return {
      Trouble::kGeometry,
      fmt::format("the last cannot be tilted to the heel height that is stated, {:.2f} mm; as it lies it has "
                  "{:.2f}{}: is it stated in mm, and of this last?",
                  wanted, found, why.empty() ? "" : ", and tilted so " + why),
      {},
      found,
      wanted};
}

// Tilts the last until the middle of its seat stands this high: the heel height as it is measured.
Status raise_heel(BaseLast& base, Landmarks& landmarks, const LandmarkShares& shares, double wanted) {
  const double first = base.body.at(landmarks.at("seat middle")).p.z;
  for (int round = 0; round < 30; ++round) {
    const Vec3 seat = base.body.at(landmarks.at("seat middle")).p;
    if (std::abs(seat.z - wanted) < 1e-7) return Done{};
    const Vec3 tread = base.body.at(landmarks.at("tread middle")).p;
    tilt(base.body, base.standing, (wanted - seat.z) / std::max(1.0, tread.x - seat.x));
    Result<Landmarks> again = propose_landmarks(base.body, base.standing, shares);
    if (!again) return not_raised(first, wanted, again.problem().message);
    landmarks = std::move(*again);
  }
  return not_raised(first, wanted, {});
}

}  // namespace

Result<Body> body_of_last(KernelShape& shape, const LastPoseChoice& pose, std::optional<Body> made) {
  Result<Body> body = made ? Result<Body>(std::move(*made)) : to_body(shape, kMeasuringMesh);
  if (!body) return body;
  if (Status named = name_bottom(*body, pose.bottom); !named) return named.problem();
  Result<KernelShape> parted = with_featherline(shape, *body, {pose.axes, pose.heel_height.has_value()});
  if (!parted) return parted.problem();
  shape = std::move(*parted);
  return body;
}

namespace {

// Landmarks and measures of a last that stands.
Status measure_standing(BaseLast& base, const LastPoseChoice& pose,
                        const std::map<std::string, LandmarkChoice>& choices, const LandmarkShares& shares) {
  Result<Landmarks> landmarks = propose_landmarks(base.body, base.standing, shares);
  if (!landmarks) return landmarks.problem();
  if (pose.heel_height) {
    Status raised = raise_heel(base, *landmarks, shares, *pose.heel_height);
    if (!raised) return raised.problem();
    base.standing.by = PoseBy::kHeelHeight;
  }
  base.landmarks = std::move(*landmarks);
  if (Status placed = place_by_hand(base.landmarks, base.body, choices); !placed) return placed.problem();
  base.definitions = default_last_definitions();
  for (MeasureDefinition& d : bottom_width_definitions()) base.definitions.push_back(std::move(d));
  const Form form = make_form(base.body);
  for (const MeasureDefinition& d : base.definitions) {
    const Result<Measured> m = measure(d, form, base.landmarks);
    if (!m) return m.problem();
    base.values.push_back(*m);
  }
  return Done{};
}

// By how much each measure differs from its value when the last is tilted toe down by radians: not a number
// where it cannot be taken then.
std::vector<double> differences_tilted(const BaseLast& base,
                                       const std::map<std::string, LandmarkChoice>& choices,
                                       double toe_down) {
  std::vector<double> off(base.definitions.size(), std::numeric_limits<double>::quiet_NaN());
  const Result<LandmarkShares> shares = shares_of(choices);
  if (!shares) return off;
  Body body = base.body;
  Standing standing = base.standing;
  tilt(body, standing, toe_down);
  Result<Landmarks> landmarks = propose_landmarks(body, standing, *shares);
  if (!landmarks || !place_by_hand(*landmarks, body, choices)) return off;
  const Form form = make_form(body);
  for (std::size_t i = 0; i < off.size(); ++i) {
    if (const Result<Measured> m = measure(base.definitions[i], form, *landmarks); m)
      off[i] = m->value - base.values[i].value;
  }
  return off;
}

constexpr double kAsTold = 2.0;  // standard deviations, as told_of has them

// "ball girth 1.2, waist girth 3.0": what is worth telling.
std::string told_off(const BaseLast& base, const std::vector<double>& off, const char* format) {
  constexpr double kTold = 0.1;  // mm
  std::string worst;
  for (std::size_t i = 0; i < off.size(); ++i) {
    if (!(std::abs(off[i]) >= kTold) && !std::isnan(off[i])) continue;
    worst += fmt::format("{}{} {}", worst.empty() ? "" : ", ", base.definitions[i].measure,
                         std::isnan(off[i]) ? "untold" : fmt::format(fmt::runtime(format), off[i]));
  }
  return worst;
}

}  // namespace

Result<BaseLast> make_measured_last(Body body, const LastPoseChoice& pose,
                                    const std::map<std::string, LandmarkChoice>& choices) {
  BaseLast base;
  base.body = std::move(body);
  const Result<LandmarkShares> shares = shares_of(choices);
  if (!shares) return shares.problem();
  Result<Standing> standing = stand(base.body, {pose.axes, pose.heel_height.has_value(), pose.foot});
  if (!standing) return standing.problem();
  base.standing = *standing;
  if (standing->foot_by == FootBy::kStated && standing->foot_signs.in_doubt()) {
    base.body.notes.push_back(
        fmt::format("it is a {} last because that is stated; its form does not tell: {}",
                    name_of(standing->foot), told_of(standing->foot_signs)));
  }
  const bool plane_top =
      std::any_of(base.body.mesh.triangles.begin(), base.body.mesh.triangles.end(), [&](const Triangle& t) {
        return base.body.faces[static_cast<std::size_t>(t.face)].role == FaceRole::kTop;
      });
  if (!plane_top) {
    base.body.notes.emplace_back(
        "no plane top was found: the back height is that of the highest point of the back within a fifth of "
        "the length, and says nothing of where the last ends");
  }
  if (const Status measured = measure_standing(base, pose, choices, *shares); !measured)
    return with_axes_doubt(measured.problem(), standing->against_axes);
  return base;
}

Result<BaseLast> make_base_last(Body body, const LastPoseChoice& pose,
                                const std::map<std::string, LandmarkChoice>& choices) {
  Result<BaseLast> base = make_measured_last(std::move(body), pose, choices);
  if (!base) return base;
  Result<AxisFrame> frame = axis_frame_of(base->body, base->standing, base->landmarks);
  if (!frame) return with_axes_doubt(frame.problem(), base->standing.against_axes);
  base->frame = *frame;
  base->lines = last_lines(base->body, base->standing);
  return base;
}

std::vector<double> spread_of_pitch(const BaseLast& base,
                                    const std::map<std::string, LandmarkChoice>& choices) {
  if (base.standing.by != PoseBy::kForm) return {};
  std::vector<double> spread(base.definitions.size(), 0.0);
  for (const double side : {-kAsTold, kAsTold}) {
    const std::vector<double> off = differences_tilted(base, choices, side * base.standing.doubt);
    for (std::size_t i = 0; i < spread.size(); ++i) {
      if (std::isnan(off[i])) {
        spread[i] = off[i];
      } else if (!std::isnan(spread[i])) {
        spread[i] = std::max(spread[i], std::abs(off[i]));
      }
    }
  }
  return spread;
}

std::vector<double> differences_by_form(const BaseLast& base,
                                        const std::map<std::string, LandmarkChoice>& choices) {
  if (base.standing.by != PoseBy::kFileUp && base.standing.by != PoseBy::kFilePitch) return {};
  return differences_tilted(base, choices, base.standing.form_pitch);
}

Result<Landmarks> landmarks_of_other_foot(const BaseLast& base,
                                          const std::map<std::string, LandmarkChoice>& choices) {
  const Result<LandmarkShares> shares = shares_of(choices);
  if (!shares) return shares.problem();
  Standing standing = base.standing;
  standing.foot = other_foot(standing.foot);
  Result<Landmarks> landmarks = propose_landmarks(base.body, standing, *shares);
  if (!landmarks) return landmarks;
  if (Status placed = place_by_hand(*landmarks, base.body, choices); !placed) return placed.problem();
  return landmarks;
}

std::optional<std::string> told_spread(const BaseLast& base,
                                       const std::map<std::string, LandmarkChoice>& choices) {
  const Standing& s = base.standing;
  const bool by_file = s.by == PoseBy::kFileUp || s.by == PoseBy::kFilePitch;
  if (by_file && std::abs(s.form_pitch) > kAsTold * s.doubt) {
    const std::string off = told_off(base, differences_by_form(base, choices), "{:+.1f}");
    return fmt::format("{}{}{}; where the file is tipped, say \"heel_height\" of the base", told_of(s),
                       off.empty() ? "" : ", and so its measures would differ by (mm) ", off);
  }
  const std::vector<double> spread = spread_of_pitch(base, choices);
  if (spread.empty()) return std::nullopt;
  const std::string worst = told_off(base, spread, "{:.1f}");
  return fmt::format("{}{}{}; say \"heel_height\" or \"axes\" of the base", told_of(s),
                     worst.empty() ? "" : ", so its measures may be off by (mm) ", worst);
}

}  // namespace lastwright
