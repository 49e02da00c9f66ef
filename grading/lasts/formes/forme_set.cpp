#include "grading/lasts/formes/forme_set.hpp"

#include <algorithm>
#include <optional>

#include "geometry/solid/solid_file.hpp"
#include "grading/jobs/load_style.hpp"

namespace lastwright {

Result<FormeBases> base_formes(const LastSet& set, const FormeSetOptions& options) {
  FormeBases bases;
  for (std::size_t b = 0; b < set.bases.size(); ++b) {
    const BaseLast& base = set.bases[b];
    const std::string file = file_beside(set.file, set.spec.bases[b].file);
    Result<LastSkin> skin =
        last_skin(set.fine[b], base.standing.foot, base.body.at(base.standing.toe).p, options.skin);
    if (!skin) return skin.problem().in_file(file);
    bases.skins.push_back(std::move(*skin));
    const FormedLast last{&bases.skins.back(), nullptr,      &base.body,          &base.landmarks,
                          &base.definitions,   &base.values, base.standing.length};
    Result<LastFormes> formes = make_formes(last, nullptr, options.formes);
    if (!formes) return formes.problem().in_file(file);
    bases.formes.push_back(std::move(*formes));
  }
  return bases;
}

Status flatten_set(LastSet& set, const FormeBases& bases, const FormeSetOptions& options,
                   const FormeSink& sink) {
  std::vector<std::optional<Problem>> refused(set.jobs.size());
  const GradedSink flatten_one = [&](std::size_t i, const GradedLast& last) -> Status {
    const LastJob& job = set.jobs[i];
    const BaseLast& base = set.bases[job.base];
    const FormedLast formed{&bases.skins[job.base],
                            &last.map,
                            &last.body,
                            &base.landmarks,
                            &base.definitions,
                            &last.values,
                            base.standing.length * last.map.stretch};
    const Result<LastFormes> formes = make_formes(formed, &bases.formes[job.base], options.formes);
    if (formes) return sink(i, last, *formes);
    Problem problem = formes.problem().in("width", job.at.width.label).in("size", job.at.size.label);
    if (!options.set.keep_going) return problem;
    refused[i] = std::move(problem);
    return Done{};
  };
  if (Status graded = grade_last_set(set, options.set, flatten_one); !graded) return graded;
  for (std::optional<Problem>& problem : refused) {
    if (problem) set.failures.push_back(std::move(*problem));
  }
  return Done{};
}

}  // namespace lastwright
