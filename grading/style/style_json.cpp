#include "grading/style/style_json.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "grading/json/json_value.hpp"
#include "grading/style/feature_json.hpp"
#include "grading/style/forme_json.hpp"
#include "grading/style/limits_json.hpp"
#include "grading/style/piece_json.hpp"
#include "grading/style/stated_places.hpp"
#include "grading/style/style_check.hpp"
#include "grading/style/style_schema.hpp"
#include "grading/style/style_values.hpp"

namespace lastwright {

namespace {

// Reads a document that the schema has passed: only values that are written as text can still be wrong.
class StyleReader {
 public:
  StyleReader(const JsonDocument& document, std::vector<Problem>& problems)
      : document_(document), values_(document, problems) {}

  StyleSpec style() {
    const Json& root = document_.root;
    StyleSpec style;
    style.name = root.at("name").get<std::string>();
    style.works = root.value("works", "");
    style.note = root.value("note", "");
    style.drawn_foot = root.value("drawn_foot", "");
    style.scale = root.at("scale").get<std::string>();
    style.ladder = root.at("ladder").get<std::string>();
    if (const auto tables = root.find("tables"); tables != root.end())
      style.table_files = values_.texts(*tables);
    style.base_size = root.at("base").at("size").get<std::string>();
    style.base_width = root.at("base").at("width").get<std::string>();
    const Json& run = root.at("run");
    style.run_from = run.at("from").get<std::string>();
    style.run_to = run.at("to").get<std::string>();
    style.run_by = values_.fraction(run, "by", "/run", 1);
    style.run_widths = values_.texts(run.at("widths"));
    if (const auto also = run.find("also"); also != run.end()) {
      for (std::size_t i = 0; i < also->size(); ++i) {
        const Json& part = (*also)[i];
        style.run_also.push_back({part.at("from").get<std::string>(), part.at("to").get<std::string>(),
                                  values_.fraction(part, "by", pointer_to("/run/also", i), 1),
                                  values_.texts(part.at("widths"))});
      }
    }
    for (const auto& [name, value] : root.at("measures").items())
      style.measures.push_back(measure(name, value));
    if (const auto drawings = root.find("drawings"); drawings != root.end()) {
      for (const auto& [name, value] : drawings->items()) style.drawings.push_back(drawing(name, value));
    }
    if (const auto formes = root.find("formes"); formes != root.end()) {
      for (const auto& [name, value] : formes->items())
        style.formes.push_back(read_forme(name, value, values_));
    }
    if (const auto girths = root.find("girths"); girths != root.end()) {
      for (const auto& [name, value] : girths->items())
        style.girths.push_back(read_girth(name, value, values_));
    }
    if (const auto pieces = root.find("pieces"); pieces != root.end()) {
      for (std::size_t i = 0; i < pieces->size(); ++i)
        style.pieces.push_back(read_piece((*pieces)[i], pointer_to("/pieces", i), values_));
    }
    if (const auto seams = root.find("seams"); seams != root.end()) {
      for (std::size_t i = 0; i < seams->size(); ++i)
        style.seams.push_back(seam((*seams)[i], pointer_to("/seams", i)));
    }
    if (const auto codes = root.find("codes"); codes != root.end()) {
      for (const auto& [name, value] : codes->items()) style.codes.push_back(read_code(name, value));
    }
    if (const auto proposed = root.find("proposed"); proposed != root.end()) {
      for (const Json& one : *proposed) {
        style.proposed.push_back({values_.named(one, "sure", kSurenesses, Sureness::kGuess),
                                  one.at("what").get<std::string>(), one.value("at", "")});
      }
    }
    if (const auto limits = root.find("limits"); limits != root.end()) read_limits(*limits, values_, style);
    return style;
  }

 private:
  MeasureSpec measure(const std::string& name, const Json& from) {
    const std::string at = pointer_to("/measures", name);
    MeasureSpec spec;
    spec.name = name;
    spec.from_scale = from.contains("from_scale");
    spec.base = values_.quantity(from, "base", at).value_or(Quantity{});
    spec.per_size = values_.quantity(from, "per_size", at).value_or(Quantity{});
    spec.per_width = values_.quantity(from, "per_width", at).value_or(Quantity{});
    spec.law = values_.named(from, "law", {Law::kArithmetic, Law::kProportional}, Law::kArithmetic);
    if (const auto breaks = from.find("breaks"); breaks != from.end()) {
      for (std::size_t i = 0; i < breaks->size(); ++i) {
        const Json& stretch = (*breaks)[i];
        const std::string here = pointer_to(at + "/breaks", i);
        spec.breaks.push_back({stretch.at("from").get<std::string>(), stretch.at("to").get<std::string>(),
                               values_.quantity(stretch, "per_size", here),
                               values_.quantity(stretch, "per_width", here)});
      }
    }
    spec.size_steps_per_width = values_.fraction(from, "size_steps_per_width", at, 0);
    spec.source.text = from.value("source", "");
    spec.source.provenance = values_.named(
        from, "provenance",
        {Provenance::kPublished, Provenance::kDerived, Provenance::kCommonPractice, Provenance::kFromMemory},
        Provenance::kFromMemory);
    return spec;
  }

