#include "cli/report/girth_chart.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

namespace {

constexpr double kWide = 344.0;  // px
constexpr double kHigh = 236.0;
constexpr double kLeft = 38.0;   // room for the figures
constexpr double kRight = 42.0;  // room for the widths
constexpr double kTop = 14.0;
constexpr double kBottom = 34.0;  // room for the sizes

struct ChartLine {
  std::vector<std::size_t> sizes;  // that the width is made in
  std::vector<double> values;      // by these
  std::vector<std::size_t> widths;
  double label = 0.0;  // where its label stands, page units
};

std::vector<ChartLine> lines_of(const LoadedStyle& style, std::size_t measure) {
  std::vector<ChartLine> lines;
  for (std::size_t w = 0; w < style.run.widths.size(); ++w) {
    ChartLine line{style.run.made_sizes(w), {}, {w}};
    for (const std::size_t s : line.sizes)
      line.values.push_back(style.measures.value(measure, {style.run.sizes[s], style.run.widths[w]}));
    const auto same = std::find_if(lines.begin(), lines.end(), [&](const ChartLine& l) {
      return l.sizes == line.sizes && l.values == line.values;
    });
    if (same == lines.end()) {
      lines.push_back(std::move(line));
    } else {
      same->widths.push_back(w);
    }
  }
  return lines;
}

std::string label_of(const LoadedStyle& style, const ChartLine& line) {
  if (line.widths.size() == 1) return style.run.widths[line.widths.front()].label;
  if (line.widths.size() == style.run.widths.size()) return "all";
  return style.run.widths[line.widths.front()].label + "-" + style.run.widths[line.widths.back()].label;
}

struct Axes {
  double low = 0.0;
  double high = 1.0;
  double first = 0.0;  // positions of the sizes
  double last = 1.0;
  [[nodiscard]] double x(double position) const {
    return last > first ? kLeft + (position - first) / (last - first) * (kWide - kLeft - kRight)
                        : 0.5 * kWide;
  }
  [[nodiscard]] double y(double value) const {
    return kHigh - kBottom - (value - low) / (high - low) * (kHigh - kTop - kBottom);
  }
};

Axes axes_of(const LoadedStyle& style, const std::vector<ChartLine>& lines) {
  Axes axes;
  axes.low = axes.high = lines.front().values.front();
  for (const ChartLine& line : lines) {
    const auto [least, most] = std::minmax_element(line.values.begin(), line.values.end());
    axes.low = std::min(axes.low, *least);
    axes.high = std::max(axes.high, *most);
  }
  const double room = axes.high > axes.low ? 0.03 * (axes.high - axes.low) : 1.0;
  axes.low -= room;
  axes.high += room;
  axes.first = style.run.sizes.front().position.value();
  axes.last = style.run.sizes.back().position.value();
  return axes;
}

// Labels at least a line apart, as near to the ends of their lines as that lets them.
void place_labels(std::vector<ChartLine>& lines, const Axes& axes) {
  constexpr double kApart = 11.5;  // px between the labels of two lines
  std::sort(lines.begin(), lines.end(),
            [](const ChartLine& a, const ChartLine& b) { return a.values.back() > b.values.back(); });
  for (std::size_t i = 0; i < lines.size(); ++i) {
    lines[i].label = axes.y(lines[i].values.back());
    if (i > 0) lines[i].label = std::max(lines[i].label, lines[i - 1].label + kApart);
  }
  for (std::size_t i = lines.size(); i-- > 0;) {
    const double most = i + 1 == lines.size() ? kHigh - kBottom : lines[i + 1].label - kApart;
    lines[i].label = std::min(lines[i].label, most);
  }
}

void append_scales(std::string& svg, const LoadedStyle& style, const Axes& axes) {
  const double step = chart_step(axes.low, axes.high, 6);
  const double first = std::ceil(axes.low / step);
  for (int i = 0; (first + i) * step <= axes.high; ++i) {
    const double value = (first + i) * step;
    svg += fmt::format(
        "<path class=\"grid\" d=\"M{:.0f} {:.1f}H{:.0f}\"/><text x=\"{:.0f}\" y=\"{:.1f}\" "
        "text-anchor=\"end\">{:g}</text>",
        kLeft, axes.y(value), kWide - kRight, kLeft - 5, axes.y(value) + 3.6,
        std::round(value * 1000) / 1000);
  }
  svg += fmt::format("<path class=\"axis\" d=\"M{:.0f} {:.1f}H{:.0f}\"/>", kLeft, kHigh - kBottom,
                     kWide - kRight);
  double free_from = 0.0;
  constexpr std::size_t kFew = 6;  // sizes, of which each has its label
  const bool whole_only = style.run.sizes.size() > kFew;
  for (const Size& size : style.run.sizes) {
    const double x = axes.x(size.position.value());
    if ((whole_only && size.position.denominator() != 1) || x < free_from) continue;
    free_from = x + 6.5 * static_cast<double>(size.label.size()) + 8.0;
    svg += fmt::format("<text x=\"{:.1f}\" y=\"{:.1f}\" text-anchor=\"middle\">{}</text>", x,
                       kHigh - kBottom + 14, xml_escaped(size.label));
  }
  svg += fmt::format("<text class=\"unit\" x=\"{:.0f}\" y=\"{:.0f}\" text-anchor=\"middle\">size</text>",
                     0.5 * (kLeft + kWide - kRight), kHigh - 5);
  svg += fmt::format("<text class=\"unit\" x=\"{:.0f}\" y=\"9\" text-anchor=\"end\">mm</text>", kLeft - 5);
}

}  // namespace

double chart_step(double low, double high, int most) {
  const double least = (high - low) / most;
  const double power = std::pow(10.0, std::floor(std::log10(least)));
  for (const double times : {1.0, 2.0, 5.0}) {
    if (times * power >= least) return times * power;
  }
  return 10.0 * power;
}

std::string girth_chart(const LoadedStyle& style, std::size_t measure) {
  std::vector<ChartLine> lines = lines_of(style, measure);
  const Axes axes = axes_of(style, lines);
  place_labels(lines, axes);
  std::string svg = fmt::format(
      "<svg class=\"chart\" viewBox=\"0 0 {:.0f} {:.0f}\" role=\"img\" aria-label=\"{} by size, one line a "
      "width, millimetres\">",
      kWide, kHigh, xml_escaped(style.measures.measures()[measure].name));
  append_scales(svg, style, axes);
  for (const ChartLine& line : lines) {
    std::string points;
    for (std::size_t s = 0; s < line.values.size(); ++s) {
      points += fmt::format("{}{:.1f} {:.1f}", s == 0 ? "M" : "L",
                            axes.x(style.run.sizes[line.sizes[s]].position.value()), axes.y(line.values[s]));
    }
    std::string widths;
    for (const std::size_t w : line.widths) widths += fmt::format("{}{}", widths.empty() ? "" : " ", w);
    svg += fmt::format("<g class=\"line w{}\" data-widths=\"{}\"><path d=\"{}\"/>", line.widths.front() % 8,
                       widths, points);
    for (std::size_t s = 0; s < line.values.size(); ++s) {
      svg += fmt::format("<circle cx=\"{:.1f}\" cy=\"{:.1f}\" r=\"1.6\"/>",
                         axes.x(style.run.sizes[line.sizes[s]].position.value()), axes.y(line.values[s]));
    }
    svg += fmt::format("<text x=\"{:.0f}\" y=\"{:.1f}\">{}</text></g>", kWide - kRight + 7, line.label + 3.6,
                       xml_escaped(label_of(style, line)));
  }
  return svg + "</svg>";
}

}  // namespace lastwright
