// The picture of a nest of lasts: side view, plan and girth sections.
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "cli/last/last_report.hpp"
#include "cli/last/section_lines.hpp"
#include "geometry/io/drawing_style.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "grading/lasts/roles.hpp"

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

std::string path_of(const Section& section, double dx, double dy, Vec3 right, Vec3 up, Vec3 origin) {
  std::string d;
  for (const std::vector<Vec3>& line : section_lines(section)) {
    char c = 'M';
    for (const Vec3& p : line) {
      d += fmt::format("{}{:.2f} {:.2f}", c, dx + dot(p - origin, right), dy - dot(p - origin, up));
      c = 'L';
    }
  }
  return d;
}

// An edge's curve as cubics with the curve's own directions at their ends.
std::string cubics_of(const BodyEdge& edge) {
  constexpr int kCubics = 24;
  const double step = (edge.to - edge.from) / kCubics;
  std::string d;
  Vec3 before;
  for (int i = 0; i <= kCubics; ++i) {
    Vec3 p;
    Vec3 slope;
    edge.curve.point_and_slope(edge.from + step * i, p, slope);
    const Vec3 arm = step / 3.0 * slope;
    const auto at = [](Vec3 q) { return fmt::format("{:.3f} {:.3f}", kMargin + q.x, kMiddle - q.y); };
    d += i == 0 ? "M" + at(p) : "C" + at(before) + " " + at(p - arm) + " " + at(p);
    before = p + arm;
  }
  return d;
}

// Featherline and rim of the top seen from above; on a mesh its sides are drawn.
std::string plan_of(const Body& body) {
  std::string d;
  for (const BodyEdge* edge : plan_edges(body)) {
    if (!body.facets) {
      d += cubics_of(*edge);
      continue;
    }
    const Vec3 a = edge->curve.poles.front();
    const Vec3 z = edge->curve.poles.back();
    d += fmt::format("M{:.2f} {:.2f}L{:.2f} {:.2f}", kMargin + a.x, kMiddle - a.y, kMargin + z.x,
                     kMiddle - z.y);
  }
  return d;
}

bool is_whole(const std::string& size) {
  return size.find_first_not_of("0123456789") == std::string::npos;
}

// The figures of a girth over the sizes of the base width, or over the widths of the base size.
std::string figures_of(const LastSet& set, const std::string& measure, bool widths) {
  const SizeWidth& home = set.style.measures.base().at;
  std::vector<std::string> figures;
  for (const LastResult& r : set.results) {
    const bool base_width = r.at.width.position == home.width.position;
    const bool base_size = r.at.size.position == home.size.position;
    if (widths ? !base_size : !base_width || (!base_size && !is_whole(r.at.size.label))) continue;
    const std::vector<MeasureDefinition>& definitions = set.bases[r.base].definitions;
    for (std::size_t i = 0; i < definitions.size(); ++i) {
      if (definitions[i].measure != measure) continue;
      figures.push_back(
          fmt::format("{}: {:.1f}", widths ? r.at.width.label : r.at.size.label, r.values[i].value));
    }
  }
  // The ends and the middle where there are many.
  constexpr std::size_t kMost = 3;
  if (figures.size() > kMost) figures = {figures.front(), figures[figures.size() / 2], figures.back()};
  return fmt::format("{} mm", fmt::join(figures, ", "));
}

}  // namespace

std::vector<const BodyEdge*> plan_edges(const Body& body) {
  const std::vector<int> feather = feather_edges(body);
  std::vector<const BodyEdge*> edges;
  for (std::size_t i = 0; i < body.edges.size(); ++i) {
    const bool feathered = std::find(feather.begin(), feather.end(), static_cast<int>(i)) != feather.end();
    if (body.edges[i].kink >= 0.4 || feathered) edges.push_back(&body.edges[i]);
  }
  return edges;
}

std::optional<SectionView> section_view(const BaseLast& base, const GradedLast& last, const Form& form,
                                        std::size_t i) {
  const MeasureDefinition& definition = base.definitions[i];
  const Measured& m = last.values[i];
  const bool shown =
      std::find(kShownGirths.begin(), kShownGirths.end(), definition.measure) != kShownGirths.end();
  if (definition.method != Method::kPlaneHull || !shown || !m.plane) return std::nullopt;
  const Between* rising = std::get_if<Between>(&definition.plane.second);
  const std::string& mark = rising ? rising->from : definition.plane.through;
  const Vec3 right = unit(Vec3{0, 1, 0} - m.plane->normal.y * m.plane->normal);
  Vec3 up = cross(m.plane->normal, right);
  if (up.z < 0.0) up = -up;
  return SectionView{*m.plane, form.at(base.landmarks.at(mark)).p, right, up};
}

