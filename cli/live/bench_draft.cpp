#include "cli/live/bench_draft.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <iterator>
#include <set>
#include <utility>

#include "cli/files/write_file.hpp"
#include "cli/live/bench_folder.hpp"
#include "cli/live/live_json.hpp"
#include "geometry/counted.hpp"
#include "geometry/curve/curve_measure.hpp"
#include "geometry/files/read_file.hpp"
#include "grading/json/json_text.hpp"
#include "grading/pieces/first/first_style.hpp"
#include "grading/pieces/piece_bind.hpp"
#include "grading/style/style_json.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostMeasuresBytes = std::size_t{1} << 20;

std::vector<std::string> texts_of(const Json& asked, const char* key) {
  std::vector<std::string> out;
  const auto at = asked.find(key);
  if (at == asked.end() || !at->is_array()) return out;
  for (const Json& one : *at) {
    if (one.is_string() && !one.get_ref<const std::string&>().empty()) out.push_back(one.get<std::string>());
  }
  return out;
}
double number_of(const Json& asked, const char* key, double most) {
  const auto at = asked.find(key);
  return at != asked.end() && at->is_number() ? std::clamp(at->get<double>(), 0.0, most) : 0.0;
}

DraftBasis basis_of(const Json& asked) {
  DraftBasis basis;
  basis.scale = text_in(asked, "scale").value_or("");
  basis.ladder = text_in(asked, "ladder").value_or("");
  basis.size = text_in(asked, "size").value_or("");
  basis.width = text_in(asked, "width").value_or("");
  basis.widths = texts_of(asked, "widths");
  basis.from = text_in(asked, "from").value_or("");
  basis.to = text_in(asked, "to").value_or("");
  return basis;
}

Result<DraftCommand> command_of(const std::string& path, const StyleSpec& style, const Json& asked) {
  if (style.drawings.empty()) return bad_value("the style has no drawing");
  DraftCommand command;
  for (const DrawingSpec& one : style.drawings) command.drawings.push_back(file_beside(path, one.file));
  const DrawingSpec& first = style.drawings.front();
  command.units = first.units;
  command.gap = first.chain_gap.value();
  command.out = path;
  command.name = style.name;
  command.basis = basis_of(asked);
  command.by = text_in(asked, "by").value_or("");
  command.kinds = texts_of(asked, "kinds");
  command.lay = asked.value("lay", Json()) == true;
  command.fair = number_of(asked, "fair", 1.0);
  command.corner_angle = number_of(asked, "corner_angle", 170.0);
  command.inside = text_in(asked, "inside").value_or("");
  command.edge_lines = text_in(asked, "edge_lines").value_or(first.edge_lines);
  if (!command.edge_lines.empty() && command.edge_lines != "nicks" && command.edge_lines != "ignore")
    return bad_value(fmt::format("lines at an edge are nicks, or ignored, not {}", command.edge_lines));
  const std::vector<std::string> known = shoe_kinds();
  for (const std::string& kind : command.kinds) {
    if (std::find(known.begin(), known.end(), kind) == known.end())
      return bad_value(fmt::format("there is no kind of shoe called {}", kind));
  }
  if (const std::string measures = text_in(asked, "measures").value_or(""); measures == "here") {
    command.basis.given = style;
  } else if (!measures.empty()) {
    const auto file = beside(path, ".json", measures);
    if (!file) return bad_value(fmt::format("there is no file {} beside the style", measures));
    command.measures = *file;
  }
  return command;
}

// Of a table that a draft needs: where it is, or may be, under a name that holds nothing else.
Result<std::string> free_table(const std::string& path, const std::string& text) {
  const std::string stem = std::filesystem::path(path).replace_extension().string() + "-widths";
  for (int number = 1; number < 1000; ++number) {
    std::string name = number == 1 ? stem + ".json" : fmt::format("{}-{}.json", stem, number);
    std::error_code error;
    if (!std::filesystem::exists(std::filesystem::symlink_status(name, error))) return name;
    if (const Result<std::string> there = read_file(name, kMostMeasuresBytes); there && *there == text)
      return name;
  }
  return bad_value("there is no free name for a table of widths beside the style");
}

// The box of an outline and its length tell two outlines of a drawing apart.
struct OutlineSize {
  Box2 box;
  double length = 0.0;
};
OutlineSize size_of(const BoundPiece& piece) {
  OutlineSize out;
  for (const BoundEdge& edge : piece.edges) {
    for (const Curve& curve : edge.chain.curves()) {
      out.length += length(curve);
      for (const Vec2 p : flattened(curve, Millimetres(0.01))) out.box.add(p);
    }
  }
  return out;
}
bool same(const OutlineSize& a, const OutlineSize& b) {
  constexpr double kSame = 0.05;  // mm
  return distance(a.box.low, b.box.low) < kSame && distance(a.box.high, b.box.high) < kSame &&
         std::abs(a.length - b.length) < kSame;
}

