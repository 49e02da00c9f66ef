#include "cli/report/piece_sheet_svg.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "cli/report/edge_names.hpp"
#include "cli/report/page_frame.hpp"
#include "cli/report/skive_labels.hpp"
#include "cli/tables/table.hpp"
#include "grading/grade/piece_sheet.hpp"

namespace lastwright {

namespace {

constexpr double kNarrowest = 130.0;  // page without margins, for the title block
constexpr double kRow = 4.6;
constexpr const char* kAllowanceTint = "fill=\"#efe6d6\" stroke=\"none\"";
const LineStyle kAllowance{"allowance", "allowance", {0xef, 0xe6, 0xd6}, 2.8, {}};  // the tint in the legend
constexpr const char* kWhite = "fill=\"#ffffff\" stroke=\"none\"";

Box2 bounds_of(const GradedPiece& piece) {
  Box2 box = bounds(piece.cut.path);
  box.add(bounds(piece.net.path));
  for (const GradedLine& line : piece.lines) box.add(bounds(line.path));
  if (box.empty()) box.add(Vec2{});
  return box;
}

bool same(const EdgedOutline& a, const EdgedOutline& b) {
  return a.path.vertices == b.path.vertices;
}

void draw_arrow_heads(SvgCanvas& canvas, const OpenArcPath& path) {
  const std::string solid =
      fmt::format("fill=\"{}\" stroke=\"none\"", css_colour(style_of(Operation::kGrain).colour));
  const auto head = [&](Vec2 tip, Vec2 out) {
    const Vec2 back = tip - 5.0 * out;
    canvas.outline({{{tip, 0.0}, {back + 1.5 * left_of(out), 0.0}, {back - 1.5 * left_of(out), 0.0}}}, solid);
  };
  head(path.vertices.front().at, -path.segment(0).tangent_at(0.0));
  head(path.vertices.back().at, path.segment(path.size() - 1).tangent_at(1.0));
}

// In the order in which they lie over each other; gives back the operations that were drawn.
std::set<Operation> draw_piece(SvgCanvas& canvas, const GradedPiece& piece,
                               const std::vector<SkiveLabel>& skives) {
  std::set<Operation> drawn;
  canvas.open_group("allowance", "allowance");
  canvas.outline(piece.cut.path, kAllowanceTint);
  canvas.outline(piece.net.path, kWhite);
  for (const ClosedArcPath& cut_out : piece.cut_outs) canvas.outline(cut_out, kWhite);
  canvas.close_group();
  for (const Operation operation : all_operations()) {
    const bool net = operation == Operation::kNetLine && !same(piece.net, piece.cut);
    const bool cut = operation == Operation::kCut;
    const bool cut_out = operation == Operation::kCutOut && !piece.cut_outs.empty();
    const auto of_this = [&](const auto& item) { return item.operation == operation; };
    const bool any = net || cut || cut_out || std::any_of(piece.lines.begin(), piece.lines.end(), of_this) ||
                     std::any_of(piece.holes.begin(), piece.holes.end(), of_this) ||
                     std::any_of(piece.texts.begin(), piece.texts.end(), of_this);
    if (!any) continue;
    drawn.insert(operation);
    canvas.open_group(style_of(operation));
    if (cut) canvas.outline(piece.cut.path);
    if (net) canvas.outline(piece.net.path);
    if (cut_out) {
      for (const ClosedArcPath& path : piece.cut_outs) canvas.outline(path);
    }
    for (const GradedLine& line : piece.lines) {
      if (!of_this(line)) continue;
      canvas.line(line.path);
      if (operation == Operation::kGrain && line.path.size() > 0) draw_arrow_heads(canvas, line.path);
    }
    for (const GradedHole& hole : piece.holes) {
      if (of_this(hole)) canvas.circle(hole.centre, sheet_hole(hole).radius);
    }
    if (operation == Operation::kSkive) {
      for (const SkiveLabel& label : skives) canvas.text(label.style, label.text);
    }
    for (const SheetText& text : piece.texts) {
      if (of_this(text) && operation != Operation::kSkive) {
        canvas.text({.at = text.at,
                     .height = text.height,
                     .angle = text.angle,
                     .colour = style_of(operation).colour,
                     .halo = true},
                    text.text);
      }
    }
    canvas.close_group();
  }
  return drawn;
}

using Rows = std::vector<std::pair<std::string, std::string>>;

Rows facts_of(const GradedPiece& piece, const PieceSheetInfo& info) {
  Rows rows;
  const auto add = [&](std::string key, std::string value) {
    if (!value.empty()) rows.emplace_back(std::move(key), std::move(value));
  };
  add("style", info.style);
  add("piece", piece.piece);
  add("size", piece.at.size.label);
  add("width", piece.at.width.label);
  add("material", info.material);
  add("hand", info.hand);
  if (info.per_pair > 0) add("per pair", std::to_string(info.per_pair));
  add("note", info.note);
  return rows;
}

Rows edges_of(const PieceSheetInfo& info) {
  Rows rows;
  for (const EdgeNote& edge : info.edges) {
    rows.emplace_back(edge.name, edge.allowance > 0.0 ? fmt::format("{}, {} mm", edge.treatment,
                                                                    with_decimals(edge.allowance, 1))
                                                      : edge.treatment);
    if (!edge.missing.empty()) rows.back().second += ", " + edge.missing;
    if (!edge.seams.empty()) rows.back().second += ", " + edge.seams;
  }
  return rows;
}

double widest_key(const Rows& rows) {
  double widest = 0.0;
  for (const auto& [key, value] : rows) widest = std::max(widest, text_width(key) * page::kBody);
  return widest;
}

double widest_value(const Rows& rows) {
  double widest = 0.0;
  for (const auto& [key, value] : rows) widest = std::max(widest, text_width(value) * page::kBody);
  return widest;
}

void draw_rows(SvgCanvas& canvas, Vec2 top_left, const Rows& rows) {
  const double second = widest_key(rows) + 4.0;
  double y = top_left.y - page::kBody;
  for (const auto& [key, value] : rows) {
    canvas.text({.at = {top_left.x, y}, .height = page::kBody, .colour = palette::kGrey}, key);
    canvas.text({.at = {top_left.x + second, y}, .height = page::kBody}, value);
    y -= kRow;
  }
}

}  // namespace

std::string piece_sheet_svg(const GradedPiece& piece, const PieceSheetInfo& info) {
  const Rows facts = facts_of(piece, info);
  const Rows edges = edges_of(info);
  Box2 box = bounds_of(piece);
  const double needed = std::max(
      kNarrowest, widest_key(facts) + widest_value(facts) + widest_key(edges) + widest_value(edges) + 14.0);
  if (box.width() < needed)
    box = {{box.centre().x - needed / 2, box.low.y}, {box.centre().x + needed / 2, box.high.y}};
  const double block = static_cast<double>(std::max(facts.size(), edges.size())) * kRow;
  std::vector<LegendItem> longest;  // room for all operations: which are drawn is known only afterwards
  for (const Operation operation : all_operations())
    longest.push_back({style_of(operation), style_of(operation).meaning});
  longest.push_back({kAllowance, kAllowance.meaning});
  const double legend_room = legend_height(box.width(), longest);
  const double header = page::kTitle + page::kHeading + 10.0;
  const double footer = 8.0 + legend_room + 4.0 + block + 12.0;
  const Box2 sheet{box.low - Vec2{page::kMargin, footer + page::kMargin},
                   box.high + Vec2{page::kMargin, header + page::kMargin}};

  SvgCanvas canvas(sheet.width(), sheet.height(), {-sheet.low.x, sheet.high.y});
  canvas.rectangle(sheet, kWhite);
  const Vec2 top_left{box.low.x, box.high.y + header};
  const std::string size = fmt::format("size {}, width {}", piece.at.size.label, piece.at.width.label);
  canvas.text({.at = top_left - Vec2{0, page::kTitle}, .height = page::kTitle, .bold = true}, piece.piece);
  canvas.text({.at = top_left - Vec2{0, page::kTitle + page::kHeading + 2.6},
               .height = page::kHeading,
               .colour = palette::kGrey},
              size);

  LabelRoom room(piece);
  const std::set<Operation> drawn = draw_piece(canvas, piece, place_skive_labels(piece, room));
  std::vector<std::string> names;
  for (const EdgeNote& edge : info.edges) names.push_back(edge.name);
  canvas.open_group("edge-names", "names of the edges");
  for (const EdgeName& name : place_edge_names(piece, names, 2.0, room))
    canvas.text(name.style, names[name.edge]);
  canvas.close_group();

  std::vector<LegendItem> legend;
  for (const Operation operation : drawn) {
    if (operation != Operation::kText) legend.push_back({style_of(operation), style_of(operation).meaning});
  }
  if (!same(piece.net, piece.cut)) legend.push_back({kAllowance, kAllowance.meaning});
  const Vec2 below{box.low.x, box.low.y - 10.0};
  const double rows = draw_legend(canvas, below, box.width(), legend);
  const Vec2 table{box.low.x, below.y - rows - 1.0};
  const std::string rule =
      fmt::format("stroke=\"{}\" stroke-width=\"0.15\"", css_colour(palette::kLightGrey));
  canvas.segment(table, {box.high.x, table.y}, rule);
  canvas.open_group("title-block", "what this piece is");
  draw_rows(canvas, table - Vec2{0, 3.0}, facts);
  const double second = std::max(box.centre().x, box.low.x + widest_key(facts) + widest_value(facts) + 10.0);
  draw_rows(canvas, {second, table.y - 3.0}, edges);
  canvas.close_group();
  const double foot = table.y - 3.0 - block;
  canvas.segment({box.low.x, foot}, {box.high.x, foot}, rule);
  const double length = scale_bar_length(box.width());
  draw_scale_bar(canvas, {box.low.x, foot - 7.5}, length);
  canvas.text(
      {.at = {box.low.x + length + 14.0, foot - 7.5}, .height = page::kSmall, .colour = palette::kGrey},
      "true scale");
  return canvas.finish(fmt::format("{}, {}", piece.piece, size), "one graded piece, true scale");
}

}  // namespace lastwright
