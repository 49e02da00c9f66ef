#include "grading/lasts/axes_doubt.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace lastwright {

namespace {

double degrees_between(Vec3 a, Vec3 b) {
  return std::acos(std::clamp(dot(a, b), -1.0, 1.0)) * 180.0 / std::numbers::pi;
}

// As --axes takes it.
std::string nearest_axis_name(Vec3 way) {
  const double most = std::max({std::abs(way.x), std::abs(way.y), std::abs(way.z)});
  const bool x = std::abs(way.x) == most;
  const bool y = !x && std::abs(way.y) == most;
  const double along = x ? way.x : y ? way.y : way.z;
  return std::string(along < 0.0 ? "-" : "") + (x ? "x" : y ? "y" : "z");
}

}  // namespace

std::string axes_doubt(const std::vector<PoseGuess>& guesses, const LastAxes& stated) {
  constexpr double kPlain = 14.0;    // degrees: no maker's pitch lies farther from what the form says
  constexpr double kAsLikely = 1.0;  // of the mismatch
  if (guesses.empty() || guesses.front().mismatch >= kNoLast) return {};
  const LastAxes& form = guesses.front().axes;
  for (const PoseGuess& guess : guesses) {
    if (guess.mismatch >= kNoLast || guess.mismatch >= guesses.front().mismatch + kAsLikely) continue;
    if (degrees_between(guess.axes.up, stated.up) <= kPlain &&
        degrees_between(guess.axes.ahead, stated.ahead) <= 90.0)
      return {};
  }
  const double ahead = degrees_between(form.ahead, stated.ahead);
  const double up = degrees_between(form.up, stated.up);
  std::string wrong;
  const auto add = [&wrong](const std::string& what) { wrong += (wrong.empty() ? "" : ", ") + what; };
  if (ahead > 90.0) add("heel and toe are swapped");
  if (up > 120.0) {
    add("it is upside down");
  } else if (up > kPlain) {
    add(fmt::format("it leans by {:.0f} degrees", up));
  }
  if (dot(form.left, stated.left) < 0.0) add("its left side is taken for the right");
  if (wrong.empty()) return {};
  return fmt::format(
      "the stated axes stand the last otherwise than its form says: {} (the way to the toe lies {:.0f} "
      "degrees "
      "from the form's, the way up {:.0f}); the form's own are nearest to {},{}",
      wrong, ahead, up, nearest_axis_name(form.ahead), nearest_axis_name(form.up));
}

Problem with_axes_doubt(Problem problem, const std::string& against) {
  if (!against.empty() && problem.message.find(against) == std::string::npos)
    problem.message += "; " + against;
  return problem;
}

}  // namespace lastwright
