#include "cli/planning/stale_dies.hpp"

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
      for (const std::string& stale : order_is_stale(made_from, *now))
        doubts.push_back({ordered.name, stale, true});
    }
  }
  return doubts;
}

}  // namespace lastwright
