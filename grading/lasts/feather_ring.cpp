#include "grading/lasts/feather_ring.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <utility>

#include "geometry/solid/section.hpp"
#include "geometry/solid/surface_foot.hpp"

namespace lastwright {

namespace {

constexpr double kTurned =
    0.866;                      // cosine of 30 degrees: beyond what bottoms bow at their rim, short of walls
constexpr double kFlank = 8.0;  // mm to either side of an edge, where bottom and wall are themselves
constexpr double kApartOnRing =
    1.5;                            // mm between points of the line, so that the curve through them is quiet
constexpr double kGapOnRing = 3.0;  // mm: pieces of the line that end so near each other are one

// How much less than 30 degrees the surface has turned from the bottom: above zero on the bottom.
double bottomness(const Body& body, const BottomWay& way, const SurfaceSpot& spot, Vec3 p) {
  return -dot(body.normal_at(spot), way.up(p.x)) - kTurned;
}

// The line as pieces between the sides of triangles, and its walk.
class Ring {
 public:
  explicit Ring(const Body& body) : body_(body), way_(body), value_(bottomness_of_nodes(body, way_)) {
    const std::vector<bool> low = low_triangles(body);
    for (std::size_t i = 0; i < body.mesh.triangles.size(); ++i) {
      if (low[i]) cross(body.mesh.triangles[i]);
    }
  }

  // The longest walk; empty where it does not close.
  std::vector<RingPoint> walk() {
    std::vector<std::vector<std::size_t>> chains;
    std::vector<bool> used(pieces_.size(), false);
    for (std::size_t first = 0; first < pieces_.size(); ++first) {
      if (used[first]) continue;
      std::vector<std::size_t> chain{pieces_[first][0], pieces_[first][1]};
      used[first] = true;
      for (const bool forward : {true, false}) {
        while (const std::optional<std::size_t> next = beyond(forward ? chain.back() : chain.front(), used)) {
          if (forward) {
            chain.push_back(*next);
          } else {
            chain.insert(chain.begin(), *next);
          }
        }
      }
      chains.push_back(std::move(chain));
    }
    return longest_of(chains);
  }

 private:
  void cross(const Triangle& t) {
    std::array<std::size_t, 2> ends{};
    std::size_t n = 0;
    for (std::size_t k = 0; k < 3; ++k) {
      if ((value_[t.node[k]] > 0.0) != (value_[t.node[(k + 1) % 3]] > 0.0) && n < 2) ends[n++] = place(t, k);
    }
    if (n != 2 || ends[0] == ends[1]) return;
    at_[ends[0]].push_back(pieces_.size());
    at_[ends[1]].push_back(pieces_.size());
    pieces_.push_back(ends);
  }

  std::size_t place(const Triangle& t, std::size_t k) {
    const MeshSide& side = body_.mesh.sides[t.side[k]];
    const std::pair<bool, std::int64_t> key{side.rim >= 0, side.rim >= 0 ? side.rim : t.side[k]};
    const auto [found, is_new] = known_.try_emplace(key, points_.size());
    if (!is_new) return found->second;
    const MeshNode& a = body_.mesh.nodes[side.a];
    const MeshNode& b = body_.mesh.nodes[side.b];
    double from = 0.0;
    double to = 1.0;
    const bool rising = value_[side.b] > value_[side.a];
    SurfaceSpot spot{t.face, 0, 0};
    Vec3 p;
    for (int i = 0; i < 40; ++i) {
      const double s = 0.5 * (from + to);
      spot = {t.face, a.u + s * (b.u - a.u), a.v + s * (b.v - a.v)};
      p = body_.at(spot).p;
      ((bottomness(body_, way_, spot, p) > 0.0) == rising ? to : from) = s;
    }
    points_.push_back({p, body_.normal_at(spot)});
    at_.emplace_back();
    return points_.size() - 1;
  }

  std::optional<std::size_t> beyond(std::size_t point, std::vector<bool>& used) const {
    for (std::size_t piece : at_[point]) {
      if (used[piece]) continue;
      used[piece] = true;
      return pieces_[piece][0] == point ? pieces_[piece][1] : pieces_[piece][0];
    }
    return std::nullopt;
  }

  std::vector<RingPoint> longest_of(std::vector<std::vector<std::size_t>>& chains) const {
    const auto apart = [&](std::size_t a, std::size_t b) { return distance(points_[a].p, points_[b].p); };
    const auto more = [](const auto& a, const auto& b) { return a.size() > b.size(); };
    std::stable_sort(chains.begin(), chains.end(), more);
    if (chains.empty()) return {};
    std::vector<std::size_t> ring = chains.front();
    // Pieces that end beside its end go on from there.
    for (bool grown = true; grown && apart(ring.front(), ring.back()) > kGapOnRing;) {
      grown = false;
      for (std::size_t i = 1; i < chains.size() && !grown; ++i) {
        std::vector<std::size_t>& other = chains[i];
        if (other.empty()) continue;
        if (apart(ring.back(), other.back()) < apart(ring.back(), other.front()))
          std::reverse(other.begin(), other.end());
        if (apart(ring.back(), other.front()) > kGapOnRing) continue;
        ring.insert(ring.end(), other.begin(), other.end());
        other.clear();
        grown = true;
      }
    }
    if (apart(ring.front(), ring.back()) > kGapOnRing) return {};
    std::vector<RingPoint> line;
    for (std::size_t i : ring) {
      if (line.empty() || distance(line.back().p, points_[i].p) > kApartOnRing) line.push_back(points_[i]);
    }
    while (line.size() > 3 && distance(line.back().p, line.front().p) < kApartOnRing) line.pop_back();
    return line;
  }

