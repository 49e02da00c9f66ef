#include "grading/draft/shoe_kind.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "grading/json/json_schema.hpp"
#include "grading/json/json_value.hpp"
#include "grading/measures/embedded.hpp"
#include "grading/sizes/plain_decimal.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

constexpr std::string_view kKindFolder = "reference-tables/kinds/";
constexpr std::array<std::pair<std::string_view, PointOn>, 8> kPlaces{{{"lower", PointOn::kLower},
                                                                       {"upper", PointOn::kUpper},
                                                                       {"inside", PointOn::kInside},
                                                                       {"outside", PointOn::kOutside},
                                                                       {"front", PointOn::kFront},
                                                                       {"back", PointOn::kBack},
                                                                       {"top line", PointOn::kTopLine},
                                                                       {"base", PointOn::kBase}}};

class KindReader {
 public:
  KindReader(const JsonDocument& document, ShoeKind& kind) : document_(document), kind_(kind) {}

  Status read() {
    const Json& root = document_.root;
    key_ = root.at("key").get<std::string>();
    kind_.keys.push_back(key_);
    kind_.sources.push_back(root.at("source").at("text").get<std::string>());
    for (const auto& [name, value] : items(root, "points")) {
      kind_.points[name] = read_point(name, value);
    }
    for (const Json& value : list(root, "lines")) {
      KindLine line = read_line(value, "/lines");
      std::erase_if(kind_.lines,
                    [&](const KindLine& one) { return one.name == line.name && one.forme == line.forme; });
      kind_.lines.push_back(std::move(line));
    }
    for (const Json& value : list(root, "squares"))
      kind_.squares.push_back(
          {value.at("at").get<std::string>(), fraction_of(value.at("below"), "/squares").value()});
    std::vector<KindOwn> own;
    for (const Json& value : list(root, "own")) own.push_back(read_own(value));
    kind_.own.insert(kind_.own.begin(), own.begin(), own.end());
    for (const auto& [name, value] : items(root, "measures")) {
      kind_.measures[name] = {fraction("/measures", name, "per_size", value),
                              fraction("/measures", name, "per_width", value),
                              value.at("source").get<std::string>()};
    }
    for (const auto& [name, value] : items(root, "girths")) {
      std::vector<KindGirthPart>& parts = kind_.girths[name];
      parts.clear();
      for (const Json& part : value) {
        parts.push_back({forme(part), part.at("line").get<std::string>(),
                         part.contains("times") ? fraction_of(part.at("times"), "/girths") : Fraction(1)});
      }
    }
    if (root.contains("over")) kind_.over = root.at("over").get<std::vector<std::string>>();
    for (const auto& [layer, roles] : items(root, "edges")) {
      for (const auto& [role, edge] : roles.items())
        kind_.edges[layer][role] = {treatment(edge.at("treatment").get<std::string>()),
                                    edge.at("allowance").get<double>()};
    }
    return status_;
  }

 private:
  using Named = std::vector<std::pair<std::string, Json>>;
  static Named items(const Json& root, const char* key) {
    Named all;
    if (!root.contains(key)) return all;
    for (const auto& [name, value] : root.at(key).items()) all.emplace_back(name, value);
    return all;
  }
  static std::vector<Json> list(const Json& root, const char* key) {
    return root.contains(key) ? root.at(key).get<std::vector<Json>>() : std::vector<Json>{};
  }

  static DraftKind forme(const Json& value) {
    return value.value("forme", "upper") == "bottom" ? DraftKind::kBottom : DraftKind::kUpper;
  }
  static PointOn place(const std::string& name) {
    const auto found =
        std::find_if(kPlaces.begin(), kPlaces.end(), [&](const auto& one) { return one.first == name; });
    invariant(found != kPlaces.end(),
              "the schema of kinds lets a place through that the reader does not know");
    return found->second;
  }
  static Treatment treatment(const std::string& name) {
    const auto* const found = std::find_if(std::begin(kTreatments), std::end(kTreatments),
                                           [&](Treatment one) { return name == name_of(one); });
    invariant(found != std::end(kTreatments), "the schema of kinds lets a treatment through");
    return *found;
  }
  Fraction fraction(const char* parent, const std::string& name, const char* key, const Json& value) {
    return fraction_of(value.at(key), pointer_to(pointer_to(parent, name), key));
  }
  Fraction fraction_of(const Json& value, const std::string& pointer) {
    const Result<Fraction> parsed = parse_fraction(without_exponent(text_of(value)));
    if (parsed) return *parsed;
    if (status_) status_ = document_.bad(pointer, parsed.problem().message);
    return 0;
  }
  KindPoint read_point(const std::string& name, const Json& value) {
    KindPoint point{forme(value), place(value.at("on").get<std::string>()), 0.0, value.value("under", "")};
    if ((point.on == PointOn::kBase) != value.contains("under") ||
        (point.on == PointOn::kBase) == value.contains("share")) {
      if (status_)
        status_ = document_.bad(
            pointer_to("/points", name),
            "a point on the base says \"under\" which point it stands, and any other its \"share\"");
      return point;
    }
    if (value.contains("share")) point.share = fraction("/points", name, "share", value).value();
    return point;
  }
  KindLine read_line(const Json& value, const std::string& at) {
    KindLine line;
    line.name = value.at("line").get<std::string>();
    line.forme = forme(value);
    line.from = value.at("from").get<std::string>();
    line.to = value.at("to").get<std::string>();
    line.share_of = value.value("share_of", "");
    line.check = value.value("check", false);
    line.own_length = value.value("own_length", false);
    line.kind = key_;
    for (const auto& [measure, share] : items(value, "carries"))
      line.carries.emplace_back(measure, fraction_of(share, at));
    if (line.carries.empty() == line.share_of.empty() && status_)
      status_ = document_.bad(
          at, fmt::format("the line {} must say either what it \"carries\" or what it is a \"share_of\"",
                          line.name));
    return line;
  }
  KindOwn read_own(const Json& value) {
    KindOwn own;
    own.words = value.at("words").get<std::vector<std::string>>();
    own.constant_width = value.value("constant_width", false);
    own.hold_ends = value.value("hold_ends", false);
    own.kind = key_;
    for (const Json& line : value.at("lines")) own.lines.push_back(read_line(line, "/own"));
    return own;
  }

