#include "grading/style/style_json.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "grading/json/json_value.hpp"
#include "grading/style/feature_json.hpp"
#include "grading/style/lies_json.hpp"
#include "grading/style/stated_places.hpp"
#include "grading/style/style_check.hpp"
#include "grading/style/style_schema.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostProblems = 50;

// Reads a document that the schema has passed: only values that are written as text can still be wrong.
class StyleReader {
 public:
  explicit StyleReader(const JsonDocument& document) : document_(document) {}

  std::vector<Problem> problems;

  StyleSpec style() {
    const Json& root = document_.root;
    StyleSpec style;
    style.name = root.at("name").get<std::string>();
    style.works = root.value("works", "");
    style.note = root.value("note", "");
    style.drawn_foot = root.value("drawn_foot", "");
    style.scale = root.at("scale").get<std::string>();
    style.ladder = root.at("ladder").get<std::string>();
    if (const auto tables = root.find("tables"); tables != root.end()) style.table_files = texts(*tables);
    style.base_size = root.at("base").at("size").get<std::string>();
    style.base_width = root.at("base").at("width").get<std::string>();
    const Json& run = root.at("run");
    style.run_from = run.at("from").get<std::string>();
    style.run_to = run.at("to").get<std::string>();
    style.run_by = fraction(run, "by", "/run", 1);
    style.run_widths = texts(run.at("widths"));
    if (const auto also = run.find("also"); also != run.end()) {
      for (std::size_t i = 0; i < also->size(); ++i) {
        const Json& part = (*also)[i];
        style.run_also.push_back({part.at("from").get<std::string>(), part.at("to").get<std::string>(),
                                  fraction(part, "by", pointer_to("/run/also", i), 1),
                                  texts(part.at("widths"))});
      }
    }
    for (const auto& [name, value] : root.at("measures").items())
      style.measures.push_back(measure(name, value));
    if (const auto drawings = root.find("drawings"); drawings != root.end()) {
      for (const auto& [name, value] : drawings->items()) style.drawings.push_back(drawing(name, value));
    }
    if (const auto formes = root.find("formes"); formes != root.end()) {
      for (const auto& [name, value] : formes->items()) style.formes.push_back(forme(name, value));
    }
    if (const auto girths = root.find("girths"); girths != root.end()) {
      for (const auto& [name, value] : girths->items()) style.girths.push_back(girth(name, value));
    }
    if (const auto pieces = root.find("pieces"); pieces != root.end()) {
      for (std::size_t i = 0; i < pieces->size(); ++i)
        style.pieces.push_back(piece((*pieces)[i], pointer_to("/pieces", i)));
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
        style.proposed.push_back({named(one, "sure", kSurenesses, Sureness::kGuess),
                                  one.at("what").get<std::string>(), one.value("at", "")});
      }
    }
    if (const auto limits = root.find("limits"); limits != root.end()) {
      FeatureReader(document_, problems).limits(*limits, "/limits", style.feature_limits);
      style.seam_limit = millimetres_at(*limits, "seam", "/limits", style.seam_limit);
      read_seam_limits(*limits, style);
      style.seam_turn_limit = limits->value("seam_turn", style.seam_turn_limit);
      style.fold_turn_limit = limits->value("fold_turn", style.fold_turn_limit);
      if (const auto missing = limits->find("missing_allowance"); missing != limits->end()) {
        for (const Treatment treatment : kTreatments) {
          const char* key = name_of(treatment);
          if (!missing->contains(key)) continue;
          const std::string at = "/limits/missing_allowance";
          const Millimetres most = millimetres_at(*missing, key, at, Millimetres(0.0));
          not_below_zero(most, pointer_to(at, key));
          style.missing_limits[treatment] = most;
        }
      }
      read_reach_limits(*limits, style);
      if (limits->contains("base")) style.base_limit = limits->at("base").get<double>();
      style.girth_base_limit = limits->value("girth_base", style.girth_base_limit);
      style.open_girth_limit = millimetres_at(*limits, "open_girth", "/limits", style.open_girth_limit);
      style.piece_girth_limit =
          millimetres_at(*limits, "girth_in_pieces", "/limits", style.piece_girth_limit);
      if (limits->contains("rule_away")) {
        style.rule_away_limit = millimetres_at(*limits, "rule_away", "/limits", Millimetres(0.0));
        not_below_zero(*style.rule_away_limit, "/limits/rule_away");
      }
    }
    return style;
  }

 private:
  void refuse(const std::string& pointer, const Problem& problem) {
    if (problems.size() < kMostProblems) problems.push_back(document_.bad(pointer, problem.message));
  }

  void not_below_zero(Millimetres limit, const std::string& pointer) {
    if (limit < Millimetres(0.0))
      refuse(pointer, bad_value(fmt::format("a limit must be 0 or more, not {:g} mm", limit.value())));
  }

  void read_reach_limits(const Json& limits, StyleSpec& style) {
    if (const auto reach = limits.find("cut_line_reach"); reach != limits.end()) {
      for (const Treatment treatment : kTreatments) {
        const char* key = name_of(treatment);
        if (reach->contains(key)) style.reach_limits[treatment] = reach->at(key).get<double>();
      }
    }
    const auto length = [&](const char* key, Millimetres usual) {
      const Millimetres given = millimetres_at(limits, key, "/limits", usual);
      not_below_zero(given, pointer_to("/limits", key));
      return given;
    };
    style.widest_allowance = length("widest_allowance", style.widest_allowance);
    style.spike_limit = length("spike_width", style.spike_limit);
    if (style.spike_limit > kWidestSpike) {
      refuse("/limits/spike_width",
             bad_value(fmt::format("the limit of spikes must be at most {:g} mm, not {:g} mm",
                                   kWidestSpike.value(), style.spike_limit.value())));
    }
  }

  void read_seam_limits(const Json& limits, StyleSpec& style) {
    const auto length = [&](const char* key, Millimetres usual) {
      const Millimetres given = millimetres_at(limits, key, "/limits", usual);
      not_below_zero(given, pointer_to("/limits", key));
      return given;
    };
    SeamLimits& seams = style.seam_limits;
    seams.base = length("seam_base", seams.base);
    if (limits.contains("seam_nicks")) seams.nicks = length("seam_nicks", Millimetres(0.0));
    seams.allowances = length("seam_allowances", seams.allowances);
    seams.lap_stitch = length("lap_stitch", seams.lap_stitch);
    seams.holes = length("holes_meet", seams.holes);
    style.check_line_limit = length("check_line", style.check_line_limit);
  }

  Fraction fraction_of(const Json& value, const std::string& pointer) {
    const Result<Fraction> parsed = parse_fraction(text_of(value));
    if (parsed) return *parsed;
    refuse(pointer, parsed.problem());
    return 1;
  }
  Fraction fraction(const Json& from, const char* key, const std::string& at, Fraction otherwise) {
    const auto found = from.find(key);
    return found == from.end() ? otherwise : fraction_of(*found, pointer_to(at, key));
  }

  Quantity quantity_of(const Json& value, const std::string& pointer) {
    Result<Quantity> parsed = parse_quantity(text_of(value));
    if (parsed) return std::move(*parsed);
    refuse(pointer, parsed.problem());
    return {};
  }
  std::optional<Quantity> quantity(const Json& from, const char* key, const std::string& at) {
    const auto found = from.find(key);
    if (found == from.end()) return std::nullopt;
    return quantity_of(*found, pointer_to(at, key));
  }
  Millimetres millimetres_at(const Json& from, const char* key, const std::string& at,
                             Millimetres otherwise) {
    const auto found = from.find(key);
    return found == from.end() ? otherwise : length(*found, pointer_to(at, key));
  }
  Millimetres length(const Json& value, const std::string& pointer) {
    const Result<Millimetres> length = length_of(value);
    if (length) return *length;
    refuse(pointer, length.problem());
    return Millimetres(0.0);
  }
  Vec2 shift(const Json& pair, const std::string& at) {
    return {length(pair[0], pointer_to(at, std::size_t{0})).value(),
            length(pair[1], pointer_to(at, std::size_t{1})).value()};
  }

  static std::vector<std::string> texts(const Json& list) { return list.get<std::vector<std::string>>(); }
  static Vec2 place(const Json& pair) { return {pair[0].get<double>(), pair[1].get<double>()}; }
  static std::optional<std::string> text(const Json& from, const char* key) {
    const auto found = from.find(key);
    return found == from.end() ? std::nullopt : std::optional(found->get<std::string>());
  }

  // The value whose name stands in the file; the schema knows the same names.
  template <class Enum, std::size_t n>
  static Enum named(const Json& from, const char* key, const Enum (&all)[n], Enum otherwise) {
    const auto found = from.find(key);
    if (found == from.end()) return otherwise;
    for (const Enum one : all) {
      if (found->get_ref<const std::string&>() == name_of(one)) return one;
    }
    throw InvariantBroken(std::string("the schema lets a name through that the reader does not know, at ") +
                          key);
  }

  MeasureSpec measure(const std::string& name, const Json& from) {
    const std::string at = pointer_to("/measures", name);
    MeasureSpec spec;
    spec.name = name;
    spec.from_scale = from.contains("from_scale");
    spec.base = quantity(from, "base", at).value_or(Quantity{});
    spec.per_size = quantity(from, "per_size", at).value_or(Quantity{});
    spec.per_width = quantity(from, "per_width", at).value_or(Quantity{});
    spec.law = named(from, "law", {Law::kArithmetic, Law::kProportional}, Law::kArithmetic);
    if (const auto breaks = from.find("breaks"); breaks != from.end()) {
      for (std::size_t i = 0; i < breaks->size(); ++i) {
        const Json& stretch = (*breaks)[i];
        const std::string here = pointer_to(at + "/breaks", i);
        spec.breaks.push_back({stretch.at("from").get<std::string>(), stretch.at("to").get<std::string>(),
                               quantity(stretch, "per_size", here), quantity(stretch, "per_width", here)});
      }
    }
    spec.size_steps_per_width = fraction(from, "size_steps_per_width", at, 0);
    spec.source.text = from.value("source", "");
    spec.source.provenance = named(
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
      spec.sheet = SheetSpec{sheet->value("mirrored", false), sheet->value("turn", 0.0), {}};
      if (sheet->contains("by")) spec.sheet->by = place(sheet->at("by"));
    }
    spec.chain_gap = millimetres_at(from, "chain_gap", pointer_to("/drawings", name), spec.chain_gap);
    if (const auto fair = from.find("fair"); fair != from.end()) {
      const std::string at = pointer_to(pointer_to("/drawings", name), "fair");
      spec.fair.emplace();
      spec.fair->within = millimetres_at(*fair, "within", at, spec.fair->within);
      spec.fair->corners = fair->value("corners", spec.fair->corners);
      if (spec.fair->within <= Millimetres(0.0) || spec.fair->within > Millimetres(1.0))
        refuse(pointer_to(at, "within"),
               bad_value(fmt::format("curves must be faired within more than 0 and at most 1 mm, not {:g} mm",
                                     spec.fair->within.value())));
    }
    return spec;
  }

  FormeSpec forme(const std::string& name, const Json& from) {
    const std::string at = pointer_to("/formes", name);
    FormeSpec spec;
    spec.name = name;
    for (const auto& [point, where] : from.at("points").items()) spec.points.push_back({point, place(where)});
    const auto ends = texts(from.at("base_line"));
    spec.base_line = {ends[0], ends[1]};
    spec.fixed_point = from.at("fixed").get<std::string>();
    if (from.contains("role")) spec.stated_role = named(from, "role", kFormeRoles, FormeRole::kUpper);
    spec.length_line = from.at("length_line").get<std::string>();
    spec.girth_line = from.at("girth_line").get<std::string>();
    const Json& rules = from.at("rules");
    for (std::size_t i = 0; i < rules.size(); ++i)
      spec.rules.push_back(rule(rules[i], pointer_to(at + "/rules", i)));
    if (const auto last = from.find("rules_from_last"); last != from.end())
      spec.rules_from_last = RulesFromLast{last->at("file").get<std::string>(), texts(last->at("points"))};
    return spec;
  }

  Rule rule(const Json& from, const std::string& at) {
    if (from.contains("measure_line")) return line(from, "measure_line", at);
    if (from.contains("check_line")) return CheckLine{line(from, "check_line", at)};
    if (from.contains("point")) {
      return PointRule{from.at("point").get<std::string>(), shift(from.at("per_size"), at + "/per_size"),
                       shift(from.at("per_width"), at + "/per_width")};
    }
    if (from.contains("hold")) return Hold{texts(from.at("hold"))};
    if (from.contains("square")) {
      const Json& to = from.at("to");
      return Square{texts(from.at("square")), to.at(0).get<std::string>(), to.at(1).get<std::string>()};
    }
    return Straight{texts(from.at("straight"))};
  }

  MeasureLine line(const Json& from, const char* key, const std::string& at) {
    MeasureLine line{from.at(key).get<std::string>(),
                     from.at("from").get<std::string>(),
                     from.at("to").get<std::string>(),
                     {},
                     {}};
    if (const auto extra = from.find("extra"); extra != from.end())
      line.extra = length(*extra, pointer_to(at, "extra"));
    for (const auto& [measure_name, share] : from.at("carries").items()) {
      line.carries.emplace_back(measure_name, fraction_of(share, pointer_to(at + "/carries", measure_name)));
    }
    return line;
  }

  GirthSpec girth(const std::string& name, const Json& from) {
    GirthSpec spec{name, {}};
    for (std::size_t i = 0; i < from.size(); ++i) {
      spec.parts.push_back({from[i].at("forme").get<std::string>(), from[i].at("line").get<std::string>(),
                            fraction(from[i], "times", pointer_to(pointer_to("/girths", name), i), 1)});
    }
    return spec;
  }

  PieceSpec piece(const Json& from, const std::string& at) {
    PieceSpec spec;
    spec.name = from.at("name").get<std::string>();
    spec.forme = from.at("forme").get<std::string>();
    const Json& outline = from.at("outline");
    spec.source.drawing = outline.at("drawing").get<std::string>();
    spec.source.block = text(outline, "block");
    spec.source.layer = text(outline, "layer");
    if (const auto where = outline.find("at"); where != outline.end()) spec.source.at = place(*where);
    if (const auto lies = from.find("lies"); lies != from.end()) {
      if (Result<LiesSpec> read = read_lies(*lies)) {
        spec.lies = *std::move(read);
      } else {
        refuse(pointer_to(at, "lies") + read.problem().place.pointer, read.problem());
      }
    }
    spec.drawn = named(from, "drawn", {Drawn::kNet, Drawn::kCut}, Drawn::kNet);
    for (const auto& [name, spot] : from.at("corners").items()) {
      spec.corners.push_back(corner(name, spot));
    }
    const Json& edges = from.at("edges");
    for (std::size_t i = 0; i < edges.size(); ++i)
      spec.edges.push_back(edge(edges[i], pointer_to(at + "/edges", i)));
    spec.fold = text(from, "fold");
    for (EdgeSpec& one : spec.edges) one.straight = one.straight || one.name == spec.fold;
    spec.material = from.value("material", "");
    spec.hand = named(from, "hand", {Hand::kHanded, Hand::kSymmetric, Hand::kReversible}, Hand::kHanded);
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
      FeatureReader reader(document_, problems);
      for (std::size_t i = 0; i < features->size(); ++i)
        spec.features.push_back(reader.feature((*features)[i], pointer_to(at + "/features", i)));
    }
    return spec;
  }

  static CornerSpec corner(const std::string& name, const Json& from) {
    const Json& spot = from.is_object() ? from.at("at") : from;
    CornerSpec spec{name, spot.is_string() ? Spot(spot.get<std::string>()) : Spot(place(spot))};
    if (from.is_object()) spec.form = named(from, "form", kCornerForms, spec.form);
    return spec;
  }

  EdgeSpec edge(const Json& from, const std::string& at) {
    EdgeSpec spec;
    spec.name = from.at("name").get<std::string>();
    spec.from = from.at("from").get<std::string>();
    spec.to = from.at("to").get<std::string>();
    spec.treatment = named(from, "treatment", kTreatments, Treatment::kRaw);
    spec.allowance = millimetres_at(from, "allowance", at, Millimetres(0.0));
    if (const auto steps = from.find("allowance_from"); steps != from.end()) {
      for (const auto& [size, width] : steps->items()) {
        spec.allowance_from.push_back({size, length(width, pointer_to(at + "/allowance_from", size))});
      }
    }
    spec.straight = from.value("straight", false);
    spec.held = from.value("held", false);
    return spec;
  }

  SeamSpec seam(const Json& from, const std::string& at) {
    const auto side = [](const Json& one) {
      return SeamSide{one.at("piece").get<std::string>(), one.at("edge").get<std::string>()};
    };
    return {from.at("name").get<std::string>(), side(from.at("one")), side(from.at("other")),
            millimetres_at(from, "ease", at, Millimetres(0.0)), from.value("mirrored", false)};
  }

  const JsonDocument& document_;
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
  if (problems.size() >= kMostProblems) return;
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
  StyleReader reader(document);
  StyleSpec style = reader.style();
  style.references = std::move(references);
  read.problems.insert(read.problems.end(), reader.problems.begin(), reader.problems.end());
  for (StyleFault& fault : check_style(style)) {
    if (read.problems.size() >= kMostProblems) break;
    read.problems.push_back(document.bad(fault.pointer, std::move(fault.message)));
  }
  if (read.problems.empty()) read.style = std::move(style);
  return read;
}

}  // namespace lastwright
