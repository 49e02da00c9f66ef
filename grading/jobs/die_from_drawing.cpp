#include "grading/jobs/die_from_drawing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <set>

#include "geometry/counted.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

bool on(const DrawnFrom& from, Operation operation) {
  return from.layer == layer_name(operation);
}

// Layers on which this program draws and nothing is cut.
bool drawn_only(const DrawnFrom& from) {
  for (const Operation operation :
       {Operation::kStitch, Operation::kSkive, Operation::kLapGuide, Operation::kNetLine, Operation::kFold,
        Operation::kGrain, Operation::kGuide, Operation::kText}) {
    if (on(from, operation)) return true;
  }
  return false;
}

bool cutting_layer(const DrawnFrom& from) {
  for (const Operation operation :
       {Operation::kCut, Operation::kCutOut, Operation::kHole, Operation::kNick, Operation::kPrick}) {
    if (on(from, operation)) return true;
  }
  return false;
}

std::string at_words(Vec2 p) {
  return fmt::format("({:.2f}, {:.2f})", p.x + 0.0, p.y + 0.0);
}

// A line by itself, its ends as they were drawn.
struct OpenLine {
  OpenArcPath path;
  DrawnFrom from;
  std::size_t entities = 0;
  [[nodiscard]] Vec2 start() const { return path.vertices.front().at; }
  [[nodiscard]] Vec2 end() const { return path.vertices.back().at; }
};

struct ClosedLine {
  ClosedArcPath path;
  DrawnFrom from;
  std::size_t entities = 0;
};

// What has neither been used nor named away yet, of one drawing.
class DieReader {
 public:
  explicit DieReader(const Drawing& drawing) : drawing_(drawing) {}

  Result<DrawnDie> read() {
    for (const auto step : {&DieReader::take_lines, &DieReader::find_outline, &DieReader::take_closed,
                            &DieReader::take_open, &DieReader::take_circles, &DieReader::take_rest}) {
      if (Status done = (this->*step)(); !done) return done.problem();
    }
    for (const auto& [what, count] : away_)
      die_.left_out.push_back(fmt::format("{} {} on layer {}", count, what.first, what.second));
    return std::move(die_);
  }

 private:
  [[nodiscard]] Problem refused(std::string message, const DrawnFrom& from = {}) const {
    Problem problem = bad_value(std::move(message)).in_file(drawing_.file);
    problem.place.line = from.line;
    return problem;
  }
  // Whether nothing on this layer may be left out.
  [[nodiscard]] bool cuts(const DrawnFrom& from) const {
    return cutting_layer(from) || (!by_layer_ && from.layer == outline_layer_);
  }
  // Whether something closed on this layer, by no means a prick, is a hole or a cut-out.
  [[nodiscard]] bool may_be_hole(const DrawnFrom& from) const {
    return on(from, Operation::kHole) || on(from, Operation::kCutOut) ||
           (!by_layer_ && !drawn_only(from) && !on(from, Operation::kNick));
  }
  void name_away(const DrawnFrom& from, std::size_t entities) {
    die_.named_away += entities;
    if (!drawn_only(from)) away_[{from.entity, from.layer}] += entities;
  }
  // `what` of a layer that cuts has no use as it is drawn.
  Status no_use(const std::string& what, const DrawnFrom& from, std::size_t entities) {
    if (cuts(from))
      return refused(what + " on layer " + from.layer +
                         ", which cuts, is no closed line of rule, no punch and no nick: draw what the die "
                         "has, or put it on a layer of another name",
                     from);
    name_away(from, entities);
    return Done{};
  }

  Status take_lines();
  Status find_outline();
  Status take_closed();
  Status take_open();
  Status take_circles();
  Status take_rest();
  [[nodiscard]] Problem does_not_close(const DrawnFrom& like) const;

  const Drawing& drawing_;
  DrawnDie die_;
  std::vector<ClosedLine> closed_;
  std::vector<OpenLine> open_;
  std::vector<const DrawnCircle*> circles_;
  std::map<std::pair<std::string, std::string>, std::size_t> away_;  // entity, layer: how many
  bool by_layer_ = false;                                            // something lies on CUT
  std::string outline_layer_;
};

