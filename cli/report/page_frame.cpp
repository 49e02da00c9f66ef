#include "cli/report/page_frame.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace lastwright {

namespace {

constexpr double kSample = 13.0;    // length of a legend's line
constexpr double kLegendRow = 5.2;  // distance of the legend's rows
constexpr double kGap = 6.0;        // between its items

// Calls place(item, offset from the legend's top left) for every item; gives back the height.
template <class Place>
double lay_out(double width, const std::vector<LegendItem>& items, const Place& place) {
  double x = 0.0;
  double y = 0.0;
  for (const LegendItem& item : items) {
    const double needed = kSample + 2.0 + text_width(item.meaning) * page::kBody;
    if (x > 0.0 && x + needed > width) {
      x = 0.0;
      y += kLegendRow;
    }
    place(item, Vec2{x, -y});
    x += needed + kGap;
  }
  return items.empty() ? 0.0 : y + kLegendRow;
}

}  // namespace

double scale_bar_length(double room) {
  return room >= 130.0 ? 100.0 : room >= 65.0 ? 50.0 : 20.0;
}

void draw_scale_bar(SvgCanvas& canvas, Vec2 at, double length) {
  constexpr double kHeight = 1.4;  // mm
  canvas.open_group("scale-bar", fmt::format("scale bar of {:.0f} millimetres", length));
  const std::string thin = fmt::format("stroke=\"{}\" stroke-width=\"0.2\"", css_colour(palette::kBlack));
  canvas.rectangle({at, at + Vec2{length, kHeight}}, "fill=\"#ffffff\" " + thin);
  for (int i = 0; 20.0 * i < length; ++i) {
    const double x = 20.0 * i;
    const double end = std::min(x + 10.0, length);
    canvas.rectangle({at + Vec2{x, 0.0}, at + Vec2{end, kHeight}}, "fill=\"#000000\" stroke=\"none\"");
  }
  for (const double x : {0.0, length / 2, length}) {
    const bool last = x == length;
    canvas.text({.at = at + Vec2{x, kHeight + 1.2},
                 .height = page::kSmall,
                 .anchor = x == 0.0 ? Anchor::kStart : Anchor::kMiddle},
                last ? fmt::format("{:.0f} mm", x) : fmt::format("{:.0f}", x));
  }
  canvas.close_group();
}

double legend_height(double width, const std::vector<LegendItem>& items) {
  return lay_out(width, items, [](const LegendItem&, Vec2) {});
}

double draw_legend(SvgCanvas& canvas, Vec2 at, double width, const std::vector<LegendItem>& items) {
  canvas.open_group("legend", "legend");
  const double height = lay_out(width, items, [&](const LegendItem& item, Vec2 offset) {
    const Vec2 left = at + offset + Vec2{0.0, page::kBody / 2};
    canvas.segment(left, left + Vec2{kSample, 0.0}, stroke_attributes(item.style));
    canvas.text({.at = at + offset + Vec2{kSample + 2.0, 0.0}, .height = page::kBody}, item.meaning);
  });
  canvas.close_group();
  return height;
}

}  // namespace lastwright
