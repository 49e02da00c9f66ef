// Pages of texts, rules and bars as PDF: tickets, lists, labels.
#pragma once

#include <string>
#include <vector>

#include "geometry/box2.hpp"
#include "geometry/result.hpp"

namespace lastwright {

// All places in millimetres from the top left of the page, y down.
struct PageText {
  Vec2 at;              // left end of the base line
  double height = 2.5;  // of a capital
  std::string text;
  double widest = 0.0;  // set smaller where it would be wider; 0: as it is
};
struct PageShape {
  std::vector<Vec2> points;  // closed
  bool filled = false;       // black; else its edge alone
};
struct PrintedPage {
  std::vector<PageText> texts;
  std::vector<PageShape> shapes;
  std::vector<Box2> bars;                    // filled black: barcodes
  std::vector<std::pair<Vec2, Vec2>> rules;  // thin lines
};

struct PagePdfOptions {
  double width = 210.0;
  double height = 297.0;
  std::string title;
};

// Same input, same bytes. Refuses an empty list.
Result<std::string> write_page_pdf(const std::vector<PrintedPage>& pages, const PagePdfOptions& options);

}  // namespace lastwright
