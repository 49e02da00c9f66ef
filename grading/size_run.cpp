#include "grading/size_run.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace lastwright {
namespace {

template <class T>
Problem at_pointer(const Result<T>& failed, std::string pointer) {
  Problem problem = failed.problem();
  problem.place.pointer = std::move(pointer);
  return problem;
}

bool same_label(const std::string& made, const std::string& asked) {
  if (made == asked) return true;
  const Result<Fraction> one = parse_fraction(made);
  const Result<Fraction> other = parse_fraction(asked);
  return one && other && *one == *other;
}

template <class T>
Result<std::vector<T>> labelled(const std::vector<T>& all, std::span<const std::string> labels,
                                const char* kind) {
  if (labels.empty()) return all;
  std::vector<bool> wanted(all.size(), false);
  for (const std::string& label : labels) {
    const auto found =
        std::find_if(all.begin(), all.end(), [&](const T& one) { return same_label(one.label, label); });
    if (found == all.end()) {
      std::string held;
      for (const T& one : all) held += (held.empty() ? "" : ", ") + one.label;
      return Problem{
          Trouble::kUsage, fmt::format("the run has no {} \"{}\"; it has {}", kind, label, held), {}, {}, {}};
    }
    wanted[static_cast<std::size_t>(found - all.begin())] = true;
  }
  std::vector<T> part;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (wanted[i]) part.push_back(all[i]);
  }
  return part;
}

}  // namespace

std::vector<SizeWidth> SizeRun::cells() const {
  std::vector<SizeWidth> all;
  all.reserve(count());
  for (const Size& size : sizes) {
    for (const Width& width : widths) all.push_back({size, width});
  }
  return all;
}

Result<SizeRun> SizeRun::part(std::span<const std::string> size_labels,
                              std::span<const std::string> width_labels) const {
  auto some_sizes = labelled(sizes, size_labels, "size");
  if (!some_sizes) return some_sizes.problem();
  auto some_widths = labelled(widths, width_labels, "width");
  if (!some_widths) return some_widths.problem();
  return SizeRun{*std::move(some_sizes), *std::move(some_widths), base};
}

Result<SizeRun> size_run(const StyleSpec& style, const Scale& scale, const Ladder& ladder) {
  SizeRun run;
  const Result<Size> base_size = scale.size(style.base_size);
  if (!base_size) return at_pointer(base_size, "/base/size");
  const Result<Width> base_width = ladder.width(style.base_width);
  if (!base_width) return at_pointer(base_width, "/base/width");
  run.base = {*base_size, *base_width};
  auto sizes = scale.run(style.run_from, style.run_to, style.run_by);
  if (!sizes) return at_pointer(sizes, "/run");
  run.sizes = *std::move(sizes);
  if (style.run_widths.empty()) {
    return Problem{Trouble::kBadValue, "the run names no width", {{}, 0, "/run/widths", {}}, {}, {}};
  }
  for (std::size_t i = 0; i < style.run_widths.size(); ++i) {
    const std::string pointer = fmt::format("/run/widths/{}", i);
    const Result<Width> width = ladder.width(style.run_widths[i]);
    if (!width) return at_pointer(width, pointer);
    for (const Width& before : run.widths) {
      if (before.position == width->position) {
        return Problem{Trouble::kBadValue,
                       fmt::format("the width \"{}\" is named twice", width->label),
                       {{}, 0, pointer, {}},
                       {},
                       {}};
      }
    }
    run.widths.push_back(*width);
  }
  std::sort(run.widths.begin(), run.widths.end(),
            [](const Width& a, const Width& b) { return a.position < b.position; });
  return run;
}

}  // namespace lastwright
