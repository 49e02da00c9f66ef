#include "grading/json/schema_outline.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <string_view>
#include <vector>

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

  // What a value looks like, in a few words.
  [[nodiscard]] std::string shape(const Json& given) const {
    if (given.contains("title")) return text(given, "title");
    const Json& node = schema_.resolved(given);
    if (node.contains("title")) return text(node, "title");
    if (const auto only = node.find("const"); only != node.end()) return "always " + shown(*only);
    if (const auto choice = node.find("enum"); choice != node.end()) {
      std::string list = "one of ";
      for (std::size_t i = 0; i < choice->size(); ++i) list += (i == 0 ? "" : ", ") + shown((*choice)[i]);
      return list;
    }
    if (const auto branches = node.find("oneOf"); branches != node.end()) {
      std::string list;
      for (std::size_t i = 0; i < branches->size(); ++i)
        list += (i == 0 ? "" : ", or ") + shape((*branches)[i]);
      return list;
    }
    const std::string type = node.contains("type") && node.at("type").is_string() ? text(node, "type") : "";
    if (type == "array") return count(node) + (node.contains("items") ? shape(node.at("items")) : "anything");
    if (type == "object")
      return node.contains("properties") ? "an object" : "an object with names of your own";
    if (type == "boolean") return "true or false";
    if (type == "integer") return "a whole number";
    if (type == "number") return "a number";
    return "a text";
  }

  static std::string count(const Json& node) {
    const auto least = node.find("minItems");
    const auto most = node.find("maxItems");
    if (least != node.end() && most != node.end() && *least == *most)
      return fmt::format("a list of {}: ", shown(*least));
    return least != node.end() && least->get<int>() > 1 ? fmt::format("a list, at least {}: ", shown(*least))
                                                        : "a list: ";
  }

  void key(const std::string& name, const Json& node, bool required, std::size_t indent) {
    wrap(fmt::format("{}  ({}{})", name, required ? "required; " : "", shape(node)), indent);
    const Json& target = schema_.resolved(node);
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
    if (const auto branches = node.find("oneOf"); branches != node.end()) {
      for (const Json& branch : *branches) {
        const Json& one = schema_.resolved(branch);
        // What is itself a choice may lead back to itself, and is told where it comes first.
        const bool choice = one.contains("oneOf") && told_.insert(&one).second;
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
