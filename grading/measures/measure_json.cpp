#include "grading/measures/measure_json.hpp"
#include "grading/json/json_text.hpp"

#include "grading/json/json_value.hpp"

namespace lastwright {
namespace {

Result<MeasureBreak> break_at(const JsonDocument& document, const std::string& pointer, const Scale& scale) {
  const Json& node = document.root.at(Json::json_pointer(pointer));
  MeasureBreak stretch;
  for (const auto& [key, size] : {std::pair{"from", &stretch.from}, std::pair{"to", &stretch.to}}) {
    Result<Size> found = scale.size(text_of(node.at(key)));
    if (!found) return document.bad(pointer_to(pointer, key), found.problem().message);
    *size = *std::move(found);
  }
  for (const auto& [key, step] :
       {std::pair{"per_size", &stretch.per_size}, std::pair{"per_width", &stretch.per_width}}) {
    if (!node.contains(key)) continue;
    Result<Quantity> value = quantity_at(document, pointer_to(pointer, key));
    if (!value) return value.problem();
    *step = *std::move(value);
  }
  return stretch;
}

}  // namespace

Provenance provenance_of(std::string_view name) {
  for (const Provenance one : {Provenance::kPublished, Provenance::kDerived, Provenance::kCommonPractice}) {
    if (name == name_of(one)) return one;
  }
  return Provenance::kFromMemory;
}

Result<Measure> measure_at(const JsonDocument& document, const std::string& pointer, std::string name,
                           const Scale& scale) {
  const Json& node = document.root.at(Json::json_pointer(pointer));
  Measure measure;
  measure.name = std::move(name);
  for (const auto& [key, value] : {std::pair{"base", &measure.base}, std::pair{"per_size", &measure.per_size},
                                   std::pair{"per_width", &measure.per_width}}) {
    Result<Quantity> read = quantity_at(document, pointer_to(pointer, key));
    if (!read) return read.problem();
    *value = *std::move(read);
  }
  if (node.value("law", "arithmetic") == "proportional") measure.law = Law::kProportional;
  if (node.contains("breaks")) {
    for (std::size_t i = 0; i < node.at("breaks").size(); ++i) {
      Result<MeasureBreak> stretch = break_at(document, pointer_to(pointer_to(pointer, "breaks"), i), scale);
      if (!stretch) return stretch.problem();
      measure.breaks.push_back(*std::move(stretch));
    }
  }
  if (node.contains("size_steps_per_width")) {
    const Result<Fraction> extra = fraction_at(document, pointer_to(pointer, "size_steps_per_width"));
    if (!extra) return extra.problem();
    measure.size_steps_per_width = *extra;
  }
  measure.source.text = node.value("source", "");
  measure.source.provenance = provenance_of(node.value("provenance", "from memory"));
  if (const Status sound = check_measure(measure); !sound) {
    return document.bad(pointer, sound.problem().message);
  }
  return measure;
}

}  // namespace lastwright
