#include "cli/planning/area_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/planning/planning_page.hpp"
#include "cli/report/html_table.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "geometry/lattice/convex_parts.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

constexpr double kDm2 = 1e4;                // mm^2
constexpr double kSquareFoot = 9.290304e4;  // mm^2, exactly

const PieceSpec& spec_of(const AreaReport& report, const ScaleArea& area) {
  return report.grade->pieces[area.piece].bound.spec;
}

std::string bound_text(const FoundLattice& lattice) {
  if (lattice.exact) return "the densest there is, by theorem";
  return fmt::format("no such lattice takes less than {:.1f} % of it",
                     std::floor(1000.0 * lattice.least / lattice.per_shape) / 10.0);
}

// The sample's row where it is in the run, else the one in the middle.
const ScaleArea& shown_of(const AreaReport& report, const std::vector<ScaleArea>& row) {
  const StyleGrade& grade = *report.grade;
  for (const ScaleArea& area : row) {
    if (grade.cells[area.cell].size.label == grade.run.base.size.label &&
        grade.cells[area.cell].width.label == grade.run.base.width.label)
      return area;
  }
  return row[row.size() / 2];
}

void append_outline(std::string& svg, const std::vector<Vec2>& points, Vec2 at, const char* fill) {
  svg += fmt::format("<path fill=\"{}\" d=\"", fill);
  for (std::size_t i = 0; i < points.size(); ++i) {
    const Vec2 p = points[i] + at;
    svg += fmt::format("{}{:.1f} {:.1f}", i == 0 ? "M" : " ", p.x, -p.y);
  }
  svg += "Z\"/>";
}

// Some cells of the lattice round the middle, with the parallelogram of one.
std::string lattice_picture(const AreaReport& report, const ScaleArea& area) {
  const Result<GradedPiece> made = report.grade->outlined_piece(area.piece, area.cell);
  if (!made) return {};
  const ClosedArcPath outline = placed(made->cut.path, Radians(area.turn), {});
  const Box2 box = bounds(outline);
  const double size = std::max(box.width(), box.height());
  std::vector<Vec2> first = flattened(outline, Millimetres(size / 500.0));
  for (Vec2& p : first) p = p - box.centre();
  const std::vector<Polygon> turned = second_parts({first}, area.lattice.kind);
  const Lattice lattice = reduced(area.lattice.lattice);
  const double half = 1.35 * size;
  std::string svg = fmt::format(
      "<svg viewBox=\"{0:.1f} {0:.1f} {1:.1f} {1:.1f}\" role=\"img\" aria-label=\"the lattice of the "
      "piece\"><g stroke=\"#1b1b1b\" stroke-width=\"1\" vector-effect=\"non-scaling-stroke\">",
      -half, 2.0 * half);
  for (const LatticeStep& step : steps_within(lattice, {}, {}, 2.2 * half)) {
    const Vec2 at = step.i * lattice.a + step.j * lattice.b;
    append_outline(svg, first, at, "#cfe3f1");
    if (!turned.empty()) append_outline(svg, turned.front(), at + *lattice.second, "#f6dfc8");
  }
  const Vec2 corners[] = {{}, lattice.a, lattice.a + lattice.b, lattice.b};
  const Vec2 middle = 0.5 * corners[2];
  svg +=
      "</g><path fill=\"none\" stroke=\"#d55e00\" stroke-width=\"2\" vector-effect=\"non-scaling-stroke\" "
      "d=\"";
  for (int k = 0; k < 4; ++k)
    svg +=
        fmt::format("{}{:.1f} {:.1f}", k == 0 ? "M" : " ", (corners[k] - middle).x, -(corners[k] - middle).y);
  return svg + "Z\"/></svg>";
}

std::string rules_text(const LayRules& rules) {
  return fmt::format("rests on: the style and its drawings, {} mm between two cuts, {}, {}", rules.gap,
                     rules.half_turned ? "half turns allowed" : "no piece turned half round",
                     rules.mixed_hands ? "hands mixed where that is closer" : "each hand by itself");
}

