#include "grading/features/feature_place.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>

#include "geometry/curve/course.hpp"
#include "geometry/offset/parallel.hpp"
#include "geometry/tolerance.hpp"
#include "grading/features/both_halves.hpp"
#include "grading/features/clip_inside.hpp"
#include "grading/features/edge_direction.hpp"
#include "grading/features/feature_count.hpp"
#include "grading/features/filled_text.hpp"
#include "grading/features/nick_path.hpp"
#include "grading/features/row_stations.hpp"
#include "grading/features/skive_line.hpp"
#include "grading/pieces/piece_edges.hpp"

namespace lastwright {

namespace {

// A place with the direction its angle is turned from.
struct PlaceOnPiece {
  Vec2 at;
  Vec2 along{1.0, 0.0};
};

Problem place_refused(const char* why) {
  return {Trouble::kGeometry, why, {}, {}, {}};
}

// With round ends, counter-clockwise.
ClosedArcPath slot_path(Vec2 middle, Vec2 along, double length, double width) {
  const Vec2 out = 0.5 * (length - width) * along;
  const Vec2 side = 0.5 * width * left_of(along);
  return {{{middle - out - side, 0.0},
           {middle + out - side, 1.0},
           {middle + out + side, 0.0},
           {middle - out + side, 1.0}}};
}

class Placer {
 public:
  explicit Placer(const FeatureGround& ground)
      : ground_(ground),
        mirror_(ground.fold ? std::optional(ground.fold->mirror()) : std::nullopt),
        edges_(ground.graded.net, ground.piece.edges.size(), mirror_) {}

  Result<std::vector<PlacedFeature>> run() {
    std::vector<PlacedFeature> all;
    all.reserve(ground_.piece.features.size());
    for (std::size_t i = 0; i < ground_.piece.features.size(); ++i) {
      spec_ = &ground_.piece.features[i];
      planned_ = &ground_.plan.features[i];
      placed_ = {};
      halves_.emplace(mirror_, spec_->both_halves, placed_);
      if (const Status done = std::visit(*this, spec_->work); !done)
        return done.problem().in("feature", spec_->name).in("piece", ground_.piece.name);
      all.push_back(std::move(placed_));
    }
    return all;
  }

  Status operator()(const HoleWork& work) {
    return round_hole(work.at, 0.5 * work.diameter.value(), Operation::kHole);
  }
  Status operator()(const PrickWork& work) { return round_hole(work.at, 0.0, Operation::kPrick); }

  Status operator()(const RowWork& work) {
    const Result<CourseHere> here = course(work.along);
    if (!here) return here.problem();
    const Result<std::vector<double>> stations =
        row_stations(here->course.length(), here->start, here->end, work.spacing,
                     count_in(work.spacing, *planned_, ground_.drawn_as));
    if (!stations) return stations.problem();
    const bool pricks = work.kind == RowKind::kPricks;
    for (const double s : *stations) {
      for (const UnitHole& hole : work.unit) {
        const Course::Station station = here->course.at(s + hole.along.value());
        const Vec2 centre = station.at + hole.across.value() * left_of(station.along);
        halves_->add_hole(
            {centre, 0.5 * hole.diameter.value(), pricks ? Operation::kPrick : Operation::kHole},
            !here->through);
      }
    }
    return Done{};
  }

  Status operator()(const SlotWork& work) {
    const Result<PlaceOnPiece> here = place(work.at);
    if (!here) return here.problem();
    halves_->add_cut_out(slot_path(here->at, turned(here->along, from_degrees(work.degrees).value()),
                                   work.length.value(), work.width.value()),
                         here->at);
    return Done{};
  }

  Status operator()(const BuckleBarWork& work) {
    const Result<PlaceOnPiece> here = place(work.at);
    if (!here) return here.problem();
    const Vec2 strap = turned(here->along, from_degrees(work.degrees).value());
    const Vec2 reach = 0.5 * work.bar.value() * left_of(strap);
    halves_->add_cut_out(slot_path(here->at, strap, work.slot_length.value(), work.slot_width.value()),
                         here->at);
    // The fold is drawn beside the slot, not across the hole in it.
    const Vec2 rim = 0.5 * work.slot_width.value() * left_of(strap);
    const bool twice = halves_->off_fold(here->at);
    if (norm(reach) <= norm(rim)) return place_refused("the bar is not longer than the slot is wide");
    halves_->add_line({{{{here->at - reach, 0.0}, {here->at - rim, 0.0}}}, Operation::kFold}, twice);
    halves_->add_line({{{{here->at + rim, 0.0}, {here->at + reach, 0.0}}}, Operation::kFold}, twice);
    return Done{};
  }

