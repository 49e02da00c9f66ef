#include "grading/jobs/last_rules.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <tuple>

#include "geometry/counted.hpp"
#include "geometry/files/read_file.hpp"
#include "geometry/tolerance.hpp"
#include "grading/jobs/fitted_table.hpp"
#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/style/forme_lookup.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostBeyond = 12;  // of what lies beyond
constexpr std::size_t kMostUnlike = 8;   // measures of another table
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

// The lowest and the highest of the sizes, or widths, that the lasts were made in; their base is one of them,
// as nothing moves there.
template <class Label>
struct Covered {
  Label low;
  Label high;

  void take(const Label& one) {
    if (one.position < low.position) low = one;
    if (one.position > high.position) high = one;
  }
  [[nodiscard]] bool holds(const Label& one) const {
    return one.position >= low.position && one.position <= high.position;
  }
  [[nodiscard]] std::string words(const char* noun) const {
    return low.position == high.position ? fmt::format("{} {}", noun, low.label)
                                         : fmt::format("{}s {} to {}", noun, low.label, high.label);
  }
  // Those of the run that are not within, in words.
  [[nodiscard]] std::string outside(const std::vector<Label>& run, const char* noun) const {
    std::vector<std::string> out;
    for (const Label& one : run) {
      if (!holds(one)) out.push_back(one.label);
    }
    return out.empty() ? std::string()
                       : fmt::format("{} {}", noun_of(out.size(), noun), some_of(out, kMostBeyond));
  }
};

struct CoveredRun {
  Covered<Size> sizes;
  Covered<Width> widths;
};

const Json* labels_at(const Json& root, const char* key) {
  const auto on = root.find("fitted_on");
  if (on == root.end() || !on->is_object()) return nullptr;
  const auto list = on->find(key);
  return list != on->end() && list->is_array() ? &*list : nullptr;
}

// Nothing where the file does not say it.
Result<std::optional<CoveredRun>> covered_run(const JsonDocument& document, const FollowingRun& run) {
  const Json* sizes = labels_at(document.root, "sizes");
  const Json* widths = labels_at(document.root, "widths");
  if (!sizes || !widths) return std::optional<CoveredRun>();
  CoveredRun covered{{run.base.size, run.base.size}, {run.base.width, run.base.width}};
  const auto text = [](const Json& one) { return one.is_string() ? one.get<std::string>() : one.dump(); };
  for (std::size_t i = 0; i < sizes->size(); ++i) {
    const Result<Size> size = run.scale.size(text((*sizes)[i]));
    if (!size) return document.bad(pointer_to("/fitted_on/sizes", i), size.problem().message);
    covered.sizes.take(*size);
  }
  for (std::size_t i = 0; i < widths->size(); ++i) {
    const Result<Width> width = run.ladder.width(text((*widths)[i]));
    if (!width) return document.bad(pointer_to("/fitted_on/widths", i), width.problem().message);
    covered.widths.take(*width);
  }
  return std::optional<CoveredRun>(covered);
}

struct StatedBase {
  std::string words;
  bool is_own = false;  // the style's
};

// The base that the file states, if it does; a label that the scale or the ladder does not know is another's.
std::optional<StatedBase> stated_base(const Json& root, const FollowingRun& run) {
  const auto base = root.find("base");
  if (base == root.end() || !base->is_object() || !base->contains("size") || !base->contains("width"))
    return std::nullopt;
  const Json& of_size = (*base)["size"];
  const Json& of_width = (*base)["width"];
  const Result<Size> size = run.scale.size(text_of(of_size));
  const Result<Width> width = run.ladder.width(text_of(of_width));
  if (!size || !width) return StatedBase{shown(of_size) + " " + shown(of_width)};
  const SizeWidth at{*size, *width};
  return StatedBase{label_of(at), same_cell(at, run.base)};
}

// Rules are moves from a base by a table: other ones ask for other moves. False: the file does not say all of
// it.
Result<bool> fitted_to_style(const FormeSpec& forme, const std::string& file, const FollowingRun& run,
                             const Json& root) {
  const std::optional<StatedBase> base = stated_base(root, run);
  if (base && !base->is_own)
    return in_style(forme, "/file",
                    fmt::format("the rules of {} were fitted for the base {}, that of this style is {}: run "
                                "lastwright last formes again",
                                file, base->words, label_of(run.base)));
  const auto table = root.find("table");
  if (table == root.end() || table->empty()) return false;
  const std::vector<std::string> unlike = unlike_measures(*table, run.measures);
  if (!unlike.empty())
    return in_style(forme, "/file",
                    fmt::format("the rules of {} were fitted to another table of measures ({}): run "
                                "lastwright last formes again, with the table of this style",
                                file, some_of(unlike, kMostUnlike, "; ")));
  return base.has_value();
}

