// Drawings as a PDF at exactly 1:1, over as many sheets as they need.
//
// Every sheet carries a 100 mm check square, clear of the drawing (where the page has no room, its
// four corner marks alone, and says so), its place in words ("row 1 of 2, column 1 of 3"), the
// titles of document and drawing, where its neighbours join, and crosses that fall on the same
// points of the drawing on both. The file asks the viewer not to scale when it prints
// (ViewerPreferences, PrintScaling None): most viewers obey, the check square shows whether yours
// and your printer did. Coordinates are kept to 1/256 point: 0.0007 mm of rounding. Same input,
// same fonts, same bytes: no time is written unless the environment names one (SOURCE_DATE_EPOCH).
#pragma once

#include <string>
#include <vector>

#include "geometry/io/die_drawing.hpp"
#include "geometry/io/paper/paper.hpp"

namespace lastwright {

struct PdfOptions {
  Paper paper = {"A4", 210.0, 297.0, false};
  TileOptions tiles = {};
  std::string title = {};  // of the document
};

// The sheets one after the other, each starting on a page
// of its own. Refuses an empty list and an empty sheet.
Result<std::string> write_pdf(const std::vector<Sheet>& sheets, const PdfOptions& options);

// How many pages write_pdf makes of them.
Result<std::size_t> pdf_pages(const std::vector<Sheet>& sheets, const PdfOptions& options);

}  // namespace lastwright
