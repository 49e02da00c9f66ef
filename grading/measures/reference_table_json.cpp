#include "grading/measures/reference_table_json.hpp"

#include <fmt/format.h>

#include <set>

#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/measures/measure_json.hpp"

namespace lastwright {
namespace {

// Width steps between neighbours of a ladder.
constexpr std::int64_t kMostWidthStep = 10;
// More sizes than any scale has; keeps a slip of the pen from costing minutes.
constexpr std::int64_t kMostSizes = 2000;

Source source_of(const Json& root) {
  const Json& node = root.at("source");
  return {node.at("text").get<std::string>(), node.value("edition", ""),
          provenance_of(node.at("provenance").get<std::string>())};
}

std::vector<std::string> notes_of(const Json& root) {
  return root.contains("notes") ? root.at("notes").get<std::vector<std::string>>()
                                : std::vector<std::string>{};
}

Sizes of_what(const std::string& name) {
  return name == "foot" ? Sizes::kFoot : Sizes::kLast;
}

template <class Table>
void take_header(const JsonDocument& document, Table& table) {
  table.key = document.root.at("key").template get<std::string>();
  table.title = document.root.at("title").template get<std::string>();
  table.source = source_of(document.root);
  table.notes = notes_of(document.root);
}

Result<ScaleRun> run_at(const JsonDocument& document, std::size_t index) {
  const std::string pointer = pointer_to("/runs", index);
  const Json& node = document.root.at("runs").at(index);
  ScaleRun run;
  run.prefix = node.value("prefix", "");
  run.label_step = 1;
  run.smallest = 1;
  bool has_position = false;
  struct Field {
    const char* key;
    Fraction* value;
  };
  for (const Field& field :
       {Field{"from", &run.first_label}, Field{"to", &run.last_label}, Field{"position", &run.first_position},
        Field{"label_step", &run.label_step}, Field{"smallest", &run.smallest}}) {
    if (!node.contains(field.key)) continue;
    const Result<Fraction> value = fraction_at(document, pointer_to(pointer, field.key));
    if (!value) return value.problem();
    *field.value = *value;
    has_position = has_position || field.value == &run.first_position;
  }
  if (run.label_step <= 0)
    return document.bad(pointer_to(pointer, "label_step"), "a label step must be above 0");
  if (run.smallest <= 0 || run.smallest > 1) {
    return document.bad(pointer_to(pointer, "smallest"),
                        fmt::format("the smallest part of a size is {}; above 0 and at most 1 will do",
                                    to_mixed(run.smallest)));
  }
  if (!has_position) run.first_position = run.first_label / run.label_step;
  if (node.contains("covered")) {
    Fraction ends[2];
    for (const int end : {0, 1}) {
      const std::string at = pointer_to(pointer_to(pointer, "covered"), end == 0 ? "from" : "to");
      const Result<Fraction> value = fraction_at(document, at);
      if (!value) return value.problem();
      if (*value < run.first_label || *value > run.last_label)
        return document.bad(at, "what the source covers must lie within the stretch");
      ends[end] = run.first_position + (*value - run.first_label) / run.label_step;
    }
    run.covered = {ends[0], ends[1]};
  }
  const Fraction parts = (run.last_label - run.first_label) / run.label_step / run.smallest;
  if (parts < 0 || parts.denominator() != 1) {
    return document.bad(
        pointer_to(pointer, "to"),
        fmt::format("the sizes from {} in steps of {} do not meet {}", to_decimal(run.first_label),
                    to_mixed(run.label_step * run.smallest), to_decimal(run.last_label)));
  }
  if (parts > kMostSizes) {
    return document.bad(pointer, fmt::format("the stretch has {} sizes; at most {} will do",
                                             to_mixed(parts + 1), kMostSizes));
  }
  return run;
}

// Every size must be found again by the label it is stamped with.
Status check_labels(const JsonDocument& document, const Scale& scale) {
  std::optional<Fraction> before;
  for (std::size_t i = 0; i < scale.runs.size(); ++i) {
    const ScaleRun& run = scale.runs[i];
    const std::int64_t parts =
        ((run.last_label - run.first_label) / run.label_step / run.smallest).numerator();
    for (std::int64_t k = 0; k <= parts; ++k) {
      const Fraction position = run.first_position + run.smallest * k;
      if (before && position <= *before) {
        return document.bad(pointer_to("/runs", i),
                            "a stretch must start above the end of the one before it");
      }
      before = position;
      const std::optional<Size> made = scale.at(position);
      const Result<Size> found = made ? scale.size(made->label) : Result<Size>(Size{});
      if (!found || found->position != position) {
        return document.bad(pointer_to("/runs", i),
                            fmt::format("the label \"{}\" stands for two sizes", made ? made->label : ""));
      }
    }
  }
  return Done{};
}

Result<std::optional<Width>> width_at(const JsonDocument& document, const std::string& pointer,
                                      const Json& node, const Ladder* ladder) {
  if (!node.contains("width")) return std::optional<Width>{};
  if (!ladder) return document.bad(pointer, "a width is given, but the table names no ladder");
  const Result<Width> width = ladder->width(node.at("width").get<std::string>());
  if (!width) return document.bad(pointer_to(pointer, "width"), width.problem().message);
  return std::optional<Width>(*width);
}

// Half of the last digit or fraction of "4 9/16", "23.5", "219", in the unit of the text.
Fraction half_of_last_digit(const std::string& printed, Fraction value) {
  const std::size_t point = printed.find('.');
  if (point == std::string::npos) return Fraction(1, 2 * value.denominator());
  Fraction half(1, 2);
  for (std::size_t i = point + 1; i < printed.size(); ++i) half = half / 10;
  return half;
}

// "8 1/2" in a column of sixteenths is printed to a sixteenth;
// decimals and fractions say nothing of each other.
void keep_finest_digits(PrintedTable& table) {
  const auto notes = [](const PrintedCell& cell, char sign) {
    return cell.printed.find(sign) != std::string::npos;
  };
  const auto column = [](const PrintedCell& cell) {
    return std::pair(cell.measure, cell.width ? cell.width->label : std::string());
  };
  const std::vector<PrintedCell> printed = table.cells;
  for (PrintedCell& cell : table.cells) {
    for (const PrintedCell& other : printed) {
      const bool unlike = (notes(cell, '.') && notes(other, '/')) || (notes(cell, '/') && notes(other, '.'));
      if (column(other) == column(cell) && !unlike && other.half_digit < cell.half_digit)
        cell.half_digit = other.half_digit;
    }
  }
}

}  // namespace

TableEntry table_entry(const JsonDocument& document) {
  return {document.root.at("kind").get<std::string>(), document.root.at("key").get<std::string>(),
          document.root.at("title").get<std::string>(), source_of(document.root), document.file};
}

Result<Scale> scale_from(const JsonDocument& document) {
  Scale scale;
  take_header(document, scale);
  scale.sizes = of_what(document.root.at("sizes").get<std::string>());
  const Result<Quantity> zero = quantity_at(document, "/zero_length");
  if (!zero) return zero.problem();
  scale.zero_length = zero->millimetres;
  const Result<Quantity> step = quantity_at(document, "/step");
  if (!step) return step.problem();
  scale.step = step->millimetres;
  if (scale.step <= 0)
    return document.bad("/step", fmt::format("the step is {}; it must be above 0", step->written));
  scale.truncated_labels = document.root.value("labels", "exact") == "truncated";
  for (std::size_t i = 0; i < document.root.at("runs").size(); ++i) {
    const Result<ScaleRun> run = run_at(document, i);
    if (!run) return run.problem();
    scale.runs.push_back(*run);
  }
  if (const Status sound = check_labels(document, scale); !sound) return sound.problem();
  const Size first{scale.runs.front().first_position, {}};
  if (scale.length(first) <= 0) {
    return document.bad("/zero_length", fmt::format("the first size is {} mm long; it must be above 0",
                                                    to_decimal(scale.length(first))));
  }
  return scale;
}

Result<Ladder> ladder_from(const JsonDocument& document) {
  Ladder ladder;
  take_header(document, ladder);
  ladder.labels = document.root.at("labels").get<std::vector<std::string>>();
  if (!document.root.contains("steps")) return ladder;
  const std::size_t count = document.root.at("steps").size();
  if (count + 1 != ladder.labels.size()) {
    return document.bad("/steps", fmt::format("{} steps between {} widths; one fewer than widths will do",
                                              count, ladder.labels.size()));
  }
  ladder.positions.emplace_back(0);
  for (std::size_t i = 0; i < count; ++i) {
    const std::string pointer = pointer_to("/steps", i);
    const Result<Fraction> step = fraction_at(document, pointer);
    if (!step) return step.problem();
    if (*step <= 0 || *step > kMostWidthStep)
      return document.bad(
          pointer, fmt::format("a step from width to width must be above 0 and at most {}", kMostWidthStep));
    ladder.positions.push_back(ladder.positions.back() + *step);
  }
  return ladder;
}

Result<PrintedTable> printed_from(const JsonDocument& document, const Scale& scale, const Ladder* ladder) {
  const Json& root = document.root;
  PrintedTable table;
  take_header(document, table);
  table.scale = scale.key;
  table.ladder = ladder ? ladder->key : "";
  table.of = of_what(root.at("of").get<std::string>());
  table.unit = root.at("unit").get<std::string>();
  const Fraction per_unit = parse_quantity("1 " + table.unit)->millimetres;
  std::vector<std::optional<Width>> widths;
  for (std::size_t c = 0; c < root.at("columns").size(); ++c) {
    const auto width = width_at(document, pointer_to("/columns", c), root.at("columns").at(c), ladder);
    if (!width) return width.problem();
    widths.push_back(*width);
  }
  std::vector<std::vector<std::string>> doubts(root.at("rows").size(),
                                               std::vector<std::string>(widths.size()));
  const Json doubted = root.value("not_evidence", Json::array());
  for (std::size_t i = 0; i < doubted.size(); ++i) {
    const Json& doubt = doubted.at(i);
    const auto column = doubt.at("column").get<std::size_t>();
    bool known = false;
    for (std::size_t r = 0; r < doubts.size() && column < widths.size(); ++r) {
      if (root.at("rows").at(r).at("size") != doubt.at("size")) continue;
      doubts[r][column] = doubt.at("why").get<std::string>();
      known = true;
    }
    if (!known) return document.bad(pointer_to("/not_evidence", i), "there is no such cell");
  }
  for (std::size_t r = 0; r < doubts.size(); ++r) {
    const std::string pointer = pointer_to("/rows", r);
    const Json& row = root.at("rows").at(r);
    const Result<Size> size = scale.size(row.at("size").get<std::string>());
    if (!size) return document.bad(pointer_to(pointer, "size"), size.problem().message);
    const Json& values = row.at("values");
    if (values.size() != widths.size()) {
      return document.bad(
          pointer_to(pointer, "values"),
          fmt::format("{} values where the table has {} columns", values.size(), widths.size()));
    }
    for (std::size_t c = 0; c < widths.size(); ++c) {
      if (values.at(c).is_null()) continue;
      const std::string printed = values.at(c).get<std::string>();
      const Result<Fraction> value = parse_fraction(printed);
      if (!value) return document.bad(pointer_to(pointer_to(pointer, "values"), c), value.problem().message);
      table.cells.push_back({root.at("columns").at(c).at("measure").get<std::string>(), *size, widths[c],
                             printed, *value * per_unit, half_of_last_digit(printed, *value) * per_unit,
                             doubts[r][c]});
    }
  }
  keep_finest_digits(table);
  return table;
}

Result<RuledTable> ruled_from(const JsonDocument& document, const Scale& scale, const Ladder* ladder) {
  const Json& root = document.root;
  RuledTable ruled;
  take_header(document, ruled);
  ruled.scale = scale.key;
  ruled.ladder = ladder ? ladder->key : "";
  ruled.of = of_what(root.at("of").get<std::string>());
  const Result<Size> size = scale.size(root.at("base").at("size").get<std::string>());
  if (!size) return document.bad("/base/size", size.problem().message);
  const auto width = width_at(document, "/base", root.at("base"), ladder);
  if (!width) return width.problem();
  if (ladder && !*width) return document.bad("/base", "the table names a ladder, so its base needs a width");
  const Base base{{*size, width->value_or(Width{})}, scale.length(*size), scale.step};
  std::vector<Measure> measures;
  for (const auto& [name, node] : root.at("measures").items()) {
    Result<Measure> measure = measure_at(document, pointer_to("/measures", name), name, scale);
    if (!measure) return measure.problem();
    if (measure->source.text.empty()) measure->source = ruled.source;
    measures.push_back(*std::move(measure));
  }
  Result<MeasureTable> table = MeasureTable::build(std::move(measures), base);
  if (!table) return document.bad("/measures", table.problem().message);
  ruled.table = *std::move(table);
  const Json printed = root.value("printed", Json::object());
  for (const auto& [name, ends] : printed.items()) {
    const std::string pointer = pointer_to("/printed", name);
    const auto index = ruled.table.index(name);
    if (!index) return document.bad(pointer, "the table has no such measure");
    const Result<Size> from = scale.size(ends.at("from").get<std::string>());
    if (!from) return document.bad(pointer_to(pointer, "from"), from.problem().message);
    const Result<Size> to = scale.size(ends.at("to").get<std::string>());
    if (!to) return document.bad(pointer_to(pointer, "to"), to.problem().message);
    ruled.printed[*index] = {*from, *to};
  }
  return ruled;
}

Result<std::vector<IncrementStatement>> increments_from(const JsonDocument& document) {
  std::vector<IncrementStatement> all;
  for (std::size_t i = 0; i < document.root.at("rows").size(); ++i) {
    const Json& row = document.root.at("rows").at(i);
    const Result<Quantity> value = quantity_at(document, pointer_to(pointer_to("/rows", i), "value"));
    if (!value) return value.problem();
    all.push_back({row.at("system").get<std::string>(), row.at("measure").get<std::string>(),
                   row.at("per").get<std::string>(), row.value("where", ""), *value,
                   Source{row.at("source").get<std::string>(), "",
                          provenance_of(row.at("provenance").get<std::string>())},
                   row.value("conflict", "")});
  }
  return all;
}

Result<std::vector<LimitRow>> limits_from(const JsonDocument& document) {
  std::vector<LimitRow> all;
  for (std::size_t i = 0; i < document.root.at("rows").size(); ++i) {
    const Json& row = document.root.at("rows").at(i);
    const std::string pointer = pointer_to("/rows", i);
    LimitRow limit;
    limit.measure = row.at("measure").get<std::string>();
    limit.within_pair = row.at("of") == "pair";
    for (const auto& [key, side] : {std::pair{"below", &limit.below}, std::pair{"above", &limit.above}}) {
      Result<Quantity> value = quantity_at(document, pointer_to(pointer, key));
      if (!value) return value.problem();
      if (value->millimetres < 0) return document.bad(pointer_to(pointer, key), "a limit cannot be below 0");
      *side = *std::move(value);
    }
    limit.source = {row.at("source").get<std::string>(), "",
                    provenance_of(row.at("provenance").get<std::string>())};
    all.push_back(std::move(limit));
  }
  return all;
}

}  // namespace lastwright
