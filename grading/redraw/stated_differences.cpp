#include <algorithm>
#include <optional>
#include <set>
#include <string>

#include "grading/json/json_layout.hpp"
#include "grading/redraw/style_compare.hpp"

namespace lastwright {

namespace {

std::string said(const Json& value) {
  constexpr std::size_t kLongest = 90;
  std::string text = value.is_string() ? value.get<std::string>() : on_one_line(value);
  if (text.size() <= kLongest) return text;
  std::size_t cut = kLongest;
  while (cut > 0 && (static_cast<unsigned char>(text[cut]) & 0xC0U) == 0x80U) --cut;
  return text.substr(0, cut) + "...";
}

// What a thing of a list is called: its name, or the text under the key that says what it is.
std::optional<std::string> name_in(const Json& thing) {
  if (!thing.is_object() || thing.empty()) return std::nullopt;
  for (const char* key :
       {"name", "hole", "prick", "eyelets", "perforation", "pricks", "slot", "buckle_bar", "stitch_line",
        "lap_guide", "skive", "nick", "size_marks", "text", "pair_number", "measure_line", "check_line"}) {
    const auto found = thing.find(key);
    if (found != thing.end() && found->is_string()) return found->get<std::string>();
  }
  return std::nullopt;
}

class Differences {
 public:
  std::vector<StatedDifference> out;

  void compare(const Json& was, const Json& now, const std::string& where) {
    if (was == now) return;
    if (was.is_object() && now.is_object()) return objects(was, now, where);
    if (was.is_array() && now.is_array() && named(was) && named(now)) return lists(was, now, where);
    out.push_back({where, said(was), said(now)});
  }

 private:
  static std::string below(const std::string& where, const std::string& what) {
    return where.empty() ? what : where + ", " + what;
  }

  void objects(const Json& was, const Json& now, const std::string& where) {
    for (const auto& [key, value] : was.items()) {
      const auto there = now.find(key);
      if (there == now.end()) {
        out.push_back({below(where, key), said(value), ""});
      } else {
        compare(value, *there, below(where, key));
      }
    }
    for (const auto& [key, value] : now.items()) {
      if (!was.contains(key)) out.push_back({below(where, key), "", said(value)});
    }
  }

  // Each thing has a name, and no two the same one.
  static bool named(const Json& list) {
    std::vector<std::string> names;
    for (const Json& thing : list) {
      const auto name = name_in(thing);
      if (!name) return false;
      names.push_back(*name);
    }
    std::sort(names.begin(), names.end());
    return std::adjacent_find(names.begin(), names.end()) == names.end();
  }

  void lists(const Json& was, const Json& now, const std::string& where) {
    const auto find = [](const Json& list, const std::string& name) -> const Json* {
      for (const Json& thing : list) {
        if (name_in(thing) == name) return &thing;
      }
      return nullptr;
    };
    const std::size_t before = out.size();
    for (const Json& thing : was) {
      const std::string name = *name_in(thing);
      if (const Json* there = find(now, name)) {
        compare(thing, *there, below(where, name));
      } else {
        out.push_back({below(where, name), said(thing), ""});
      }
    }
    for (const Json& thing : now) {
      if (find(was, *name_in(thing)) == nullptr)
        out.push_back({below(where, *name_in(thing)), "", said(thing)});
    }
    if (out.size() == before) out.push_back({below(where, "order"), said(was), said(now)});
  }
};

}  // namespace

std::vector<StatedDifference> stated_differences(const Json& was, const Json& now) {
  // What a draft proposed has no names: each sentence that is in one alone.
  constexpr const char* kProposed = "proposed";
  const auto parted = [&](Json& root) {
    Json list = Json::array();
    if (!root.is_object() || !root.contains(kProposed) || !root.at(kProposed).is_array()) return list;
    list = root.at(kProposed);
    root.erase(kProposed);
    return list;
  };
  Json before = was;
  Json after = now;
  const Json had = parted(before);
  const Json has = parted(after);
  Differences differences;
  differences.compare(before, after, "");
  const auto texts = [](const Json& list) {
    std::set<std::string> out;
    for (const Json& thing : list) out.insert(on_one_line(thing));
    return out;
  };
  const std::set<std::string> texts_before = texts(had);
  const std::set<std::string> texts_after = texts(has);
  for (const Json& thing : had) {
    if (!texts_after.contains(on_one_line(thing))) differences.out.push_back({kProposed, said(thing), ""});
  }
  for (const Json& thing : has) {
    if (!texts_before.contains(on_one_line(thing))) differences.out.push_back({kProposed, "", said(thing)});
  }
  return std::move(differences.out);
}

}  // namespace lastwright