  Status operator()(const LineWork& work) {
    CourseSpec along = work.along;
    for (int row = 0; row < work.rows; ++row) {
      const Result<CourseHere> here = course(along);
      if (!here) return here.problem();
      const double end = here->course.length() - here->end.value();
      if (!(end - here->start.value() > tolerance::kShortestSegment.value())) {
        return Problem{Trouble::kGeometry,
                       "the margins leave nothing of the line",
                       {},
                       here->start.value() + here->end.value(),
                       here->course.length()};
      }
      const bool all = here->start == Millimetres(0.0) && here->end == Millimetres(0.0);
      OpenArcPath line = all ? here->course.path() : here->course.part(here->start.value(), end);
      if (!along.edges.empty())
        line = ended_inside(line, ground_.graded.cut.path, std::abs(along.inset.value()));
      halves_->add_line(
          {std::move(line), work.kind == LineKind::kStitch ? Operation::kStitch : Operation::kLapGuide},
          !here->through);
      along.inset = Millimetres(along.inset.value() + work.row_gap.value());
    }
    return Done{};
  }

  Status operator()(const SkiveWork& work) {
    const auto allowance = [&](std::size_t i) { return ground_.allowances[planned_->edges[i]]; };
    const std::size_t n = planned_->edges.size();
    for (std::size_t i = 0; i < n;) {
      std::size_t next = i + 1;
      while (next < n && allowance(next) == allowance(i)) ++next;
      if (Status done = skive(work, std::span(planned_->edges).subspan(i, next - i), allowance(i), i == 0);
          !done)
        return done;
      i = next;
    }
    return Done{};
  }

  Status operator()(const NickWork& work) {
    return nick(planned_->edges.front(), work.station, 0.0, work.shape);
  }

  Status operator()(const SizeMarksWork& work) {
    for (const int mark : marks_in(*planned_, ground_.graded.at)) {
      if (Status done =
              nick(planned_->edges.front(), work.first, (mark - 1) * work.pitch.value(), work.shape);
          !done)
        return done;
    }
    return Done{};
  }

  Status operator()(const TextWork& work) {
    const Result<PlaceOnPiece> here = place(work.at);
    if (!here) return here.problem();
    const Vec2 along = turned(here->along, from_degrees(work.degrees).value());
    halves_->add_text(here->at, work.height.value(), along, filled_text(work.text, ground_));
    return Done{};
  }

  Status operator()(const PairNumberWork& work) {
    const Result<PlaceOnPiece> here = place(work.at);
    if (!here) return here.problem();
    const Vec2 along = turned(here->along, from_degrees(work.degrees).value());
    const Vec2 x = 0.5 * work.width.value() * along;
    const Vec2 y = 0.5 * work.height.value() * left_of(along);
    const Vec2 corners[] = {here->at - x - y, here->at + x - y, here->at + x + y, here->at - x + y};
    OpenArcPath frame;
    for (const Vec2 corner : corners) frame.vertices.push_back({corner, 0.0});
    frame.vertices.push_back({corners[0], 0.0});
    halves_->add_line({std::move(frame), Operation::kGuide},
                      spec_->both_halves.value_or(false) && halves_->off_fold(here->at));
    const double height = 0.3 * work.height.value();
    halves_->add_text(corners[0] + 0.5 * height * (along + left_of(along)), height, along, "no.");
    return Done{};
  }

 private:
  struct CourseHere {
    Course course;
    Millimetres start;
    Millimetres end;
    bool through = false;  // the fold: nothing on it is mirrored again
  };

  Status round_hole(const FeaturePlace& at, double radius, Operation operation) {
    const Result<PlaceOnPiece> here = place(at);
    if (!here) return here.problem();
    halves_->add_hole({here->at, radius, operation}, true);
    return Done{};
  }

  static Result<double> station_length(const EdgeStation& station, double length) {
    const double s = station.along(length);
    if (s >= -tolerance::kSamePoint.value() && s <= length + tolerance::kSamePoint.value())
      return std::clamp(s, 0.0, length);
    return Problem{Trouble::kGeometry,
                   "the place lies beyond the end of its edge",
                   {},
                   station.distance.value(),
                   length};
  }

