#include "grading/style/forme_json.hpp"

#include <algorithm>
#include <iterator>
#include <variant>

#include "geometry/invariant.hpp"
#include "grading/style/style_values.hpp"

namespace lastwright {

namespace {

MeasureLine read_line(const Json& from, const char* key, const std::string& at, StyleValues& values) {
  MeasureLine line{from.at(key).get<std::string>(),
                   from.at("from").get<std::string>(),
                   from.at("to").get<std::string>(),
                   {},
                   {}};
  if (const auto extra = from.find("extra"); extra != from.end())
    line.extra = values.length(*extra, pointer_to(at, "extra"));
  for (const auto& [measure_name, share] : from.at("carries").items()) {
    line.carries.emplace_back(measure_name,
                              values.fraction_of(share, pointer_to(at + "/carries", measure_name)));
  }
  return line;
}

// A kind of rule, told by the key that no other kind has.
struct RuleKind {
  const char* key;
  Rule (*read)(const Json& from, const std::string& at, StyleValues& values);
};

constexpr RuleKind kRuleKinds[] = {
    {"measure_line",
     [](const Json& from, const std::string& at, StyleValues& values) -> Rule {
       return read_line(from, "measure_line", at, values);
     }},
    {"check_line",
     [](const Json& from, const std::string& at, StyleValues& values) -> Rule {
       return CheckLine{read_line(from, "check_line", at, values)};
     }},
    {"point",
     [](const Json& from, const std::string& at, StyleValues& values) -> Rule {
       return PointRule{from.at("point").get<std::string>(),
                        values.shift(from.at("per_size"), at + "/per_size"),
                        values.shift(from.at("per_width"), at + "/per_width")};
     }},
    {"hold",
     [](const Json& from, const std::string&, StyleValues& values) -> Rule {
       return Hold{values.texts(from.at("hold"))};
     }},
    {"square",
     [](const Json& from, const std::string&, StyleValues& values) -> Rule {
       const Json& to = from.at("to");
       return Square{values.texts(from.at("square")), to.at(0).get<std::string>(),
                     to.at(1).get<std::string>()};
     }},
    {"straight",
     [](const Json& from, const std::string&, StyleValues& values) -> Rule {
       return Straight{values.texts(from.at("straight"))};
     }},
};
static_assert(std::size(kRuleKinds) == std::variant_size_v<Rule>, "each kind of rule is read");

Rule read_rule(const Json& from, const std::string& at, StyleValues& values) {
  const RuleKind* kind = std::find_if(std::begin(kRuleKinds), std::end(kRuleKinds),
                                      [&](const RuleKind& one) { return from.contains(one.key); });
  invariant(kind != std::end(kRuleKinds), "the schema lets through no rule of another kind");
  return kind->read(from, at, values);
}

}  // namespace

FormeSpec read_forme(const std::string& name, const Json& from, StyleValues& values) {
  const std::string at = pointer_to("/formes", name);
  FormeSpec spec;
  spec.name = name;
  for (const auto& [point, where] : from.at("points").items())
    spec.points.push_back({point, values.place(where)});
  const auto ends = values.texts(from.at("base_line"));
  spec.base_line = {ends[0], ends[1]};
  spec.fixed_point = from.at("fixed").get<std::string>();
  if (from.contains("role")) spec.stated_role = values.named(from, "role", kFormeRoles, FormeRole::kUpper);
  spec.length_line = from.at("length_line").get<std::string>();
  spec.girth_line = from.at("girth_line").get<std::string>();
  const Json& rules = from.at("rules");
  for (std::size_t i = 0; i < rules.size(); ++i)
    spec.rules.push_back(read_rule(rules[i], pointer_to(at + "/rules", i), values));
  if (const auto last = from.find("rules_from_last"); last != from.end())
    spec.rules_from_last =
        RulesFromLast{last->at("file").get<std::string>(), values.texts(last->at("points"))};
  return spec;
}

GirthSpec read_girth(const std::string& name, const Json& from, StyleValues& values) {
  GirthSpec spec{name, {}};
  for (std::size_t i = 0; i < from.size(); ++i) {
    spec.parts.push_back({from[i].at("forme").get<std::string>(), from[i].at("line").get<std::string>(),
                          values.fraction(from[i], "times", pointer_to(pointer_to("/girths", name), i), 1)});
  }
  return spec;
}

}  // namespace lastwright
