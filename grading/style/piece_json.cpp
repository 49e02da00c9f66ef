#include "grading/style/piece_json.hpp"

#include <utility>

#include "grading/style/feature_json.hpp"
#include "grading/style/lies_json.hpp"
#include "grading/style/style_values.hpp"

namespace lastwright {

namespace {

CornerSpec read_corner(const std::string& name, const Json& from) {
  const Json& spot = from.is_object() ? from.at("at") : from;
  CornerSpec spec{name, spot.is_string() ? Spot(spot.get<std::string>()) : Spot(StyleValues::place(spot))};
  if (from.is_object()) spec.form = StyleValues::named(from, "form", kCornerForms, spec.form);
  return spec;
}

EdgeSpec read_edge(const Json& from, const std::string& at, StyleValues& values) {
  EdgeSpec spec;
  spec.name = from.at("name").get<std::string>();
  spec.from = from.at("from").get<std::string>();
  spec.to = from.at("to").get<std::string>();
  spec.treatment = values.named(from, "treatment", kTreatments, Treatment::kRaw);
  spec.allowance = values.millimetres_at(from, "allowance", at, Millimetres(0.0));
  if (const auto steps = from.find("allowance_from"); steps != from.end()) {
    for (const auto& [size, width] : steps->items()) {
      spec.allowance_from.push_back({size, values.length(width, pointer_to(at + "/allowance_from", size))});
    }
  }
  spec.straight = from.value("straight", false);
  spec.held = from.value("held", false);
  return spec;
}

}  // namespace

PieceSpec read_piece(const Json& from, const std::string& at, StyleValues& values) {
  PieceSpec spec;
  spec.name = from.at("name").get<std::string>();
  spec.forme = from.at("forme").get<std::string>();
  const Json& outline = from.at("outline");
  spec.source.drawing = outline.at("drawing").get<std::string>();
  spec.source.block = values.text(outline, "block");
  spec.source.layer = values.text(outline, "layer");
  if (const auto where = outline.find("at"); where != outline.end()) spec.source.at = values.place(*where);
  if (const auto lies = from.find("lies"); lies != from.end()) {
    if (Result<LiesSpec> read = read_lies(*lies)) {
      spec.lies = *std::move(read);
    } else {
      values.refuse(pointer_to(at, "lies") + read.problem().place.pointer, read.problem());
    }
  }
  spec.drawn = values.named(from, "drawn", {Drawn::kNet, Drawn::kCut}, Drawn::kNet);
  for (const auto& [name, spot] : from.at("corners").items()) {
    spec.corners.push_back(read_corner(name, spot));
  }
  const Json& edges = from.at("edges");
  for (std::size_t i = 0; i < edges.size(); ++i)
    spec.edges.push_back(read_edge(edges[i], pointer_to(at + "/edges", i), values));
  spec.fold = values.text(from, "fold");
  for (EdgeSpec& one : spec.edges) one.straight = one.straight || one.name == spec.fold;
  spec.material = from.value("material", "");
  spec.hand = values.named(from, "hand", {Hand::kHanded, Hand::kSymmetric, Hand::kReversible}, Hand::kHanded);
  spec.drawn_foot = from.value("drawn_foot", "");
  spec.per_pair = from.value("per_pair", spec.per_pair);
  spec.layer = from.value("layer", "");
  if (const auto marks = from.find("drawn_marks"); marks != from.end()) {
    const auto count = [&](const char* key) {
      return marks->contains(key) ? std::optional<int>(marks->at(key).get<int>()) : std::nullopt;
    };
    spec.drawn_marks = DrawnMarks{count("holes"), count("cut_outs"), count("nicks"), count("lines")};
  }
  for (const auto& [key, into] :
       {std::pair{"sizes_tied", &spec.sizes_tied}, std::pair{"cut_outs_held", &spec.cut_outs_held}}) {
    const auto ties = from.find(key);
    if (ties == from.end()) continue;
    for (const Json& tie : *ties) {
      into->push_back({tie.at("from").get<std::string>(), tie.at("to").get<std::string>(),
                       tie.at("as").get<std::string>()});
    }
  }
  if (const auto features = from.find("features"); features != from.end()) {
    FeatureReader reader(values.document(), values.problems());
    for (std::size_t i = 0; i < features->size(); ++i)
      spec.features.push_back(reader.feature((*features)[i], pointer_to(at + "/features", i)));
  }
  return spec;
}

}  // namespace lastwright
