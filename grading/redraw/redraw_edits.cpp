#include "grading/redraw/redraw_edits.hpp"

#include <algorithm>

#include "grading/json/json_value.hpp"

namespace lastwright {

std::vector<JsonEdit> sheet_edits(const Json& root, const std::string& key,
                                  const std::optional<SheetSpec>& sheet) {
  const std::string at = pointer_to("/drawings", key) + "/sheet";
  if (!sheet) {
    if (root.contains(Json::json_pointer(at))) return {{JsonEdit::Kind::kRemove, at, {}}};
    return {};
  }
  Json value = Json::object();
  if (sheet->mirrored) value["mirrored"] = true;
  if (sheet->turn != 0.0) value["turn"] = sheet->turn;
  value["by"] = place_json(sheet->by);
  return {{JsonEdit::Kind::kSet, at, value}};
}

std::vector<JsonEdit> source_edits(const std::string& piece, const OutlineSource& was,
                                   const OutlineSource& now) {
  std::vector<JsonEdit> edits;
  const auto set = [&](const char* key, bool had, const std::optional<Json>& value) {
    const std::string pointer = piece + "/outline/" + key;
    if (value) {
      edits.push_back({JsonEdit::Kind::kSet, pointer, *value});
    } else if (had) {
      edits.push_back({JsonEdit::Kind::kRemove, pointer, {}});
    }
  };
  const auto text = [](const std::optional<std::string>& name) {
    return name ? std::optional<Json>(*name) : std::nullopt;
  };
  set("block", was.block.has_value(), text(now.block));
  set("layer", was.layer.has_value(), text(now.layer));
  set("at", was.at.has_value(), now.at ? std::optional<Json>(place_json(*now.at)) : std::nullopt);
  return edits;
}

std::vector<RedrawnEdge> moved_edges(const PieceTwin& twin, const std::vector<Vec2>& places,
                                     const CornersFound& found) {
  constexpr std::size_t kLooks = 60;
  std::vector<RedrawnEdge> edges;
  const auto index = [&](const std::string& name) {
    const auto& corners = twin.spec->corners;
    const auto at =
        std::find_if(corners.begin(), corners.end(), [&](const CornerSpec& one) { return one.name == name; });
    return static_cast<std::size_t>(at - corners.begin());
  };
  // Places along an outline from one to another, all round where they are the same.
  const auto along = [](const OutlineRuler& ruler, Vec2 from, Vec2 to, bool round) {
    const double start = ruler.nearest(from).s;
    const double length = round ? ruler.length() : ruler.onward(start, ruler.nearest(to).s);
    std::vector<Vec2> out;
    for (std::size_t i = 0; i <= kLooks; ++i)
      out.push_back(ruler.at(start + length * static_cast<double>(i) / kLooks));
    return out;
  };
  for (const EdgeSpec& edge : twin.spec->edges) {
    const std::size_t from = index(edge.from);
    const std::size_t to = index(edge.to);
    RedrawnEdge moved{edge.name, 0.0, {}};
    const auto look = [&](double off, Vec2 at) {
      if (off > moved.most) moved = {edge.name, off, at};
    };
    for (const Vec2 p : along(*twin.now, found.corners[from].at, found.corners[to].at, from == to))
      look(twin.was.nearest(p).distance, p);
    for (const Vec2 p : along(twin.was, places[from], places[to], from == to)) {
      const OutlineRuler::Foot foot = twin.now->nearest(p);
      look(foot.distance, foot.at);
    }
    if (moved.most > kSameDrawn) edges.push_back(moved);
  }
  return edges;
}

}  // namespace lastwright