  [[nodiscard]] Course::Station true_station(const Course& course, double s) const {
    const Course::Station station = course.at(s);
    return {station.at, true_direction(ground_.spans, mirror_, station.at, station.along)};
  }

  Result<PlaceOnPiece> place(const FeaturePlace& place) {
    if (const auto* forme = std::get_if<FormePlace>(&place))
      return PlaceOnPiece{ground_.spots[planned_->spots.front()] + forme->by, {1.0, 0.0}};
    const auto& inside = std::get<EdgePlace>(place);
    const OpenArcPath path = chain(planned_->edges);
    if (path.size() == 0) return place_refused("nothing is left of the edge");
    const Course course(path);
    const Result<double> s = station_length(inside.station, course.length());
    if (!s) return s.problem();
    const Course::Station station = true_station(course, *s);
    return PlaceOnPiece{station.at + inside.inset.value() * left_of(station.along), station.along};
  }

  // The edge on the fold is a line as well: places and lines may lie beside it.
  [[nodiscard]] OpenArcPath chain(std::span<const std::uint16_t> edges) const {
    if (edges.size() == 1 && edges.front() == ground_.plan.fold && ground_.fold)
      return {{{ground_.fold->from, 0.0}, {ground_.fold->to, 0.0}}};
    return edges_.chain(edges);
  }

  Result<CourseHere> course(const CourseSpec& spec) {
    if (spec.edges.empty()) {
      std::vector<Vec2> through;
      for (const std::uint32_t spot : planned_->spots) through.push_back(ground_.spots[spot]);
      Result<OpenArcPath> line = parallel(smooth_through(through), spec.inset);
      if (!line) return line.problem();
      return CourseHere{Course(*std::move(line)), spec.start, spec.end, false};
    }
    OpenArcPath path = chain(planned_->edges);
    if (path.size() == 0) return place_refused("nothing is left of the edges the line runs along");
    FoldedPath folded = through_fold(std::move(path), edges_);
    Result<OpenArcPath> line = parallel(folded.path, spec.inset);
    if (!line) return line.problem();
    const Millimetres free = folded.free_end_first ? spec.start : spec.end;
    return CourseHere{Course(*std::move(line)), folded.through ? free : spec.start,
                      folded.through ? free : spec.end, folded.through};
  }

  Status skive(const SkiveWork& work, std::span<const std::uint16_t> edges, Millimetres allowance,
               bool labelled) {
    OpenArcPath path = edges_.chain(edges);
    if (path.size() == 0) return place_refused("nothing is left of the edges");
    FoldedPath folded = through_fold(std::move(path), edges_);
    const Result<OpenArcPath> line =
        parallel(folded.path, Millimetres(work.width.value() - allowance.value()));
    if (!line) return line.problem().in("edge", named(edges));
    const OpenArcPath cut_edge = through_fold(cut_edges().chain(edges), edges_).path;
    if (cut_edge.size() == 0)
      return place_refused("nothing is left of the cut edge").in("edge", named(edges));
    Result<ClippedLine> band = skive_line(*line, work.width.value(),
                                          {cut_edge, ground_.graded.cut.path, ground_.graded.net.path,
                                           widest_allowance(), edges_.fold(), folded.through});
    if (!band) return band.problem().in("edge", named(edges));
    ClippedLine inside = *std::move(band);
    if (inside.parts.empty())
      return Problem{Trouble::kGeometry,
                     fmt::format("the band is wider than the piece all along: its line, {:g} mm from the cut "
                                 "edge, lies outside, at ({:.2f}, {:.2f})",
                                 work.width.value(), inside.outside_at.x, inside.outside_at.y),
                     {},
                     {},
                     {}}
          .in("edge", named(edges));
    placed_.outside += inside.outside;
    if (labelled && work.depth > Millimetres(0.0)) {
      const auto longest = std::max_element(
          inside.parts.begin(), inside.parts.end(),
          [](const OpenArcPath& one, const OpenArcPath& two) { return length(one) < length(two); });
      const double inset = work.width.value() - allowance.value();
      // The names of edges stand at their middles; a line with a squared end has its edge beside its own. One
      // that runs through the fold may have a corner there, in its middle, where no direction is sure.
      const double share = inside.squared && !folded.through ? 0.5 : 0.28;
      placed_.texts.push_back(skive_label(Course(*longest), work, share, [&](const Course::Station& on) {
        return true_direction(ground_.spans, mirror_, on.at - inset * left_of(on.along), on.along);
      }));
    }
    for (OpenArcPath& part : inside.parts)
      halves_->add_line({std::move(part), Operation::kSkive}, !folded.through);
    return Done{};
  }

