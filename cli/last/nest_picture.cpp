// The picture of a nest of lasts: side view, plan and girth sections.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "cli/last/last_report.hpp"
#include "geometry/io/svg_canvas.hpp"

namespace lastwright {

namespace {

// Where the parts of the picture lie, mm on paper.
constexpr double kWide = 800.0;
constexpr double kHigh = 345.0;
constexpr double kMargin = 20.0;
constexpr double kGround = 150.0;       // paper y of the ground in the side view and of the sections of sizes
constexpr double kMiddle = 255.0;       // paper y of the axis in the plan
constexpr double kWidthGround = 310.0;  // of the sections of widths
constexpr double kFirstSection = 450.0;
constexpr double kSectionStep = 120.0;
constexpr std::array<const char*, 3> kSections{"ball girth", "waist girth", "instep girth"};

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

// Sharp edges seen from above: featherline and top rim.
std::string plan_of(const Body& body) {
  std::string d;
  for (const BodyEdge& e : body.edges) {
    if (e.kink < 0.4) continue;
    for (int i = 0; i <= 80; ++i) {
      const Vec3 p = e.curve.point(e.from + (e.to - e.from) * i / 80.0);
      d += fmt::format("{}{:.2f} {:.2f}", i == 0 ? 'M' : 'L', kMargin + p.x, kMiddle - p.y);
    }
  }
  return d;
}

}  // namespace

std::string nest_lines(const BaseLast& base, const GradedLast& last, bool in_sizes, bool in_widths) {
  const Form form = make_form(last.body);
  const SectionOptions coarse{0.05, 8};
  std::string d;
  d += path_of(cut_section(form, plane_through({0, 0, 0}, {0, 1, 0}), coarse), kMargin, kGround, {1, 0, 0},
               {0, 0, 1}, {});
  d += plan_of(last.body);
  for (std::size_t i = 0; i < base.definitions.size(); ++i) {
    const MeasureDefinition& definition = base.definitions[i];
    const auto slot = std::find(kSections.begin(), kSections.end(), definition.measure);
    const Measured& m = last.values[i];
    if (definition.method != Method::kPlaneHull || slot == kSections.end() || !m.plane) continue;
    // Laid out from the girth's mark on the bottom, seen from the toe.
    const Between* rising = std::get_if<Between>(&definition.plane.second);
    const std::string& mark = rising ? rising->from : definition.plane.through;
    const Vec3 right = unit(Vec3{0, 1, 0} - m.plane->normal.y * m.plane->normal);
    Vec3 up = cross(m.plane->normal, right);
    if (up.z < 0.0) up = -up;
    const Section section = cut_section(form, *m.plane, coarse);
    for (const auto& [drawn, ground] : {std::pair{in_sizes, kGround}, {in_widths, kWidthGround}}) {
      if (!drawn) continue;
      d += path_of(section, kFirstSection + kSectionStep * static_cast<double>(slot - kSections.begin()),
                   ground, right, up, form.at(base.landmarks.at(mark)).p);
    }
  }
  const std::string& size = last.at.size.label;
  const bool whole = size.find_first_not_of("0123456789") == std::string::npos;
  const char* kind = in_sizes && in_widths ? "base" : in_widths ? "width" : whole ? "size" : "size half";
  std::string out = fmt::format("<path class=\"{}\" d=\"{}\"/>\n", kind, d);
  if (in_sizes && whole) {
    const double toe = kMargin + base.standing.length * last.map.stretch;
    out += fmt::format(
        "<path class=\"rule\" d=\"M{0:.2f} {1}v2.5\"/><text class=\"mark\" x=\"{0:.2f}\" "
        "y=\"{2}\">{3}</text>\n",
        toe, kGround, kGround + 6.5, xml_escaped(size));
  }
  return out;
}

std::string nest_svg(const LastSet& set, const LastRunExtra& extra) {
  std::string out = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{1}mm\" viewBox=\"0 0 {0} {1}\">\n"
      "<style>path{{fill:none;stroke-width:0.2}}.size{{stroke:#1b4f72}}.half{{stroke-width:0.1}}.width{{"
      "stroke:#c0570a}}.base{{stroke:#111;stroke-width:0.35}}.rule{{stroke:"
      "#555}}"
      "text{{font:5px sans-serif}}.mark{{font-size:3.6px;text-anchor:middle}}</style>\n",
      kWide, kHigh);
  for (const LastResult& r : set.results) out += extra.nest[r.job];
  const auto label = [&](double x, double y, const std::string& text, const char* kind = "") {
    out += fmt::format("<text{} x=\"{}\" y=\"{}\">{}</text>\n", kind, x, y, text);
  };
  const SizeWidth& at = set.style.measures.base().at;
  label(kMargin, 8,
        fmt::format(
            "side view, on the plane through heel and toe: sizes of width {} in blue (whole ones stronger), "
            "widths of size {} in orange, where both meet black",
            xml_escaped(at.width.label), xml_escaped(at.size.label)));
  label(kMargin, 182, "plan: featherline and rim of the top, toe to the right");
  std::string widths;
  for (const LastResult& r : set.results) {
    if (r.at.size.position == at.size.position) widths += (widths.empty() ? "" : ", ") + r.at.width.label;
  }
  label(kFirstSection - 55, 182,
        fmt::format("the same of size {}, widths {} from the inside out", xml_escaped(at.size.label),
                    xml_escaped(widths)));
  for (std::size_t k = 0; k < kSections.size(); ++k) {
    const double x = kFirstSection + kSectionStep * static_cast<double>(k);
    label(x, kGround + 10, kSections[k], " class=\"mark\"");
    label(x, kWidthGround + 10, kSections[k], " class=\"mark\"");
  }
  label(
      kFirstSection - 55, 22,
      fmt::format("sections of width {} in the planes of the girths, seen from the toe, on their mark on the "
                  "bottom",
                  xml_escaped(at.width.label)));
  out += fmt::format(
      "<path class=\"rule\" d=\"M{0} {1}h340M{0} {2}h100m0 -2v4M{0} {3}v4\"/>\n<text x=\"{4}\" y=\"{5}\">100 "
      "mm</text>\n</svg>\n",
      kMargin, kGround, kHigh - 12, kHigh - 14, kMargin + 104, kHigh - 10);
  return out;
}

}  // namespace lastwright