// The circle that a closed line runs along, however many arcs it is drawn in.
std::optional<DrawnCircle> circle_along(const ClosedLine& line) {
  constexpr double kRound = 1e-3;  // mm: what writing three decimals may move a centre or a rim
  std::optional<DrawnCircle> circle;
  for (std::size_t k = 0; k < line.path.size(); ++k) {
    const ArcSegment arc = line.path.segment(k);
    if (arc.straight() || arc.bulge < 0.0) return std::nullopt;
    if (!circle) circle = DrawnCircle{arc.centre(), arc.radius(), line.from};
    if (distance(arc.centre(), circle->centre) > kRound || std::abs(arc.radius() - circle->radius) > kRound)
      return std::nullopt;
  }
  return circle;
}

ClosedLine as_line(const DrawnCircle& circle) {
  const Vec2 across{circle.radius, 0.0};
  return {{{{circle.centre - across, 1.0}, {circle.centre + across, 1.0}}}, circle.from, 1};
}

Status DieReader::take_lines() {
  const ChainedContours chained = chain_contours(drawing_, tolerance::kChainGap);
  if (!chained.problems.empty()) return chained.problems.front().in_file(drawing_.file);
  for (const DrawnCircle& circle : drawing_.circles) circles_.push_back(&circle);
  for (const Contour& contour : chained.contours) {
    by_layer_ = by_layer_ || on(contour.from, Operation::kCut);
    OpenArcPath path;
    for (const Curve& curve : contour.raw.curves) {
      const std::optional<ArcSegment> segment = segment_of(curve);
      if (!segment && drawn_only(contour.from)) break;
      if (!segment)
        return refused("a die is drawn with lines and arcs; layer " + contour.from.layer + " holds a spline",
                       contour.from);
      path.vertices.push_back({segment->a, segment->bulge});
    }
    const std::size_t entities = contour.paths.size();
    if (path.vertices.size() < contour.raw.curves.size() || path.vertices.empty()) {
      name_away(contour.from, entities);
      continue;
    }
    path.vertices.push_back({end_of(contour.raw.curves.back()), 0.0});
    if (!contour.closed) {
      open_.push_back({std::move(path), contour.from, entities});
      continue;
    }
    path.vertices.pop_back();  // the first vertex again, up to the chain gap
    ClosedArcPath line{std::move(path.vertices)};
    closed_.push_back({signed_area(line) < 0.0 ? reversed(line) : std::move(line), contour.from, entities});
  }
  by_layer_ = by_layer_ || std::any_of(circles_.begin(), circles_.end(), [](const DrawnCircle* circle) {
                return on(circle->from, Operation::kCut);
              });
  return Done{};
}

// Between which ends of the lines on that layer the outline is open: the widest of the gaps from an end to
// the nearest other one.
Problem DieReader::does_not_close(const DrawnFrom& like) const {
  struct End {
    Vec2 at;
    const OpenLine* of;
  };
  constexpr std::size_t kMostEnds = 2000;  // each is held against each; so many are no outline with a gap
  std::vector<End> ends;
  for (const OpenLine& line : open_) {
    if (line.from.layer != like.layer || ends.size() >= kMostEnds) continue;
    ends.push_back({line.start(), &line});
    ends.push_back({line.end(), &line});
  }
  double widest = -1.0;
  Vec2 from;
  Vec2 to;
  const OpenLine* of = nullptr;
  for (std::size_t i = 0; i < ends.size(); ++i) {
    double nearest = std::numeric_limits<double>::infinity();
    std::size_t there = i;
    for (std::size_t j = 0; j < ends.size(); ++j) {
      if (j == i || distance(ends[i].at, ends[j].at) >= nearest) continue;
      nearest = distance(ends[i].at, ends[j].at);
      there = j;
    }
    if (nearest <= widest) continue;
    widest = nearest;
    from = ends[i].at;
    to = ends[there].at;
    of = ends[i].of;
  }
  return refused(
      fmt::format("the outline on layer {} does not close: a gap of {:.2f} mm between {} and {}{}",
                  like.layer, widest, at_words(from), at_words(to),
                  ends.size() > 2 ? fmt::format(", the widest of its {} open lines", ends.size() / 2) : ""),
      of->from);
}