  const Body& body_;
  BottomWay way_;
  std::vector<double> value_;
  std::vector<RingPoint> points_;
  std::vector<std::vector<std::size_t>> at_;
  std::vector<std::array<std::size_t, 2>> pieces_;
  std::map<std::pair<bool, std::int64_t>, std::size_t> known_;
};

// The section through a point of the line, square to it, walked from there up the wall or along the bottom.
class EdgeSection {
 public:
  EdgeSection(const Form& form, const RingPoint& at, Vec3 along) : body_(*form.body) {
    section_ = cut_section(form, plane_through(at.p, along), {0.02, 10});
    for (const SectionStretch& s : section_.stretches) {
      for (std::size_t k = 0; k < 2; ++k) {
        if (s.point[k] == s.point[k + 1]) continue;
        next_[s.point[k]].push_back({s.point[k + 1], s.face});
        next_[s.point[k + 1]].push_back({s.point[k], s.face});
      }
    }
    double nearest = 1e300;
    for (const auto& [i, beside] : next_) {
      if (const double d = distance(section_.points[i].p, at.p); d < nearest) {
        nearest = d;
        start_ = i;
      }
    }
  }

  // Where the surface has turned halfway, by its turn about `along` from the bottom's way down.
  std::optional<RingPoint> halfway(Vec3 along, Vec3 down) const {
    std::vector<Turned> walked;
    for (const auto& [first, face] : beside(start_)) {
      std::vector<Turned> side = walk(first, along, down);
      const bool wall = !side.empty() && side.back().turn > turn_at(start_, face, along, down);
      if (wall) {
        walked.push_back({0.0, turn_at(start_, face, along, down), start_, face});
        walked.insert(walked.end(), side.begin(), side.end());
      } else {
        std::reverse(side.begin(), side.end());
        walked.insert(walked.begin(), side.begin(), side.end());
      }
    }
    if (walked.size() < 3) return std::nullopt;
    const double half = 0.5 * (walked.front().turn + walked.back().turn);
    for (std::size_t i = 1; i < walked.size(); ++i) {
      const Turned& a = walked[i - 1];
      const Turned& b = walked[i];
      if ((a.turn < half) == (b.turn < half) || b.turn == a.turn) continue;
      const double t = (half - a.turn) / (b.turn - a.turn);
      return RingPoint{lerp(section_.points[a.point].p, section_.points[b.point].p, t),
                       unit(lerp(normal(a.point, a.face), normal(b.point, b.face), t))};
    }
    return std::nullopt;
  }

 private:
  struct Turned {
    double way = 0.0;
    double turn = 0.0;
    std::size_t point = 0;
    int face = 0;
  };
  using Step = std::pair<std::size_t, int>;

  const std::vector<Step>& beside(std::size_t point) const {
    static const std::vector<Step> kNone;
    const auto found = next_.find(point);
    return found == next_.end() ? kNone : found->second;
  }
  Vec3 normal(std::size_t point, int face) const {
    const SectionPoint& p = section_.points[point];
    return body_.normal_at(p.face == face ? SurfaceSpot{p.face, p.u, p.v} : foot_on_face(body_, face, p.p));
  }
  double turn_at(std::size_t point, int face, Vec3 along, Vec3 down) const {
    const Vec3 n = normal(point, face);
    return std::abs(std::atan2(dot(cross(down, n), along), dot(down, n)));
  }
  std::vector<Turned> walk(std::size_t point, Vec3 along, Vec3 down) const {
    std::vector<Turned> walked;
    std::size_t before = start_;
    double way = 0.0;
    while (way < kFlank) {
      way += distance(section_.points[before].p, section_.points[point].p);
      const std::vector<Step>& steps = beside(point);
      const auto on =
          std::find_if(steps.begin(), steps.end(), [&](const Step& s) { return s.first != before; });
      const int face = on == steps.end() ? section_.points[point].face : on->second;
      walked.push_back({way, turn_at(point, face, along, down), point, face});
      if (on == steps.end() || on->first == start_) break;
      before = point;
      point = on->first;
    }
    return walked;
  }

