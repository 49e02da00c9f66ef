// The picture of a nest of lasts: side view, plan and girth sections.
#include <fmt/format.h>

#include <cmath>

#include "cli/last/last_report.hpp"

namespace lastwright {

namespace {

// Where the parts of the picture lie, mm on paper.
constexpr double kWide = 720.0;
constexpr double kHigh = 420.0;
constexpr double kMargin = 20.0;
constexpr double kGround = 150.0;  // paper y of the ground in the side view
constexpr double kMiddle = 260.0;  // paper y of the axis in the plan

std::string path_of(const Section& section, double dx, double dy, Vec3 right, Vec3 up, Vec3 origin) {
  std::string d;
  const auto put = [&](char c, Vec3 p) {
    d += fmt::format("{}{:.2f} {:.2f}", c, dx + dot(p - origin, right), dy - dot(p - origin, up));
  };
  for (const SectionStretch& s : section.stretches) {
    put('M', section.points[s.point[0]].p);
    put('L', section.points[s.point[1]].p);
    put('L', section.points[s.point[2]].p);
  }
  return d;
}

std::string curve_path(const Body& body, bool plan) {
  // Edges seen from above: featherline and top rim.
  std::string d;
  for (const BodyEdge& e : body.edges) {
    if (e.kink < 0.4) continue;
    for (int i = 0; i <= 80; ++i) {
      const Vec3 p = e.curve.point(e.from + (e.to - e.from) * i / 80.0);
      d += fmt::format("{}{:.2f} {:.2f}", i == 0 ? 'M' : 'L', kMargin + p.x,
                       plan ? kMiddle - p.y : kGround - p.z);
    }
  }
  return d;
}

}  // namespace

std::string nest_lines(const BaseLast& base, const GradedLast& last, bool of_widths) {
  const Form form = make_form(last.body);
  const SectionOptions coarse{0.05, 8};
  std::string d;
  d += path_of(cut_section(form, plane_through({0, 0, 0}, {0, 1, 0}), coarse), kMargin, kGround, {1, 0, 0},
               {0, 0, 1}, {});
  d += curve_path(last.body, true);
  double slot = 0.0;
  std::string sections;
  for (std::size_t i = 0; i < base.definitions.size(); ++i) {
    const MeasureDefinition& definition = base.definitions[i];
    if (definition.method != Method::kPlaneHull || slot > 2.5) continue;  // ball, waist, instep
    const Measured& m = last.values[i];
    if (!m.plane) continue;
    // Laid out from the girth's own landmark on the bottom, seen from the toe.
    const Vec3 through = form.at(base.landmarks.at(definition.plane.through)).p;
    const Vec3 right = unit(Vec3{0, 1, 0} - m.plane->normal.y * m.plane->normal);
    Vec3 up = cross(m.plane->normal, right);
    if (up.z < 0.0) up = -up;
    const Vec3 foot{through.x, through.y, through.z};
    d += path_of(cut_section(form, *m.plane, coarse), 400.0 + 110.0 * slot, of_widths ? 330.0 : kGround,
                 right, up, definition.plane.through == "instep top" ? foot - 75.0 * up : foot);
    slot += 1.0;
  }
  return fmt::format("<path class=\"{}\" d=\"{}\"/>\n", of_widths ? "width" : "size", d);
}

std::string nest_svg(const LastSet& set) {
  std::string out = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{1}mm\" viewBox=\"0 0 {0} {1}\">\n"
      "<style>path{{fill:none;stroke-width:0.2}}.size{{stroke:#1b4f72}}.width{{stroke:#a04000}}"
      "text{{font:5px sans-serif}}</style>\n",
      kWide, kHigh);
  for (const LastResult& r : set.results) out += r.nest;
  const auto label = [&](double x, double y, const char* text) {
    out += fmt::format("<text x=\"{}\" y=\"{}\">{}</text>\n", x, y, text);
  };
  label(kMargin, 12, "side view on the heel-toe plane: sizes in blue, widths of the base size in brown");
  label(kMargin, 195, "plan: featherline and rim of the top");
  label(365, 12, "sections at ball, waist and instep, seen in their planes: above sizes, below widths");
  out += fmt::format("<path class=\"size\" d=\"M{0} {1}h{2}\"/>\n</svg>\n", kMargin, kGround, 330);
  return out;
}

}  // namespace lastwright
