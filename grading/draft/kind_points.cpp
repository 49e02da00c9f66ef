#include "grading/draft/kind_points.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

constexpr double kTopLineTurn = 30.0;  // degrees: where it turns by more, the front of a shaft goes down

// By how much a line turns where another goes on from its end.
double turned(const std::vector<Vec2>& line, const std::vector<Vec2>& next) {
  return std::abs(angle_between(line.back() - line[line.size() - 2], next[1] - next[0]));
}

// The upper edges from the back top forward, as long as one goes on where another ends, as places along
// them.
std::vector<Vec2> top_line_of(const std::vector<DraftPiece>& pieces, const DraftForme& forme) {
  const auto top = forme.points.find("back top");
  if (top == forme.points.end()) return {};
  std::vector<Vec2> line{top->second};
  for (bool more = true; more;) {
    more = false;
    for (const std::size_t i : forme.pieces) {
      for (const DraftEdge& edge : pieces[i].edges) {
        if (edge.role != EdgeRole::kTopLine) continue;
        std::vector<Vec2> there = edge.samples;
        if (distance(there.back(), line.back()) <= kDraftSame) std::reverse(there.begin(), there.end());
        if (distance(there.front(), line.back()) > kDraftSame ||
            forme.frame.in(there.back()).x <= forme.frame.in(line.back()).x + 1.0)
          continue;
        if (line.size() > 1 && turned(line, there) > from_degrees(kTopLineTurn).value()) continue;
        line.insert(line.end(), there.begin() + 1, there.end());
        more = true;
        break;
      }
      if (more) break;
    }
  }
  return line;
}

std::optional<Vec2> on_top_line(const std::vector<DraftPiece>& pieces, const DraftForme& forme,
                                double share) {
  const std::vector<Vec2> line = top_line_of(pieces, forme);
  if (line.size() < 2) return std::nullopt;
  double whole = 0.0;
  for (std::size_t i = 1; i < line.size(); ++i) whole += distance(line[i - 1], line[i]);
  double left = std::clamp(share, 0.0, 1.0) * whole;
  for (std::size_t i = 1; i < line.size(); ++i) {
    const double step = distance(line[i - 1], line[i]);
    if (left <= step && i + 1 < line.size()) return lerp(line[i - 1], line[i], left / std::max(step, 1e-9));
    left -= step;
  }
  return line.back();
}

// Where a line square to the base line meets it, between its ends.
std::optional<Vec2> on_base_line(const DraftForme& forme, const std::string& under) {
  const auto point = forme.points.find(under);
  const auto stick_end = forme.points.find("stick end");
  const auto end = stick_end == forme.points.end() ? forme.points.find("toe") : stick_end;
  if (point == forme.points.end() || end == forme.points.end()) return std::nullopt;
  const Vec2 heel = forme.frame.origin;
  const Vec2 along = unit(end->second - heel);
  const double x = dot(point->second - heel, along);
  const double beside = 0.05 * forme.length;  // of its ends: what is nearer stands on them
  if (x < beside || x > distance(heel, end->second) - beside) return std::nullopt;
  return heel + x * along;
}

std::optional<Vec2> kind_place(const std::vector<DraftPiece>& pieces, const DraftForme& forme,
                               const KindPoint& point) {
  const double x = point.share * forme.length;
  const auto heights = [&] {
    if (forme.kind == DraftKind::kBottom) return heights_at(pieces, {forme.main}, forme.frame, x);
    return heights_at(pieces, forme.pieces, forme.frame, x);
  };
  switch (point.on) {
    case PointOn::kLower:
    case PointOn::kInside: {
      const std::vector<double> all = heights();
      if (all.empty()) return std::nullopt;
      return forme.frame.out({x, all.front()});
    }
    case PointOn::kUpper:
    case PointOn::kOutside: {
      const std::vector<double> all = heights();
      if (all.empty()) return std::nullopt;
      return forme.frame.out({x, all.back()});
    }
    case PointOn::kFront: {
      if (forme.front.size() != 2) return std::nullopt;
      const Vec2 toe = forme.frame.in(forme.front[0]);
      const Vec2 far = forme.frame.in(forme.front[1]);
      if (std::abs(far.x - toe.x) < 1.0) return std::nullopt;
      if (x <= far.x) return forme.front[1];  // behind it the shoe is open
      return forme.frame.out({x, toe.y + (far.y - toe.y) * (x - toe.x) / (far.x - toe.x)});
    }
    case PointOn::kBack: {
      const auto top = forme.points.find("back top");
      if (top == forme.points.end()) return std::nullopt;
      return lerp(forme.frame.origin, top->second, point.share);
    }
    case PointOn::kTopLine:
      return on_top_line(pieces, forme, point.share);
    case PointOn::kBase:
      return on_base_line(forme, point.under);
  }
  return std::nullopt;
}

