#include "grading/measures/reference_tables.hpp"

#include <fmt/format.h>

#include <array>

#include "grading/json/json_schema.hpp"
#include "grading/measures/embedded.hpp"
#include "grading/measures/reference_table_json.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {
namespace {

constexpr std::array<std::string_view, 7> kKinds{"increments", "ladder",  "limits", "marking",
                                                 "measures",   "printed", "scale"};
constexpr std::string_view kFolder = "reference-tables/";

struct BuiltIn {
  std::string_view kind;
  std::string_view key;
  std::string_view text;
};

// From the file's name: "reference-tables/scale-english.json". A test holds names and contents together.
std::optional<BuiltIn> built_in(const EmbeddedFile& file) {
  if (!file.name.starts_with(kFolder) || !file.name.ends_with(".json")) return std::nullopt;
  const std::string_view stem = file.name.substr(kFolder.size(), file.name.size() - kFolder.size() - 5);
  for (const std::string_view kind : kKinds) {
    if (stem.starts_with(kind) && stem.size() > kind.size() + 1 && stem[kind.size()] == '-') {
      return BuiltIn{kind, stem.substr(kind.size() + 1), file.text};
    }
  }
  return std::nullopt;
}

// `file`: what is named where its content is not sound.
JsonDocument read_built_in(const BuiltIn& table, std::string file = {}) {
  Result<JsonDocument> document = parse_json(table.text, std::move(file));
  invariant(document.ok(), "a built-in table is not sound JSON");
  return *std::move(document);
}

}  // namespace

const JsonSchema& table_schema() {
  static const JsonSchema schema(embedded_file("reference-tables/schema.json").value());
  return schema;
}

struct ReferenceTables::Own {
  std::string kind;
  std::string key;
  JsonDocument document;
};

Status ReferenceTables::add(std::string_view text, std::string file) {
  Result<JsonDocument> read = parse_json(text, std::move(file));
  if (!read) return read.problem();
  JsonDocument& document = *read;
  const Json& root = document.root;
  if (root.is_object() && root.contains("kind") && root.at("kind").is_string()) {
    const std::string kind = root.at("kind").get<std::string>();
    const std::vector<std::string> kinds(kKinds.begin(), kKinds.end());
    if (std::find(kinds.begin(), kinds.end(), kind) == kinds.end()) {
      return document.bad("/kind", fmt::format("there is no kind of table {}{}", shown(root.at("kind")),
                                               suggestion(kind, kinds)));
    }
  } else if (root.is_object()) {
    return document.bad("", "a table says what kind it is: \"kind\": \"scale\", \"ladder\", ...");
  }
  const std::vector<Problem> faults = table_schema().check(document);
  if (!faults.empty()) {
    Problem first = faults.front();
    if (faults.size() > 1) first.message += fmt::format("; {} more faults follow", faults.size() - 1);
    return first;
  }
  const std::string kind = root.at("kind").get<std::string>();
  const std::string key = root.at("key").get<std::string>();
  for (const TableEntry& entry : list(kind)) {
    if (entry.key == key)
      return document.bad("/key", fmt::format("there is already a {} table \"{}\"", kind, key));
  }
  own_.push_back(std::make_shared<const Own>(Own{kind, key, std::move(document)}));
  Status sound = check_content(kind, key);
  if (!sound) own_.pop_back();
  return sound;
}

Status ReferenceTables::check_content(std::string_view kind, std::string_view key) const {
  const auto status = [](const auto& result) { return result ? Status(Done{}) : Status(result.problem()); };
  if (kind == "scale") return status(find_scale(key));
  if (kind == "ladder") return status(find_ladder(key));
  if (kind == "printed") return status(find_printed(key));
  if (kind == "measures") return status(find_ruled(key));
  if (kind == "marking") return status(find_marking(key));
  if (kind == "increments") return status(find_increments(key));
  return status(find_limits(key));
}

