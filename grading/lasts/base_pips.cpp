#include "grading/lasts/base_pips.hpp"

#include <fmt/format.h>

#include <cmath>

#include "grading/lasts/roles.hpp"

namespace lastwright {

Result<std::string> told_pips(const BaseLast& base, const std::vector<MeshPip>& pips, const PlainMesh& mended,
                              const LastPoseChoice& pose,
                              const std::map<std::string, LandmarkChoice>& choices) {
  const std::string told = told_of(pips);
  Result<Body> body = mesh_body(mended);
  if (!body || !name_bottom(*body, pose.bottom)) return told;
  const Result<BaseLast> without = make_measured_last(std::move(*body), pose, choices);
  if (!without) return told;
  std::string changed;
  double most = 0.0;
  for (std::size_t i = 0; i < base.values.size(); ++i) {
    const double by = base.values[i].value - without->values[i].value;
    if (std::abs(by) <= kMostByPips) continue;
    changed +=
        fmt::format("{}{} by {:+.2f} mm", changed.empty() ? "" : ", ", base.definitions[i].measure, by);
    if (std::abs(by) > std::abs(most)) most = by;
  }
  if (changed.empty())
    return told +
           fmt::format("; no measure of the base is changed by more than {:.2f} mm, and every size has it",
                       kMostByPips);
  return Problem{Trouble::kGeometry,
                 fmt::format("{}, which changes {}, and would in every size: smooth it away, or give a mesh "
                             "without it (mm)",
                             told, changed),
                 {},
                 std::abs(most),
                 kMostByPips};
}

}  // namespace lastwright
