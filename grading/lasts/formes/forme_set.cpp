#include "grading/lasts/formes/forme_set.hpp"

#include <algorithm>
#include <optional>

#include "geometry/solid/solid_file.hpp"
#include "grading/jobs/load_style.hpp"

namespace lastwright {

namespace {

FormeBase forme_base(const LastSet& set, std::size_t b, const FormeSetOptions& options) {
  const BaseLast& base = set.bases[b];
  const std::string file = file_beside(set.file, set.spec.bases[b].file);
  FormeBase made;
  Result<LastSkin> skin =
      last_skin(set.fine[b], base.standing.foot, base.body.at(base.standing.toe).p, options.skin);
  if (!skin) {
    made.refused = skin.problem().in_file(file);
    return made;
  }
  made.skin = std::move(*skin);
  const FormedLast last{&*made.skin,       nullptr,      &base.body,          &base.landmarks,
                        &base.definitions, &base.values, base.standing.length};
  Result<LastFormes> formes = make_formes(last, nullptr, options.formes);
  if (formes)
    made.formes = std::move(*formes);
  else
    made.refused = formes.problem().in_file(file);
  return made;
}

}  // namespace

Result<FormeBases> base_formes(const LastSet& set, const FormeSetOptions& options) {
  FormeBases bases;
  for (std::size_t b = 0; b < set.bases.size(); ++b) {
    FormeBase base = forme_base(set, b, options);
    if (base.refused && !options.set.keep_going) return *base.refused;
    bases.push_back(std::move(base));
  }
  return bases;
}

Status flatten_set(LastSet& set, const FormeBases& bases, const FormeSetOptions& options,
                   const FormeSink& sink) {
  std::vector<std::optional<Problem>> refused(set.jobs.size());
  const GradedSink flatten_one = [&](std::size_t i, const GradedLast& last) -> Status {
    const LastJob& job = set.jobs[i];
    const BaseLast& base = set.bases[job.base];
    const FormeBase& of_base = bases[job.base];
    if (!of_base.skin) {  // only where the run keeps going
      refused[i] = *of_base.refused;
      return Done{};
    }
    const FormedLast formed{&*of_base.skin,
                            &last.map,
                            &last.body,
                            &base.landmarks,
                            &base.definitions,
                            &last.values,
                            base.standing.length * last.map.stretch};
    const Result<LastFormes> formes =
        make_formes(formed, of_base.formes ? &*of_base.formes : nullptr, options.formes);
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
