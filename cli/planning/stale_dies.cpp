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
      for (const std::string& file : changed_since(made_from, *now))
        doubts.push_back(
            {ordered.name, "the die order was made from another " + file + ": have it made again", true});
    }
  }
  return doubts;
}

}  // namespace lastwright
