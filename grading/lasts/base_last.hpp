// A base last, ready to be measured and graded: read,
// standing, with landmarks, lines and the frame of its map.
#pragma once

#include <string>
#include <vector>

#include "geometry/solid/kernel/kernel.hpp"
#include "grading/lasts/axis_frame.hpp"
#include "grading/lasts/last_definitions.hpp"
#include "grading/lasts/last_spec.hpp"
#include "grading/lasts/soundness.hpp"
#include "grading/sizes/scale.hpp"

namespace lastwright {

struct BaseLast {
  Body body;
  Standing standing;
  Landmarks landmarks;
  AxisFrame frame;
  std::vector<LastLine> lines;
  std::vector<MeasureDefinition> definitions;  // what is measured on every last of the run
  std::vector<Measured> values;                // of the base itself, in the order of the definitions
  SizeWidth at;
};

inline constexpr double kMeasuringMesh =
    0.8;  // mm: the mesh only seeds exact sections (geometry/solid/section.hpp)

// How a last stands where its form and its file do not decide.
struct LastPoseChoice {
  std::optional<double> heel_height = {};  // mm: it is tilted until its seat stands this high
  std::string axes = {};                   // see StandOptions
  std::vector<int> bottom = {};            // faces that are the bottom; empty: the form tells
  std::optional<LastFoot> foot = {};       // as it is stated; unless given the form tells
};

// The body of a solid, ready to be measured: its bottom named, its faces parted along the featherline where
// the edge is rounded. `shape` becomes the one whose faces the body has. `made`: its body of kMeasuringMesh,
// where there is one already.
Result<Body> body_of_last(KernelShape& shape, const LastPoseChoice& pose, std::optional<Body> made = {});

// `choices`: landmarks moved by hand. A note says so where the foot is stated and the form leaves it in
// doubt.
Result<BaseLast> make_base_last(Body body, const LastPoseChoice& pose,
                                const std::map<std::string, LandmarkChoice>& choices);

// The same of a body already read, for measuring: without the frame and the lines that only grading needs.
Result<BaseLast> make_measured_last(Body body, const LastPoseChoice& pose,
                                    const std::map<std::string, LandmarkChoice>& choices);

// Of a last that stands by its form alone: by how much each of its measures may be off, mm, in the order of
// the definitions, when it is pitched as far to either side as the form leaves open. Empty where file or user
// say how it stands; not a number where a measure cannot be taken then.
std::vector<double> spread_of_pitch(const BaseLast& base,
                                    const std::map<std::string, LandmarkChoice>& choices);
// Of a last that stands by its file's axes: by how much each of its measures would differ if it stood as its
// form alone says, mm. Empty, and not a number, likewise.
std::vector<double> differences_by_form(const BaseLast& base,
                                        const std::map<std::string, LandmarkChoice>& choices);
// The same in words, the worst of them, for a base that others are graded from; of one that stands by its
// file only where its form speaks against that by more than it leaves open.
std::optional<std::string> told_spread(const BaseLast& base,
                                       const std::map<std::string, LandmarkChoice>& choices);

// The landmarks of a last whose form leaves its foot in doubt, were it of the other foot.
Result<Landmarks> landmarks_of_other_foot(const BaseLast& base,
                                          const std::map<std::string, LandmarkChoice>& choices);

}  // namespace lastwright