  const PieceEdges& cut_edges() {
    if (!cut_edges_) cut_edges_.emplace(ground_.graded.cut, ground_.piece.edges.size(), mirror_);
    return *cut_edges_;
  }
  [[nodiscard]] double widest_allowance() const {
    double widest = 0.0;
    for (const Millimetres one : ground_.allowances) widest = std::max(widest, one.value());
    return widest;
  }
  [[nodiscard]] std::string named(std::span<const std::uint16_t> edges) const {
    std::string names;
    for (const std::uint16_t edge : edges)
      names += (names.empty() ? "" : ", ") + ground_.piece.edges[edge].name;
    return names;
  }

  Status nick(std::uint16_t edge, const EdgeStation& station, double further, const NickShape& shape) {
    const std::uint16_t edges[] = {edge};
    const OpenArcPath path = chain(edges);
    if (path.size() == 0) return place_refused("nothing is left of the edge");
    const Course course(path);
    const Result<double> start = station_length(station, course.length());
    if (!start) return start.problem();
    const double s = station.from_end && !station.share ? *start - further : *start + further;
    if (s < 0.0 || s > course.length())
      return Problem{Trouble::kGeometry, "the nick lies beyond the end of its edge", {}, s, course.length()};
    const Course::Station here = true_station(course, s);
    Vec2 outward = -left_of(here.along);
    const bool on_fold = mirror_ && !halves_->off_fold(here.at);
    if (on_fold)
      outward = mirror_->along *
                (distance(here.at, ground_.fold->to) < distance(here.at, ground_.fold->from) ? 1.0 : -1.0);
    return cut_nick(here.at, outward, shape, !on_fold);
  }

  [[nodiscard]] NickTells told() const {
    if (!std::holds_alternative<SizeMarksWork>(spec_->work)) return {};
    return {planned_->of == CodeOf::kSize, planned_->of == CodeOf::kWidth};
  }

  Status cut_nick(Vec2 net, Vec2 outward, const NickShape& shape, bool mirrored) {
    const ClosedArcPath& cut = ground_.graded.cut.path;
    const std::optional<OutlinePlace> at = first_meeting(cut, net, outward, 2.0 * widest_allowance() + 1.0);
    if (!at) return place_refused("the cut line is not found outside the place of the nick");
    placed_.nicks.push_back(
        {*at, distance(net, at->at), shape, nick_path(cut, *at, outward, shape), false, told()});
    if (!mirrored || !halves_->twice(!told().any())) return Done{};
    PlacedNick image = placed_.nicks.back();
    image.path = mirror_->image(image.path);
    if (shape.form != NickForm::kSlit) image.path = reversed(image.path);  // along the cut line again
    image.mirrored = true;
    placed_.nicks.push_back(std::move(image));
    return Done{};
  }

  const FeatureGround& ground_;
  std::optional<Mirror> mirror_;
  PieceEdges edges_;
  std::optional<PieceEdges> cut_edges_;  // of the cut line
  const FeatureSpec* spec_ = nullptr;
  const PlannedFeature* planned_ = nullptr;
  PlacedFeature placed_;
  std::optional<BothHalves> halves_;  // of the feature at hand, into what is placed of it
};

}  // namespace

Result<std::vector<PlacedFeature>> place_features(const FeatureGround& ground) {
  return Placer(ground).run();
}

void add_features(std::vector<PlacedFeature> features, GradedPiece& piece) {
  const auto append = [](auto& from, auto& to) {
    to.insert(to.end(), std::make_move_iterator(from.begin()), std::make_move_iterator(from.end()));
  };
  for (PlacedFeature& feature : features) {
    append(feature.holes, piece.holes);
    append(feature.lines, piece.lines);
    append(feature.cut_outs, piece.cut_outs);
    append(feature.texts, piece.texts);
    for (PlacedNick& nick : feature.nicks)
      piece.lines.push_back({std::move(nick.path), Operation::kNick, nick.tells});
  }
}

}  // namespace lastwright
