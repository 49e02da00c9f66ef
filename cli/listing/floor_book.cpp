// The sheet for the floor.
#include <fmt/format.h>

#include <algorithm>

#include "cli/listing/girth_books.hpp"
#include "cli/listing/printed_limit.hpp"

namespace lastwright {

void leave_out(Listing& listing, const std::vector<std::string>& keys) {
  for (std::size_t c = listing.columns.size(); c-- > 0;) {
    if (std::find(keys.begin(), keys.end(), listing.columns[c].key) == keys.end()) continue;
    const auto at = static_cast<std::ptrdiff_t>(c);
    listing.columns.erase(listing.columns.begin() + at);
    for (std::vector<ListingCell>& row : listing.rows) row.erase(row.begin() + at);
  }
}

void add_limit_sources(const LoadedStyle& style, const std::vector<std::size_t>& measures,
                       const ReadingLimits& limits, ListingBook& book) {
  std::vector<std::pair<std::string, std::string>> sources;  // with the measures they are of
  for (const std::size_t m : measures) {
    const auto& limit = limits.value[m];
    if (!limit) continue;
    const std::string& name = style.measures.measures()[m].name;
    const auto known = std::find_if(sources.begin(), sources.end(),
                                    [&](const auto& one) { return one.first == limit->source; });
    if (known == sources.end()) {
      sources.emplace_back(limit->source, name);
    } else {
      known->second += ", " + name;
    }
  }
  // One fact: in JSON two of one name would be one.
  std::string words;
  for (const auto& [source, names] : sources)
    words += (words.empty() ? "" : "; ") + (sources.size() == 1 ? source : names + ": " + source);
  if (!words.empty()) book.facts.emplace_back("limits", words);
}

Result<ListingBook> floor_book(const LoadedStyle& style, const GirthBookOptions& options,
                               const FloorSheetOptions& floor, const ReadingLimits& limits) {
  for (const auto& [labels, what] : {std::pair{&floor.sizes, "size"}, std::pair{&floor.widths, "width"}}) {
    for (std::size_t i = 0; i < labels->size(); ++i) {
      const auto later = labels->begin() + static_cast<std::ptrdiff_t>(i) + 1;
      if (std::none_of(later, labels->end(), [&](const auto& one) { return same_label(one, (*labels)[i]); }))
        continue;
      return Problem{
          Trouble::kUsage, fmt::format("the {} \"{}\" is asked for twice", what, (*labels)[i]), {}, {}, {}};
    }
  }
  const Result<SizeRun> part = style.run.part(floor.sizes, floor.widths);
  if (!part) return part.problem();
  const auto measures = asked_measures(style, options.measures);
  if (!measures) return measures.problem();
  ListingBook book{"Measures for the floor", {{"style", style.spec.name}}, {}};
  for (const Width& width : part->widths) {
    for (const Size& size : part->sizes) {
      if (!part->makes(SizeWidth{size, width})) continue;
      const std::string at = size.label + " " + width.label;
      Listing listing{at,
                      "Size " + size.label + ", width " + width.label,
                      {{"measure", "measure", "", true},
                       {"not_under_mm", "not under", "mm", false, kUnlimited},
                       {"wanted_mm", "wanted", "mm", false},
                       {"not_over_mm", "not over", "mm", false, kUnlimited},
                       {"wanted_in", "wanted", "in", true}},
                      {},
                      {}};
      listing.to_fill = floor.boxes;
      const std::int64_t parts = options.inch_fraction;
      if (parts > 0) {
        listing.columns.insert(listing.columns.begin() + 4,
                               {"not_under_in", "not under", "in", true, kUnlimited});
        listing.columns.push_back({"not_over_in", "not over", "in", true, kUnlimited});
      }
      if (floor.boxes) {
        listing.columns.push_back({"left", "left, read", "", true});
        listing.columns.push_back({"right", "right, read", "", true});
      }
      for (const std::size_t m : *measures) {
        const double wanted = style.measures.value(m, {size, width});
        const auto& limit = limits.value[m];
        const PrintedLimits printed = printed_limits(limit, wanted, floor.step);
        std::vector<ListingCell> row{
            style.measures.measures()[m].name, printed.lowest, Figure{wanted, 1}, printed.highest,
            text_of(inch_cell(style.measures.exact(m, {size, width}), options.inch_fraction))};
        if (parts > 0) {
          const PrintedLimits inches = printed_limits(limit, wanted, {Fraction(1, parts), true});
          row.insert(row.begin() + 4, inches.lowest);
          row.push_back(inches.highest);
        }
        if (floor.boxes) row.insert(row.end(), 2, floor.box);
        listing.rows.push_back(std::move(row));
      }
      // Nobody looks for limits that hold nowhere.
      if (std::none_of(measures->begin(), measures->end(),
                       [&](std::size_t m) { return limits.value[m].has_value(); }))
        leave_out(listing, {"not_under_mm", "not_over_mm", "not_under_in", "not_over_in"});
      if (floor.boxes && listing.rows.size() > 0)
        listing.notes.emplace_back(
            "pair ____________   tape ____________   read by ____________   date ____________");
      book.listings.push_back(std::move(listing));
    }
  }
  add_limit_sources(style, *measures, limits, book);
  if (std::any_of(measures->begin(), measures->end(),
                  [&](std::size_t m) { return limits.value[m].has_value(); })) {
    std::vector<NotedStep> steps{floor.step};
    if (options.inch_fraction > 0) steps.push_back({Fraction(1, options.inch_fraction), true});
    book.facts.emplace_back("how to read them", limits_rule(steps));
  }
  return book;
}

}  // namespace lastwright
