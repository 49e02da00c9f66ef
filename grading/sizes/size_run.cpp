#include "grading/sizes/size_run.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace lastwright {
namespace {

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

bool same_label(const std::string& made, const std::string& asked) {
  if (made == asked) return true;
  const Result<Fraction> one = parse_fraction(made);
  const Result<Fraction> other = parse_fraction(asked);
  return one && other && *one == *other;
}

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
  return SizeRun{*std::move(some_sizes), *std::move(some_widths), base, named, stated_sizes, stated_widths};
}

}  // namespace lastwright
