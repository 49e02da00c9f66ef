// The sheet for the floor.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
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

std::string disposition(const BatchReport& report, const MeasureTable& table, std::size_t bad_rows) {
  std::vector<std::string> ids;
  std::vector<std::pair<std::string, std::string>> held;  // id, why
  const auto hold = [&held](const std::string& id, const std::string& why) {
    const auto found =
        std::find_if(held.begin(), held.end(), [&](const auto& one) { return one.first == id; });
    if (found == held.end()) {
      held.emplace_back(id, why);
    } else if (found->second.find(why) == std::string::npos) {
      found->second += ", " + why;
    }
  };
  for (const JudgedItem& item : report.items) {
    if (std::find(ids.begin(), ids.end(), item.id) == ids.end()) ids.push_back(item.id);
    const std::string stamped = item.stamped.size.label + " " + item.stamped.width.label;
    if (item.match == Match::kMisStamped && !item.fits.empty())
      hold(item.id, "stamped " + stamped + ", fits " + item.fits.front().size.label + " " +
                        item.fits.front().width.label);
    if (item.match == Match::kDoubtful) hold(item.id, "stamped " + stamped + ", which its readings doubt");
  }
  for (const JudgedReading& one : report.readings) {
    const bool told = std::any_of(report.items.begin(), report.items.end(), [&](const JudgedItem& item) {
      return item.id == one.reading.id && item.match != Match::kAsStamped;
    });
    if (!told && beyond(one.verdict))
      hold(one.reading.id, fmt::format("{} {:.2f} mm {}", table.measures()[one.reading.measure].name,
                                       std::abs(one.deviation), one.deviation > 0.0 ? "over" : "under"));
  }
  for (const JudgedPair& pair : report.pairs) {
    if (beyond(pair.verdict)) hold(pair.id, "left and right differ");
    if (!pair.one_stamp) hold(pair.id, "two stamps");
  }
  const auto whole = [](const Finding& finding) { return finding.kind < Finding::Kind::kStamp; };
  const auto wide = std::count_if(report.findings.begin(), report.findings.end(), whole);
  std::string text;
  if (wide > 0) {
    text = fmt::format("hold the whole batch: {} finding{} of more than single lasts, see below", wide,
                       wide == 1 ? "" : "s");
  } else {
    text = fmt::format("accept {} of {}", ids.size() - held.size(), ids.size());
    if (held.empty() && !report.findings.empty()) text = "hold what the findings name, accept the others";
  }
  for (std::size_t k = 0; k < held.size(); ++k)
    text += (k == 0 ? (wide > 0 ? "; by themselves beyond: " : "; hold ") : ", ") + held[k].first + " (" +
            held[k].second + ")";
  if (bad_rows > 0) text += fmt::format("; {} rows were not judged: nothing is final", bad_rows);
  return text;
}

}  // namespace lastwright