double thousandths(double value) {
  return std::round(value * 1e3) / 1e3 + 0.0;
}

Json vector_json(Vec2 v) {
  return {std::round(v.x * 1e6) / 1e6 + 0.0, std::round(v.y * 1e6) / 1e6 + 0.0};
}

}  // namespace

Table area_table(const AreaReport& report) {
  Table table;
  table.name = "scale areas";
  table.filter = true;
  table.fixed_columns = 3;
  table.columns = {{"piece", 18, 0},
                   {"size", 7, 0},
                   {"width", 7, 0},
                   {"material", 24, 0},
                   {"net with holes and cut-outs, dm2", 10, 4},
                   {"scale, dm2", 10, 4},
                   {"scale, sq ft", 10, 4},
                   {"first waste, % of scale", 10, 2},
                   {"first waste, % on net", 10, 2},
                   {"laid", 18, 0},
                   {"at least, dm2", 10, 4},
                   {"pieces a pair", 8, 0}};
  for (const std::vector<ScaleArea>& row : *report.areas) {
    for (const ScaleArea& area : row) {
      const PieceSpec& spec = spec_of(report, area);
      const SizeWidth& at = report.grade->cells[area.cell];
      table.rows.push_back({{spec.name},
                            {at.size.label},
                            {at.width.label},
                            {spec.material},
                            {area.net / kDm2},
                            {area.scale() / kDm2},
                            {area.scale() / kSquareFoot},
                            {100.0 * area.waste_of_scale()},
                            {100.0 * area.waste_on_net()},
                            {laid_words(area.lattice.kind, report.rules)},
                            {area.least() / kDm2},
                            {std::int64_t{spec.per_pair}}});
    }
  }
  return table;
}

Table area_summary_table(const AreaReport& report) {
  Table table;
  table.name = "pieces";
  table.columns = {{"piece", 18, 0},
                   {"material", 24, 0},
                   {"size and width", 10, 0},
                   {"net with holes and cut-outs, dm2", 10, 4},
                   {"scale, dm2", 10, 4},
                   {"first waste, % of scale", 10, 2},
                   {"first waste, % on net", 10, 2},
                   {"least over the run, % of scale", 10, 2},
                   {"most over the run, % of scale", 10, 2},
                   {"laid", 18, 0},
                   {"what is proved", 40, 0}};
  for (const std::vector<ScaleArea>& row : *report.areas) {
    const ScaleArea& area = shown_of(report, row);
    const SizeWidth& at = report.grade->cells[area.cell];
    const auto [least, most] =
        std::minmax_element(row.begin(), row.end(), [](const ScaleArea& one, const ScaleArea& other) {
          return one.waste_of_scale() < other.waste_of_scale();
        });
    table.rows.push_back({{spec_of(report, area).name},
                          {spec_of(report, area).material},
                          {label_of(at)},
                          {area.net / kDm2},
                          {area.scale() / kDm2},
                          {100.0 * area.waste_of_scale()},
                          {100.0 * area.waste_on_net()},
                          {100.0 * least->waste_of_scale()},
                          {100.0 * most->waste_of_scale()},
                          {laid_words(area.lattice.kind, report.rules)},
                          {bound_text(area.lattice)}});
  }
  return table;
}

