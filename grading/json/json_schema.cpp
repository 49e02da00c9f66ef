#include "grading/json/json_schema.hpp"

#include <fmt/format.h>
#include <regex.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <set>
#include <string>

#include "geometry/invariant.hpp"
#include "grading/json/schema_words.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostFaults = 50;       // more help nobody
constexpr std::size_t kLongestMatched = 256;  // bytes a pattern is tried on: no name or date is longer

// One step of the way from the root to a value; a pointer is only written out for a message.
struct Step {
  const Step* parent = nullptr;
  std::string_view key;
  std::size_t index = 0;
  bool in_object = false;
};

std::string pointer_of(const Step* step) {
  if (step == nullptr || step->parent == nullptr) return "";
  const std::string parent = pointer_of(step->parent);
  return step->in_object ? pointer_to(parent, step->key) : pointer_to(parent, step->index);
}

std::size_t depth_of(const std::string& pointer) {
  return static_cast<std::size_t>(std::count(pointer.begin(), pointer.end(), '/'));
}

// Without the line, which is looked up at the very end for the problems that are kept.
struct Fault {
  std::string pointer;
  std::string message;
  bool wrong_type = false;
};
using Faults = std::vector<Fault>;

bool is_whole(const Json& value) {
  if (value.is_number_integer()) return true;
  return value.is_number_float() && value.get<double>() == std::floor(value.get<double>());
}

bool has_type(const Json& value, std::string_view type) {
  if (type == "object") return value.is_object();
  if (type == "array") return value.is_array();
  if (type == "string") return value.is_string();
  if (type == "number") return value.is_number();
  if (type == "integer") return is_whole(value);
  if (type == "boolean") return value.is_boolean();
  if (type == "null") return value.is_null();
  throw InvariantBroken("the schema names an unknown type");
}

std::string plain_type(std::string_view type) {
  if (type == "object") return "an object";
  if (type == "array") return "a list";
  if (type == "string") return "a text";
  if (type == "number") return "a number";
  if (type == "integer") return "a whole number";
  if (type == "boolean") return "true or false";
  return "null";
}

std::vector<std::string> types_of(const Json& type) {
  if (type.is_string()) return {type.get<std::string>()};
  return type.get<std::vector<std::string>>();
}

std::string joined(const std::vector<std::string>& parts, std::string_view last_word) {
  std::string text;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0) text += i + 1 == parts.size() ? fmt::format(" {} ", last_word) : ", ";
    text += parts[i];
  }
  return text;
}

// JSON Schema counts characters, not bytes.
std::size_t characters(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(
      text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U; }));
}

bool same(const Json& a, const Json& b) {
  if (a.is_object() && b.is_object()) {  // the order of keys means nothing
    if (a.size() != b.size()) return false;
    return std::all_of(a.items().begin(), a.items().end(), [&](const auto& member) {
      return b.contains(member.key()) && same(member.value(), b.at(member.key()));
    });
  }
  if (a.is_array() && b.is_array()) {
    return a.size() == b.size() && std::equal(a.begin(), a.end(), b.begin(), same);
  }
  return a == b;
}

// By the C library, which knows no locale but "C" where none is set: std::regex costs seconds to compile.
// Schemas of this project use what both ways of writing patterns have: anchors, sets, repeats, groups.
bool matches(const std::string& text, const Json& pattern) {
  regex_t compiled;
  const int wrong = ::regcomp(&compiled, pattern.get_ref<const std::string&>().c_str(), REG_EXTENDED);
  invariant(wrong == 0, "a schema's pattern is one");
  regmatch_t whole{0, static_cast<regoff_t>(text.size())};  // a text may hold a zero byte
  const bool found = ::regexec(&compiled, text.c_str(), 1, &whole, REG_STARTEND) == 0;
  ::regfree(&compiled);
  return found;
}

class Checker {
 public:
  // Stops at `most` faults; with 1 it only tells whether the value fits.
  explicit Checker(const JsonSchema& schema, std::size_t most = kMostFaults) : schema_(schema), most_(most) {}