  DrawingSpec drawing(const std::string& name, const Json& from) {
    DrawingSpec spec;
    spec.key = name;
    spec.file = from.at("file").get<std::string>();
    spec.units = from.value("units", "");
    if (const auto layers = from.find("layers"); layers != from.end()) {
      for (const auto& [layer, role] : layers->items()) spec.layers[layer] = role.get<std::string>();
    }
    spec.inside = from.value("inside", "");
    spec.edge_lines = from.value("edge_lines", "");
    if (const auto sheet = from.find("sheet"); sheet != from.end()) {
      spec.sheet = DrawingPose{sheet->value("mirrored", false), sheet->value("turn", 0.0), {}};
      if (sheet->contains("by")) spec.sheet->by = values_.place(sheet->at("by"));
    }
    spec.chain_gap = values_.millimetres_at(from, "chain_gap", pointer_to("/drawings", name), spec.chain_gap);
    if (const auto fair = from.find("fair"); fair != from.end()) {
      const std::string at = pointer_to(pointer_to("/drawings", name), "fair");
      spec.fair.emplace();
      spec.fair->within = values_.millimetres_at(*fair, "within", at, spec.fair->within);
      spec.fair->corners = fair->value("corners", spec.fair->corners);
      if (spec.fair->within <= Millimetres(0.0) || spec.fair->within > Millimetres(1.0))
        values_.refuse(
            pointer_to(at, "within"),
            bad_value(fmt::format("curves must be faired within more than 0 and at most 1 mm, not {:g} mm",
                                  spec.fair->within.value())));
    }
    return spec;
  }

  SeamSpec seam(const Json& from, const std::string& at) {
    const auto side = [](const Json& one) {
      return SeamSide{one.at("piece").get<std::string>(), one.at("edge").get<std::string>()};
    };
    return {from.at("name").get<std::string>(), side(from.at("one")), side(from.at("other")),
            values_.millimetres_at(from, "ease", at, Millimetres(0.0)), from.value("mirrored", false)};
  }

  const JsonDocument& document_;
  StyleValues values_;
};

// Names are printed, drawn and made into file names: nothing in them may steer a terminal.
void refuse_control_characters(const Json& value, const std::string& at, const JsonDocument& document,
                               std::vector<Problem>& problems) {
  const auto steers = [](const std::string& text, bool lines_too) {
    return std::any_of(text.begin(), text.end(), [&](char c) {
      const auto byte = static_cast<unsigned char>(c);
      return (byte < 0x20 && !(lines_too && c == '\n')) || byte == 0x7f;
    });
  };
  if (problems.size() >= kMostStyleProblems) return;
  if (value.is_string() && steers(value.get_ref<const std::string&>(), at == "/note")) {
    problems.push_back(document.bad(at, fmt::format("the text {} holds a control character", shown(value))));
  }
  if (value.is_object()) {
    for (const auto& [key, member] : value.items()) {
      const std::string here = pointer_to(at, key);
      if (steers(key, false)) {
        problems.push_back(
            document.bad(here, fmt::format("the name {} holds a control character", shown(Json(key)))));
      }
      refuse_control_characters(member, here, document, problems);
    }
  } else if (value.is_array()) {
    for (std::size_t i = 0; i < value.size(); ++i) {
      refuse_control_characters(value[i], pointer_to(at, i), document, problems);
    }
  }
}

}  // namespace

StyleRead read_style(std::string_view text, std::string file) {
  StyleRead read;
  Result<JsonDocument> parsed = parse_json(text, std::move(file));
  if (!parsed) {
    read.problems.push_back(parsed.problem());
    return read;
  }
  read.document = std::make_shared<const JsonDocument>(std::move(*parsed));
  read.problems = style_schema().check(*read.document);
  if (!read.problems.empty()) return read;
  refuse_control_characters(read.document->root, "", *read.document, read.problems);
  return read_with_places(std::move(read), {});
}

StyleRead read_with_places(StyleRead read, const std::map<std::string, Vec2>& places) {
  std::vector<PointReference> references;
  const JsonDocument document = with_places(*read.document, places, references);
  StyleSpec style = StyleReader(document, read.problems).style();
  style.references = std::move(references);
  for (StyleFault& fault : check_style(style)) {
    if (read.problems.size() >= kMostStyleProblems) break;
    read.problems.push_back(document.bad(fault.pointer, std::move(fault.message)));
  }
  if (read.problems.empty()) read.style = std::move(style);
  return read;
}

}  // namespace lastwright
