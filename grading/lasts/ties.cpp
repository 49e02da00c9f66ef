#include "grading/lasts/ties.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/json/json_text.hpp"
#include "grading/style/forme_lookup.hpp"

namespace lastwright {

namespace {

const FormeSpec* forme_of(const StyleSpec& style, const std::string& name) {
  const auto it = std::find_if(style.formes.begin(), style.formes.end(),
                               [&](const FormeSpec& f) { return f.name == name; });
  return it == style.formes.end() ? nullptr : &*it;
}

double carried(const MeasureTable& table, const MeasureLine& line, const SizeWidth& at) {
  double sum = 0.0;
  for (const auto& [measure, share] : line.carries) {
    const std::optional<std::size_t> i = table.index(measure);
    if (i) sum += share.value() * (table.value(*i, at) - table.value(*i, table.base().at));
  }
  return sum;
}

}  // namespace

std::vector<GirthTie> ties_of(const LoadedStyle& style, const SizeWidth& at,
                              const std::vector<MeasureDefinition>& definitions,
                              const std::vector<Measured>& values) {
  std::vector<GirthTie> ties;
  for (const GirthSpec& girth : style.spec.girths) {
    for (std::size_t i = 0; i < definitions.size(); ++i) {
      if (definitions[i].measure != girth.measure || !(values[i].skin > 0.0)) continue;
      GirthTie tie{
          girth.measure, values[i].definition, values[i].skin - values[i].bottom, values[i].bottom, 0.0, 0.0};
      for (const GirthPart& part : girth.parts) {
        const FormeSpec* forme = forme_of(style.spec, part.forme);
        const MeasureLine* line = forme ? find_line(*forme, part.line) : nullptr;
        if (!line) continue;
        (role_of(*forme) == FormeRole::kBottom ? tie.formes_bottom : tie.formes_upper) +=
            part.times.value() * (drawn_length(*forme, *line) + carried(style.measures, *line, at));
      }
      ties.push_back(std::move(tie));
    }
  }
  return ties;
}

Status girths_have_roles(const StyleSpec& style) {
  for (const GirthSpec& girth : style.girths) {
    for (const GirthPart& part : girth.parts) {
      for (const FormeSpec& forme : style.formes) {
        if (forme.name != part.forme || role_of(forme)) continue;
        Problem problem = bad_value(fmt::format(
            "the {} runs over the forme {}, and nothing says whether that is the last's upper or its "
            "bottom: give the forme \"role\": \"upper\" or \"bottom\"",
            girth.measure, forme.name));
        problem.place.pointer = pointer_to("/formes", forme.name);
        return problem;
      }
    }
  }
  return Done{};
}

}  // namespace lastwright
