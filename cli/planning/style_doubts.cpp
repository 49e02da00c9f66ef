#include "cli/planning/style_doubts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "geometry/counted.hpp"

namespace lastwright {

namespace {

bool is_made_in(const SizeRun& run, const OrderLine& line) {
  for (std::size_t s = 0; s < run.sizes.size(); ++s) {
    for (std::size_t w = 0; w < run.widths.size(); ++w) {
      if (run.sizes[s].label == line.size && run.widths[w].label == line.width) return run.makes(s, w);
    }
  }
  return false;
}

}  // namespace

std::vector<std::string> style_doubts(const std::string& file, const LoadedStyle& loaded,
                                      const LoadedOrder& order) {
  const std::optional<std::size_t> reported = order.graded_from(file);
  if (!reported) {
    for (const OrderedStyle& style : order.styles) {
      if (style.spec->name != loaded.spec.name) continue;
      return {
          fmt::format("the order's style \"{}\" is read from another file than the one reported, {}: its "
                      "figures are of that other file",
                      style.name, file)};
    }
    return {fmt::format("no row of the order is of the style that is reported, {}", file)};
  }
  const StyleSpec* spec = &order.loaded[*reported]->spec;
  const auto ordered = std::find_if(order.styles.begin(), order.styles.end(),
                                    [&](const OrderedStyle& style) { return style.spec == spec; });
  if (ordered == order.styles.end()) return {};
  int pairs = 0;
  std::set<std::string> cells;
  for (const OrderLine& line : order.order.lines) {
    if (line.style != ordered->name || is_made_in(loaded.run, line)) continue;
    pairs += line.pairs;
    cells.insert(line.size + " " + line.width);
  }
  if (pairs == 0) return {};
  return {
      fmt::format("{} of the order, in {}, {} of sizes and widths that this report leaves out: the order's "
                  "figures have them, its nests and measures do not",
                  counted(pairs, "pair"), fmt::join(cells, ", "), pairs == 1 ? "is" : "are")};
}

}  // namespace lastwright