  void check(const Json& value, const Json& node, const Step* at, Faults& faults) {
    if (faults.size() >= most_) return;
    if (node.is_boolean()) {
      if (!node.get<bool>()) add(faults, at, "nothing is allowed here");
      return;
    }
    if (const auto ref = node.find("$ref"); ref != node.end()) {
      check(value, schema_.resolved(node), at, faults);
      if (node.size() == 1) return;
    }
    if (!check_type(value, node, at, faults)) return;
    check_choice(value, node, at, faults);
    if (value.is_number()) check_number(value, node, at, faults);
    if (value.is_string()) check_text(value, node, at, faults);
    if (value.is_array()) check_list(value, node, at, faults);
    const Meant meant = value.is_object() ? check_object(value, node, at, faults) : Meant{};
    check_branches(value, node, at, meant, faults);
  }

 private:
  // Missing keys that a misspelt one explains: the key as given, then the one that was meant.
  using Meant = std::vector<std::pair<std::string, std::string>>;

  void add(Faults& faults, const Step* at, std::string message, bool wrong_type = false) {
    if (faults.size() < most_) faults.push_back({pointer_of(at), std::move(message), wrong_type});
  }

  bool check_type(const Json& value, const Json& node, const Step* at, Faults& faults) {
    const auto type = node.find("type");
    if (type == node.end()) return true;
    std::vector<std::string> plain;
    for (const std::string& name : types_of(*type)) {
      if (has_type(value, name)) return true;
      plain.push_back(plain_type(name));
    }
    add(faults, at, fmt::format("found {}, where {} is expected", shown(value), joined(plain, "or")), true);
    return false;
  }

  void check_choice(const Json& value, const Json& node, const Step* at, Faults& faults) {
    if (const auto only = node.find("const"); only != node.end() && !same(*only, value)) {
      add(faults, at, fmt::format("found {}, where only {} will do", shown(value), shown(*only)));
    }
    const auto choice = node.find("enum");
    if (choice == node.end()) return;
    if (std::any_of(choice->begin(), choice->end(), [&](const Json& one) { return same(one, value); }))
      return;
    std::vector<std::string> names;
    std::vector<std::string> listed;
    for (const Json& one : *choice) {
      if (one.is_string()) names.push_back(one.get<std::string>());
      listed.push_back(shown(one));
    }
    std::string near;
    if (value.is_string()) {
      if (const auto name = nearest_name(value.get_ref<const std::string&>(), names)) {
        near = fmt::format(" (did you mean \"{}\"?)", *name);
      }
    }
    add(faults, at, fmt::format("found {}, where {} will do{}", shown(value), joined(listed, "or"), near));
  }

  void check_number(const Json& value, const Json& node, const Step* at, Faults& faults) {
    const double number = value.get<double>();
    const auto limit = [&](const char* word, const char* plain, auto holds) {
      const auto found = node.find(word);
      if (found == node.end() || holds(number, found->get<double>())) return;
      add(faults, at,
          fmt::format("found {}, where a number {} is expected", shown(value),
                      fmt::format(fmt::runtime(plain), shown(*found))));
    };
    limit("minimum", "of {} or more", [](double a, double b) { return a >= b; });
    limit("maximum", "of {} or less", [](double a, double b) { return a <= b; });
    limit("exclusiveMinimum", "above {}", [](double a, double b) { return a > b; });
    limit("exclusiveMaximum", "below {}", [](double a, double b) { return a < b; });
  }

