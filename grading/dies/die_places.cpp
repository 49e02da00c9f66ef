#include <algorithm>

#include "grading/dies/die_plan.hpp"

namespace lastwright {

namespace {

// The given list with a place half way between each two neighbours.
template <class Step>
std::vector<Step> with_half_way(const std::vector<Step>& steps) {
  std::vector<Step> refined;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (i > 0) {
      const Step& a = steps[i - 1];
      const Step& b = steps[i];
      refined.push_back({(a.position + b.position) * Fraction(1, 2), a.label + "-" + b.label});
    }
    refined.push_back(steps[i]);
  }
  return refined;
}

}  // namespace

bool DiePlaces::between(std::size_t place) const {
  return std::find(own.begin(), own.end(), static_cast<std::uint32_t>(place)) == own.end();
}

DiePlaces die_places(const SizeRun& run, bool with_between) {
  DiePlaces result;
  result.refined = run;
  if (with_between) {
    result.refined.sizes = with_half_way(run.sizes);
    result.refined.widths = with_half_way(run.widths);
  }
  result.places = result.refined.cells();
  result.demands = run.cells();
  const std::size_t stride = with_between ? 2 : 1;
  for (std::size_t size = 0; size < run.sizes.size(); ++size) {
    for (std::size_t width = 0; width < run.widths.size(); ++width) {
      result.own.push_back(
          static_cast<std::uint32_t>(stride * size * result.refined.widths.size() + stride * width));
    }
  }
  return result;
}

}  // namespace lastwright