Json drawn_json(const BoundPiece& piece) {
  Json out = Json::array();
  const auto unit = [](double v) { return std::llround(100.0 * v); };
  for (const BoundEdge& edge : piece.edges) {
    for (const Curve& curve : edge.chain.curves()) {
      const std::vector<Vec2> points = flattened(curve, Millimetres(0.05));
      for (std::size_t i = 0; i + 1 < points.size(); ++i)
        out.push_back({unit(points[i].x), unit(points[i].y)});
    }
  }
  return out;
}

// What the pieces of one drawing are drawn as, as they lie on its sheet.
std::vector<OutlineSize> used_outlines(const LoadedStyle& style, const std::string& key) {
  StyleSpec spec = style.spec;
  std::erase_if(spec.pieces, [&](const PieceSpec& one) { return one.source.drawing != key; });
  for (PieceSpec& piece : spec.pieces) piece.lies.reset();
  spec.seams.clear();
  std::vector<OutlineSize> out;
  for (const BoundPiece& piece : bind_as_drawn(spec, style.drawings).pieces) out.push_back(size_of(piece));
  return out;
}

void add_pile(const LoadedStyle& style, const DrawingSpec& spec, Json& pile) {
  const auto found = style.drawings.find(spec.key);
  if (found == style.drawings.end()) return;
  FirstStyleOptions options;
  options.name = style.spec.name;
  options.drawing_key = spec.key;
  options.drawing_file = spec.file;
  options.units = spec.units;
  options.chain_gap = spec.chain_gap;
  options.inside = spec.inside;
  options.edge_lines = spec.edge_lines;
  options.fair = spec.fair;
  const Result<FirstStyle> first = first_style(found->second.drawing, options);
  if (!first) return;
  const std::vector<OutlineSize> used = used_outlines(style, spec.key);
  const Json pieces = parse_json(write_style(first->style), spec.file)->root["pieces"];
  for (const BoundPiece& piece : first->bound) {
    const OutlineSize size = size_of(piece);
    if (std::any_of(used.begin(), used.end(), [&](const OutlineSize& one) { return same(one, size); }))
      continue;
    const auto stated = std::find_if(pieces.begin(), pieces.end(),
                                     [&](const Json& one) { return one["name"] == piece.spec.name; });
    if (stated == pieces.end()) continue;
    pile.push_back(
        {{"drawing", spec.key},
         {"name", piece.spec.name},
         {"about", fmt::format("{:.0f} x {:.0f} mm, {}", size.box.high.x - size.box.low.x,
                               size.box.high.y - size.box.low.y, counted(piece.edges.size(), "edge"))},
         {"piece", *stated},
         {"net", drawn_json(piece)}});
  }
}

}  // namespace

Result<DraftedAnew> drafted_anew(const std::string& path, const StyleSpec& style, const Json& asked) {
  Result<DraftCommand> command = command_of(path, style, asked);
  if (!command) return command.problem();
  Result<Draft> draft = draft_from_files(*command, path);
  if (!draft) return draft.problem();
  DraftedAnew out;
  if (!draft->own_ladder.empty()) {
    const Result<std::string> table = free_table(path, draft->own_ladder);
    if (!table) return table.problem();
    if (!std::filesystem::exists(*table)) {
      if (const Status written = write_file_whole(*table, draft->own_ladder, {}); !written)
        return written.problem();
    }
    const std::string name = std::filesystem::path(*table).filename().string();
    draft->style.table_files.back() = name;
    out.told.push_back(fmt::format("the table of the widths is in {}, beside the style", name));
  }
  out.text = write_style(draft->style);
  for (const Problem& problem : draft->problems) out.told.push_back(plain_text(problem));
  for (const std::string& lost : draft->lost) out.told.push_back("not in the draft: " + lost);
  std::move(draft->warnings.begin(), draft->warnings.end(), std::back_inserter(out.told));
  return out;
}

Json draft_choices(const std::string& path, const StyleSpec& style) {
  Json out = {{"scales", Json::array()},         {"ladders", Json::array()},
              {"kinds", shoe_kinds()},           {"measures", names_beside(path, ".json")},
              {"versions", styles_beside(path)}, {"drawings", drawings_beside(path)},
              {"drawn", Json::array()}};
  const ReferenceTables tables;
  for (const TableEntry& one : tables.list("scale")) out["scales"].push_back(one.key);
  for (const TableEntry& one : tables.list("ladder")) out["ladders"].push_back(one.key);
  // What is usual at an edge, by the layer of its piece
  // and its treatment: common practice, as drafts have it.
  out["usual"] = Json::object();
  if (const Result<ShoeKind> kind = shoe_kind({})) {
    for (const auto& [layer, roles] : kind->edges) {
      for (const auto& [role, edge] : roles) {
        Json& known = out["usual"][layer];
        if (!known.contains(name_of(edge.treatment))) known[name_of(edge.treatment)] = edge.allowance;
      }
    }
  }
  for (const DrawingSpec& one : style.drawings)
    out["drawn"].push_back({{"key", one.key}, {"file", one.file}});
  return out;
}

Json pile_json(const LoadedStyle& style) {
  Json pile = Json::array();
  for (const DrawingSpec& one : style.spec.drawings) add_pile(style, one, pile);
  return pile;
}

}  // namespace lastwright
