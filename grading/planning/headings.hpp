// Headings of the columns of a table that a person has made.
#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/result.hpp"
#include "grading/planning/text_table.hpp"

namespace lastwright {

// In small letters, with one blank where there are several or a hard one, none at the ends: "Pairs " and
// "pairs" are one heading.
std::string plain_heading(std::string_view heading);

// Whether the fields may be the headings of an order, or of a list of counted pieces: see order.hpp and
// tickets.hpp. What stands above them in a file is passed over.
bool heads_order(const std::vector<std::string>& fields);
bool heads_counted(const std::vector<std::string>& fields);

// The known heading that another word stands for in many works' own tables: "pairs" for "Qty", "due" for
// "delivery date"; empty: none.
std::string meant_in_order(std::string_view heading);
std::string meant_in_counted(std::string_view heading);
// Whether they would be headings if such words were known ones: where no row heads a table, this one was most
// likely meant to, and is refused with what its words stand for.
bool nearly_heads_order(const std::vector<std::string>& fields);
bool nearly_heads_counted(const std::vector<std::string>& fields);

// A heading like "7 F": of the pairs of one size and width.
struct RunHeading {
  std::string size;
  std::string width;
};
bool is_run_heading(std::string_view heading, RunHeading* parts = nullptr);

// Sheets of the workbook that have the same kind of headings, and whose rows are in no figure.
std::vector<Problem> unread_sheets(const TextTable& table);

// What stands above the headings, in words, the columns and the other sheets that are not read; each with its
// line. `meant`: by column, the heading under which it would be read.
std::vector<Problem> unread_of(const TextTable& table, const std::vector<std::size_t>& unknown,
                               const std::map<std::size_t, std::string>& meant = {});

// Why no row of the table could be its headings; "" where one was found.
std::string sought_words(const TextTable& table);

}  // namespace lastwright
