#include "cli/listing/girth_books.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "cli/listing/size_books.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

Result<std::vector<std::size_t>> asked_measures(const LoadedStyle& style,
                                                const std::vector<std::string>& names) {
  std::vector<std::size_t> asked;
  std::vector<std::string> known;
  for (const Measure& measure : style.measures.measures()) known.push_back(measure.name);
  for (const std::string& name : names) {
    const auto index = style.measures.index(name);
    if (!index) {
      return Problem{Trouble::kUsage,
                     fmt::format("the style has no measure \"{}\"{}", name, suggestion(name, known)),
                     {},
                     {},
                     {}};
    }
    if (std::find(asked.begin(), asked.end(), *index) != asked.end())
      return Problem{Trouble::kUsage, fmt::format("the measure \"{}\" is asked for twice", name), {}, {}, {}};
    asked.push_back(*index);
  }
  for (std::size_t i = 0; names.empty() && i < known.size(); ++i) asked.push_back(i);
  return asked;
}

ListingCell inch_cell(Fraction millimetres, int fraction) {
  constexpr std::int64_t kMost = std::int64_t{1} << 40;  // the product stays within 64 bits
  const bool large = std::abs(millimetres.numerator()) > kMost || millimetres.denominator() > kMost;
  if (fraction > 0) {
    const bool exact = !large && (millimetres * Fraction(5 * fraction, 127)).denominator() == 1;
    return (exact ? "" : "~") + to_inches(millimetres, fraction);
  }
  if (large) return Figure{millimetres.value() / 25.4, 3};
  return exact_figure(millimetres * Fraction(5, 127), 3);
}

namespace {

std::string key_of(std::string name) {
  for (char& c : name) {
    if (c == ' ' || c == ',') c = '_';
  }
  return name;
}

ListingBook headed(const LoadedStyle& style, std::string title) {
  const SizeWidth& base = style.measures.base().at;
  ListingBook book{std::move(title), {{"style", style.spec.name}}, {}};
  if (!style.spec.works.empty()) book.facts.emplace_back("works", style.spec.works);
  book.facts.emplace_back("scale", style.scale.title + ", " + source_line(style.scale.source));
  book.facts.emplace_back("base", label_of(base));
  return book;
}

Listing chart(const LoadedStyle& style, std::size_t measure, int fraction) {
  const std::string& name = style.measures.measures()[measure].name;
  Listing listing{name, name, {{"size", "size", "", true}}, {}, {}};
  for (const char* unit : {"mm", "in"}) {
    for (const Width& width : style.run.widths) {
      listing.columns.push_back({key_of(width.label) + "_" + unit, width.label, unit, false});
    }
  }
  for (const Size& size : style.run.sizes) {
    std::vector<ListingCell> row{size.label};
    const auto in_widths = [&](const auto& figure) {
      for (const Width& width : style.run.widths) {
        const bool made = style.run.makes(SizeWidth{size, width});
        row.push_back(made ? ListingCell(figure(style.measures.exact(measure, {size, width})))
                           : ListingCell{});
      }
    };
    in_widths([](const Fraction& value) { return exact_figure(value, 2); });
    in_widths([&](const Fraction& value) { return inch_cell(value, fraction); });
    listing.rows.push_back(std::move(row));
  }
  return listing;
}

std::string breaks_of(const Measure& measure) {
  std::string text;
  for (const MeasureBreak& stretch : measure.breaks) {
    if (!text.empty()) text += "; ";
    text += stretch.from.label + " to " + stretch.to.label + ":";
    if (stretch.per_size) text += " " + stretch.per_size->written + " a size";
    if (stretch.per_width) text += " " + stretch.per_width->written + " a width";
  }
  return text;
}

}  // namespace

Listing increment_listing(const LoadedStyle& style) {
  Listing listing{"increments",
                  "Increments",
                  {{"measure", "measure", "", true},
                   {"base_mm", "base", "mm", false},
                   {"per_size", "a size", "", false},
                   {"per_width", style.ladder.positions.empty() ? "a width" : "a full width step", "", false},
                   {"law", "law", "", true},
                   {"breaks", "breaks", "", true},
                   {"extra", "sizes a width", "", false},
                   {"provenance", "provenance", "", true},
                   {"source", "source", "", true}},
                  {},
                  {}};
  if (!style.ladder.positions.empty()) {
    std::string steps = "widths are not all one step apart; steps from the narrowest: ";
    for (std::size_t i = 0; i < style.ladder.labels.size(); ++i)
      steps += (i == 0 ? "" : ", ") + style.ladder.labels[i] + " " + to_mixed(style.ladder.positions[i]);
    listing.notes.push_back(std::move(steps));
  }
  for (const Measure& measure : style.measures.measures()) {
    const bool proportional = measure.law == Law::kProportional;
    listing.rows.push_back(
        {measure.name, exact_figure(measure.base.millimetres, 2),
         proportional ? std::string("with length") : measure.per_size.written, measure.per_width.written,
         std::string(name_of(measure.law)), breaks_of(measure),
         measure.size_steps_per_width == 0 ? ListingCell{} : to_mixed(measure.size_steps_per_width),
         std::string(name_of(measure.source.provenance)), measure.source.text});
  }
  return listing;
}