  void check_text(const Json& value, const Json& node, const Step* at, Faults& faults) {
    const auto& text = value.get_ref<const std::string&>();
    if (const auto least = node.find("minLength");
        least != node.end() && characters(text) < least->get<std::size_t>()) {
      add(faults, at,
          text.empty() ? "the text is empty" : fmt::format("the text {} is too short", shown(value)));
    }
    if (const auto most = node.find("maxLength");
        most != node.end() && characters(text) > most->get<std::size_t>()) {
      add(faults, at,
          fmt::format("the text {} is longer than {} characters", shown(value), most->get<std::size_t>()));
    }
    if (const auto pattern = node.find("pattern"); pattern != node.end()) {
      if (text.size() > kLongestMatched) {
        add(faults, at, fmt::format("the text {} is too long", shown(value)));
      } else if (!matches(text, *pattern)) {
        add(faults, at,
            fmt::format("found {}, where a text of the form {} is expected", shown(value), shown(*pattern)));
      }
    }
  }

  void check_list(const Json& value, const Json& node, const Step* at, Faults& faults) {
    const std::size_t count = value.size();
    const auto least = node.find("minItems");
    const auto most = node.find("maxItems");
    const bool too_few = least != node.end() && count < least->get<std::size_t>();
    const bool too_many = most != node.end() && count > most->get<std::size_t>();
    if (too_few || too_many) {
      const bool exact = least != node.end() && most != node.end() && *least == *most;
      const std::string wanted = exact     ? fmt::format("exactly {}", least->get<std::size_t>())
                                 : too_few ? fmt::format("at least {}", least->get<std::size_t>())
                                           : fmt::format("at most {}", most->get<std::size_t>());
      add(faults, at, fmt::format("found {}, where {} are expected", shown(value), wanted));
    }
    if (node.value("uniqueItems", false) && !too_many) {
      for (std::size_t i = 0; i < count && faults.size() < kMostFaults; ++i) {
        const auto last = value.begin() + static_cast<std::ptrdiff_t>(i);
        if (std::any_of(value.begin(), last, [&](const Json& before) { return same(before, value[i]); })) {
          const Step step{at, {}, i, false};
          add(faults, &step, fmt::format("{} stands in the list twice", shown(value[i])));
        }
      }
    }
    const auto first = node.find("prefixItems");
    const std::size_t given = first == node.end() ? 0 : first->size();
    const auto rest = node.find("items");
    for (std::size_t i = 0; i < count && faults.size() < kMostFaults; ++i) {
      const Step step{at, {}, i, false};
      if (i < given) {
        check(value[i], (*first)[i], &step, faults);
      } else if (rest != node.end()) {
        check(value[i], *rest, &step, faults);
      }
    }
  }

  Meant check_object(const Json& value, const Json& node, const Step* at, Faults& faults) {
    const auto known = node.find("properties");
    const auto patterns = node.find("patternProperties");
    const auto others = node.find("additionalProperties");
    const auto names = node.find("propertyNames");
    if (const auto least = node.find("minProperties");
        least != node.end() && value.size() < least->get<std::size_t>()) {
      add(faults, at,
          value.empty() ? "found an empty object, where at least one key is expected" : "too few keys");
    }
    if (const auto most = node.find("maxProperties");
        most != node.end() && value.size() > most->get<std::size_t>()) {
      add(faults, at, fmt::format("more than {} keys", most->get<std::size_t>()));
    }
    Meant meant;
    for (const auto& [key, member] : value.items()) {
      if (faults.size() >= most_) return meant;  // each wrong key costs a look through all of them
      const Step step{at, key, 0, true};
      if (names != node.end()) check(Json(key), *names, &step, faults);
      bool covered = false;
      if (known != node.end()) {
        if (const auto property = known->find(key); property != known->end()) {
          check(member, *property, &step, faults);
          covered = true;
        }
      }
      if (patterns != node.end() && key.size() <= kLongestMatched) {
        for (const auto& [pattern, sub] : patterns->items()) {
          if (!matches(key, Json(pattern))) continue;
          check(member, sub, &step, faults);
          covered = true;
        }
      }
      if (covered || others == node.end()) continue;
      if (!others->is_boolean()) {
        check(member, *others, &step, faults);
      } else if (!others->get<bool>()) {
        refuse_key(key, value, known == node.end() ? Json::object() : *known, &step, meant, faults);
      }
    }
    const auto required = node.find("required");
    if (required == node.end()) return meant;
    for (const Json& name : *required) {
      const auto& key = name.get_ref<const std::string&>();
      if (value.contains(key) ||
          std::any_of(meant.begin(), meant.end(), [&](const auto& one) { return one.second == key; }))
        continue;
      add(faults, at, fmt::format("the key {} is missing", shown(name)));
    }
    return meant;
  }

