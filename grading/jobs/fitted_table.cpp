#include "grading/jobs/fitted_table.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"

namespace lastwright {

namespace {

std::string exact_text(Fraction value) {
  return millimetres(value).written;
}

// The stretches of other steps per size, then those of other steps per width, each from the lowest up.
Json breaks_json(const Measure& measure) {
  std::vector<MeasureBreak> breaks = measure.breaks;
  std::sort(breaks.begin(), breaks.end(),
            [](const MeasureBreak& a, const MeasureBreak& b) { return a.from.position < b.from.position; });
  Json out = Json::array();
  for (const auto& [key, step] :
       {std::pair{"per_size", &MeasureBreak::per_size}, {"per_width", &MeasureBreak::per_width}}) {
    for (const MeasureBreak& one : breaks) {
      const std::optional<Quantity>& own = one.*step;
      if (own)
        out.push_back({{"from", one.from.label}, {"to", one.to.label}, {key, exact_text(own->millimetres)}});
    }
  }
  return out;
}

Json growth_json(const Measure& measure, const Base& base) {
  const bool ratio = measure.law == Law::kProportional;
  const bool size_breaks = std::any_of(measure.breaks.begin(), measure.breaks.end(),
                                       [](const MeasureBreak& one) { return one.per_size.has_value(); });
  Json out = Json::object();
  // A ratio to the scale's length is a step of its own until a break leaves it: the base and this step give
  // the ratio there too.
  const Fraction step =
      ratio ? measure.base.millimetres * base.step / base.length : measure.per_size.millimetres;
  out["per_size"] = exact_text(step);
  out["per_width"] = exact_text(measure.per_width.millimetres);
  if (ratio && size_breaks) {
    out["law"] = name_of(measure.law);
    out["base"] = exact_text(measure.base.millimetres);
  }
  if (!measure.breaks.empty()) out["breaks"] = breaks_json(measure);
  if (measure.size_steps_per_width != Fraction(0))
    out["size_steps_per_width"] = to_mixed(measure.size_steps_per_width);
  return out;
}

// What a key of a measure says, in words.
std::string said_of(const std::string& key, const Json* value) {
  constexpr std::size_t kMostLetters = 200;
  if (!value) return "none";
  if (key != "breaks" && !value->is_string()) return shown(*value);
  const std::string text = value->is_string() ? value->get<std::string>() : value->dump();
  return text.size() <= kMostLetters ? text : shown(*value);
}

const Json* entry_of(const Json& from, const char* key) {
  const auto it = from.find(key);
  return it == from.end() ? nullptr : &*it;
}

// Every key in which the two differ; empty: they grow alike.
std::string unlike_growth(const Json& fitted, const Json& own) {
  if (!fitted.is_object()) return fmt::format("{} in the file", shown(fitted));
  std::string text;
  for (const auto& [key, words] : {std::pair{"per_size", "per size"},
                                   {"per_width", "per width"},
                                   {"law", "as its law"},
                                   {"base", "at the base"},
                                   {"breaks", "as breaks"},
                                   {"size_steps_per_width", "sizes per width"}}) {
    const Json* then = entry_of(fitted, key);
    const Json* now = entry_of(own, key);
    if (then && now ? *then == *now : !then && !now) continue;
    text += fmt::format("{}{} {}, here {}", text.empty() ? "" : ", ", said_of(key, then), words,
                        said_of(key, now));
  }
  return text;
}

}  // namespace

Json fitted_table(const MeasureTable& table, const std::set<std::string>& measures) {
  Json out = Json::object();
  for (const Measure& measure : table.measures()) {
    if (measures.contains(measure.name)) out[measure.name] = growth_json(measure, table.base());
  }
  return out;
}

std::vector<std::string> unlike_measures(const Json& fitted, const MeasureTable& own) {
  if (!fitted.is_object()) return {fmt::format("the table in the file is {}", shown(fitted))};
  std::vector<std::string> told;
  for (const auto& [name, then] : fitted.items()) {
    const std::optional<std::size_t> i = own.index(name);
    if (!i) {
      told.push_back(fmt::format("{}: this style's table has no such measure", name));
      continue;
    }
    const std::string unlike = unlike_growth(then, growth_json(own.measures()[*i], own.base()));
    if (!unlike.empty()) told.push_back(name + ": " + unlike);
  }
  return told;
}

}  // namespace lastwright
