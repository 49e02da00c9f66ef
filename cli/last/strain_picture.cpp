// The picture of what flattening did to a last's skin.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "cli/last/forme_files.hpp"
#include "cli/report/point_labels.hpp"
#include "geometry/box2.hpp"
#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

namespace {

constexpr double kFullColour = 0.10;  // stretch at which the colour is full
constexpr int kShades = 10;           // to either side of none
constexpr double kEdge = 12.0;        // mm of paper round and between the formes
constexpr double kHead = 26.0;        // mm of title and key
constexpr double kUnder = 16.0;       // mm of figures under each forme

std::string shade(int step) {  // -kShades squeezed .. kShades stretched
  const double t = std::abs(step) / static_cast<double>(kShades);
  const std::array<double, 3> full =
      step > 0 ? std::array{178.0, 24.0, 43.0} : std::array{33.0, 102.0, 172.0};
  std::string colour = "#";
  for (double c : full)
    colour += fmt::format("{:02x}", static_cast<int>(std::lround(245.0 + t * (c - 245.0))));
  return colour;
}

// By what it is stretched most, in either sense.
int step_of(const LocalStretch& stretch) {
  const double most = stretch.most - 1.0;
  const double least = stretch.least - 1.0;
  const double worst = std::abs(most) >= std::abs(least) ? most : least;
  return std::clamp(static_cast<int>(std::lround(worst / kFullColour * kShades)), -kShades, kShades);
}

Box2 box_of(const LastForme& forme) {
  Box2 box;
  for (Vec2 p : forme.nodes) box.add(p);
  return box;
}

std::string forme_group(const LastForme& forme, double x, double y) {
  const Box2 own = box_of(forme);
  const auto at = [&](Vec2 p) { return fmt::format("{:.2f} {:.2f}", x + p.x, y - p.y); };
  const auto on_paper = [&](Vec2 p) { return Vec2{x + p.x, y - p.y}; };
  PointLabels labels(3.0);
  // Off the key above and the figures below; to either side as far as the paper's edge and the next forme.
  labels.keep_within({{x + own.low.x - kEdge + 1.0, y - own.high.y - 3.0},
                      {x + own.high.x + kEdge - 1.0, y - own.low.y + 3.5}});
  // One path a shade: thousands of triangles stay a small file.
  std::array<std::string, 2 * kShades + 1> by_shade;
  for (std::size_t n = 0; n < forme.mesh.triangles.size(); ++n) {
    const Corners& t = forme.mesh.triangles[n];
    const LocalStretch s =
        stretch_of(forme.mesh.shapes[n], forme.nodes[t[0]], forme.nodes[t[1]], forme.nodes[t[2]]);
    by_shade[static_cast<std::size_t>(step_of(s) + kShades)] +=
        "M" + at(forme.nodes[t[0]]) + "L" + at(forme.nodes[t[1]]) + "L" + at(forme.nodes[t[2]]) + "Z";
  }
  std::string out;
  for (int step = -kShades; step <= kShades; ++step) {
    const std::string& d = by_shade[static_cast<std::size_t>(step + kShades)];
    if (!d.empty()) out += fmt::format("<path fill=\"{0}\" stroke=\"{0}\" d=\"{1}\"/>\n", shade(step), d);
  }
  std::string lines;
  for (const std::vector<FormeLine>* some : {&forme.rims, &forme.lines}) {
    for (const FormeLine& line : *some) {
      const std::vector<Vec2> points = flattened(line.path, Millimetres(0.02));
      for (std::size_t i = 0; i < points.size(); ++i) {
        lines += (i == 0 ? "M" : "L") + at(points[i]);
        if (i > 0) labels.keep_off(on_paper(points[i - 1]), on_paper(points[i]));
      }
    }
  }
  out += fmt::format("<path class=\"line\" d=\"{}\"/>\n", lines);
  for (const FormePoint& p : forme.points) {
    out += fmt::format("<circle cx=\"{:.2f}\" cy=\"{:.2f}\" r=\"0.7\"/>\n", x + p.at.x, y - p.at.y);
    labels.add(on_paper(p.at), p.name);
  }
  for (const PointLabel& label : labels.place()) out += label_svg(label);
  return out;
}

std::string figures(const LastForme& forme) {
  std::string out =
      fmt::format("stretch: half of the area below {:.1f} %, 95 % below {:.1f} %, worst {:.1f} %",
                  100.0 * forme.stretch.middle, 100.0 * forme.stretch.high, 100.0 * forme.stretch.worst);
  for (const ZoneFigures& z : forme.zones)
    out += fmt::format("; {} {:.1f} / {:.1f} / {:.1f}", z.name, 100.0 * z.stretch.middle,
                       100.0 * z.stretch.high, 100.0 * z.stretch.worst);
  return out;
}

}  // namespace

