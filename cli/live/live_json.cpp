#include "cli/live/live_json.hpp"

#include <cmath>

#include "cli/report/nest_data.hpp"
#include "geometry/curve/arc_path.hpp"

namespace lastwright {

namespace {

std::int64_t page_units(double millimetres) {
  return std::llround(millimetres * 100.0);
}

Json place_units(Vec2 at) {
  return Json::array({page_units(at.x), page_units(at.y)});
}

Json outline_json(const EdgedOutline& net) {
  Json vertices = Json::array();
  for (std::size_t i = 0; i < net.path.size(); ++i) {
    const ArcSegment segment = net.path.segment(i);
    vertices.push_back({page_units(segment.a.x), page_units(segment.a.y),
                        page_units(0.5 * segment.bulge * segment.chord()), net.edge[i]});
  }
  return vertices;
}

// By size and width, with nothing where the run makes none.
std::vector<std::string> in_places(const SizeRun& run, const std::vector<std::string>& cells) {
  std::vector<std::string> places(run.sizes.size() * run.widths.size());
  for (std::size_t place = 0; place < places.size(); ++place) {
    const auto cell = cell_of_place(run, place);
    if (cell) places[place] = cells[*cell];
  }
  return places;
}

Json forme_json(const GradedForme& forme, const StyleGrade& grade, std::size_t cell) {
  Json out = {{"name", forme.map.forme().name}, {"points", Json::object()}, {"lines", Json::array()}};
  for (const NamedPoint& point : forme.map.forme().points)
    out["points"][point.name] = place_units(forme.map.graded(point.at, forme.drivers[cell]));
  for (const LineReading& line : forme.map.readings(grade.steps[cell], forme.drivers[cell]))
    out["lines"].push_back({{"line", line.line},
                            {"drives", line.drives},
                            {"base", line.base},
                            {"wanted", line.wanted},
                            {"reached", line.reached}});
  return out;
}

}  // namespace

std::optional<std::string> text_in(const Json& asked, const char* key) {
  const auto at = asked.find(key);
  if (at == asked.end() || !at->is_string()) return std::nullopt;
  return at->get<std::string>();
}

Json problem_json(const Problem& problem) {
  Json named = Json::array();
  for (const auto& [kind, name] : problem.place.named) named.push_back({kind, name});
  return {{"says", plain_text(problem)},
          {"message", problem.message},
          {"pointer", problem.place.pointer},
          {"named", std::move(named)}};
}

Json run_json(const SizeRun& run) {
  Json out = {{"sizes", Json::array()}, {"widths", Json::array()}};
  for (const Size& size : run.sizes) out["sizes"].push_back(size.label);
  for (const Width& width : run.widths) out["widths"].push_back(width.label);
  const auto place = [](const auto& items, const auto& base) {
    for (std::size_t i = 0; i < items.size(); ++i) {
      if (items[i].position == base.position) return static_cast<int>(i);
    }
    return -1;
  };
  out["base"] = {place(run.sizes, run.base.size), place(run.widths, run.base.width)};
  out["base_name"] = label_of(run.base);
  if (!run.whole()) out["made"] = run.made;
  return out;
}

Json sheet_json(LiveGrade& live, std::size_t cell) {
  const StyleGrade& grade = live.grade();
  live.prepare_all();
  Json out = {{"formes", Json::array()}, {"pieces", Json::array()}};
  for (const GradedForme& forme : grade.formes) out["formes"].push_back(forme_json(forme, grade, cell));
  for (std::size_t p = 0; p < live.style().pieces.size(); ++p) {
    const PieceSpec& spec = live.style().pieces[p].spec;
    Json piece = {{"name", spec.name}, {"forme", spec.forme}};
    if (live.prepare(p)) {
      piece["net"] = outline_json(grade.drawn_piece(p, cell).net);
      Json edges = Json::array();
      for (const BoundEdge& edge : grade.pieces[p].bound.edges) edges.push_back(edge.spec.name);
      piece["edges"] = std::move(edges);
    }
    out["pieces"].push_back(std::move(piece));
  }
  return out;
}

std::optional<std::size_t> cell_of_place(const SizeRun& run, std::size_t place) {
  if (place >= run.sizes.size() * run.widths.size()) return {};
  return run.cell(place / run.widths.size(), place % run.widths.size());
}

Json piece_nest_json(const StyleGrade& grade, std::size_t piece) {
  const PieceOutlines outlines = piece_outlines(grade, piece, false);
  Json faults = Json::array();
  for (std::size_t i = 0; i < outlines.not_built.size() && i < 3; ++i)
    faults.push_back(problem_json(outlines.not_built[i]));
  return {{"piece", grade.pieces[piece].bound.spec.name},  {"base", outlines.base},
          {"cells", in_places(grade.run, outlines.cells)}, {"texts", outlines.texts},
          {"not_built", outlines.not_built.size()},        {"faults", std::move(faults)}};
}

Json findings_json(const std::vector<StyleFinding>& findings) {
  Json out = Json::array();
  for (const StyleFinding& one : findings) {
    Json finding = {{"check", one.check},         {"subject", one.subject}, {"worst", one.worst},
                    {"unit", one.unit},           {"passed", one.passed},   {"doubtful", one.doubtful},
                    {"where", to_text(one.where)}};
    if (!one.where.size.empty()) finding["size"] = one.where.size;
    if (!one.where.width.empty()) finding["width"] = one.where.width;
    if (!one.where.piece.empty()) finding["piece"] = one.where.piece;
    if (one.limit) finding["limit"] = *one.limit;
    if (one.least) finding["least"] = true;
    if (!one.passed || one.doubtful) finding["note"] = one.note;
    out.push_back(std::move(finding));
  }
  return out;
}

}  // namespace lastwright