  const JsonDocument& document_;
  ShoeKind& kind_;
  std::string key_;
  Status status_ = Done{};
};

const char* role_key(EdgeRole role) {
  switch (role) {
    case EdgeRole::kFeather:
      return "feather";
    case EdgeRole::kBack:
      return "back";
    case EdgeRole::kTopLine:
      return "top line";
    case EdgeRole::kSeam:
      return "seam";
    case EdgeRole::kFold:
    case EdgeRole::kPlain:
      break;
  }
  return "plain";
}

UsualEdge found_edge(const std::map<std::string, std::map<std::string, UsualEdge>>& edges,
                     const std::string& layer, const std::string& role) {
  const auto of_layer = edges.find(layer);
  if (of_layer == edges.end()) return {};
  const auto found = of_layer->second.find(role);
  return found == of_layer->second.end() ? UsualEdge{} : found->second;
}

}  // namespace

UsualEdge ShoeKind::usual(const std::string& layer, EdgeRole role) const {
  if (role == EdgeRole::kFold) return {Treatment::kFold, 0.0};
  return found_edge(edges, layer, role_key(role));
}

UsualEdge ShoeKind::lap(const std::string& layer) const {
  return found_edge(edges, layer, "lap");
}

bool ShoeKind::under(const std::string& one, double one_area, const std::string& other,
                     double other_area) const {
  const auto rank = [&](const std::string& name) -> std::optional<std::size_t> {
    std::optional<std::size_t> last;
    for (std::size_t i = 0; i < over.size(); ++i) {
      if (name.find(over[i]) != std::string::npos) last = i;
    }
    return last;
  };
  const auto here = rank(one);
  const auto there = rank(other);
  if (here && there && *here != *there) return *here < *there;
  if (std::abs(one_area - other_area) > 0.01 * one_area) return one_area > other_area;
  return one < other;
}

const KindOwn& ShoeKind::own_of(const std::string& piece, bool constant_width) const {
  for (const KindOwn& one : own) {
    if (one.constant_width && constant_width) return one;
    for (const std::string& word : one.words) {
      if (word == "*" || (piece.find(word) != std::string::npos && (!one.constant_width || constant_width)))
        return one;
    }
  }
  invariant(!own.empty(), "the kind that every draft starts from knows every piece");
  return own.back();
}

std::vector<std::string> shoe_kinds() {
  std::vector<std::string> keys;
  for (const EmbeddedFile& file : embedded_files()) {
    if (!file.name.starts_with(kKindFolder) || !file.name.ends_with(".json")) continue;
    const std::string key(file.name.substr(kKindFolder.size(), file.name.size() - kKindFolder.size() - 5));
    if (key != "schema" && key != "shoe") keys.push_back(key);
  }
  return keys;
}

const JsonSchema& kind_schema() {
  static const JsonSchema schema(embedded_file("reference-tables/kinds/schema.json").value());
  return schema;
}

Status lay_kind_over(ShoeKind& kind, std::string_view text, const std::string& file) {
  const Result<JsonDocument> document = parse_json(text, file);
  if (!document) return document.problem();
  if (std::vector<Problem> problems = kind_schema().check(*document); !problems.empty())
    return problems.front();
  return KindReader(*document, kind).read();
}

Status lay_known_kind_over(ShoeKind& kind, const std::string& key) {
  const auto text = embedded_file(std::string(kKindFolder) + key + ".json");
  if (text && key != "schema") return lay_kind_over(kind, *text, "");
  std::string message = fmt::format("there is no kind of shoe \"{}\"{}", key, suggestion(key, shoe_kinds()));
  std::string known;
  for (const std::string& one : shoe_kinds()) known += (known.empty() ? "" : ", ") + one;
  if (message.find("(known: ") == std::string::npos) message += "; there are " + known;
  Problem problem = bad_value(std::move(message));
  problem.trouble = Trouble::kUsage;
  return problem;
}

Result<ShoeKind> shoe_kind(const std::vector<std::string>& keys) {
  ShoeKind kind;
  std::vector<std::string> all{"shoe"};
  all.insert(all.end(), keys.begin(), keys.end());
  for (const std::string& key : all) {
    if (const Status laid = lay_known_kind_over(kind, key); !laid) return laid.problem();
  }
  return kind;
}

}  // namespace lastwright
