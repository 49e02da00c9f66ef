#include "cli/report/nest_svg.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/report/label_room.hpp"
#include "cli/report/nest_labels.hpp"
#include "cli/report/page_frame.hpp"

namespace lastwright {

namespace {

// Height of the labels: larger on a larger nest, so that
// they can be read when the whole of it is on a screen.
double label_height(const Box2& box) {
  return std::clamp(0.011 * std::max(box.width(), box.height()), 2.2, 3.4);
}

const LineStyle kBaseLine{"base", "base", palette::kBlack, 0.60, {}};
const LineStyle kBaseNet{"base-net", "net line of the base", palette::kBlack, 0.25, {2.4, 1.2}};
const LineStyle kSmaller{"smaller", "smaller", palette::kBlue, 0.24, {}};
const LineStyle kLarger{"larger", "larger", palette::kVermilion, 0.24, {}};

LineStyle minor_of(LineStyle style) {
  style.width = 0.12;
  return style;
}

LineStyle style_for(const NestOutline& outline) {
  if (outline.place == NestPlace::kBase) return kBaseLine;
  const LineStyle& style = outline.place == NestPlace::kSmaller ? kSmaller : kLarger;
  return outline.minor ? minor_of(style) : style;
}

// Holes and cut-outs of so many over each other are a blot: those of the base then stand for all.
constexpr std::size_t kManyInside = 12;

bool base_stands_for_all(const std::vector<NestOutline>& outlines) {
  const auto many = [](const NestOutline& one) {
    return one.place == NestPlace::kBase && one.cut_outs.size() + one.holes.size() > kManyInside;
  };
  return outlines.size() > 1 && std::any_of(outlines.begin(), outlines.end(), many);
}

void draw_outline(SvgCanvas& canvas, const NestOutline& outline, std::size_t number, bool with_inside) {
  canvas.open_group(fmt::format("outline-{}", number), outline.label,
                    stroke_attributes(style_for(outline)) + " stroke-linejoin=\"round\"");
  canvas.outline(outline.path);
  const bool base = outline.place == NestPlace::kBase;
  const char* const inner = base ? "stroke-width=\"0.3\"" : "stroke-width=\"0.12\"";
  if (with_inside) {
    for (const ClosedArcPath& cut_out : outline.cut_outs) canvas.outline(cut_out, inner);
    for (const auto& [centre, radius] : outline.holes) canvas.circle(centre, radius, inner);
  }
  if (base && outline.net) canvas.outline(*outline.net, stroke_attributes(kBaseNet));
  canvas.close_group();
}

void draw_outlines(SvgCanvas& canvas, const std::vector<NestOutline>& outlines) {
  const bool base_alone = base_stands_for_all(outlines);
  for (const bool base : {false, true}) {  // the base on top
    for (std::size_t i = 0; i < outlines.size(); ++i) {
      if ((outlines[i].place == NestPlace::kBase) == base)
        draw_outline(canvas, outlines[i], i + 1, base || !base_alone);
    }
  }
}

void draw_labels(SvgCanvas& canvas, const std::vector<NestOutline>& outlines, const NestLabels& placed,
                 double height) {
  canvas.open_group("labels", "labels");
  const std::string leader =
      fmt::format("fill=\"none\" stroke=\"{}\" stroke-width=\"0.1\"", css_colour(palette::kGrey));
  for (const NestLabel& label : placed.labels) canvas.segment(label.tip, label.elbow, leader);
  for (const NestLabel& label : placed.labels) {
    const NestOutline& outline = outlines[label.outline];
    const Colour colour = style_for(outline).colour;
    canvas.circle(label.tip, 0.42, fmt::format("fill=\"{}\" stroke=\"none\"", css_colour(colour)));
    SvgText text{.at = label.elbow,
                 .height = outline.minor ? height * 0.85 : height,
                 .anchor = placed.side == Side::kLeft ? Anchor::kEnd : Anchor::kStart,
                 .colour = colour,
                 .bold = outline.place == NestPlace::kBase};
    text.at += Vec2{placed.side == Side::kLeft ? -0.8 : 0.8, -text.height / 2};
    canvas.text(text, outline.label);
  }
  canvas.close_group();
}

// Below the point, above it or beside it: the nearest place where the name lies on none of the lines.
SvgText kept_name_place(const std::vector<NestOutline>& outlines, Vec2 at, const std::string& name) {
  constexpr double kClear = 0.4;  // mm
  const bool base_alone = base_stands_for_all(outlines);
  const auto on_a_line = [&](const ClosedArcPath& box) {
    return std::any_of(outlines.begin(), outlines.end(), [&](const NestOutline& one) {
      if (meets(box, one.path, kClear) || (one.net && meets(box, *one.net, kClear))) return true;
      if (base_alone && one.place != NestPlace::kBase) return false;
      const auto near = [&](const auto& hole) {
        return contains(box, hole.first) || distance_to(box, hole.first) < hole.second + kClear;
      };
      return std::any_of(one.holes.begin(), one.holes.end(), near) ||
             std::any_of(one.cut_outs.begin(), one.cut_outs.end(),
                         [&](const ClosedArcPath& path) { return meets(box, path, kClear); });
    });
  };
  const auto text = [&](Vec2 place, Anchor anchor) {
    return SvgText{.at = at + place, .height = page::kSmall, .anchor = anchor, .halo = true};
  };
  for (const double off : {4.2, 7.0, 10.0, 14.0, 18.0}) {
    for (const SvgText& there :
         {text({0.0, -off - page::kSmall}, Anchor::kMiddle), text({0.0, off}, Anchor::kMiddle),
          text({off, -0.5 * page::kSmall}, Anchor::kStart),
          text({-off, -0.5 * page::kSmall}, Anchor::kEnd)}) {
      if (!on_a_line(box_of(there, name))) return there;
    }
  }
  return text({0.0, -4.2 - page::kSmall}, Anchor::kMiddle);
}

void draw_kept_point(SvgCanvas& canvas, Vec2 at, const SvgText& place, const std::string& name) {
  canvas.open_group(
      "kept-point", "the point that keeps its place",
      fmt::format("fill=\"none\" stroke=\"{}\" stroke-width=\"0.3\"", css_colour(palette::kBlack)));
  canvas.circle(at, 2.2, "fill=\"#ffffff\" fill-opacity=\"0.8\"");
  canvas.segment(at - Vec2{3.4, 0}, at + Vec2{3.4, 0});
  canvas.segment(at - Vec2{0, 3.4}, at + Vec2{0, 3.4});
  canvas.text(place, name);
  canvas.close_group();
}

std::vector<LegendItem> legend_of(const std::vector<NestOutline>& outlines, const NestOptions& options) {
  std::vector<LegendItem> items;
  bool smaller = false;
  bool larger = false;
  bool minor = false;
  for (const NestOutline& outline : outlines) {
    if (outline.place == NestPlace::kBase) {
      items.push_back({kBaseLine, fmt::format("base {}", outline.label)});
      if (outline.net) items.push_back({kBaseNet, kBaseNet.meaning});
    }
    smaller |= outline.place == NestPlace::kSmaller;
    larger |= outline.place == NestPlace::kLarger;
    minor |= outline.minor;
  }
  if (smaller) items.push_back({kSmaller, options.smaller});
  if (larger) items.push_back({kLarger, options.larger});
  if (minor && !options.minor.empty()) {
    const LineStyle thin = minor_of(smaller || !larger ? kSmaller : kLarger);
    items.push_back(LegendItem{thin, options.minor});
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
    paths.push_back(outline.path);
    widest = std::max(widest, text_width(outline.label));
  }
  std::string subtitle = options.subtitle;
  if (base_stands_for_all(outlines))
    subtitle += std::string(subtitle.empty() ? "" : "; ") + "holes and cut-outs of the base only";
  const double label = label_height(box);
  NestLabels labels;
  if (!outlines.empty()) labels = place_labels(paths, label, widest * label);
  box.add(labels.box);
  SvgText kept_place;
  if (options.kept) {
    kept_place = kept_name_place(outlines, *options.kept, options.kept_name);
    box.add(Box2{*options.kept, *options.kept}.grown(8.0));
    box.add(bounds(box_of(kept_place, options.kept_name)));
  }
  if (box.empty()) box.add(Vec2{});
  const double needed =
      std::max({text_width(options.title) * page::kTitle * 1.1, text_width(subtitle) * page::kHeading, 90.0});
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
              outlines.empty() ? "nothing to draw" : subtitle);
  draw_outlines(canvas, outlines);
  if (options.kept) draw_kept_point(canvas, *options.kept, kept_place, options.kept_name);
  draw_labels(canvas, outlines, labels, label);

  const Vec2 below{box.low.x, box.low.y - 8.0};
  const double legend_rows = draw_legend(canvas, below, box.width(), legend);
  const Vec2 bar{box.low.x, below.y - legend_rows - 3.0};
  const double length = scale_bar_length(box.width());
  draw_scale_bar(canvas, bar, length);
  canvas.text({.at = bar + Vec2{length + 14.0, 0.0}, .height = page::kSmall, .colour = palette::kGrey},
              "true scale");
  return canvas.finish(options.title, subtitle.empty() ? "nest of graded outlines, true scale" : subtitle);
}

}  // namespace lastwright
