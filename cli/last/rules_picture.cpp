// The picture of a style's rules beside its last.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "cli/last/rules_files.hpp"
#include "cli/report/point_labels.hpp"
#include "geometry/box2.hpp"
#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

namespace {

constexpr double kPaperEdge = 14.0;  // mm round and between the formes
constexpr double kTitle = 24.0;      // mm
constexpr double kSmall = 2.8;       // font of the points' names
constexpr double kTold = 0.5;        // mm apart from which the distance is written beside a point

// The cell in which the points of a tie are farthest apart.
const ComparedForme* farthest_cell(const RulesBesideLast& rules, std::size_t tie) {
  const ComparedForme* worst = nullptr;
  double most = -1.0;
  for (const ComparedForme& cell : rules.compared) {
    if (cell.tie != tie) continue;
    for (const ComparedPoint& p : cell.points) {
      const double off = distance(p.by_rules, p.by_last);
      if (off <= most) continue;
      most = off;
      worst = &cell;
    }
  }
  return worst;
}

std::string number_pair(Vec2 p) {
  return fmt::format("{:.2f} {:.2f}", p.x, p.y);
}

std::string rims_of(const LastForme& forme, const auto& at, PointLabels& labels) {
  std::string d;
  for (const FormeLine& rim : forme.rims) {
    const std::vector<Vec2> points = flattened(rim.path, Millimetres(0.05));
    for (std::size_t i = 0; i < points.size(); ++i) {
      d += (i == 0 ? "M" : "L") + number_pair(at(points[i]));
      if (i > 0) labels.keep_off(at(points[i - 1]), at(points[i]));
    }
  }
  return d;
}

std::string points_of(const FormeTie& tie, const ComparedForme* cell, const auto& at, PointLabels& labels) {
  std::string out;
  for (const TiedPoint& point : tie.points) {
    const Vec2 drawn = at(tie.to_last(point.drawn));
    const ComparedPoint* moved = nullptr;
    if (cell) {
      for (const ComparedPoint& p : cell->points) {
        if (p.name == point.name) moved = &p;
      }
    }
    out += fmt::format("<circle class=\"{}\" cx=\"{:.2f}\" cy=\"{:.2f}\" r=\"0.8\"/>\n",
                       point.on_last ? "drawn" : "beyond", drawn.x, drawn.y);
    std::string label = point.name;
    if (moved) {
      const Vec2 rule = at(tie.to_last(point.drawn + moved->by_rules));
      const Vec2 last = at(tie.to_last(point.drawn + moved->by_last));
      out += fmt::format("<path class=\"rules\" d=\"M{0}L{1}\"/><path class=\"last\" d=\"M{0}L{2}\"/>\n",
                         number_pair(drawn), number_pair(rule), number_pair(last));
      labels.keep_off(drawn, rule);
      labels.keep_off(drawn, last);
      const double off = distance(moved->by_rules, moved->by_last);
      if (off > kTold) label += fmt::format(" {:.1f}", off);
    }
    labels.add(drawn, label);
  }
  for (const PointLabel& label : labels.place()) out += label_svg(label);
  return out;
}

}  // namespace

std::string rules_svg(const LoadedStyle& style, const RulesBesideLast& rules, const LastFormes& base) {
  double wide = 200.0;
  double tall = kTitle;
  std::string body;
  for (std::size_t t = 0; t < rules.ties.size(); ++t) {
    const FormeTie& tie = rules.ties[t];
    const LastForme& forme = tie.bottom ? base.bottom : base.mean;
    const ComparedForme* cell = farthest_cell(rules, t);
    Box2 box;
    for (Vec2 p : forme.nodes) box.add(p);
    for (const TiedPoint& p : tie.points) box.add(tie.to_last(p.drawn));
    const auto at = [&](Vec2 p) { return Vec2{kPaperEdge + p.x - box.low.x, tall + 8.0 + box.high.y - p.y}; };
    const double own_wide = box.width() + 2.0 * kPaperEdge + 30.0;
    PointLabels labels(kSmall);
    labels.keep_within({{1.0, 1.0}, {own_wide - 1.0, tall + box.height() + 8.0 + kPaperEdge - 1.0}});
    labels.keep_off(Box2{{0.0, tall - 6.0}, {wide, tall + 2.0}});  // the heading
    body +=
        fmt::format("<text x=\"{}\" y=\"{:.1f}\">{} on the last's {}; moves to {}</text>\n", kPaperEdge, tall,
                    xml_escaped(style.spec.formes[tie.forme].name), tie.bottom ? "bottom" : "mean forme",
                    cell ? xml_escaped(label_of(cell->at)) : "no other size");
    body += fmt::format("<path class=\"forme\" d=\"{}\"/>\n", rims_of(forme, at, labels));
    body += points_of(tie, cell, at, labels);
    wide = std::max(wide, own_wide);
    tall += box.height() + 8.0 + kPaperEdge;
  }
  return fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.1f}mm\" height=\"{1:.1f}mm\" viewBox=\"0 0 "
      "{0:.1f} {1:.1f}\">\n"
      "<style>path{{fill:none;stroke-width:0.5}}.forme{{stroke:#111;stroke-width:0.35}}.rules{{stroke:#"
      "0072b2;stroke-width:0.9}}"
      ".last{{stroke:#d55e00}}.drawn{{fill:#111}}.beyond{{fill:#fff;stroke:#888;stroke-width:0.3}}text{{font:"
      "4.5px sans-serif}}"
      ".small{{font-size:2.8px;paint-order:stroke;stroke:#fff;stroke-width:0.5}}.leader{{stroke:#888;stroke-"
      "width:0.15}}</style>\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>\n"
      "<text x=\"{2}\" y=\"9\" font-weight=\"bold\">{3}: rules beside the last</text>\n"
      "<path class=\"rules\" d=\"M{2} 14h10\"/><text class=\"small\" x=\"{4}\" y=\"15\">where the rules take "
      "a point</text>"
      "<path class=\"last\" d=\"M{5} 14h10\"/><text class=\"small\" x=\"{6}\" y=\"15\">where the last takes "
      "it; mm between them; open: beyond the last</text>\n{7}</svg>\n",
      wide, tall, kPaperEdge, xml_escaped(style.spec.name), kPaperEdge + 12.0, kPaperEdge + 60.0,
      kPaperEdge + 72.0, body);
}

}  // namespace lastwright