std::string area_json(const AreaReport& report) {
  Json pieces = Json::array();
  for (const std::vector<ScaleArea>& row : *report.areas) {
    Json sizes = Json::array();
    for (const ScaleArea& area : row) {
      const SizeWidth& at = report.grade->cells[area.cell];
      Json lattice{{"kind", name_of(area.lattice.kind)},
                   {"turned_deg", std::round(to_degrees(Radians(area.turn)) * 1e9) / 1e9 + 0.0},
                   {"a", vector_json(area.lattice.lattice.a)},
                   {"b", vector_json(area.lattice.lattice.b)}};
      if (area.lattice.lattice.second) lattice["second"] = vector_json(*area.lattice.lattice.second);
      sizes.push_back({{"size", at.size.label},
                       {"width", at.width.label},
                       {"net_mm2", thousandths(area.net)},
                       {"scale_mm2", thousandths(area.scale())},
                       {"at_least_mm2", thousandths(area.least())},
                       {"exact", area.lattice.exact},
                       {"overlap_mm2", area.lattice.overlap},
                       {"lattice", std::move(lattice)}});
    }
    const PieceSpec& spec = spec_of(report, row.front());
    pieces.push_back({{"piece", spec.name},
                      {"material", spec.material},
                      {"pieces_per_pair", spec.per_pair},
                      {"sizes", std::move(sizes)}});
  }
  const Json json{
      {"lastwright_scale_areas", 1},
      {"style", report.style->spec.name},
      {"gap_mm", report.rules.gap},
      {"half_turned", report.rules.half_turned},
      {"mixed_hands", report.rules.mixed_hands},
      {"about",
       "lattice vectors in mm; the outline is first turned by turned_deg, which lays its grain along x, "
       "and placed by the middle of its box; the second shape of a cell is first turned half "
       "round or mirrored about that middle; net_mm2 has holes and cut-outs in it, a die's area has not"},
      {"checks_failed", failed_json(report.failed)},
      {"pieces", std::move(pieces)}};
  return json.dump(1) + "\n";
}

std::string area_page(const AreaReport& report) {
  std::string body = failed_box(report.failed) +
                     "<p>The scale area of a piece is what one of many takes, laid in the closest lattice "
                     "that was found, all over an endless sheet: its own (net) area, holes and cut-outs not "
                     "taken off, and the first waste between the pieces. Every piece keeps its grain, and "
                     "none is turned over. What the edges of a hide or a sheet cost comes on top.</p>\n";
  body += "<p>" + xml_escaped(rules_text(report.rules)) + "</p>\n";
  body += html_table(area_summary_table(report));
  body += "<h2>How they lie</h2>\n<div class=\"cards\">";
  for (const std::vector<ScaleArea>& row : *report.areas) {
    const ScaleArea& area = shown_of(report, row);
    const SizeWidth& at = report.grade->cells[area.cell];
    body += fmt::format(
        "<div class=\"card\"><h3>{} {} {}</h3>{}<p>{}; {:.1f} % of the scale area is waste</p>"
        "<p>{}</p></div>",
        xml_escaped(spec_of(report, area).name), xml_escaped(at.size.label), xml_escaped(at.width.label),
        lattice_picture(report, area), laid_words(area.lattice.kind, report.rules),
        100.0 * area.waste_of_scale(), bound_text(area.lattice));
  }
  body += "</div>\n<h2>Every size and width</h2>\n" + html_table(area_table(report));
  return planning_page("Scale areas: " + report.style->spec.name,
                       "What a piece takes of an endless sheet, in every size and width", body);
}

std::string area_text(const AreaReport& report) {
  std::string text = fmt::format("{:20} {:>10} {:>11} {:>13} {:>11}  {}\n", "piece", "net, dm2", "scale, dm2",
                                 "waste of scale", "on net", "laid");
  for (const std::vector<ScaleArea>& row : *report.areas) {
    const ScaleArea& area = shown_of(report, row);
    text += fmt::format("{:20} {:>10.4f} {:>11.4f} {:>12.2f} % {:>9.2f} %  {}; {}\n",
                        spec_of(report, area).name, area.net / kDm2, area.scale() / kDm2,
                        100.0 * area.waste_of_scale(), 100.0 * area.waste_on_net(),
                        laid_words(area.lattice.kind, report.rules), bound_text(area.lattice));
  }
  return text + rules_text(report.rules) + "; net areas have holes and cut-outs in them, a die's has not\n";
}

}  // namespace lastwright
