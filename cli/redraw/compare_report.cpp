#include "cli/redraw/compare_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "cli/planning/planning_page.hpp"
#include "cli/report/html_table.hpp"
#include "geometry/box2.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "grading/json/json_layout.hpp"
#include "grading/json/json_value.hpp"

namespace lastwright {

namespace {

const LineStyle kCutBefore{"was", "before", palette::kGrey, 0.35, {2.0, 1.2}};
const LineStyle kCutNow{"now", "now", palette::kVermilion, 0.35, {}};

const CellCompare* worst_of(const PieceCompare& piece) {
  const auto worst =
      std::max_element(piece.cells.begin(), piece.cells.end(),
                       [](const CellCompare& a, const CellCompare& b) { return a.off < b.off; });
  return worst == piece.cells.end() ? nullptr : &*worst;
}

std::size_t good_of(const PieceCompare& piece) {
  return static_cast<std::size_t>(std::count_if(piece.cells.begin(), piece.cells.end(),
                                                [](const CellCompare& cell) { return cell.good; }));
}

// Which dies stay, in one sentence.
std::string dies_of(const PieceCompare& piece) {
  const std::size_t good = good_of(piece);
  if (piece.cells.empty()) return "no size and width is in both";
  if (good == piece.cells.size()) return "every die stays good";
  const auto bad = std::find_if(piece.cells.begin(), piece.cells.end(),
                                [](const CellCompare& cell) { return !cell.good; });
  const std::string why =
      bad->why.empty()
          ? fmt::format("the outline deviates by {:.3f} mm, in the closest lie that was found", bad->laid)
          : bad->why;
  if (good == 0) return fmt::format("no die stays good ({} {}: {})", bad->size, bad->width, why);
  return fmt::format("{} of {} {} good; the first that does not is {} {}: {}", good,
                     counted(piece.cells.size(), "die"), good == 1 ? "stays" : "stay", bad->size, bad->width,
                     why);
}

std::string piece_line(const PieceCompare& piece) {
  if (!piece.now) return fmt::format("{}: is gone", piece.piece);
  if (!piece.was) return fmt::format("{}: is new", piece.piece);
  const CellCompare* worst = worst_of(piece);
  if (worst == nullptr) return fmt::format("{}: no size and width is in both", piece.piece);
  if (worst->off <= 1e-3) {
    const auto other = std::find_if(piece.cells.begin(), piece.cells.end(),
                                    [](const CellCompare& cell) { return !cell.drawn.empty(); });
    if (good_of(piece) < piece.cells.size())
      return fmt::format("{}: the cut line is the same; {}", piece.piece, dies_of(piece));
    if (other == piece.cells.end()) return fmt::format("{}: the same in every size and width", piece.piece);
    return fmt::format(
        "{}: the cut line is the same and every die stays good; what is marked in it is not: {} ({} {})",
        piece.piece, other->drawn, other->size, other->width);
  }
  return fmt::format("{}: the cut line differs by up to {:.3f} mm, in {} {}; {}", piece.piece, worst->off,
                     worst->size, worst->width, dies_of(piece));
}

std::string measure_line(const MeasureCompare& one) {
  if (!one.now) return fmt::format("measure {}: is gone", one.measure);
  if (!one.was) return fmt::format("measure {}: is new", one.measure);
  return fmt::format("measure {}: {:+.3f} mm at most, in {} {}", one.measure, one.most, one.size, one.width);
}

std::string stated_line(const StatedDifference& one) {
  if (one.now.empty()) return fmt::format("{}: {} is no longer stated", one.where, one.was);
  if (one.was.empty()) return fmt::format("{}: {} is new", one.where, one.now);
  return fmt::format("{}: {} was {}", one.where, one.now, one.was);
}

std::string run_line(const std::vector<std::string>& cells, const std::string& file) {
  std::string text = fmt::format("only in {}: ", file);
  constexpr std::size_t kShown = 8;
  for (std::size_t i = 0; i < cells.size() && i < kShown; ++i) text += (i == 0 ? "" : ", ") + cells[i];
  return cells.size() > kShown ? fmt::format("{} and {} more sizes and widths", text, cells.size() - kShown)
                               : text;
}

std::vector<std::string> run_lines(const StyleCompare& compare, const CompareNames& names) {
  std::vector<std::string> lines;
  if (!compare.only_was.empty()) lines.push_back(run_line(compare.only_was, names.was));
  if (!compare.only_now.empty()) lines.push_back(run_line(compare.only_now, names.now));
  return lines;
}

std::string picture_of(const PieceCompare& piece) {
  Box2 box;
  for (const ClosedArcPath* path : {&piece.base_was, &piece.base_now}) {
    for (std::size_t i = 0; i < path->size(); ++i) box.add(path->segment(i).bounds());
  }
  constexpr double kMargin = 4.0;  // mm: room for the line and its ends
  SvgCanvas canvas(box.width() + 2.0 * kMargin, box.height() + 2.0 * kMargin,
                   {kMargin - box.low.x, kMargin + box.high.y});
  canvas.open_group(kCutBefore);
  canvas.outline(piece.base_was);
  canvas.close_group();
  canvas.open_group(kCutNow);
  canvas.outline(piece.base_now);
  canvas.close_group();
  std::string svg = canvas.finish(piece.piece, "The cut line in the base: dashed before, red now");
  // Within a page it has no head of its own.
  if (const auto at = svg.find("<svg"); at != std::string::npos) svg = svg.substr(at);
  return svg;
}

std::string list_of(const std::vector<std::string>& lines) {
  std::string html = "<ul>";
  for (const std::string& line : lines) html += "<li>" + xml_escaped(line) + "</li>";
  return html + "</ul>\n";
}

Table cells_table(const PieceCompare& piece) {
  Table table;
  table.name = piece.piece;
  table.columns = {{"size", 8.0, 0},
                   {"width", 8.0, 0},
                   {"cut line differs, mm", 12.0, 3},
                   {"laid as a die, mm", 12.0, 3},
                   {"net area more, cm2", 12.0, 2},
                   {"die", 24.0, 0}};
  for (const CellCompare& cell : piece.cells) {
    const std::string die = cell.good ? "stays good" : cell.why.empty() ? "no longer fits" : cell.why;
    table.rows.push_back({{cell.size}, {cell.width}, {cell.off}, {cell.laid}, {cell.area / 100.0}, {die}});
  }
  return table;
}

}  // namespace

std::string compare_text(const StyleCompare& compare, const CompareNames& names) {
  std::string text = fmt::format("{} and {}\n", names.was, names.now);
  if (!compare.stated.empty())
    text += fmt::format("Stated differently: {}\n", counted(compare.stated.size(), "place"));
  constexpr std::size_t kShown = 60;
  for (std::size_t i = 0; i < compare.stated.size() && i < kShown; ++i)
    text += "  " + stated_line(compare.stated[i]) + "\n";
  if (compare.stated.size() > kShown)
    text += fmt::format("  and {} more: --json lists all\n", compare.stated.size() - kShown);
  for (const std::string& line : run_lines(compare, names)) text += "  " + line + "\n";
  for (const MeasureCompare& one : compare.measures) text += "  " + measure_line(one) + "\n";
  text += fmt::format("What is cut, with a die for each size and width; one stays good within {:g} mm:\n",
                      compare.tolerance);
  std::size_t good = 0;
  std::size_t all = 0;
  for (const PieceCompare& piece : compare.pieces) {
    text += "  " + piece_line(piece) + "\n";
    good += good_of(piece);
    all += piece.cells.size();
  }
  text += fmt::format("{} of {} in a size and width can be cut with the dies of {}\n", good,
                      counted(all, "piece"), names.was);
  if (compare.same()) text += "what is cut and marked is the same\n";
  return text;
}

std::string compare_json(const StyleCompare& compare, const CompareNames& names) {
  Json out = {{"was", names.was},
              {"now", names.now},
              {"same", compare.same()},
              {"tolerance", number_json(compare.tolerance)}};
  out["stated"] = Json::array();
  for (const StatedDifference& one : compare.stated) {
    Json entry = {{"where", one.where}};
    if (!one.was.empty()) entry["was"] = one.was;
    if (!one.now.empty()) entry["now"] = one.now;
    out["stated"].push_back(std::move(entry));
  }
  out["only_was"] = compare.only_was;
  out["only_now"] = compare.only_now;
  out["measures"] = Json::array();
  for (const MeasureCompare& one : compare.measures) {
    out["measures"].push_back({{"measure", one.measure},
                               {"was", one.was},
                               {"now", one.now},
                               {"most", number_json(one.most)},
                               {"size", one.size},
                               {"width", one.width}});
  }
  out["pieces"] = Json::array();
  for (const PieceCompare& piece : compare.pieces) {
    Json entry = {{"piece", piece.piece},
                  {"was", piece.was},
                  {"now", piece.now},
                  {"dies_good", good_of(piece)},
                  {"cells", Json::array()}};
    for (const CellCompare& cell : piece.cells) {
      Json row = {{"size", cell.size},
                  {"width", cell.width},
                  {"cut_line", number_json(cell.off)},
                  {"laid", number_json(cell.laid)},
                  {"net_area", number_json(cell.area)},
                  {"die_good", cell.good}};
      if (!cell.why.empty()) row["why"] = cell.why;
      if (!cell.drawn.empty()) row["marked_otherwise"] = cell.drawn;
      entry["cells"].push_back(std::move(row));
    }
    out["pieces"].push_back(std::move(entry));
  }
  return laid_out(out) + "\n";
}

std::string compare_page(const StyleCompare& compare, const CompareNames& names) {
  std::size_t good = 0;
  std::size_t all = 0;
  for (const PieceCompare& piece : compare.pieces) {
    good += good_of(piece);
    all += piece.cells.size();
  }
  std::string body = fact_boxes({{"stated differently", std::to_string(compare.stated.size())},
                                 {"dies that stay good", fmt::format("{} of {}", good, all)},
                                 {"tolerance", fmt::format("{:g} mm", compare.tolerance)}});
  std::vector<std::string> lines = run_lines(compare, names);
  for (const MeasureCompare& one : compare.measures) lines.push_back(measure_line(one));
  if (!lines.empty()) body += "<h2>Sizes and measures</h2>\n" + list_of(lines);
  lines.clear();
  for (const PieceCompare& piece : compare.pieces) lines.push_back(piece_line(piece));
  body += "<h2>What is cut</h2>\n" + list_of(lines);
  for (const PieceCompare& piece : compare.pieces) {
    const CellCompare* worst = worst_of(piece);
    if (worst == nullptr || (worst->off <= 1e-3 && good_of(piece) == piece.cells.size())) continue;
    body += "<h2>" + xml_escaped(piece.piece) + "</h2>\n";
    if (piece.base_was.size() > 0) body += "<p>" + picture_of(piece) + "</p>\n";
    body += html_table(cells_table(piece), {.classes = {}, .caption = piece.piece, .figures = true});
  }
  lines.clear();
  for (const StatedDifference& one : compare.stated) lines.push_back(stated_line(one));
  if (!lines.empty()) body += "<h2>Stated differently</h2>\n" + list_of(lines);
  return planning_page(fmt::format("{} and {}", names.was, names.now),
                       "Two versions of a style. Dashed: the cut line before, in the base; red: now.", body);
}

}  // namespace lastwright