  void refuse_key(const std::string& key, const Json& value, const Json& known, const Step* at, Meant& meant,
                  Faults& faults) {
    if (most_ == 1) return add(faults, at, "not known here");
    std::vector<std::string> free;
    std::vector<std::string> given;
    for (const auto& member : known.items())
      (value.contains(member.key()) ? given : free).push_back(member.key());
    std::vector<std::string> all = free;  // first: of two as like, the one that is not there yet was meant
    all.insert(all.end(), given.begin(), given.end());
    const auto near = nearest_name(key, all);
    if (near && value.contains(*near)) {
      add(faults, at,
          fmt::format("the key {} is not known here (did you mean {}? It is given already)", shown(Json(key)),
                      shown(Json(*near))));
      return;
    }
    if (near) meant.emplace_back(key, *near);
    add(faults, at, fmt::format("the key {} is not known here{}", shown(Json(key)), suggestion(key, free)));
  }

  // How far a branch is from fitting: a fault deep inside says that the branch was meant, a wrong type at the
  // top that it was not.
  static std::array<std::size_t, 3> distance_of(const Faults& faults, std::size_t depth) {
    std::size_t wrong_here = 0;
    std::size_t here = 0;
    for (const Fault& fault : faults) {
      if (depth_of(fault.pointer) > depth) continue;
      ++here;
      if (fault.wrong_type) ++wrong_here;
    }
    return {wrong_here, here, faults.size()};
  }

  // With its misspelt keys put right.
  static Json as_meant(Json value, const Meant& meant) {
    for (const auto& [key, name] : meant) {
      Json member = value.at(key);
      value.erase(key);
      if (!value.contains(name)) value[name] = std::move(member);
    }
    return value;
  }

  void check_branches(const Json& given, const Json& node, const Step* at, const Meant& meant,
                      Faults& faults) {
    if (const auto all = node.find("allOf"); all != node.end()) {
      for (const Json& branch : *all) check(given, branch, at, faults);
    }
    for (const char* word : {"oneOf", "anyOf"}) {
      const auto branches = node.find(word);
      if (branches == node.end()) continue;
      const auto fits = [&](const Json& value) {
        return std::count_if(branches->begin(), branches->end(), [&](const Json& branch) {
          Faults found;
          Checker(schema_, 1).check(value, branch, at, found);
          return found.empty();
        });
      };
      const auto fitting = fits(given);
      if (fitting == 1 || (fitting > 1 && std::string_view(word) == "anyOf")) continue;
      if (fitting > 1) {
        add(faults, at, fmt::format("found {}, which can be taken in more than one way", shown(given)));
        continue;
      }
      if (most_ == 1) {
        add(faults, at, "fits nowhere");
        return;
      }
      const Json value = meant.empty() ? given : as_meant(given, meant);
      if (!meant.empty() && fits(value) > 0) continue;  // the misspelt key is told already
      if (report_keys(value, *branches, at, faults)) continue;
      std::vector<Faults> tried;
      for (const Json& branch : *branches) check(value, branch, at, tried.emplace_back());
      report_branches(value, *branches, tried, at, faults);
    }
  }

  // Of branches that are nothing but lists of keys, of which none is there: no branch was meant more than
  // others.
  bool report_keys(const Json& value, const Json& branches, const Step* at, Faults& faults) {
    std::vector<std::string> ways;
    for (const Json& branch : branches) {
      const auto required = branch.find("required");
      if (!value.is_object() || required == branch.end() || branch.size() != 1) return false;
      std::vector<std::string> keys;
      for (const Json& key : *required) {
        if (value.contains(key.get_ref<const std::string&>())) return false;
        keys.push_back(shown(key));
      }
      ways.push_back(joined(keys, "and"));
    }
    add(faults, at, fmt::format("{} must be given", fmt::join(ways, ", or ")));
    return true;
  }

