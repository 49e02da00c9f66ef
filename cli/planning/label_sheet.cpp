#include "cli/planning/label_sheet.hpp"

#include <fmt/format.h>

#include "cli/planning/barcode.hpp"
#include "geometry/io/page_pdf.hpp"

namespace lastwright {

namespace {

constexpr double kLabelWidth = 70.0;  // mm, as the height: three across and eight down on A4
constexpr double kLabelHeight = 37.0;
constexpr std::size_t kAcross = 3;
constexpr std::size_t kDown = 8;

Status add_label(const NumberedPair& pair, const LabelSpec& spec, const LabelSheet& sheet, Vec2 at,
                 PrintedPage& page) {
  const double left = at.x + 4.0;
  const auto line = [&](double y, double height, const std::string& text, double widest) {
    if (!text.empty()) page.texts.push_back({{left, at.y + y}, height, text, widest});
  };
  line(6.0, 2.4, pair.style + (spec.stock_number.empty() ? "" : "  " + spec.stock_number), 62.0);
  line(12.5, 4.2, pair.size + " " + pair.width, 30.0);
  if (const auto marking = sheet.markings.find(pair.size); marking != sheet.markings.end())
    line(16.5, 1.8, marking->second, 62.0);
  double y = 20.0;
  for (const StyleLabel& label : sheet.styles) {
    if (label.style != pair.style) continue;
    for (const PartContent& part : label.parts) {
      line(y, 1.7, part.says, 62.0);
      y += 2.8;
    }
  }
  line(31.0, 1.7, fmt::format("case {}", pair.case_number), 26.0);
  line(34.0, 1.7, fmt::format("pair {}{}", pair.number, spec.made.empty() ? "" : ", made " + spec.made),
       30.0);
  const Result<std::vector<Box2>> bars =
      code_128(fmt::format("{:06}", pair.number), {{at.x + 37.0, at.y + 28.0}, 0.33, 6.0});
  if (!bars) return bars.problem();
  page.bars.insert(page.bars.end(), bars->begin(), bars->end());
  return Done{};
}

}  // namespace

Result<std::string> labels_pdf(const Tickets& tickets, const LabelSpec& spec, const LabelSheet& sheet) {
  std::vector<PrintedPage> pages;
  std::size_t count = 0;
  for (const OrderCase& one : tickets.cases) {
    for (const NumberedPair& pair : one.pairs) {
      const std::size_t place = count++ % (kAcross * kDown);
      if (place == 0) pages.emplace_back();
      const Vec2 at{kLabelWidth * static_cast<double>(place % kAcross),
                    0.5 + kLabelHeight * static_cast<double>(place / kAcross)};
      if (Status added = add_label(pair, spec, sheet, at, pages.back()); !added) return added.problem();
    }
  }
  return write_page_pdf(pages, {.title = "Labels"});
}

}  // namespace lastwright