std::string nest_lines(const BaseLast& base, const GradedLast& last, bool in_sizes, bool in_widths) {
  const Form form = make_form(last.body);
  const SectionOptions coarse{0.05, 8};
  std::string d = path_of(cut_section(form, plane_through({0, 0, 0}, {0, 1, 0}), coarse), kMargin, kGround,
                          {1, 0, 0}, {0, 0, 1}, {});
  d += plan_of(last.body);
  for (std::size_t i = 0; i < base.definitions.size(); ++i) {
    const std::optional<SectionView> view = section_view(base, last, form, i);
    if (!view) continue;
    const auto slot = std::find(kShownGirths.begin(), kShownGirths.end(), base.definitions[i].measure);
    const Section section = cut_section(form, view->plane, coarse);
    for (const auto& [drawn, ground] : {std::pair{in_sizes, kGround}, {in_widths, kWidthGround}}) {
      if (!drawn) continue;
      d += path_of(section, kFirstSection + kSectionStep * static_cast<double>(slot - kShownGirths.begin()),
                   ground, view->right, view->up, view->origin);
    }
  }
  const std::string& size = last.at.size.label;
  const bool whole = is_whole(size);
  const bool smaller = in_sizes ? last.at.size.position < base.at.size.position
                                : last.at.width.position < base.at.width.position;
  const std::string kind = in_sizes && in_widths
                               ? "base"
                               : fmt::format("{}{}{}", smaller ? "smaller" : "larger",
                                             in_sizes && !whole ? " half" : "", in_sizes ? "" : " width");
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
  // What stands over the side view and the sections is written above the highest of them.
  constexpr double kHeads = 24.0;
  const double tallest =
      extra.tallest.empty() ? 0.0 : *std::max_element(extra.tallest.begin(), extra.tallest.end());
  const double top = std::min(0.0, std::floor(kGround - kHeads - tallest));
  std::string out = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{6}mm\" viewBox=\"0 {7} {0} "
      "{6}\">\n"
      "<style>path{{fill:none;stroke-width:0.24}}.smaller{{stroke:{2}}}.larger{{stroke:{3}}}.half{{stroke-"
      "width:0.12}}"
      ".width{{stroke-dasharray:2.4 1.2}}.base{{stroke:{4};stroke-width:0.6}}.rule{{stroke:{5}}}"
      "text{{font:4px sans-serif}}.title{{font-size:7px;font-weight:bold}}.head{{font-size:4.6px;fill:{5}}}"
      ".mark{{font-size:3.6px;text-anchor:middle}}</style>\n",
      kWide, kHigh, css_colour(palette::kBlue), css_colour(palette::kVermilion), css_colour(palette::kBlack),
      css_colour(palette::kGrey), kHigh - top, top);
  // The base above the others.
  for (const bool base : {false, true}) {
    for (const LastResult& r : set.results) {
      const std::string& lines = extra.nest[r.job];
      if (lines.starts_with("<path class=\"base\"") == base) out += lines;
    }
  }
  const auto label = [&](double x, double y, const std::string& text, const char* kind = " class=\"head\"") {
    out += fmt::format("<text{} x=\"{}\" y=\"{}\">{}</text>\n", kind, x, y, text);
  };
  const SizeWidth& at = set.style.measures.base().at;
  const std::string base = xml_escaped(label_of(at));
  label(kMargin, top + 11, fmt::format("{}: lasts", xml_escaped(set.style.spec.name)), " class=\"title\"");
  label(kMargin, top + 19, fmt::format("side view on the plane through heel and toe, base {}", base));
  label(kMargin, 182, "plan: featherline and rim of the top, toe to the right");
  label(kFirstSection - 55, top + 19,
        fmt::format("girth sections of width {}, seen from the toe, each on its mark on the bottom",
                    xml_escaped(at.width.label)));
  label(kFirstSection - 55, 182,
        fmt::format("girth sections of size {} in its widths", xml_escaped(at.size.label)));
  for (std::size_t k = 0; k < kShownGirths.size(); ++k) {
    const double x = kFirstSection + kSectionStep * static_cast<double>(k);
    for (const auto& [ground, widths] : {std::pair{kGround, false}, {kWidthGround, true}}) {
      label(x, ground + 8, kShownGirths[k], " class=\"mark\" font-weight=\"bold\"");
      label(x, ground + 13, xml_escaped(figures_of(set, kShownGirths[k], widths)), " class=\"mark\"");
    }
  }
  double x = kMargin + 150.0;
  const auto key = [&](const char* kind, const std::string& text) {
    out += fmt::format("<path class=\"{}\" d=\"M{} {}h12\"/><text x=\"{}\" y=\"{}\">{}</text>\n", kind, x,
                       kHigh - 12, x + 14, kHigh - 10.6, text);
    x += 46.0;
  };
  key("base", "base " + base);
  key("smaller", "smaller");
  key("larger", "larger");
  key("larger half", "half sizes");
  key("larger width", "widths");
  out += fmt::format(
      "<path class=\"rule\" d=\"M{0} {1}h340M{0} {2}h100m0 -2v4M{0} {3}v4\"/>\n<text x=\"{4}\" y=\"{5}\">100 "
      "mm, true scale</text>\n</svg>\n",
      kMargin, kGround, kHigh - 12, kHigh - 14, kMargin + 104, kHigh - 10.6);
  return out;
}

}  // namespace lastwright
