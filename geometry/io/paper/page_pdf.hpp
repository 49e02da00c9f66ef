// Pages of texts, rules and bars as PDF: tickets, lists, labels.
#pragma once

#include <cstddef>
#include <string>
#include <utility>
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
// What stands on many pages and places alike: it is in the file once.
struct PageFigure {
  double width = 0.0;  // beyond these nothing of it is seen
  double height = 0.0;
  std::vector<PageText> texts;  // places from its top left
  std::vector<PageShape> shapes;
};
struct PlacedFigure {
  std::size_t figure = 0;
  Vec2 at;  // of its top left
};
struct PrintedPage {
  std::vector<PageText> texts;
  std::vector<PageShape> shapes;
  std::vector<Box2> bars;                    // filled black: barcodes
  std::vector<std::pair<Vec2, Vec2>> rules;  // thin lines
  std::vector<PlacedFigure> figures;
};

struct PagePdfOptions {
  double width = 210.0;
  double height = 297.0;
  std::string title;
};

// Same input, same bytes. Refuses an empty list. Precondition: the pages place `figures` only.
Result<std::string> write_page_pdf(const std::vector<PrintedPage>& pages, const PagePdfOptions& options,
                                   const std::vector<PageFigure>& figures = {});

}  // namespace lastwright
