#include "grading/dies/plan/die_groups.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/sizes/step_named.hpp"

namespace lastwright {

Result<std::vector<std::uint32_t>> tooling_of(const DiePlanInput& input, const PieceSpec& spec) {
  std::vector<std::uint32_t> tooling;
  const PieceRules& rules = input.rules->rules_of(spec.name);
  if (rules.groups.empty()) return tooling;
  const auto bad = [&](std::string what) {
    return Problem{Trouble::kBadValue, std::move(what), {}, {}, {}}
        .in("piece", spec.name)
        .in_file(input.rules->file);
  };
  const std::vector<Size> sizes = input.places.whole_sizes();
  const std::vector<Width> widths = input.places.whole_widths();
  tooling.assign(input.places.demands.size(), 0);  // sizes in no group make one of their own
  for (std::size_t g = 0; g < rules.groups.size(); ++g) {
    const ToolingGroup& group = rules.groups[g];
    const auto from = position_named(sizes, group.from);
    const auto to = position_named(sizes, group.to);
    if (!from || !to || *to < *from)
      return bad(fmt::format(
          "tooling group '{}' goes from size '{}' to '{}', which is no stretch of the style's run: it goes "
          "from {} to {}",
          group.name, group.from, group.to, sizes.front().label, sizes.back().label));
    std::vector<Fraction> in_widths;
    for (const std::string& label : group.widths) {
      const auto width = position_named(widths, label);
      if (!width)
        return bad(fmt::format("tooling group '{}' names the width '{}', which the style's run does not have",
                               group.name, label));
      in_widths.push_back(*width);
    }
    for (std::size_t d = 0; d < tooling.size(); ++d) {
      const SizeWidth& at = input.places.demands[d];
      const bool width = in_widths.empty() ||
                         std::find(in_widths.begin(), in_widths.end(), at.width.position) != in_widths.end();
      if (!width || at.size.position < *from || at.size.position > *to) continue;
      if (tooling[d] != 0)
        return bad("size " + at.size.label + " width " + at.width.label + " is in two tooling groups");
      tooling[d] = static_cast<std::uint32_t>(g + 1);
    }
  }
  return tooling;
}

}  // namespace lastwright
