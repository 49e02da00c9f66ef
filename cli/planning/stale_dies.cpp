#include "cli/planning/stale_dies.hpp"

#include <algorithm>

namespace lastwright {

Result<std::vector<DieDoubt>> stale_dies(const LoadedOrder& order, const std::string& style,
                                         const FileDigests& made_from) {
  std::vector<DieDoubt> doubts;
  for (const OrderedStyle& ordered : order.styles) {
    if (ordered.spec->name != style) continue;
    for (const auto& loaded : order.loaded) {
      if (&loaded->spec != ordered.spec) continue;
      const Result<FileDigests> now = file_digests(loaded->inputs);
      if (!now) return now.problem();
      for (const std::string& file : changed_since(made_from, *now)) {
        const bool named = std::any_of(made_from.begin(), made_from.end(),
                                       [&](const auto& one) { return one.first == file; });
        const std::string made = named ? "from another " + file : "from other files, without " + file;
        doubts.push_back({ordered.name, "the die order was made " + made + ": have it made again", true});
      }
    }
  }
  return doubts;
}

}  // namespace lastwright
