#include "grading/lasts/last_spec.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <set>

#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/lasts/landmark_names.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostBases = 64;
constexpr std::size_t kMostBottomFaces = 1000;
constexpr std::uint64_t kMostFaces = 1'000'000;

class Reader {
 public:
  explicit Reader(const JsonDocument& document) : document_(document) {}

  Result<LastSpec> read() {
    const Json& root = document_.root;
    if (!root.is_object()) return document_.bad("", "a last file must hold an object, not " + shown(root));
    if (!root.contains("lastwright_last") || root["lastwright_last"] != 1) {
      return document_.bad("", "this is not a last file: it must say \"lastwright_last\": 1");
    }
    if (auto s = known(root, "",
                       {"lastwright_last", "note", "style", "bases", "foot", "targets", "rules", "landmarks",
                        "table_definitions", "bottom_follows_style", "sound_sizes", "sound_widths"});
        !s) {
      return s.problem();
    }
    if (auto s = text(root, "", "style", spec_.style, true); !s) return s.problem();
    if (auto s = bases(root); !s) return s.problem();
    if (auto s = foot(root); !s) return s.problem();
    if (auto s = targets(root); !s) return s.problem();
    if (auto s = rules(root); !s) return s.problem();
    if (auto s = landmarks(root); !s) return s.problem();
    if (auto s = table_definitions(root); !s) return s.problem();
    if (root.contains("bottom_follows_style")) {
      if (!root["bottom_follows_style"].is_boolean()) {
        return document_.bad("/bottom_follows_style", "must be true or false");
      }
      spec_.bottom_follows_style = root["bottom_follows_style"].get<bool>();
    }
    for (const auto& [key, value] :
         {std::pair{"sound_sizes", &spec_.sound_sizes}, {"sound_widths", &spec_.sound_widths}}) {
      if (!root.contains(key)) continue;
      if (!root[key].is_number() || root[key].get<double>() < 0.0) {
        return document_.bad(pointer_to("", key), "must be a number of steps, not " + shown(root[key]));
      }
      *value = root[key].get<double>();
    }
    return spec_;
  }

 private:
  Status known(const Json& object, const std::string& at, const std::vector<std::string>& keys) const {
    for (const auto& [key, value] : object.items()) {
      if (std::find(keys.begin(), keys.end(), key) != keys.end()) continue;
      return document_.bad(pointer_to(at, key),
                           fmt::format("'{}' is not known here; known: {}", key, fmt::join(keys, ", ")));
    }
    return Done{};
  }

  Status text(const Json& object, const std::string& at, const char* key, std::string& out,
              bool needed) const {
    if (!object.contains(key)) {
      if (needed) return document_.bad(at, fmt::format("'{}' is missing", key));
      return Done{};
    }
    if (!object[key].is_string()) {
      return document_.bad(pointer_to(at, key), "must be a text, not " + shown(object[key]));
    }
    out = object[key].get<std::string>();
    return Done{};
  }

  Status bases(const Json& root) {
    if (!root.contains("bases") || !root["bases"].is_array() || root["bases"].empty()) {
      return document_.bad("/bases", "must be a list of at least one base last");
    }
    if (root["bases"].size() > kMostBases) {
      return document_.bad("/bases", fmt::format("no more than {} base lasts are read", kMostBases));
    }
    std::set<std::string> files;  // each is read and measured: one file named often would cost without end
    for (std::size_t i = 0; i < root["bases"].size(); ++i) {
      const Json& one = root["bases"][i];
      const std::string at = pointer_to("/bases", i);
      if (!one.is_object()) return document_.bad(at, "must be an object, not " + shown(one));
      if (auto s = known(one, at, {"file", "size", "width", "heel_height", "axes", "unit", "bottom"}); !s)
        return s;
      LastBase base;
      if (auto s = text(one, at, "file", base.file, true); !s) return s;
      if (!files.insert(base.file).second) {
        return document_.bad(pointer_to(at, "file"), "two base lasts name this file");
      }
      if (auto s = text(one, at, "size", base.size, true); !s) return s;
      if (auto s = text(one, at, "width", base.width, true); !s) return s;
      if (one.contains("heel_height")) {
        const Result<Millimetres> height = length_at(document_, pointer_to(at, "heel_height"));
        if (!height) return height.problem();
        base.heel_height = height->value();
      }
      if (auto s = text(one, at, "axes", base.axes, false); !s) return s;
      if (auto s = text(one, at, "unit", base.unit, false); !s) return s;
      if (!base.unit.empty() && base.unit != "mm" && base.unit != "cm" && base.unit != "in")
        return document_.bad(pointer_to(at, "unit"), "must be \"mm\", \"cm\" or \"in\"");
      if (auto s = bottom(one, at, base.bottom); !s) return s;
      spec_.bases.push_back(std::move(base));
    }
    return Done{};
  }

  Status foot(const Json& root) {
    if (!root.contains("foot")) return Done{};
    std::string word;
    if (auto s = text(root, "", "foot", word, true); !s) return s;
    spec_.foot = foot_named(word);
    if (!spec_.foot) return document_.bad("/foot", "must be \"left\" or \"right\"");
    return Done{};
  }

