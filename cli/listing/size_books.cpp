#include "cli/listing/size_books.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace lastwright {
namespace {

// Inch fractions finer than this are no rule's: 1/96 = a third of 1/32.
constexpr std::int64_t kFinestInch = 96;

}  // namespace

ListingCell millimetre_cell(Fraction value) {
  return exact_figure(value, 2);
}

void add_notes(Listing& table, const Source& source, const std::vector<std::string>& notes) {
  table.notes.push_back(source_line(source));
  table.notes.insert(table.notes.end(), notes.begin(), notes.end());
}

std::string source_line(const Source& source) {
  std::string text = "source: " + (source.text.empty() ? std::string("none named") : source.text);
  if (!source.edition.empty()) text += ", " + source.edition;
  return text + " (" + name_of(source.provenance) + ")";
}

std::string inch_text(Fraction millimetres) {
  const Fraction inches = millimetres * Fraction(5, 127);
  if (inches.denominator() <= kFinestInch) return to_mixed(inches);
  return "~" + to_inches(millimetres, 32);
}

void add_remarks(Listing& table, std::vector<std::string> remarks) {
  if (std::all_of(remarks.begin(), remarks.end(), [](const auto& one) { return one.empty(); })) return;
  table.columns.push_back({"remark", "remark", "", true});
  for (std::size_t r = 0; r < table.rows.size(); ++r) table.rows[r].emplace_back(std::move(remarks[r]));
}

namespace {

std::vector<std::string> carried_on(const Scale& scale, std::span<const Size> sizes) {
  std::vector<std::string> remarks;
  for (const Size& size : sizes) remarks.emplace_back(scale.carried_on(size) ? kCarriedOn : "");
  return remarks;
}

Listing lengths_of_scale(const Scale& scale, std::span<const Size> sizes);

}  // namespace

Listing list_of_tables(const ReferenceTables& tables, std::string_view kind) {
  Listing list{"tables",
               {},
               {{"kind", "kind", "", true},
                {"key", "key", "", true},
                {"title", "title", "", true},
                {"provenance", "provenance", "", true},
                {"source", "source", "", true}},
               {},
               {}};
  for (const TableEntry& entry : tables.list(kind)) {
    std::string source = entry.source.text;
    if (!entry.source.edition.empty()) source += ", " + entry.source.edition;
    if (!entry.file.empty()) source += " [" + entry.file + "]";
    list.rows.push_back(
        {entry.kind, entry.key, entry.title, std::string(name_of(entry.source.provenance)), source});
  }
  return list;
}

Listing run_of_scale(const Scale& scale, std::span<const Size> sizes) {
  Listing table = lengths_of_scale(scale, sizes);
  add_remarks(table, carried_on(scale, sizes));
  return table;
}

namespace {

Listing lengths_of_scale(const Scale& scale, std::span<const Size> sizes) {
  Listing table{scale.key,
                fmt::format("{} ({} length)", scale.title, name_of(scale.sizes)),
                {{"size", "size", "", true},
                 {"length_mm", "length", "mm", false},
                 {"length_in", "length", "in", false}},
                {},
                {}};
  bool rounded = false;
  for (const Size& size : sizes) {
    const Fraction length = scale.length(size);
    table.rows.push_back({size.label, millimetre_cell(length), inch_text(length)});
    rounded = rounded || inch_text(length).starts_with('~');
  }
  add_notes(table, scale.source, scale.notes);
  if (rounded) table.notes.push_back("inches with ~ are the nearest 1/32");
  return table;
}

}  // namespace

Listing run_with_measures(const Scale& scale, std::span<const Size> sizes, const Width& width,
                          const MeasureTable& measures) {
  Listing table = lengths_of_scale(scale, sizes);
  table.title += fmt::format(", measures in width {}", width.label);
  for (const Measure& measure : measures.measures()) {
    std::string key = measure.name + "_mm";
    for (char& c : key) {
      if (c == ' ') c = '_';
    }
    table.columns.push_back({key, measure.name, "mm", false});
  }
  for (std::size_t r = 0; r < sizes.size(); ++r) {
    for (std::size_t i = 0; i < measures.size(); ++i) {
      table.rows[r].push_back(millimetre_cell(measures.exact(i, {sizes[r], width})));
    }
  }
  add_remarks(table, carried_on(scale, sizes));
  return table;
}

Result<Listing> run_converted(const Scale& from, std::span<const Size> sizes, const Scale& to,
                              std::span<const Allowance> allowances) {
  const auto converted = convert_sizes(from, sizes, to, allowances);
  if (!converted) return converted.problem();
  Listing table{"conversion",
                fmt::format("{} to {}", from.title, to.title),
                {{"size", "size", "", true},
                 {"length_mm", std::string(name_of(from.sizes)) + " length", "mm", false},
                 {"wanted_mm", std::string(name_of(to.sizes)) + " length wanted", "mm", false},
                 {"to_size", "size there", "", true},
                 {"to_length_mm", "its length", "mm", false},
                 {"off_mm", "difference", "mm", false}},
                {},
                {}};
  std::vector<std::string> remarks;
  for (const ConvertedSize& one : *converted) {
    std::string& remark = remarks.emplace_back();
    if (one.as_near) remark = fmt::format("half way: {} is as near", one.as_near->label);
    if (from.carried_on(one.from) || (one.to && to.carried_on(*one.to)))
      remark += (remark.empty() ? "" : "; ") + std::string(kCarriedOn);
    std::vector<ListingCell> row{one.from.label, millimetre_cell(one.from_length),
                                 millimetre_cell(one.wanted_length)};
    if (one.to) {
      row.insert(row.end(), {one.to->label, millimetre_cell(to.length(*one.to)), millimetre_cell(one.off)});
    } else {
      row.insert(row.end(), {std::string("beyond"), ListingCell{}, ListingCell{}});
    }
    table.rows.push_back(std::move(row));
  }
  add_remarks(table, std::move(remarks));
  for (const Allowance& allowance : allowances) {
    table.notes.push_back(
        fmt::format("allowance {}: {} {} the foot's length ({})", allowance.name, allowance.amount.written,
                    to.sizes == Sizes::kLast ? "added to" : "taken off the last's to get",
                    allowance.source.empty() ? "given by the user, no source named" : allowance.source));
  }
  table.notes.push_back("size there: the nearest one the scale makes; half way goes to the larger");
  for (const Scale* scale : {&from, &to}) {
    table.notes.push_back(scale->key + ": " + source_line(scale->source));
    for (const std::string& note : scale->notes) table.notes.push_back(scale->key + ": " + note);
    if (&from == &to) break;
  }
  return table;
}

}  // namespace lastwright
