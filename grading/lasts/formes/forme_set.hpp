// The formes of every size and width of a run of lasts.
#pragma once

#include <optional>
#include <vector>

#include "grading/lasts/formes/last_formes.hpp"
#include "grading/lasts/last_set.hpp"

namespace lastwright {

struct FormeSetOptions {
  LastSetOptions set;  // `fine` is wanted
  SkinOptions skin;
  FormeOptions formes;
};

// The skin of each base and its own formes, which every size starts from.
struct FormeBase {
  std::optional<LastSkin> skin;      // none: nothing of this base can be flattened
  std::optional<LastFormes> formes;  // none: its sizes start from their own first guess
  std::optional<Problem> refused;    // why one of them is missing
};
using FormeBases = std::vector<FormeBase>;
// In the order of the bases. The problem names the base's file; with `keep_going` it is kept with the base.
Result<FormeBases> base_formes(const LastSet& set, const FormeSetOptions& options);

// Takes the formes of a graded last, from any thread.
using FormeSink = std::function<Status(std::size_t job, const GradedLast& last, const LastFormes& formes)>;

// Grades every job of the set and flattens it, each by itself: the same formes whichever others are asked
// for. With `keep_going`, lasts and formes that are refused come back as the set's failures.
Status flatten_set(LastSet& set, const FormeBases& bases, const FormeSetOptions& options,
                   const FormeSink& sink);

}  // namespace lastwright
