// The sheet for the floor.
#include <fmt/format.h>

#include <algorithm>
#include <iterator>

#include "cli/listing/girth_books.hpp"

namespace lastwright {

namespace {

// Those of the run that are asked for, in its order.
template <class Step>
Result<std::vector<Step>> chosen(const std::vector<Step>& run, const std::vector<std::string>& labels,
                                 const char* what) {
  if (labels.empty()) return run;
  const auto is = [&](const std::string& label) {
    return [&label](const Step& step) { return step.label == label; };
  };
  for (const std::string& label : labels) {
    if (std::any_of(run.begin(), run.end(), is(label))) continue;
    std::string known;
    for (const Step& step : run) known += (known.empty() ? "" : ", ") + step.label;
    return Problem{
        Trouble::kUsage, fmt::format("the run has no {} \"{}\"; it has {}", what, label, known), {}, {}, {}};
  }
  std::vector<Step> some;
  std::copy_if(run.begin(), run.end(), std::back_inserter(some), [&](const Step& step) {
    return std::find(labels.begin(), labels.end(), step.label) != labels.end();
  });
  return some;
}

}  // namespace

Result<ListingBook> floor_book(const LoadedStyle& style, const GirthBookOptions& options,
                               const FloorSheetOptions& floor, const ReadingLimits& limits) {
  const auto sizes = chosen(style.run.sizes, floor.sizes, "size");
  if (!sizes) return sizes.problem();
  const auto widths = chosen(style.run.widths, floor.widths, "width");
  if (!widths) return widths.problem();
  std::vector<Measure> all(style.measures.measures().begin(), style.measures.measures().end());
  ListingBook book{"Measures for the floor", {{"style", style.spec.name}}, {}};
  for (const Width& width : *widths) {
    for (const Size& size : *sizes) {
      const std::string at = size.label + " " + width.label;
      Listing listing{at,
                      "Size " + size.label + ", width " + width.label,
                      {{"measure", "measure", "", true},
                       {"not_under_mm", "not under", "mm", false},
                       {"wanted_mm", "wanted", "mm", false},
                       {"not_over_mm", "not over", "mm", false},
                       {"wanted_in", "wanted", "in", true}},
                      {},
                      {}};
      if (floor.boxes) {
        listing.columns.push_back({"left", "left, read", "", true});
        listing.columns.push_back({"right", "right, read", "", true});
      }
      for (std::size_t m = 0; m < all.size(); ++m) {
        if (!options.measures.empty() && std::find(options.measures.begin(), options.measures.end(),
                                                   all[m].name) == options.measures.end())
          continue;
        const double wanted = style.measures.value(m, {size, width});
        const auto& limit = limits.value[m];
        std::vector<ListingCell> row{
            all[m].name, limit ? ListingCell(Figure{wanted - limit->below, 1}) : ListingCell{},
            Figure{wanted, 1}, limit ? ListingCell(Figure{wanted + limit->above, 1}) : ListingCell{},
            text_of(inch_cell(style.measures.exact(m, {size, width}), options.inch_fraction))};
        if (floor.boxes) row.insert(row.end(), 2, std::string("[        ]"));
        listing.rows.push_back(std::move(row));
      }
      if (listing.rows.empty())
        return Problem{Trouble::kUsage, "the style has none of these measures", {}, {}, {}};
      book.listings.push_back(std::move(listing));
    }
  }
  std::vector<std::string> sources;
  for (const auto& limit : limits.value) {
    if (limit && std::find(sources.begin(), sources.end(), limit->source) == sources.end())
      sources.push_back(limit->source);
  }
  for (const std::string& source : sources) book.facts.emplace_back("limits", source);
  return book;
}

}  // namespace lastwright
