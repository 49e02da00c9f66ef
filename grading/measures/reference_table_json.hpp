// From the JSON of a reference table to its plain types. Precondition of all: the document fits
// reference-tables/schema.json. What the schema cannot say is refused here with its place.
#pragma once

#include "geometry/result.hpp"
#include "grading/json/json_forward.hpp"
#include "grading/measures/reference_table.hpp"

namespace lastwright {

TableEntry table_entry(const JsonDocument& document);
Result<Scale> scale_from(const JsonDocument& document);
Result<Ladder> ladder_from(const JsonDocument& document);
// `ladder` may be null where the table names none.
Result<PrintedTable> printed_from(const JsonDocument& document, const Scale& scale, const Ladder* ladder);
Result<RuledTable> ruled_from(const JsonDocument& document, const Scale& scale, const Ladder* ladder);
Result<MarkingTable> marking_from(const JsonDocument& document, const Scale& scale);
Result<std::vector<IncrementStatement>> increments_from(const JsonDocument& document);
Result<std::vector<LimitRow>> limits_from(const JsonDocument& document);

}  // namespace lastwright