template <class Label>
bool leaves(const std::vector<Label>& run, const Label& base) {
  return std::any_of(run.begin(), run.end(), [&](const Label& one) { return one.position != base.position; });
}

// The move per size or per width of a rule; nothing where the lasts were all of one.
Result<std::optional<Vec2>> move_at(const JsonDocument& document, const Json& rule, const std::string& where,
                                    const char* key) {
  if (!rule.contains(key)) return std::optional<Vec2>();
  const Result<Vec2> move = pair_at(document, rule, where, key);
  if (!move) return move.problem();
  return std::optional<Vec2>(*move);
}

// The rule of one point that follows the last, put into the forme.
Status follow_point(FormeSpec& forme, std::size_t i, const std::string& file, const FollowingRun& run,
                    const JsonDocument& document, const Json& rules, FollowedLast& followed) {
  const std::string& name = forme.rules_from_last->points[i];
  const std::string step = pointer_to("/points", i);
  const auto rule = rules.find(name);
  if (rule == rules.end() || !rule->is_object()) {
    return in_style(
        forme, step,
        fmt::format("{} has no rule for the point '{}': it lies beyond the last, or the run did not cover it",
                    file, name));
  }
  const bool own = std::any_of(forme.rules.begin(), forme.rules.end(), [&](const Rule& r) {
    const PointRule* stated = std::get_if<PointRule>(&r);
    return stated && stated->point == name;
  });
  if (own)
    return in_style(
        forme, step,
        fmt::format("the point '{}' has a rule of its own or stands here twice: take one of them out", name));
  const std::string where = pointer_to(pointer_to("/formes", forme.name) + "/points", name);
  const Result<Vec2> drawn = pair_at(document, *rule, where, "drawn");
  if (!drawn) return drawn.problem();
  if (const double off = distance(*drawn, drawn_place(forme, name));
      !run.uncovered && !(off <= tolerance::kArcFit.value())) {
    Problem moved = in_style(forme, step,
                             fmt::format("the rule of the point '{}' was fitted where the point was drawn "
                                         "elsewhere: run lastwright last formes again",
                                         name));
    moved.value = off;
    moved.limit = tolerance::kArcFit.value();
    return moved;
  }
  const Result<std::optional<Vec2>> per_size = move_at(document, *rule, where, "per_size");
  if (!per_size) return per_size.problem();
  const Result<std::optional<Vec2>> per_width = move_at(document, *rule, where, "per_width");
  if (!per_width) return per_width.problem();
  for (const auto& [move, leaves_base, noun] :
       {std::tuple{*per_size, leaves(run.run.sizes, run.base.size), "size"},
        std::tuple{*per_width, leaves(run.run.widths, run.base.width), "width"}}) {
    if (move || !leaves_base || run.uncovered) continue;
    return in_style(forme, step,
                    fmt::format("{} has no move per {} for the point '{}': the run of lasts it was fitted on "
                                "({}) did not cover the {} of this style; run lastwright last formes for the "
                                "whole run, which needs no change here",
                                file, noun, name, followed.covered,
                                followed.beyond.empty() ? std::string("run") : followed.beyond));
  }
  if (const auto left = rule->find("residual"); left != rule->end() && left->is_number())
    followed.residual = std::max(followed.residual, left->get<double>());
  forme.rules.emplace_back(PointRule{name, per_size->value_or(Vec2{}), per_width->value_or(Vec2{})});
  return Done{};
}

}  // namespace

Result<FollowedLast> follow_last(FormeSpec& forme, const std::string& file, const FollowingRun& run) {
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
  if (!run.uncovered) {
    const Result<bool> told = fitted_to_style(forme, file, run, root);
    if (!told) return told.problem();
    followed.of_table = *told;
  }
  const Result<std::optional<CoveredRun>> covered = covered_run(*document, run);
  if (!covered) return covered.problem();
  if (!*covered && !run.uncovered)
    return in_style(forme, "/file",
                    fmt::format("{} does not say on which sizes and widths its rules were fitted: run "
                                "lastwright last formes again",
                                file));
  if (*covered) {
    const CoveredRun& of = **covered;
    followed.covered = of.sizes.words("size") + ", " + of.widths.words("width");
    const std::string sizes = of.sizes.outside(run.run.sizes, "size");
    const std::string widths = of.widths.outside(run.run.widths, "width");
    followed.beyond = sizes + (sizes.empty() || widths.empty() ? "" : ", ") + widths;
  }
  for (std::size_t i = 0; i < forme.rules_from_last->points.size(); ++i) {
    if (Status done = follow_point(forme, i, file, run, *document, *rules, followed); !done)
      return done.problem();
  }
  return followed;
}

}  // namespace lastwright