std::string strain_svg(const LastFormes& formes, const std::string& title) {
  // Two columns: sides above each other on the left, mean and bottom on the right.
  const std::array<const LastForme*, 4> order{&formes.outside, &formes.mean, &formes.inside, &formes.bottom};
  std::array<Box2, 4> boxes;
  for (std::size_t i = 0; i < 4; ++i) boxes[i] = box_of(*order[i]);
  const double column =
      std::max({boxes[0].width(), boxes[1].width(), boxes[2].width(), boxes[3].width()}) + kEdge;
  const std::array<double, 2> high{std::max(boxes[0].height(), boxes[1].height()),
                                   std::max(boxes[2].height(), boxes[3].height())};
  const double wide = 2.0 * column + kEdge;
  const double tall = kHead + high[0] + high[1] + 2.0 * (kUnder + kEdge);
  std::string out = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.1f}mm\" height=\"{1:.1f}mm\" viewBox=\"0 0 "
      "{0:.1f} {1:.1f}\">\n"
      "<style>path{{stroke-width:0.12}}.leader{{fill:none;stroke:#666;stroke-width:0.15}}.line{{fill:none;"
      "stroke:#222;stroke-width:0.35}}text{{font:4.5px "
      "sans-serif}}"
      ".small{{font-size:3px;paint-order:stroke;stroke:#fff;stroke-width:0.6}}</style>\n"
      "<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n<text x=\"{2}\" y=\"9\" "
      "font-weight=\"bold\">{3}</text>\n",
      wide, tall, kEdge, xml_escaped(title));
  for (int step = -kShades; step <= kShades; ++step) {
    out += fmt::format("<rect x=\"{:.1f}\" y=\"13\" width=\"6\" height=\"5\" fill=\"{}\"/>\n",
                       kEdge + 6.0 * (step + kShades), shade(step));
  }
  out += fmt::format(
      "<text class=\"small\" x=\"{}\" y=\"22\">squeezed 10 % and more</text><text class=\"small\" x=\"{}\" "
      "y=\"22\">kept</text>"
      "<text class=\"small\" x=\"{}\" y=\"22\">stretched 10 % and more</text>\n",
      kEdge, kEdge + 6.0 * kShades, kEdge + 12.0 * kShades - 18.0);
  for (std::size_t i = 0; i < 4; ++i) {
    const double left = kEdge + (i % 2 == 0 ? 0.0 : column);
    const double base = kHead + (i < 2 ? high[0] : high[0] + kUnder + kEdge + high[1]);
    out += forme_group(*order[i], left - boxes[i].low.x, base + boxes[i].low.y);
    out += fmt::format(
        "<text x=\"{0:.1f}\" y=\"{1:.1f}\" font-weight=\"bold\">{2}</text>\n<text class=\"small\" "
        "x=\"{0:.1f}\" y=\"{3:.1f}\">{4}</text>\n",
        left, base + 7.0, order[i]->name, base + 12.0, figures(*order[i]));
  }
  return out + "</svg>\n";
}

}  // namespace lastwright
