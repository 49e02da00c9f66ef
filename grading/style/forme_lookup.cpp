#include "grading/style/forme_lookup.hpp"

#include <algorithm>

#include "geometry/invariant.hpp"

namespace lastwright {

const MeasureLine* rule_line(const Rule& rule) {
  if (const auto* line = std::get_if<MeasureLine>(&rule)) return line;
  if (const auto* check = std::get_if<CheckLine>(&rule)) return &check->line;
  return nullptr;
}

const MeasureLine* find_line(const FormeSpec& forme, const std::string& name) {
  for (const Rule& rule : forme.rules) {
    if (const MeasureLine* line = rule_line(rule); line != nullptr && line->name == name) return line;
  }
  return nullptr;
}

const NamedPoint* find_point(const FormeSpec& forme, const std::string& name) {
  const auto found = std::find_if(forme.points.begin(), forme.points.end(),
                                  [&](const NamedPoint& one) { return one.name == name; });
  return found == forme.points.end() ? nullptr : &*found;
}

Vec2 drawn_place(const FormeSpec& forme, const std::string& name) {
  const NamedPoint* point = find_point(forme, name);
  invariant(point != nullptr, "a style names points of its formes");
  return point->at;
}

Vec2 base_direction(const FormeSpec& forme) {
  return unit(drawn_place(forme, forme.base_line.second) - drawn_place(forme, forme.base_line.first));
}

double drawn_length(const FormeSpec& forme, const MeasureLine& line) {
  return distance(drawn_place(forme, line.from), drawn_place(forme, line.to));
}

bool carries(const MeasureLine& line, const std::string& measure) {
  return std::any_of(line.carries.begin(), line.carries.end(),
                     [&](const auto& one) { return one.first == measure; });
}

}  // namespace lastwright
