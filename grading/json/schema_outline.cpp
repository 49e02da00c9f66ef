#include "grading/json/schema_outline.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <string_view>
#include <vector>

#include "grading/json/json_layout.hpp"

namespace lastwright {

namespace {

class OutlineWriter {
 public:
  OutlineWriter(const JsonSchema& schema, const OutlineOptions& options)
      : schema_(schema), options_(options) {}

  std::string run() {
    const Json& root = schema_.root();
    if (root.contains("title")) out_ += text(root, "title") + "\n\n";
    if (root.contains("description")) wrap(text(root, "description"), 0);
    out_ += "\n";
    body(root, 0);
    return std::move(out_);
  }

 private:
  static std::string text(const Json& node, const char* word) { return node.at(word).get<std::string>(); }

  void wrap(std::string_view words, std::size_t indent) {
    std::size_t column = 0;
    while (!words.empty()) {
      const std::size_t end = std::min(words.find(' '), words.size());
      if (column > 0 && column + 1 + end > options_.width) {
        out_ += '\n';
        column = 0;
      }
      out_ += column == 0 ? std::string(indent, ' ') : " ";
      column = (column == 0 ? indent : column + 1) + end;
      out_ += words.substr(0, end);
      words.remove_prefix(std::min(end + 1, words.size()));
    }
    out_ += '\n';
  }

  // What a value looks like, in a few words, with its limits: those that its title does not name itself.
  [[nodiscard]] std::string shape(const Json& given) const {
    const Json& node = schema_.resolved(given);
    for (const Json* one : {&given, &node}) {
      if (one->contains("title")) {
        const std::string title = text(*one, "title");
        return title + limits(node, title);
      }
    }
    if (const auto only = node.find("const"); only != node.end()) return "always " + shown(*only);
    if (const auto choice = node.find("enum"); choice != node.end()) {
      std::string list = "one of ";
      for (std::size_t i = 0; i < choice->size(); ++i) list += (i == 0 ? "" : ", ") + shown((*choice)[i]);
      return list;
    }
    if (node.contains("properties")) return "an object" + limits(node, "");
    if (const Json* branches = branches_of(node)) {
      std::string list;
      for (std::size_t i = 0; i < branches->size(); ++i)
        list += (i == 0 ? "" : ", or ") + shape((*branches)[i]);
      return list;
    }
    return bare(node) + limits(node, "") + items(node);
  }

  [[nodiscard]] static std::string bare(const Json& node) {
    const auto type = node.find("type");
    if (type == node.end()) return "anything";
    if (type->is_array()) {
      std::string list;
      for (const Json& one : *type) list += (list.empty() ? "" : " or ") + bare({{"type", one}});
      return list;
    }
    if (*type == "array") return "a list";
    if (*type == "object") return "an object with names of your own";
    if (*type == "boolean") return "true or false";
    if (*type == "integer") return "a whole number";
    if (*type == "number") return "a number";
    if (*type == "null") return "null";
    return "a text";
  }

  [[nodiscard]] std::string items(const Json& node) const {
    if (!node.contains("type") || node.at("type") != "array") return "";
    return ": " + (node.contains("items") ? shape(node.at("items")) : "anything");
  }

  // The limits whose figures the title does not hold.
  static std::string limits(const Json& node, const std::string& title) {
    std::string all;
    const auto figure = [&](const char* word) -> std::string {
      const auto limit = node.find(word);
      if (limit == node.end()) return "";
      const std::string number = shown(*limit);
      const std::size_t at = title.find(number);
      const bool named = at != std::string::npos && (at == 0 || title[at - 1] == ' ');
      return named ? "" : number;
    };
    const auto add = [&](const std::string& words) {
      all += (all.empty() && title.empty() ? " " : ", ") + words;
    };
    const std::string least = figure("minimum");
    const std::string most = figure("maximum");
    if (!least.empty() && !most.empty()) {
      add("from " + least + " to " + most);
    } else {
      if (!least.empty()) add("of " + least + " or more");
      if (const std::string above = figure("exclusiveMinimum"); !above.empty()) add("above " + above);
      if (!most.empty()) add("of " + most + " or less");
      if (const std::string below = figure("exclusiveMaximum"); !below.empty()) add("below " + below);
    }
    const auto count = [&](const char* least_word, const char* most_word, const std::string& of) {
      const std::string fewest = figure(least_word);
      const std::string largest = figure(most_word);
      if (!fewest.empty() && fewest == largest) {
        add("of " + fewest + of);
      } else if (fewest == "1" && largest.empty()) {
        all += ", not empty";
      } else if (!fewest.empty() && !largest.empty()) {
        add("of " + fewest + " to " + largest + of);
      } else if (!fewest.empty()) {
        add("of " + fewest + of + " or more");
      } else if (!largest.empty()) {
        add("of at most " + largest + of);
      }
    };
    count("minLength", "maxLength", " characters");
    count("minItems", "maxItems", "");
    count("minProperties", "maxProperties", " names");
    if (node.value("uniqueItems", false)) add("none twice");
    if (title.empty() && node.contains("pattern")) add("of the form " + shown(node.at("pattern")));
    return all;
  }

  static const Json* branches_of(const Json& node) {
    for (const char* word : {"oneOf", "anyOf"}) {
      if (const auto branches = node.find(word); branches != node.end()) return &*branches;
    }
    return nullptr;
  }

  void key(const std::string& name, const Json& node, bool required, std::size_t indent) {
    const Json& target = schema_.resolved(node);
    const Json* usual = node.contains("default") ? &node : target.contains("default") ? &target : nullptr;
    wrap(fmt::format("{}  ({}{}{})", name, required ? "required; " : "", shape(node),
                     usual ? fmt::format("; {} unless given", on_one_line(usual->at("default"))) : ""),
         indent);
    if (node.contains("description")) {
      wrap(text(node, "description"), indent + 2 * options_.indent);
    } else if (target.contains("description")) {
      wrap(text(target, "description"), indent + 2 * options_.indent);
    }
    body(node, indent + options_.indent);
  }

  // The keys below a node, if it has any.
  void body(const Json& given, std::size_t indent) {
    const Json& node = schema_.resolved(given);
    if (const Json* branches = branches_of(node)) {
      for (const Json& branch : *branches) {
        const Json& one = schema_.resolved(branch);
        // What is itself a choice may lead back to itself, and is told where it comes first.
        const bool choice = branches_of(one) && told_.insert(&one).second;
        if (!choice && !one.contains("properties")) continue;
        wrap("- " + shape(branch), indent);
        if (choice && one.contains("description"))
          wrap(text(one, "description"), indent + 2 * options_.indent);
        body(branch, indent + options_.indent);
      }
    }
    if (const auto properties = node.find("properties"); properties != node.end()) {
      const Json required = node.value("required", Json::array());
      for (const auto& [name, child] : properties->items()) {
        key(name, child, std::find(required.begin(), required.end(), Json(name)) != required.end(), indent);
      }
    }
    if (const auto others = node.find("additionalProperties"); others != node.end() && others->is_object()) {
      key("<name>", *others, false, indent);
    }
    if (const auto items = node.find("items"); items != node.end()) body(*items, indent);
  }

  const JsonSchema& schema_;
  const OutlineOptions options_;
  std::string out_;
  std::set<const Json*> told_;  // choices within choices
};

}  // namespace

std::string schema_outline(const JsonSchema& schema, const OutlineOptions& options) {
  return OutlineWriter(schema, options).run();
}

}  // namespace lastwright