  // Of branches that each say of one key what it must be ("kind"), the value names the one that is meant.
  bool report_kind(const Json& value, const Json& branches, const std::vector<Faults>& tried, const Step* at,
                   Faults& faults) {
    if (!value.is_object()) return false;
    for (const auto& [key, named] : value.items()) {
      Json kinds = Json::array();
      for (const Json& branch : branches) {
        const Json& target = schema_.resolved(branch);
        if (target.contains("properties") && target.at("properties").contains(key) &&
            target.at("properties").at(key).contains("const"))
          kinds.push_back(target.at("properties").at(key).at("const"));
      }
      const std::set<Json> unlike(kinds.begin(), kinds.end());
      if (unlike.size() < 2 || unlike.size() < branches.size()) continue;
      for (std::size_t k = 0; k < kinds.size(); ++k) {
        if (!same(kinds.at(k), named)) continue;
        for (const Fault& fault : tried[k]) {
          if (faults.size() < most_) faults.push_back(fault);
        }
        return true;
      }
      const Step kind{at, key, 0, true};
      check_choice(named, Json{{"enum", std::move(kinds)}}, &kind, faults);
      return true;
    }
    return false;
  }

  void report_branches(const Json& value, const Json& branches, const std::vector<Faults>& tried,
                       const Step* at, Faults& faults) {
    if (report_kind(value, branches, tried, at, faults)) return;
    const std::size_t depth = depth_of(pointer_of(at));
    const auto nearest = std::min_element(tried.begin(), tried.end(), [&](const Faults& a, const Faults& b) {
      return distance_of(a, depth) < distance_of(b, depth);
    });
    if (distance_of(*nearest, depth)[0] == 0) {
      for (const Fault& fault : *nearest) {
        if (faults.size() < most_) faults.push_back(fault);
      }
      return;
    }
    // Of no branch's type: say what the branches are.
    std::vector<std::string> plain;
    for (const Json& branch : branches) {
      const Json& target = schema_.resolved(branch);
      if (branch.contains("title") || target.contains("title")) {
        plain.push_back((branch.contains("title") ? branch : target).at("title").get<std::string>());
      } else if (target.contains("type")) {
        for (const std::string& type : types_of(target.at("type"))) plain.push_back(plain_type(type));
      }
    }
    add(faults, at, fmt::format("found {}, where {} is expected", shown(value), joined(plain, "or")), true);
  }

  const JsonSchema& schema_;
  std::size_t most_;
};

}  // namespace

JsonSchema::JsonSchema(std::string_view text) {
  Result<JsonDocument> document = parse_json(text, "schema");
  invariant(document.ok(), "the schema is sound JSON");
  root_ = std::move(document->root);
  check_schema_words(root_);
}

const Json& JsonSchema::resolved(const Json& node) const {
  const auto ref = node.find("$ref");
  if (ref == node.end()) return node;
  const auto& name = ref->get_ref<const std::string&>();
  constexpr std::string_view kPrefix = "#/$defs/";
  invariant(name.starts_with(kPrefix), "a $ref names one of the schema's own $defs");
  const auto defs = root_.find("$defs");
  invariant(defs != root_.end() && defs->contains(name.substr(kPrefix.size())),
            "a $ref names something that exists");
  return resolved(defs->at(name.substr(kPrefix.size())));
}

std::vector<Problem> JsonSchema::check(const JsonDocument& document) const {
  Faults faults;
  const Step root;
  Checker(*this).check(document.root, root_, &root, faults);
  std::vector<Problem> problems;
  for (Fault& fault : faults) problems.push_back(document.bad(fault.pointer, std::move(fault.message)));
  return problems;
}

}  // namespace lastwright
