#include "cli/report/point_labels.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

namespace {

constexpr double kPointRadius = 0.9;     // mm round a point that no text covers
constexpr double kClear = 0.2;           // mm between two texts
constexpr double kCapitalOfFont = 0.72;  // of the font's size
constexpr double kBelow = 0.22;          // of the font's size: descending letters
constexpr std::array<double, 8> kAway{1.6,  3.5,  6.0,  9.0,
                                      13.0, 18.0, 24.0, 32.0};  // mm from the point to the text
constexpr double kOverText = 1e6;                               // costs that never make up for each other
constexpr double kOverLine = 1e3;

// Whether the line has a point in the box: clipped to it, something is left.
bool crosses(const Box2& box, Vec2 a, Vec2 b) {
  double from = 0.0;
  double to = 1.0;
  const auto clip = [&](double start, double step, double low, double high) {
    if (step == 0.0) return start >= low && start <= high;
    const double one = (low - start) / step;
    const double other = (high - start) / step;
    from = std::max(from, std::min(one, other));
    to = std::min(to, std::max(one, other));
    return from <= to;
  };
  return clip(a.x, b.x - a.x, box.low.x, box.high.x) && clip(a.y, b.y - a.y, box.low.y, box.high.y);
}

}  // namespace

double PointLabels::cost(const Box2& box) const {
  const bool off = box.low.x < within_.low.x || box.low.y < within_.low.y || box.high.x > within_.high.x ||
                   box.high.y > within_.high.y;
  double cost = off ? kOverText : 0.0;
  const Box2 clear = box.grown(kClear);
  for (const Box2& other : taken_) {
    if (clear.overlaps(other)) cost += kOverText;
  }
  for (const Line& line : lines_) {
    if (crosses(box, line.a, line.b)) cost += kOverLine;
  }
  return cost;
}

double PointLabels::leader_cost(Vec2 from, Vec2 to) const {
  return kOverLine * static_cast<double>(std::count_if(texts_.begin(), texts_.end(), [&](const Box2& text) {
           return crosses(text, from, to);
         }));
}

std::vector<PointLabel> PointLabels::place() {
  for (const PointLabel& label : labels_)
    taken_.push_back(Box2{label.point, label.point}.grown(kPointRadius));
  for (PointLabel& label : labels_) {
    const double width = text_width(label.text) * kCapitalOfFont * size_;
    const double up = kCapitalOfFont * size_;
    const double down = kBelow * size_;
    double least = 1e300;
    for (std::size_t ring = 0; ring < kAway.size(); ++ring) {
      const double away = kAway[ring];
      const double slant = 0.7 * away;
      const Vec2 p = label.point;
      const double level = p.y + 0.5 * (up - down);  // base line of a text level with the point
      const std::array<Vec2, 8> bases{{{p.x + slant, p.y - slant},
                                       {p.x + away, level},
                                       {p.x + slant, p.y + slant + up},
                                       {p.x - slant - width, p.y - slant},
                                       {p.x - away - width, level},
                                       {p.x - slant - width, p.y + slant + up},
                                       {p.x - 0.5 * width, p.y - away - down},
                                       {p.x - 0.5 * width, p.y + away + up}}};
      for (std::size_t side = 0; side < bases.size(); ++side) {
        const Box2 box{bases[side] - Vec2{0.0, up}, bases[side] + Vec2{width, down}};
        const Vec2 elbow{std::clamp(p.x, box.low.x, box.high.x), std::clamp(p.y, box.low.y, box.high.y)};
        const double total = cost(box) + (ring > 0 ? leader_cost(p, elbow) : 0.0) +
                             10.0 * static_cast<double>(ring) + static_cast<double>(side);
        if (total >= least) continue;
        least = total;
        label.base = bases[side];
        label.box = box;
        label.apart = ring > 0;
        label.elbow = elbow;
      }
    }
    taken_.push_back(label.box);
    texts_.push_back(label.box);
    if (label.apart) lines_.push_back({label.point, label.elbow});
  }
  return labels_;
}

std::string label_svg(const PointLabel& label) {
  std::string out;
  if (label.apart) {
    out = fmt::format("<path class=\"leader\" d=\"M{:.2f} {:.2f}L{:.2f} {:.2f}\"/>\n", label.point.x,
                      label.point.y, label.elbow.x, label.elbow.y);
  }
  return out + fmt::format("<text class=\"small\" x=\"{:.2f}\" y=\"{:.2f}\">{}</text>\n", label.base.x,
                           label.base.y, xml_escaped(label.text));
}

}  // namespace lastwright