  Status bottom(const Json& one, const std::string& at, std::vector<int>& faces) const {
    if (!one.contains("bottom")) return Done{};
    const Json& all = one["bottom"];
    const std::string here = pointer_to(at, "bottom");
    if (!all.is_array() || all.empty() || all.size() > kMostBottomFaces)
      return document_.bad(here, fmt::format("must be a list of 1 to {} numbers of faces", kMostBottomFaces));
    for (const Json& face : all) {
      if (!face.is_number_unsigned() || face.get<std::uint64_t>() > kMostFaces)
        return document_.bad(here, "must hold numbers of faces, from 0, not " + shown(face));
      faces.push_back(face.get<int>());
    }
    return Done{};
  }

  Status targets(const Json& root) {
    if (!root.contains("targets")) return Done{};
    if (!root["targets"].is_array()) return document_.bad("/targets", "must be a list of measures");
    spec_.targets.clear();
    for (std::size_t i = 0; i < root["targets"].size(); ++i) {
      const Json& one = root["targets"][i];
      if (!one.is_string()) return document_.bad(pointer_to("/targets", i), "must be the name of a measure");
      if (std::find(spec_.targets.begin(), spec_.targets.end(), one.get<std::string>()) !=
          spec_.targets.end())
        return document_.bad(pointer_to("/targets", i), fmt::format("{} is named twice", shown(one)));
      spec_.targets.push_back(one.get<std::string>());
    }
    return Done{};
  }

  Status rules(const Json& root) {
    if (!root.contains("rules")) return Done{};
    const Json& all = root["rules"];
    if (!all.is_object()) return document_.bad("/rules", "must be an object");
    LastRule toe_thickness;
    LastRule top_plane;
    const std::array<std::pair<const char*, LastRule*>, 4> kinds{{{"heel height", &spec_.heel_height},
                                                                  {"toe spring", &spec_.toe_spring},
                                                                  {"toe thickness", &toe_thickness},
                                                                  {"top plane", &top_plane}}};
    std::vector<std::string> names;
    for (const auto& [name, rule] : kinds) names.emplace_back(name);
    if (auto s = known(all, "/rules", names); !s) return s;
    for (const auto& [name, rule] : kinds) {
      if (!all.contains(name)) continue;
      const std::string at = pointer_to("/rules", name);
      if (!all[name].is_object()) return document_.bad(at, "must be an object with per_size and per_width");
      if (auto s = known(all[name], at, {"per_size", "per_width"}); !s) return s;
      for (const auto& [key, value] :
           {std::pair{"per_size", &rule->per_size}, {"per_width", &rule->per_width}}) {
        if (!all[name].contains(key)) continue;
        const Result<Millimetres> length = length_at(document_, pointer_to(at, key));
        if (!length) return length.problem();
        *value = length->value();
      }
    }
    if (all.contains("toe thickness")) spec_.toe_thickness = toe_thickness;
    if (all.contains("top plane")) spec_.top_plane = top_plane;
    return Done{};
  }

  Status table_definitions(const Json& root) {
    if (!root.contains("table_definitions")) return Done{};
    const Json& all = root["table_definitions"];
    if (!all.is_object()) return document_.bad("/table_definitions", "must be an object");
    for (const auto& [measure, definition] : all.items()) {
      if (!definition.is_string()) {
        return document_.bad(pointer_to("/table_definitions", measure),
                             "must be a text, not " + shown(definition));
      }
      spec_.table_definitions[measure] = definition.get<std::string>();
    }
    return Done{};
  }

  Status landmarks(const Json& root) {
    if (!root.contains("landmarks")) return Done{};
    if (!root["landmarks"].is_object()) return document_.bad("/landmarks", "must be an object");
    for (const auto& [name, value] : root["landmarks"].items()) {
      const std::string at = pointer_to("/landmarks", name);
      if (value.is_number()) {
        spec_.landmarks[name] = value.get<double>();
        continue;
      }
      if (!value.is_object() || !value.contains("face") || !value.contains("u") || !value.contains("v") ||
          !value["face"].is_number_unsigned() || value["face"].get<std::uint64_t>() > kMostFaces ||
          !value["u"].is_number() || !value["v"].is_number()) {
        return document_.bad(
            at, "must be a share of the length or {\"face\", \"u\", \"v\"}, not " + shown(value));
      }
      spec_.landmarks[name] =
          SpotOnFace{value["face"].get<int>(), value["u"].get<double>(), value["v"].get<double>()};
    }
    return Done{};
  }

  const JsonDocument& document_;
  LastSpec spec_;
};

// A name that is none is told before what stands behind it is looked at.
Status known_landmarks(const JsonDocument& document) {
  const Json& root = document.root;
  if (!root.is_object() || !root.contains("landmarks") || !root["landmarks"].is_object()) return Done{};
  const std::vector<std::string> names(kLandmarkNames.begin(), kLandmarkNames.end());
  for (const auto& [name, value] : root["landmarks"].items()) {
    if (std::find(names.begin(), names.end(), name) != names.end()) continue;
    const std::optional<std::string> near = nearest_name(name, names);
    return document.bad(
        pointer_to("/landmarks", name),
        near ? fmt::format("no landmark is named '{}' (did you mean \"{}\"?)", name, *near)
             : fmt::format("no landmark is named '{}'; known: {}", name, fmt::join(names, ", ")));
  }
  return Done{};
}

}  // namespace

Result<LastSpec> read_last_spec(std::string_view text, const std::string& file) {
  const Result<JsonDocument> document = parse_json(text, file);
  if (!document) return document.problem();
  if (const Status known = known_landmarks(*document); !known) return known.problem();
  return Reader(*document).read();
}

}  // namespace lastwright