std::vector<TableEntry> ReferenceTables::list(std::string_view kind) const {
  std::vector<TableEntry> all;
  for (const EmbeddedFile& file : embedded_files()) {
    const auto table = built_in(file);
    if (table && (kind.empty() || kind == table->kind)) all.push_back(table_entry(read_built_in(*table)));
  }
  for (const std::shared_ptr<const Own>& own : own_) {
    if (kind.empty() || kind == own->kind) all.push_back(table_entry(own->document));
  }
  return all;
}

Result<JsonDocument> ReferenceTables::document(std::string_view kind, std::string_view key) const {
  for (const std::shared_ptr<const Own>& own : own_) {
    if (own->kind == kind && own->key == key) return own->document;
  }
  std::vector<std::string> known;
  for (const EmbeddedFile& file : embedded_files()) {
    const auto table = built_in(file);
    if (!table || table->kind != kind) continue;
    if (table->key == key) return read_built_in(*table, std::string(file.name));
    known.emplace_back(table->key);
  }
  for (const std::shared_ptr<const Own>& own : own_) {
    if (own->kind == kind) known.push_back(own->key);
  }
  return Problem{Trouble::kBadValue,
                 fmt::format("there is no {} table \"{}\"{}; \"lastwright sizes --list\" shows all", kind,
                             key, suggestion(key, known)),
                 {},
                 {},
                 {}};
}

Result<Scale> ReferenceTables::find_scale(std::string_view key) const {
  const Result<JsonDocument> found = document("scale", key);
  return found ? scale_from(*found) : Result<Scale>(found.problem());
}

Result<Ladder> ReferenceTables::find_ladder(std::string_view key) const {
  const Result<JsonDocument> found = document("ladder", key);
  return found ? ladder_from(*found) : Result<Ladder>(found.problem());
}

namespace {

// The scale and the ladder that a table of cells names.
struct Frame {
  Scale scale;
  std::optional<Ladder> ladder;
  [[nodiscard]] const Ladder* ladder_or_none() const { return ladder ? &*ladder : nullptr; }
};

Result<Frame> frame_of(const ReferenceTables& tables, const JsonDocument& document) {
  Result<Scale> scale = tables.find_scale(document.root.at("scale").get<std::string>());
  if (!scale) return document.bad("/scale", scale.problem().message);
  Frame frame{*std::move(scale), {}};
  if (document.root.contains("ladder")) {
    Result<Ladder> ladder = tables.find_ladder(document.root.at("ladder").get<std::string>());
    if (!ladder) return document.bad("/ladder", ladder.problem().message);
    frame.ladder = *std::move(ladder);
  }
  return frame;
}

}  // namespace

Result<PrintedTable> ReferenceTables::find_printed(std::string_view key) const {
  const Result<JsonDocument> found = document("printed", key);
  if (!found) return found.problem();
  const Result<Frame> frame = frame_of(*this, *found);
  return frame ? printed_from(*found, frame->scale, frame->ladder_or_none())
               : Result<PrintedTable>(frame.problem());
}

Result<RuledTable> ReferenceTables::find_ruled(std::string_view key) const {
  const Result<JsonDocument> found = document("measures", key);
  if (!found) return found.problem();
  const Result<Frame> frame = frame_of(*this, *found);
  return frame ? ruled_from(*found, frame->scale, frame->ladder_or_none())
               : Result<RuledTable>(frame.problem());
}

Result<MarkingTable> ReferenceTables::find_marking(std::string_view key) const {
  const Result<JsonDocument> found = document("marking", key);
  if (!found) return found.problem();
  const Result<Frame> frame = frame_of(*this, *found);
  return frame ? marking_from(*found, frame->scale) : Result<MarkingTable>(frame.problem());
}

Result<std::vector<IncrementStatement>> ReferenceTables::find_increments(std::string_view key) const {
  const Result<JsonDocument> found = document("increments", key);
  return found ? increments_from(*found) : Result<std::vector<IncrementStatement>>(found.problem());
}

Result<std::vector<LimitRow>> ReferenceTables::find_limits(std::string_view key) const {
  const Result<JsonDocument> found = document("limits", key);
  return found ? limits_from(*found) : Result<std::vector<LimitRow>>(found.problem());
}

}  // namespace lastwright