Status DieReader::find_outline() {
  if (by_layer_) {  // a circle there is an outline as well
    for (auto circle = circles_.begin(); circle != circles_.end();) {
      if (!on((*circle)->from, Operation::kCut)) {
        ++circle;
        continue;
      }
      closed_.push_back(as_line(**circle));
      circle = circles_.erase(circle);
    }
  }
  std::size_t outline = closed_.size();
  for (std::size_t k = 0; k < closed_.size(); ++k) {
    if (by_layer_ ? !on(closed_[k].from, Operation::kCut) : drawn_only(closed_[k].from)) continue;
    if (by_layer_ && outline < closed_.size())
      return refused("a drawing of a die holds one outline, this one more", closed_[k].from);
    if (outline == closed_.size() || signed_area(closed_[k].path) > signed_area(closed_[outline].path))
      outline = k;
  }
  if (outline == closed_.size()) {
    const auto open = std::find_if(open_.begin(), open_.end(), [&](const OpenLine& line) {
      return by_layer_ ? on(line.from, Operation::kCut) : !drawn_only(line.from);
    });
    if (open != open_.end()) return does_not_close(open->from);
    return refused("no closed outline was found");
  }
  outline_layer_ = closed_[outline].from.layer;
  die_.used += closed_[outline].entities;
  die_.shape.cut.path = std::move(closed_[outline].path);
  die_.shape.cut.edge.assign(die_.shape.cut.path.size(), 0);
  closed_.erase(closed_.begin() + static_cast<std::ptrdiff_t>(outline));
  return Done{};
}

Status DieReader::take_closed() {
  for (ClosedLine& line : closed_) {
    const std::optional<DrawnCircle> circle = circle_along(line);
    const bool prick = on(line.from, Operation::kPrick);
    const bool hole = may_be_hole(line.from);
    if (prick && circle) {
      die_.shape.holes.push_back({circle->centre, 0.0, Operation::kPrick});
    } else if (!prick && hole && circle && !on(line.from, Operation::kCutOut)) {
      die_.shape.holes.push_back({circle->centre, circle->radius, Operation::kHole});
    } else if (!prick && hole) {
      die_.shape.cut_outs.push_back(std::move(line.path));
    } else {
      if (Status done = no_use(fmt::format("a closed line round {}", at_words(bounds(line.path).centre())),
                               line.from, line.entities);
          !done)
        return done;
      continue;
    }
    die_.used += line.entities;
  }
  return Done{};
}

Status DieReader::take_open() {
  for (OpenLine& line : open_) {
    const bool nick = on(line.from, Operation::kNick);
    if (nick || on(line.from, Operation::kPrick)) {
      die_.shape.marks.push_back({std::move(line.path), nick ? Operation::kNick : Operation::kPrick});
      die_.used += line.entities;
      continue;
    }
    if (Status done = no_use(fmt::format("an open line {:.2f} mm long, from {} to {},", length(line.path),
                                         at_words(line.start()), at_words(line.end())),
                             line.from, line.entities);
        !done)
      return done;
  }
  return Done{};
}

Status DieReader::take_circles() {
  for (const DrawnCircle* circle : circles_) {
    if (on(circle->from, Operation::kPrick)) {
      die_.shape.holes.push_back({circle->centre, 0.0, Operation::kPrick});
    } else if (may_be_hole(circle->from)) {
      die_.shape.holes.push_back({circle->centre, circle->radius, Operation::kHole});
    } else {
      if (Status done = no_use(fmt::format("a circle at {}", at_words(circle->centre)), circle->from, 1);
          !done)
        return done;
      continue;
    }
    ++die_.used;
  }
  return Done{};
}

// Points, texts, and what the reader of the file had no use for.
Status DieReader::take_rest() {
  for (const DrawnPoint& point : drawing_.points) {
    if (on(point.from, Operation::kPrick)) {
      die_.shape.holes.push_back({point.at, 0.0, Operation::kPrick});
      ++die_.used;
      continue;
    }
    if (Status done = no_use(fmt::format("a point at {}", at_words(point.at)), point.from, 1); !done)
      return done;
  }
  die_.used += drawing_.texts.size();
  for (const LeftOut& one : drawing_.left_out) {
    if (cuts(one.from))
      return refused(fmt::format("{} {} on layer {}, which cuts, is not read: {}",
                                 one.from.entity.starts_with("A") ? "an" : "a", one.from.entity,
                                 one.from.layer, one.reason),
                     one.from);
    name_away(one.from, 1);
  }
  return Done{};
}

}  // namespace

Result<DrawnDie> die_from_drawing(const Drawing& drawing) {
  return DieReader(drawing).read();
}

}  // namespace lastwright