Result<ListingBook> girth_charts(const LoadedStyle& style, const GirthBookOptions& options) {
  const auto asked = asked_measures(style, options.measures);
  if (!asked) return asked.problem();
  ListingBook book = headed(style, "Measures by size and width");
  for (const std::size_t measure : *asked)
    book.listings.push_back(chart(style, measure, options.inch_fraction));
  book.listings.push_back(increment_listing(style));
  return book;
}

Result<ListingBook> girth_rows(const LoadedStyle& style, const GirthBookOptions& options) {
  const auto asked = asked_measures(style, options.measures);
  if (!asked) return asked.problem();
  ListingBook book = headed(style, "Measures by size and width");
  Listing rows{"measures",
               "",
               {{"size", "size", "", true},
                {"width", "width", "", true},
                {"measure", "measure", "", true},
                {"mm", "value", "mm", false},
                {"in", "value", "in", false}},
               {},
               {}};
  for (const SizeWidth& at : style.run.cells()) {
    for (const std::size_t measure : *asked) {
      const Fraction value = style.measures.exact(measure, at);
      rows.rows.push_back({at.size.label, at.width.label, style.measures.measures()[measure].name,
                           exact_figure(value, 3), inch_cell(value, options.inch_fraction)});
    }
  }
  book.listings = {std::move(rows), increment_listing(style)};
  return book;
}

namespace {

// Of a difference of two exact values as floating-point numbers, millimetres.
constexpr double kRounding = 1e-6;

}  // namespace

std::vector<Listing> comparison_listings(const LoadedStyle& style, const TableComparison& comparison) {
  Listing cells{"differences",
                "Against: " + comparison.title,
                {{"measure", "measure", "", true},
                 {"size", "size", "", true},
                 {"width", "width", "", true},
                 {"printed", "printed", "", false},
                 {"theirs_mm", "theirs", "mm", false},
                 {"ours_mm", "ours", "mm", false},
                 {"difference_mm", "ours less theirs", "mm", false},
                 {"remark", "remark", "", true}},
                {},
                comparison.notes};
  cells.notes.insert(cells.notes.begin(), source_line(comparison.source));
  struct Common {
    double least = 0.0;
    double most = 0.0;
    std::size_t count = 0;
    std::size_t within = 0;
    double open = 0.0;  // what the rounding of print leaves open, millimetres
  };
  std::map<std::size_t, Common> common;
  for (const CellDifference& cell : comparison.cells) {
    std::string remark = cell.not_evidence;
    // The table prints no finer: what it leaves open is no difference.
    const bool within = std::abs(cell.difference) <= cell.half_digit + kRounding;
    if (remark.empty() && within)
      remark = cell.half_digit > 0 ? "equal, but for the rounding of print" : "equal";
    if (!cell.there.empty()) remark += (remark.empty() ? "" : "; ") + cell.there;
    cells.rows.push_back({style.measures.measures()[cell.measure].name, cell.at.size.label,
                          cell.at.width.label, cell.printed, Figure{cell.theirs, 2},
                          exact_figure(style.measures.exact(cell.measure, cell.at), 2),
                          Figure{cell.difference, 2}, remark});
    if (!cell.not_evidence.empty()) continue;
    Common& one =
        common.try_emplace(cell.measure, Common{cell.difference, cell.difference, 0, 0, 0.0}).first->second;
    one.least = std::min(one.least, cell.difference);
    one.most = std::max(one.most, cell.difference);
    ++one.count;
    one.within += within ? 1 : 0;
    one.open = std::max(one.open, 2.0 * cell.half_digit);
  }
  Listing summary{"differences by measure",
                  "Differences by measure",
                  {{"measure", "measure", "", true},
                   {"cells", "cells", "", false},
                   {"within", "equal as printed", "", false},
                   {"least_mm", "least", "mm", false},
                   {"most_mm", "most", "mm", false},
                   {"reading", "which means", "", true}},
                  {},
                  {}};
  for (const auto& [measure, one] : common) {
    const bool same_steps = one.most - one.least < std::max(0.005, one.open);
    const std::string reading = one.within == one.count
                                    ? (one.open > 0.0 ? "equal, but for the rounding of print" : "equal")
                                : one.count < 2 ? "one cell only"
                                : same_steps    ? "another base, the same steps"
                                                : "other steps";
    summary.rows.push_back(
        {style.measures.measures()[measure].name, Figure{static_cast<double>(one.count), 0},
         Figure{static_cast<double>(one.within), 0}, Figure{one.least, 2}, Figure{one.most, 2}, reading});
  }
  return {std::move(summary), std::move(cells)};
}

}  // namespace lastwright
