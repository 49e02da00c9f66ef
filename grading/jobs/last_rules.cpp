#include "grading/jobs/last_rules.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geometry/files/read_file.hpp"
#include "geometry/tolerance.hpp"
#include "grading/json/json_text.hpp"
#include "grading/style/forme_lookup.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostRulesBytes = std::size_t{4} << 20;

// What is wrong in the style itself; its file and line are put on by who reads it.
Problem in_style(const FormeSpec& forme, const std::string& step, std::string message) {
  Problem problem = bad_value(std::move(message));
  problem.place.pointer = pointer_to("/formes", forme.name) + "/rules_from_last" + step;
  return problem;
}

Result<Vec2> pair_at(const JsonDocument& document, const Json& from, const std::string& at, const char* key) {
  const auto it = from.find(key);
  const bool two =
      it != from.end() && it->is_array() && it->size() == 2 && (*it)[0].is_number() && (*it)[1].is_number();
  if (!two) return document.bad(at, fmt::format("\"{}\" must be two numbers", key));
  return Vec2{(*it)[0].get<double>(), (*it)[1].get<double>()};
}

// The rules of one forme of the file, or null.
const Json* rules_of(const JsonDocument& document, const std::string& forme) {
  const auto formes = document.root.find("formes");
  if (formes == document.root.end() || !formes->is_object()) return nullptr;
  const auto one = formes->find(forme);
  if (one == formes->end() || !one->is_object()) return nullptr;
  const auto points = one->find("points");
  return points != one->end() && points->is_object() ? &*points : nullptr;
}

}  // namespace

Result<FollowedLast> follow_last(FormeSpec& forme, const std::string& file) {
  const Result<std::string> text = read_file(file, kMostRulesBytes);
  if (!text) return text.problem();
  const Result<JsonDocument> document = parse_json(*text, file);
  if (!document) return document.problem();
  const Json& root = document->root;
  if (!root.is_object() || !root.contains("lastwright_rules") || root["lastwright_rules"] != 1) {
    return document->bad("",
                         "this is not a file of rules from a last: it must say \"lastwright_rules\": 1, as "
                         "lastwright last formes writes it");
  }
  FollowedLast followed;
  if (root.contains("last") && root["last"].is_string()) followed.last = root["last"].get<std::string>();
  const Json* rules = rules_of(*document, forme.name);
  if (!rules) return in_style(forme, "/file", fmt::format("{} has no rules for this forme", file));
  const std::string at = pointer_to("/formes", forme.name) + "/points";
  for (std::size_t i = 0; i < forme.rules_from_last->points.size(); ++i) {
    const std::string& name = forme.rules_from_last->points[i];
    const std::string step = pointer_to("/points", i);
    const auto rule = rules->find(name);
    if (rule == rules->end() || !rule->is_object()) {
      return in_style(
          forme, step,
          fmt::format(
              "{} has no rule for the point '{}': it lies beyond the last, or the run did not cover it", file,
              name));
    }
    const bool own = std::any_of(forme.rules.begin(), forme.rules.end(), [&](const Rule& r) {
      const PointRule* stated = std::get_if<PointRule>(&r);
      return stated && stated->point == name;
    });
    if (own)
      return in_style(
          forme, step,
          fmt::format("the point '{}' has a rule of its own or stands here twice: take one of them out",
                      name));
    const std::string where = pointer_to(at, name);
    const Result<Vec2> drawn = pair_at(*document, *rule, where, "drawn");
    if (!drawn) return drawn.problem();
    if (const double off = distance(*drawn, drawn_place(forme, name)); !(off <= tolerance::kArcFit.value())) {
      Problem moved = in_style(forme, step,
                               fmt::format("the rule of the point '{}' was fitted where the point was drawn "
                                           "elsewhere: run lastwright last formes again",
                                           name));
      moved.value = off;
      moved.limit = tolerance::kArcFit.value();
      return moved;
    }
    const Result<Vec2> per_size = pair_at(*document, *rule, where, "per_size");
    if (!per_size) return per_size.problem();
    const Result<Vec2> per_width = pair_at(*document, *rule, where, "per_width");
    if (!per_width) return per_width.problem();
    if (const auto left = rule->find("residual"); left != rule->end() && left->is_number())
      followed.residual = std::max(followed.residual, left->get<double>());
    forme.rules.emplace_back(PointRule{name, *per_size, *per_width});
  }
  return followed;
}

}  // namespace lastwright
