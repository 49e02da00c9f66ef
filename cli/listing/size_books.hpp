// What `lastwright sizes` prints: runs of a scale, conversions, and the reference tables themselves.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "cli/listing/listing.hpp"
#include "grading/measures/measure_table.hpp"
#include "grading/measures/reference_tables.hpp"
#include "grading/sizes/size_conversion.hpp"

namespace lastwright {

// Inches for people: exact where the fraction is one of a rule
// or of a scale (at most 1/96), else "~" and the nearest 1/32.
std::string inch_text(Fraction millimetres);

Listing list_of_tables(const ReferenceTables& tables, std::string_view kind);

// Sizes with their lengths.
Listing run_of_scale(const Scale& scale, std::span<const Size> sizes);
// The same, with every measure of a table in one width.
Listing run_with_measures(const Scale& scale, std::span<const Size> sizes, const Width& width,
                          const MeasureTable& table);
// Sizes beside those of another scale.
Result<Listing> run_converted(const Scale& from, std::span<const Size> sizes, const Scale& to,
                              std::span<const Allowance> allowances);

// One reference table, by "kind-key", or by key where only one kind has it.
Result<ListingBook> shown_table(const ReferenceTables& tables, std::string_view name);

// "source: ..., London 1902 (published)"
std::string source_line(const Source& source);
// The source's line and the notes, below a table.
void add_notes(Listing& table, const Source& source, const std::vector<std::string>& notes);

// Of a size beyond what its source covers.
inline constexpr const char* kCarriedOn = "carried on beyond the source";
// A last column, if any of the remarks, one a row, says anything.
void add_remarks(Listing& table, std::vector<std::string> remarks);

// Two decimals, rounded from the exact value.
ListingCell millimetre_cell(Fraction value);

}  // namespace lastwright
