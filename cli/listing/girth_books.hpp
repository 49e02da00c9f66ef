// What `lastwright girths` prints: the table of every
// measure by size and width, and a batch of readings judged.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cli/listing/listing.hpp"
#include "cli/listing/printed_limit.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/measures/printed_comparison.hpp"
#include "grading/readings/batch_report.hpp"
#include "grading/readings/plan_advice.hpp"

namespace lastwright {

struct GirthBookOptions {
  std::vector<std::string> measures;  // names; empty: all
  int inch_fraction = 0;              // 32: inches as fractions to 1/32; 0: decimal inches
};

// Places in the style's table of the measures with these names, or of all where none is named. Refuses a name
// that the style does not have, and one that is there twice.
Result<std::vector<std::size_t>> asked_measures(const LoadedStyle& style,
                                                const std::vector<std::string>& names);

// A length in inches: as fractions to this part, with ~ where that rounds; 0: decimal.
ListingCell inch_cell(Fraction millimetres, int fraction);

// For people: one listing a measure, sizes down and widths across, then the increments.
Result<ListingBook> girth_charts(const LoadedStyle& style, const GirthBookOptions& options);
// For programs: one row a size, width and measure, and one a measure.
Result<ListingBook> girth_rows(const LoadedStyle& style, const GirthBookOptions& options);

// A sheet to carry to the floor: what each measure should be in these sizes and widths (labels; empty: all),
// its limits beside it, and boxes to write in what the tape says. Refuses labels that the run does not have.
struct FloorSheetOptions {
  std::vector<std::string> sizes;
  std::vector<std::string> widths;
  bool boxes = true;
  std::string box = "[        ]";     // what is printed where the tape's figure goes
  NotedStep step = {Fraction(1, 2)};  // what the tape is read to in millimetres
};
Result<ListingBook> floor_book(const LoadedStyle& style, const GirthBookOptions& options,
                               const FloorSheetOptions& floor, const ReadingLimits& limits);

// Where the limits of these measures come from, as facts of the book; none where they have no limits.
void add_limit_sources(const LoadedStyle& style, const std::vector<std::size_t>& measures,
                       const ReadingLimits& limits, ListingBook& book);

// Increments with their law and source.
Listing increment_listing(const LoadedStyle& style);

// Every compared cell, and for each measure what the differences have in common.
std::vector<Listing> comparison_listings(const LoadedStyle& style, const TableComparison& comparison);

// A judged batch, the findings first. `other_columns`: names of what readings have besides.
ListingBook batch_book(const LoadedStyle& style, const BatchReport& report, const ReadingLimits& limits,
                       const std::vector<Problem>& bad_rows, const std::vector<std::string>& other_columns,
                       const BatchOptions& options);

// What to read so that a fault would be named.
std::string what_would_tell(const PlanAnswer& answer);
// How far off it must be to be named; blank where no amount would do.
ListingCell named_from(const PlanAnswer& answer);

// What a plan of readings would show.
ListingBook plan_book(const LoadedStyle& style, const ReadingPlanOptions& plan, const PlanAdvice& advice);
// Its rows to fill in, with the limits; as CSV it is a file of readings once it is filled in.
ListingBook sheet_book(const LoadedStyle& style, const ReadingPlanOptions& plan, const ReadingLimits& limits);

}  // namespace lastwright