  const Body& body_;
  Section section_;
  std::size_t start_ = 0;
  std::map<std::size_t, std::vector<Step>> next_;
};

// Each point of the line moved to where its edge has turned halfway.
std::vector<RingPoint> halved(const Body& body, const std::vector<RingPoint>& line) {
  const Form form = make_form(body);
  const BottomWay way(body);
  std::vector<RingPoint> moved;
  for (std::size_t i = 0; i < line.size(); ++i) {
    const Vec3 before = line[(i + line.size() - 1) % line.size()].p;
    const Vec3 after = line[(i + 1) % line.size()].p;
    const Vec3 along = unit(after - before);
    const std::optional<RingPoint> half =
        EdgeSection(form, line[i], along).halfway(along, -way.up(line[i].p.x));
    if (half && (moved.empty() || distance(moved.back().p, half->p) > 0.5 * kApartOnRing))
      moved.push_back(*half);
  }
  return moved;
}

// Noise of the line's points taken out: moved towards their neighbours' middle and back by a little more,
// which leaves its bends (Taubin, 1995).
void quieten(std::vector<RingPoint>& line) {
  constexpr double kIn = 0.5;
  constexpr double kOut = -0.53;
  if (line.size() < 5) return;
  for (const double by : {kIn, kOut, kIn, kOut}) {
    const std::vector<RingPoint> was = line;
    for (std::size_t i = 0; i < line.size(); ++i) {
      const RingPoint& a = was[(i + was.size() - 1) % was.size()];
      const RingPoint& b = was[(i + 1) % was.size()];
      line[i].p += by * (0.5 * (a.p + b.p) - was[i].p);
      line[i].normal = unit(was[i].normal + by * (0.5 * (a.normal + b.normal) - was[i].normal));
    }
  }
}

// The line's turn at a point: about this axis, by the angle that is its length.
Vec3 turn_of(const std::vector<RingPoint>& line, std::size_t i) {
  const Vec3 before = unit(line[i].p - line[(i + line.size() - 1) % line.size()].p);
  const Vec3 after = unit(line[(i + 1) % line.size()].p - line[i].p);
  return std::acos(std::clamp(dot(before, after), -1.0, 1.0)) * unit(cross(before, after));
}

// Whether it turns to and fro within some millimetres, which a pointed toe does not.
bool winds(const std::vector<RingPoint>& line) {
  constexpr double kSharpTurn = 0.52;  // 30 degrees on 1.5 mm
  constexpr std::size_t kNear = 4;     // points
  std::vector<Vec3> turns;
  for (std::size_t i = 0; i < line.size(); ++i) turns.push_back(turn_of(line, i));
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (norm(turns[i]) < kSharpTurn) continue;
    for (std::size_t k = 1; k <= kNear; ++k) {
      const Vec3 other = turns[(i + k) % line.size()];
      if (norm(other) >= kSharpTurn && dot(turns[i], other) < 0.0) return true;
    }
  }
  return false;
}

// Points at which it turns back on itself left out; whether there were any.
bool without_turns_back(std::vector<RingPoint>& line) {
  constexpr double kBack = 1.4;  // 80 degrees
  for (std::size_t i = 0; i < line.size(); ++i) {
    if (line.size() < 9 || norm(turn_of(line, i)) < kBack) continue;
    line.erase(line.begin() + static_cast<std::ptrdiff_t>(i));
    return true;
  }
  return false;
}

}  // namespace

std::vector<double> bottomness_of_nodes(const Body& body, const BottomWay& way) {
  std::vector<double> value;
  value.reserve(body.mesh.nodes.size());
  for (const MeshNode& n : body.mesh.nodes)
    value.push_back(bottomness(body, way, {n.face, n.u, n.v}, n.point));
  return value;
}

std::vector<bool> low_triangles(const Body& body) {
  std::vector<bool> low;
  std::vector<double> at(64, 1e300);
  std::vector<double> top(64, -1e300);
  double length = 1.0;
  for (const MeshNode& n : body.mesh.nodes) length = std::max(length, n.point.x);
  const auto station = [&](double x) {
    return static_cast<std::size_t>(std::clamp(63.0 * x / length, 0.0, 63.0));
  };
  for (const MeshNode& n : body.mesh.nodes) {
    at[station(n.point.x)] = std::min(at[station(n.point.x)], n.point.z);
    top[station(n.point.x)] = std::max(top[station(n.point.x)], n.point.z);
  }
  for (const Triangle& t : body.mesh.triangles) {
    const Vec3 p = body.mesh.nodes[t.node[0]].point;
    const std::size_t s = station(p.x);
    low.push_back(p.z < at[s] + std::max(12.0, 0.5 * (top[s] - at[s])));
  }
  return low;
}

void straighten(std::vector<RingPoint>& line) {
  constexpr int kMostRounds = 100;
  for (int round = 0; round < kMostRounds && winds(line); ++round) {
    if (!without_turns_back(line)) quieten(line);
  }
}

std::vector<RingPoint> feather_ring(const Body& body) {
  std::vector<RingPoint> line = halved(body, Ring(body).walk());
  quieten(line);
  straighten(line);
  return line;
}

}  // namespace lastwright
