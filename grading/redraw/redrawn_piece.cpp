#include "grading/redraw/redrawn_piece.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "geometry/tolerance.hpp"
#include "grading/json/json_value.hpp"
#include "grading/pieces/drawing/outline_split.hpp"
#include "grading/pieces/place/piece_lie.hpp"
#include "grading/redraw/redraw_edits.hpp"
#include "grading/style/stated_places.hpp"

namespace lastwright {

namespace {

// Where the style puts a corner, in the frame of the old drawing.
Vec2 stated_corner(const RedrawWork& work, const PieceTwin& twin, const CornerSpec& corner,
                   const FormeSpec& forme) {
  const Vec2 stated = corner_place(corner, forme);
  if (lies_elsewhere(*twin.spec) && std::holds_alternative<std::string>(corner.at))
    return as_drawn(*work.old.pieces[twin.index].lie).point(stated);
  return stated;
}

// Where a corner was on the drawn outline.
Vec2 drawn_corner(const PieceTwin& twin, Vec2 stated) {
  const std::optional<SnappedPlace> found = snapped(twin.was.curves(), stated);
  return found ? found->place.at : stated;
}

// A corner that stays on its line is read off the new outline as off any: near a joint of curves, such as
// the arcs that a curve is drawn in, it is taken for that joint.
std::optional<Vec2> joint_taken(const PieceTwin& twin, Vec2 stated, const CornerFound& found) {
  if (found.how != FoundHow::kOnLine) return std::nullopt;
  const std::optional<SnappedPlace> read = snapped(twin.now->curves(), stated);
  if (!read || read->place.t > 0.0 || twin.now->vertices()[read->place.curve].corner) return std::nullopt;
  const double off = distance(read->place.at, found.at);
  if (off <= kSameDrawn || off > tolerance::kCornerSnap.value()) return std::nullopt;
  return read->place.at;
}

void refuse_corner(RedrawWork& work, const std::string& pointer, const std::string& piece,
                   const std::string& corner, Vec2 was, const std::string& why) {
  Problem problem{Trouble::kGeometry,
                  fmt::format("the corner, which was at {}, is not found again: {}", place_text(was), why),
                  {},
                  {},
                  {}};
  problem.place.pointer = pointer;
  work.add(problem.in("corner", corner).in("piece", piece));
}

// Places of the style that are given by coordinates and were
// put on the old outline of a piece, but for its corners.
struct OnOldOutline {
  std::string pointer;
  Vec2 on_outline;
};
std::vector<OnOldOutline> stated_on(const RedrawWork& work, const PieceTwin& twin) {
  std::vector<OnOldOutline> out;
  const bool apart = lies_elsewhere(*twin.spec);
  each_place(work.document->root, [&](const StatedPlace& place, const Json& value) {
    if (!value.is_array()) return;
    if (place.pointer.find("/corners/") != std::string::npos && place.piece) return;
    if (place.pointer.ends_with("/outline/at")) return;
    const bool own = place.piece && *place.piece == twin.index;
    if (apart ? !own : (place.forme != twin.spec->forme || (place.piece && !own))) return;
    const Vec2 at{value[0].get<double>(), value[1].get<double>()};
    const bool meets = place.pointer.find("/lies/meets/") != std::string::npos;
    if (meets && own) {
      if (const auto found = snapped(twin.was.curves(), at)) out.push_back({place.pointer, found->place.at});
      return;
    }
    const OutlineRuler::Foot foot = twin.was.nearest(at);
    if (foot.distance > kOnDrawn) return;
    Vec2 on = foot.at;
    for (const OutlineRuler::Vertex& one : twin.was.vertices()) {
      if (distance(one.at, at) <= kOnDrawn) on = one.at;
    }
    out.push_back({place.pointer, on});
  });
  return out;
}

// A corner that names a point of the forme says where that
// point is; one given by coordinates says where they are.
void votes_for(RedrawWork& work, const PieceTwin& twin, const CornerSpec& corner, const std::string& pointer,
               Vec2 was, const CornerFound& found) {
  const std::string from = fmt::format("{}, corner {}", twin.spec->name, corner.name);
  const Json& value = work.document->root.at(Json::json_pointer(pointer));
  const bool formed = value.is_object() && value.contains("at");
  const Json& spot = formed ? value.at("at") : value;
  if (spot.is_array()) {
    work.votes[formed ? pointer + "/at" : pointer].push_back({from, was, found});
  } else if (spot.is_string() && !lies_elsewhere(*twin.spec)) {
    work.votes[pointer_to(pointer_to("/formes", twin.spec->forme) + "/points", spot.get<std::string>())]
        .push_back({from, was, found});
  }
}

}  // namespace

void take_piece(RedrawWork& work, const PieceTwin& twin) {
  const PieceSpec& spec = *twin.spec;
  const FormeSpec& forme = work.forme_of(spec);
  const std::string at = pointer_to("/pieces", twin.index);
  if (twin.renamed) work.add(source_edits(at, spec.source, *twin.renamed));
  std::vector<Vec2> places;
  for (const CornerSpec& corner : spec.corners)
    places.push_back(drawn_corner(twin, stated_corner(work, twin, corner, forme)));
  const std::size_t corners = places.size();
  // Whatever else the style puts on this outline goes by it as well.
  const std::vector<OnOldOutline> stated = stated_on(work, twin);
  for (const OnOldOutline& one : stated) places.push_back(one.on_outline);
  CornerMatchOptions how = work.options.corners;
  const auto drawing = std::find_if(work.old.spec.drawings.begin(), work.old.spec.drawings.end(),
                                    [&](const DrawingSpec& one) { return one.key == spec.source.drawing; });
  how.faired = drawing != work.old.spec.drawings.end() && drawing->fair.has_value();
  const CornersFound found = match_corners(twin.was, *twin.now, places, how);
  RedrawnPiece shown_piece{spec.name, twin.was.curves(), twin.now->curves(), {}, {}};
  bool all = true;
  for (std::size_t i = 0; i < corners; ++i) {
    const CornerSpec& corner = spec.corners[i];
    const std::string pointer = pointer_to(at + "/corners", corner.name);
    const CornerFound& one = found.corners[i];
    if (!one.problem.empty()) {
      refuse_corner(work, pointer, spec.name, corner.name, places[i], one.problem);
      all = false;
      continue;
    }
    const std::optional<Vec2> taken = joint_taken(twin, stated_corner(work, twin, corner, forme), one);
    const MovedPlace moved{fmt::format("{}, corner {}", spec.name, corner.name), pointer,
                           taken ? FoundHow::kMoved : one.how, places[i], taken.value_or(one.at)};
    if (distance(places[i], moved.now) > kToTell) {
      work.out.moved.push_back(moved);
      shown_piece.corners.push_back(moved);
    }
    if (!one.told.empty())
      work.out.told.push_back(fmt::format("{}, corner {}: {}", spec.name, corner.name, one.told));
    work.corner_now[pointer] = moved.now;
    votes_for(work, twin, corner, pointer, places[i], one);
  }
  for (std::size_t i = 0; i < stated.size(); ++i) {
    const CornerFound& one = found.corners[corners + i];
    work.side_votes[stated[i].pointer].push_back(
        {fmt::format("the outline of {}", spec.name), places[corners + i], one});
    if (!one.told.empty())
      work.out.told.push_back(
          fmt::format("{}, on the outline of {}: {}", work.words_of(stated[i].pointer), spec.name, one.told));
  }
  for (const Vec2 added : found.added)
    work.out.told.push_back(
        fmt::format("{}: the outline has a new corner at {}, which the style does not name", spec.name,
                    place_text(added)));
  if (all) shown_piece.edges = moved_edges(twin, places, found);
  work.out.pieces.push_back(std::move(shown_piece));
}

}  // namespace lastwright
