#include "grading/redraw/redraw_edits.hpp"

#include <algorithm>

#include "grading/json/json_value.hpp"

namespace lastwright {

namespace {

struct Farthest {
  double distance = 0.0;
  Vec2 at;    // on the one outline
  Vec2 foot;  // on the other
};

// Of a stretch of an outline from another outline: looked at in every vertex and between, and where it is
// farthest looked at closer.
Farthest farthest(const OutlineRuler& along, Vec2 from, Vec2 to, bool round, const OutlineRuler& other) {
  constexpr std::size_t kLooks = 60;
  constexpr int kHalvings = 20;
  constexpr std::size_t kMostCompared = 40'000'000;  // of a vertex and a curve
  const double start = along.nearest(from).s;
  const double length = round ? along.length() : along.onward(start, along.nearest(to).s);
  std::vector<double> looks;  // lengths from the start
  for (std::size_t i = 0; i <= kLooks; ++i)
    looks.push_back(length * static_cast<double>(i) / static_cast<double>(kLooks));
  // An outline of thousands of chords is none of a piece: not each of its vertices is looked at.
  const auto& vertices = along.vertices();
  const std::size_t step = 1 + vertices.size() * other.curves().size() / kMostCompared;
  for (std::size_t i = 0; i < vertices.size(); i += step) {
    if (const double on = along.onward(start, vertices[i].s); on < length) looks.push_back(on);
  }
  std::sort(looks.begin(), looks.end());
  Farthest out;
  const auto look = [&](double on) {
    const Vec2 at = along.at(start + on);
    const OutlineRuler::Foot foot = other.nearest(at);
    if (foot.distance > out.distance) out = {foot.distance, at, foot.at};
    return foot.distance;
  };
  std::size_t best = 0;
  double most = 0.0;
  for (std::size_t i = 0; i < looks.size(); ++i) {
    const double here = look(looks[i]);
    if (here <= most) continue;
    most = here;
    best = i;
  }
  // Where the outlines run smoothly the farthest place is between two looks.
  double low = looks[best == 0 ? 0 : best - 1];
  double high = looks[std::min(best + 1, looks.size() - 1)];
  for (int i = 0; i < kHalvings && high - low > 1e-6; ++i) {
    const double one = low + (high - low) / 3.0;
    const double two = high - (high - low) / 3.0;
    if (look(one) < look(two)) {
      low = one;
    } else {
      high = two;
    }
  }
  return out;
}

}  // namespace

std::vector<JsonEdit> sheet_edits(const Json& root, const std::string& key,
                                  const std::optional<DrawingPose>& sheet) {
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
  std::vector<RedrawnEdge> edges;
  const auto index = [&](const std::string& name) {
    const auto& corners = twin.spec->corners;
    const auto at =
        std::find_if(corners.begin(), corners.end(), [&](const CornerSpec& one) { return one.name == name; });
    return static_cast<std::size_t>(at - corners.begin());
  };
  // Edges run counter-clockwise as their piece lies on its forme: of one that is drawn turned over the other
  // way round on its sheet.
  const bool over = twin.spec->lies && twin.spec->lies->mirrored;
  for (const EdgeSpec& edge : twin.spec->edges) {
    const std::size_t from = index(over ? edge.to : edge.from);
    const std::size_t to = index(over ? edge.from : edge.to);
    RedrawnEdge moved{edge.name, 0.0, {}};
    const auto look = [&](const OutlineRuler& along, Vec2 start, Vec2 end, const OutlineRuler& other,
                          bool is_new) {
      const Farthest there = farthest(along, start, end, from == to, other);
      if (there.distance > moved.most) moved = {edge.name, there.distance, is_new ? there.at : there.foot};
    };
    look(*twin.now, found.corners[from].at, found.corners[to].at, twin.was, true);
    look(twin.was, places[from], places[to], *twin.now, false);
    if (moved.most > kSameDrawn) edges.push_back(moved);
  }
  return edges;
}

}  // namespace lastwright
