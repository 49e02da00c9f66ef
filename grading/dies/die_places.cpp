#include <fmt/format.h>

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

// Whether the run makes all that lies round a place of
// the refined run: itself, or its two or four neighbours.
bool makes_round(const SizeRun& run, std::size_t size, std::size_t width, std::size_t stride) {
  for (const std::size_t s : {size / stride, (size + stride - 1) / stride}) {
    for (const std::size_t w : {width / stride, (width + stride - 1) / stride}) {
      if (!run.makes(s, w)) return false;
    }
  }
  return true;
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
  const std::size_t stride = with_between ? 2 : 1;
  if (!run.whole()) {
    result.refined.made.clear();
    for (std::size_t s = 0; s < result.refined.sizes.size(); ++s) {
      for (std::size_t w = 0; w < result.refined.widths.size(); ++w)
        result.refined.made.push_back(makes_round(run, s, w, stride));
    }
  }
  result.places = result.refined.cells();
  result.demands = run.cells();
  for (std::size_t size = 0; size < run.sizes.size(); ++size) {
    for (const std::size_t width : run.made_widths(size))
      result.own.push_back(static_cast<std::uint32_t>(*result.refined.cell(stride * size, stride * width)));
  }
  return result;
}

std::string drawn_elsewhere(const OwnedDie& die, const DiePlaces& places) {
  if (die.drawn_as.empty()) return "";
  for (std::size_t place = 0; place < places.places.size(); ++place) {
    if ((places.between(place) ? "between " : "") + label_of(places.places[place]) == die.drawn_as) return "";
  }
  return fmt::format(
      " (its order has it drawn as {}, which this order's sizes and widths do not hold: it is "
      "known again only with them)",
      die.drawn_as);
}

}  // namespace lastwright
