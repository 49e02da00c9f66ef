// A table as HTML, everything in it escaped.
#pragma once

#include <string>
#include <string_view>

#include "cli/tables/table.hpp"

namespace lastwright {

struct HtmlTableOptions {
  std::string_view classes = {};  // of the table: trusted text
  std::string_view caption = {};
  bool thousands = false;  // a comma between each three figures before the point
  bool figures = false;    // every column after the first holds figures, texts among them: "9 3/4"
};

// Columns in which no row holds anything are left out, but the first; a cell of
// many words has the class "long". In a box that scrolls by itself when the page is too narrow, with a tab stop for the keyboard.
std::string html_table(const Table& table, const HtmlTableOptions& options = {});

}  // namespace lastwright
