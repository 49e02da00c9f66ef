#include "cli/report/nest_svg.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/report/furniture.hpp"
#include "cli/report/nest_labels.hpp"

namespace lastwright {

namespace {

constexpr double kLabel = 2.0;

const LineStyle kBaseLine{"base", "base", palette::kBlack, 0.60, {}};
const LineStyle kSmaller{"smaller", "smaller", palette::kBlue, 0.22, {}};
const LineStyle kLarger{"larger", "larger", palette::kVermilion, 0.22, {}};

LineStyle minor_of(LineStyle style) {
  style.width = 0.10;
  return style;
}

LineStyle style_for(const std::vector<NestOutline>& outlines, std::size_t i) {
  if (outlines[i].is_base) return kBaseLine;
  const auto base =
      std::find_if(outlines.begin(), outlines.end(), [](const NestOutline& o) { return o.is_base; });
  const bool before = base != outlines.end() && i < static_cast<std::size_t>(base - outlines.begin());
  const LineStyle style = before ? kSmaller : kLarger;
  return outlines[i].minor ? minor_of(style) : style;
}

void draw_outlines(SvgCanvas& canvas, const std::vector<NestOutline>& outlines) {
  const auto draw = [&](std::size_t i) {
    const NestOutline& outline = outlines[i];
    LineStyle style = style_for(outlines, i);
    canvas.open_group(fmt::format("outline-{}", i + 1), outline.label,
                      stroke_attributes(style) + " stroke-linejoin=\"round\"");
    canvas.outline(outline.path);
    for (const OpenArcPath& line : outline.lines)
      canvas.line(line, "stroke-dasharray=\"1.6 1\" stroke-width=\"0.12\"");
    canvas.close_group();
  };
  for (std::size_t i = 0; i < outlines.size(); ++i) {
    if (!outlines[i].is_base) draw(i);
  }
  for (std::size_t i = 0; i < outlines.size(); ++i) {
    if (outlines[i].is_base) draw(i);  // on top
  }
}

void draw_labels(SvgCanvas& canvas, const std::vector<NestOutline>& outlines, const NestLabels& placed) {
  canvas.open_group("labels", "labels");
  for (const NestLabel& label : placed.labels) {
    const NestOutline& outline = outlines[label.outline];
    const Colour colour = style_for(outlines, label.outline).colour;
    canvas.segment(
        label.tip, label.elbow,
        fmt::format("fill=\"none\" stroke=\"{}\" stroke-width=\"0.12\"", css_colour(palette::kGrey)));
    canvas.circle(label.tip, 0.42, fmt::format("fill=\"{}\" stroke=\"none\"", css_colour(colour)));
    SvgText text{.at = label.elbow,
                 .height = outline.minor ? kLabel * 0.85 : kLabel,
                 .colour = colour,
                 .bold = outline.is_base};
    switch (placed.side) {
      case Side::kRight:
        text.at += Vec2{0.8, -text.height / 2};
        break;
      case Side::kLeft:
        text.at += Vec2{-0.8, -text.height / 2};
        text.anchor = Anchor::kEnd;
        break;
      case Side::kTop:
        text.at += Vec2{0.0, 0.8};
        text.anchor = Anchor::kMiddle;
        break;
      case Side::kBottom:
        text.at += Vec2{0.0, -0.8 - text.height};
        text.anchor = Anchor::kMiddle;
        break;
    }
    canvas.text(text, outline.label);
  }
  canvas.close_group();
}

void draw_fixed_point(SvgCanvas& canvas, Vec2 at) {
  canvas.open_group(
      "fixed-point", "fixed point",
      fmt::format("fill=\"none\" stroke=\"{}\" stroke-width=\"0.3\"", css_colour(palette::kBlack)));
  canvas.circle(at, 2.2, "fill=\"#ffffff\" fill-opacity=\"0.8\"");
  canvas.segment(at - Vec2{3.4, 0}, at + Vec2{3.4, 0});
  canvas.segment(at - Vec2{0, 3.4}, at + Vec2{0, 3.4});
  canvas.text({.at = at - Vec2{0.0, 5.0 + page::kSmall},
               .height = page::kSmall,
               .anchor = Anchor::kMiddle,
               .halo = true},
              "fixed point");
  canvas.close_group();
}

std::vector<LegendItem> legend_of(const std::vector<NestOutline>& outlines, const NestOptions& options) {
  std::vector<LegendItem> items;
  bool smaller = false;
  bool larger = false;
  bool minor = false;
  for (std::size_t i = 0; i < outlines.size(); ++i) {
    const LineStyle style = style_for(outlines, i);
    if (outlines[i].is_base) items.push_back({kBaseLine, "base " + outlines[i].label});
    smaller |= style.colour == kSmaller.colour;
    larger |= style.colour == kLarger.colour;
    minor |= outlines[i].minor;
  }
  if (smaller) items.push_back({kSmaller, options.smaller});
  if (larger) items.push_back({kLarger, options.larger});
  if (minor && !options.minor.empty()) {
    LineStyle style = minor_of(kSmaller);
    style.colour = palette::kGrey;
    items.push_back({style, options.minor});
  }
  return items;
}

}  // namespace

std::string nest_svg(const std::vector<NestOutline>& outlines, const NestOptions& options) {
  Box2 box;
  std::vector<ClosedArcPath> paths;
  double widest = 0.0;
  for (const NestOutline& outline : outlines) {
    box.add(bounds(outline.path));
    for (const OpenArcPath& line : outline.lines) box.add(bounds(line));
    paths.push_back(outline.path);
    widest = std::max(widest, text_width(outline.label) * kLabel);
  }
  NestLabels labels;
  if (!outlines.empty()) labels = place_labels(paths, kLabel, widest);
  box.add(labels.box);
  if (options.fixed) box.add(Box2{*options.fixed, *options.fixed}.grown(8.0));
  if (box.empty()) box.add(Vec2{});
  const double needed = std::max(
      {text_width(options.title) * page::kTitle * 1.1, text_width(options.subtitle) * page::kHeading, 90.0});
  if (box.width() < needed) box.high.x = box.low.x + needed;

  const std::vector<LegendItem> legend = legend_of(outlines, options);
  const double header = page::kTitle + page::kHeading + 12.0;
  const double footer = 13.0 + legend_height(box.width(), legend);
  const Box2 sheet{{box.low.x - page::kMargin, box.low.y - footer - page::kMargin},
                   {box.high.x + page::kMargin, box.high.y + header + page::kMargin}};
  SvgCanvas canvas(sheet.width(), sheet.height(), {-sheet.low.x, sheet.high.y});
  canvas.rectangle(sheet, "fill=\"#ffffff\" stroke=\"none\"");

  const Vec2 top_left{box.low.x, box.high.y + header};
  canvas.text({.at = top_left - Vec2{0, page::kTitle}, .height = page::kTitle, .bold = true}, options.title);
  canvas.text({.at = top_left - Vec2{0, page::kTitle + page::kHeading + 2.6},
               .height = page::kHeading,
               .colour = palette::kGrey},
              outlines.empty() ? "nothing to draw" : options.subtitle);
  draw_outlines(canvas, outlines);
  if (options.fixed) draw_fixed_point(canvas, *options.fixed);
  draw_labels(canvas, outlines, labels);

  const Vec2 below{box.low.x, box.low.y - 8.0};
  const double legend_rows = draw_legend(canvas, below, box.width(), legend);
  const Vec2 bar{box.low.x, below.y - legend_rows - 3.0};
  const double length = scale_bar_length(box.width());
  draw_scale_bar(canvas, bar, length);
  canvas.text({.at = bar + Vec2{length + 14.0, 0.0}, .height = page::kSmall, .colour = palette::kGrey},
              "true scale");
  return canvas.finish(options.title,
                       options.subtitle.empty() ? "nest of graded outlines, true scale" : options.subtitle);
}

}  // namespace lastwright
