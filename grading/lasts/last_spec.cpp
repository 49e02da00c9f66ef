#include "grading/lasts/last_spec.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/json/take_key.hpp"
#include "grading/lasts/landmark_names.hpp"
#include "grading/lasts/last_schema.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

// What the schema has found sound.
class Reader {
 public:
  explicit Reader(const JsonDocument& document) : document_(document) {}

  Result<LastSpec> read() {
    const Json& root = document_.root;
    take_key(root, "style", spec_.style);
    if (auto s = bases(root["bases"]); !s) return s.problem();
    if (root.contains("foot")) spec_.foot = foot_named(root["foot"].get<std::string>());
    take_key(root, "targets", spec_.targets);
    if (root.contains("rules")) {
      if (auto s = rules(root["rules"]); !s) return s.problem();
    }
    if (root.contains("landmarks")) landmarks(root["landmarks"]);
    take_key(root, "table_definitions", spec_.table_definitions);
    take_key(root, "bottom_follows_style", spec_.bottom_follows_style);
    take_key(root, "sound_sizes", spec_.sound_sizes);
    take_key(root, "sound_widths", spec_.sound_widths);
    return spec_;
  }

 private:
  Status bases(const Json& all) {
    std::set<std::string> files;  // each is read and measured: one file named often would cost without end
    for (std::size_t i = 0; i < all.size(); ++i) {
      const Json& one = all[i];
      const std::string at = pointer_to("/bases", i);
      LastBase base;
      take_key(one, "file", base.file);
      if (!files.insert(base.file).second) {
        return document_.bad(pointer_to(at, "file"), "two base lasts name this file");
      }
      take_key(one, "size", base.size);
      take_key(one, "width", base.width);
      if (one.contains("heel_height")) {
        const Result<Millimetres> height = length_at(document_, pointer_to(at, "heel_height"));
        if (!height) return height.problem();
        base.heel_height = height->value();
      }
      take_key(one, "axes", base.axes);
      take_key(one, "unit", base.unit);
      take_key(one, "bottom", base.bottom);
      spec_.bases.push_back(std::move(base));
    }
    return Done{};
  }

  Status rules(const Json& all) {
    LastRule toe_thickness;
    LastRule top_plane;
    const std::array<std::pair<const char*, LastRule*>, 4> kinds{{{"heel height", &spec_.heel_height},
                                                                  {"toe spring", &spec_.toe_spring},
                                                                  {"toe thickness", &toe_thickness},
                                                                  {"top plane", &top_plane}}};
    for (const auto& [name, rule] : kinds) {
      if (!all.contains(name)) continue;
      for (const auto& [key, value] :
           {std::pair{"per_size", &rule->per_size}, {"per_width", &rule->per_width}}) {
        if (!all[name].contains(key)) continue;
        const Result<Millimetres> length = length_at(document_, pointer_to(pointer_to("/rules", name), key));
        if (!length) return length.problem();
        *value = length->value();
      }
    }
    if (all.contains("toe thickness")) spec_.toe_thickness = toe_thickness;
    if (all.contains("top plane")) spec_.top_plane = top_plane;
    return Done{};
  }

  void landmarks(const Json& all) {
    for (const auto& [name, value] : all.items()) {
      if (value.is_number()) {
        spec_.landmarks[name] = value.get<double>();
      } else {
        spec_.landmarks[name] =
            SpotOnFace{value["face"].get<int>(), value["u"].get<double>(), value["v"].get<double>()};
      }
    }
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

const JsonSchema& last_schema() {
  static const JsonSchema instance(last_schema_text());
  return instance;
}

Result<LastSpec> read_last_spec(std::string_view text, const std::string& file) {
  const Result<JsonDocument> document = parse_json(text, file);
  if (!document) return document.problem();
  const Json& root = document->root;
  if (!root.is_object() || !root.contains("lastwright_last") || root["lastwright_last"] != 1) {
    return document->bad("", "this is not a last file: it must say \"lastwright_last\": 1");
  }
  if (const Status known = known_landmarks(*document); !known) return known.problem();
  const std::vector<Problem> faults = last_schema().check(*document);
  if (!faults.empty()) {
    Problem first = faults.front();
    if (faults.size() > 1) {
      first.message += fmt::format("; {} more {}", faults.size() - 1,
                                   faults.size() == 2 ? "fault follows" : "faults follow");
    }
    return first;
  }
  return Reader(*document).read();
}

}  // namespace lastwright
