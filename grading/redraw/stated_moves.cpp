#include "grading/redraw/stated_moves.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <optional>
#include <utility>
#include <variant>

#include "geometry/counted.hpp"
#include "grading/json/json_text.hpp"
#include "grading/redraw/place_votes.hpp"
#include "grading/style/made_as.hpp"

namespace lastwright {

namespace {

bool told_already(const std::vector<MovedPlace>& moved, const std::string& pointer) {
  return std::any_of(moved.begin(), moved.end(), [&](const MovedPlace& one) {
    return one.pointer == pointer || one.pointer.starts_with(pointer + "/");
  });
}

const MeasureLine* carrying_line(const Rule& rule) {
  if (const auto* line = std::get_if<MeasureLine>(&rule)) return line;
  if (const auto* line = std::get_if<CheckLine>(&rule)) return &line->line;
  return nullptr;
}

const NamedPoint* named_point_in(const FormeSpec& forme, const std::string& name) {
  const auto at = std::find_if(forme.points.begin(), forme.points.end(),
                               [&](const NamedPoint& one) { return one.name == name; });
  return at == forme.points.end() ? nullptr : &*at;
}

std::string at_text(Vec2 p) {
  return fmt::format("({:.3f}, {:.3f})", p.x, p.y);
}

// Where one thing that a feature makes lies, all along it: as many places for any two that are made alike.
using ThingPlaces = std::vector<Vec2>;

// At equal lengths, both ends included.
template <class Path>
ThingPlaces along(const Path& path) {
  constexpr std::size_t kPlaces = 16;
  ThingPlaces places;
  const double whole = length(path);
  std::size_t segment = 0;
  double reached = 0.0;
  for (std::size_t i = 0; i <= kPlaces; ++i) {
    const double wanted = whole * static_cast<double>(i) / static_cast<double>(kPlaces);
    while (segment + 1 < path.size() && reached + path.segment(segment).length() < wanted)
      reached += path.segment(segment++).length();
    const ArcSegment here = path.segment(segment);
    const double part = here.length();
    places.push_back(here.point_at(part > 0.0 ? std::clamp((wanted - reached) / part, 0.0, 1.0) : 0.0));
  }
  return places;
}

std::vector<ThingPlaces> things_of(const PlacedFeature& feature) {
  std::vector<ThingPlaces> things;
  for (const GradedHole& hole : feature.holes) things.push_back({hole.centre});
  for (const GradedLine& line : feature.lines) {
    if (line.path.size() > 0) things.push_back(along(line.path));
  }
  for (const ClosedArcPath& cut_out : feature.cut_outs) things.push_back(along(cut_out));
  for (const SheetText& text : feature.texts) things.push_back({text.at});
  for (const PlacedNick& nick : feature.nicks) {
    if (nick.path.size() > 0) things.push_back(along(nick.path));
  }
  return things;
}

// Of a piece that is cut double only the half that is drawn: the piece lies to the left of its fold.
bool on_drawn_half(const BoundPiece& piece, Vec2 p) {
  constexpr double kOnFold = 0.01;  // mm
  const std::optional<std::size_t> fold = fold_edge(piece);
  if (!fold) return true;
  const auto& curves = piece.edges[*fold].chain.curves();
  const Vec2 from = start_of(curves.front());
  return cross(unit(end_of(curves.back()) - from), p - from) >= -kOnFold;
}

Vec2 on_sheet(const BoundPiece& piece, Vec2 p) {
  return piece.lie ? as_drawn(*piece.lie).point(p) : p;
}

// Where the sheet has the two.
std::optional<std::pair<Vec2, Vec2>> farthest(const BoundPiece& before, const std::vector<ThingPlaces>& was,
                                              const BoundPiece& after, const std::vector<ThingPlaces>& now) {
  std::optional<std::pair<Vec2, Vec2>> best;
  for (std::size_t i = 0; i < std::min(was.size(), now.size()); ++i) {
    for (std::size_t k = 0; k < std::min(was[i].size(), now[i].size()); ++k) {
      if (!on_drawn_half(before, was[i][k])) continue;
      const std::pair pair{on_sheet(before, was[i][k]), on_sheet(after, now[i][k])};
      const double off = distance(pair.first, pair.second);
      if (off > kSameDrawn && (!best || off > distance(best->first, best->second))) best = pair;
    }
  }
  return best;
}

// One place of the run and the base, which does not depend on it.
Result<StyleGrade> graded_in_base(const LoadedStyle& style) {
  const SizeRun& run = style.run;
  const std::vector<SizeWidth> cells = run.cells();
  const std::vector<std::string> size{cells.front().size.label};
  const std::vector<std::string> width{cells.front().width.label};
  const Result<SizeRun> part = run.part(size, width);
  if (!part) return part.problem();
  return grade_style(style.spec, style.measures, with_made_as(*part, run, style.spec.pieces), style.pieces);
}

Result<std::vector<PlacedFeature>> features_in_base(const StyleGrade& grade, std::size_t piece) {
  return grade.made_piece(piece, grade.base_cell()).features;
}

}  // namespace

void tell_moved_points(const StyleSpec& was, const StyleSpec& now, std::vector<MovedPlace>& moved) {
  for (std::size_t f = 0; f < was.formes.size() && f < now.formes.size(); ++f) {
    for (const NamedPoint& point : was.formes[f].points) {
      const NamedPoint* there = named_point_in(now.formes[f], point.name);
      if (there == nullptr || distance(point.at, there->at) <= kSameDrawn) continue;
      const std::string pointer =
          pointer_to(pointer_to("/formes", was.formes[f].name) + "/points", point.name);
      if (told_already(moved, pointer)) continue;
      moved.push_back({fmt::format("point {} of the forme {}", point.name, was.formes[f].name), pointer,
                       FoundHow::kStated, point.at, there->at});
    }
  }
}

void tell_moved_lines(const StyleSpec& was, const StyleSpec& now, std::vector<std::string>& told) {
  for (std::size_t f = 0; f < was.formes.size() && f < now.formes.size(); ++f) {
    for (const Rule& rule : was.formes[f].rules) {
      const MeasureLine* line = carrying_line(rule);
      if (line == nullptr) continue;
      const NamedPoint* ends[] = {
          named_point_in(was.formes[f], line->from), named_point_in(was.formes[f], line->to),
          named_point_in(now.formes[f], line->from), named_point_in(now.formes[f], line->to)};
      if (std::any_of(std::begin(ends), std::end(ends), [](const NamedPoint* one) { return one == nullptr; }))
        continue;
      if (distance(ends[0]->at, ends[2]->at) <= kSameDrawn &&
          distance(ends[1]->at, ends[3]->at) <= kSameDrawn)
        continue;
      const double before = distance(ends[0]->at, ends[1]->at);
      const double after = distance(ends[2]->at, ends[3]->at);
      told.push_back(
          fmt::format("line {} of the forme {}: it runs from {} to {} now, {:.3f} mm, and ran from {} to {}, "
                      "{:.3f} mm: {}",
                      line->name, was.formes[f].name, at_text(ends[2]->at), at_text(ends[3]->at), after,
                      at_text(ends[0]->at), at_text(ends[1]->at), before,
                      std::abs(after - before) < 5e-4 ? std::string("as long")
                                                      : fmt::format("{:.3f} mm {}", std::abs(after - before),
                                                                    after > before ? "longer" : "shorter")));
    }
  }
}

void tell_moved_features(const LoadedStyle& was, const LoadedStyle& now, const StyleGrade& graded,
                         std::vector<MovedPlace>& moved, std::vector<std::string>& told) {
  const auto& pieces = was.spec.pieces;
  if (std::all_of(pieces.begin(), pieces.end(), [](const PieceSpec& one) { return one.features.empty(); }))
    return;
  const Result<StyleGrade> before = graded_in_base(was);
  if (!before) return;  // what could not be made then cannot be compared
  for (std::size_t i = 0; i < pieces.size() && i < now.pieces.size(); ++i) {
    if (pieces[i].features.empty()) continue;
    const Result<std::vector<PlacedFeature>> old = features_in_base(*before, i);
    const Result<std::vector<PlacedFeature>> made = features_in_base(graded, i);
    if (!old) continue;
    if (!made) {
      told.push_back(fmt::format("{}: its features cannot be made any more: {}", pieces[i].name,
                                 to_text(made.problem())));
      continue;
    }
    for (std::size_t k = 0; k < old->size() && k < made->size(); ++k) {
      const std::string what = fmt::format("{}, feature {}", pieces[i].name, pieces[i].features[k].name);
      const std::vector<ThingPlaces> here = things_of((*old)[k]);
      const std::vector<ThingPlaces> there = things_of((*made)[k]);
      if (here.size() != there.size())
        told.push_back(fmt::format("{}: {} are made in the base size, and were {}", what,
                                   counted(there.size(), "thing"), here.size()));
      const std::string pointer = pointer_to(pointer_to("/pieces", i) + "/features", k);
      if (told_already(moved, pointer)) continue;
      if (const auto far = farthest(was.pieces[i], here, now.pieces[i], there))
        moved.push_back({what, pointer, FoundHow::kStated, far->first, far->second});
    }
  }
}

}  // namespace lastwright