// Along the front line to where the point's line is drawn as long as what it carries.
bool moved_to_length(DraftForme& forme, const ShoeKind& kind, const std::string& name,
                     const std::map<std::string, double>& bases) {
  constexpr double kMostMoved = 0.06;  // of the forme's length
  for (const KindLine& line : kind.lines) {
    const bool from = line.from == name;
    if (!of_forme(forme, line.forme) || (!from && line.to != name) || line.carries.empty()) continue;
    const auto there = forme.points.find(from ? line.to : line.from);
    double wanted = 0.0;
    bool known = there != forme.points.end();
    for (const auto& [measure, share] : line.carries) {
      const auto base = bases.find(measure);
      known = known && base != bases.end();
      if (known) wanted += share.value() * base->second;
    }
    if (!known) continue;
    // The crossings of the front line with the circle round the line's other end.
    const Vec2 way = unit(forme.front[1] - forme.front[0]);
    const double foot = dot(there->second - forme.front[0], way);
    const double off = norm(there->second - (forme.front[0] + foot * way));
    if (wanted <= off) continue;
    const double half = std::sqrt(wanted * wanted - off * off);
    Vec2& at = forme.points.at(name);
    const Vec2 one = forme.front[0] + (foot - half) * way;
    const Vec2 other = forme.front[0] + (foot + half) * way;
    const Vec2 nearer = distance(one, at) < distance(other, at) ? one : other;
    if (distance(nearer, at) > kMostMoved * forme.length) continue;
    const double along = dot(nearer - forme.front[0], way);
    if (along < 0.0 || along > distance(forme.front[0], forme.front[1])) continue;
    at = nearer;
    return true;
  }
  return false;
}

std::string where_said(const DraftForme& forme, const std::string& name, const KindPoint& point, bool moved) {
  if (point.on == PointOn::kBase) return fmt::format("on the base line under {}", point.under);
  if (point.on == PointOn::kTopLine)
    return point.share >= 1.0 ? "at the fore end of the top line"
                              : fmt::format("at {:.3g} of the top line from the back", point.share);
  return fmt::format("at {:.3g} of the length, {}", forme.frame.in(forme.points.at(name)).x / forme.length,
                     moved ? "where its line is as long as the figures say" : "common practice");
}

}  // namespace

void place_kind_points(const std::vector<DraftPiece>& pieces, DraftForme& forme, const ShoeKind& kind,
                       const std::map<std::string, double>& bases, std::vector<Proposed>& proposed) {
  std::vector<std::string> placed;
  for (const bool under : {false, true}) {  // what they stand under first
    for (const auto& [name, point] : kind.points) {
      if (!of_forme(forme, point.forme) || forme.points.contains(name)) continue;
      if ((point.on == PointOn::kBase) != under) continue;
      const std::optional<Vec2> at = kind_place(pieces, forme, point);
      if (!at) continue;
      forme.points[name] = *at;
      placed.push_back(name);
    }
  }
  for (const std::string& name : placed) {
    const KindPoint& point = kind.points.at(name);
    const bool moved = point.on == PointOn::kFront && moved_to_length(forme, kind, name, bases);
    proposed.push_back({point.on == PointOn::kTopLine ? Sureness::kLikely : Sureness::kGuess,
                        fmt::format("{}: the point {} {}; a mark in the drawing with this name beside it "
                                    "takes its place",
                                    forme.name, name, where_said(forme, name, point, moved)),
                        pointer_to(pointer_to("/formes", forme.name) + "/points", name)});
  }
}

}  // namespace lastwright
