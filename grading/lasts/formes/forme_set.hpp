// The formes of every size and width of a run of lasts.
#pragma once

#include "grading/lasts/formes/last_formes.hpp"
#include "grading/lasts/last_set.hpp"

namespace lastwright {

struct FormeSetOptions {
  LastSetOptions set;  // `fine` is wanted
  SkinOptions skin;
  FormeOptions formes;
};

// The skin of each base and its own formes, which every size starts from.
struct FormeBases {
  std::vector<LastSkin> skins;
  std::vector<LastFormes> formes;
};
// The problem names the base's file.
Result<FormeBases> base_formes(const LastSet& set, const FormeSetOptions& options);

// Takes the formes of a graded last, from any thread.
using FormeSink = std::function<Status(std::size_t job, const GradedLast& last, const LastFormes& formes)>;

// Grades every job of the set and flattens it, each by itself: the same formes whichever others are asked
// for. With `keep_going`, lasts and formes that are refused come back as the set's failures.
Status flatten_set(LastSet& set, const FormeBases& bases, const FormeSetOptions& options,
                   const FormeSink& sink);

}  // namespace lastwright
