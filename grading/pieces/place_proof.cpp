#include "grading/pieces/place_proof.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numeric>
#include <optional>

#include "geometry/box2.hpp"
#include "geometry/curve/curve_measure.hpp"
#include "grading/pieces/place_freedom.hpp"

namespace lastwright {

namespace {

constexpr Millimetres kTraceChord{0.005};  // a tenth of what counts as touching
constexpr std::size_t kSamples = 32;       // along each edge
constexpr std::size_t kLeastRun = 8;       // of them, for a constant margin

// An edge or a drawn line as short straights.
struct Trace {
  std::vector<Vec2> points;
  Box2 box;
};

Trace trace_of(const std::vector<Curve>& curves) {
  Trace trace;
  for (const Curve& curve : curves) {
    const std::vector<Vec2> points = flattened(curve, kTraceChord);
    trace.points.insert(trace.points.end(), points.begin() + (trace.points.empty() ? 0 : 1), points.end());
  }
  for (const Vec2 p : trace.points) trace.box.add(p);
  return trace;
}

struct OnTrace {
  Vec2 at;
  Vec2 along;
  double away = std::numeric_limits<double>::infinity();
};

// The place of a trace nearest to p, if it is nearer than what is known.
void look_nearer(const Trace& trace, Vec2 p, OnTrace& best) {
  const double dx = std::max({trace.box.low.x - p.x, p.x - trace.box.high.x, 0.0});
  const double dy = std::max({trace.box.low.y - p.y, p.y - trace.box.high.y, 0.0});
  if (dx * dx + dy * dy >= best.away * best.away) return;
  for (std::size_t i = 1; i < trace.points.size(); ++i) {
    const Vec2 a = trace.points[i - 1];
    const Vec2 d = trace.points[i] - a;
    const double whole = dot(d, d);
    if (whole == 0.0) continue;
    const Vec2 at = a + std::clamp(dot(p - a, d) / whole, 0.0, 1.0) * d;
    const double away = distance(p, at);
    if (away < best.away) best = {at, unit(d), away};
  }
}

// Places at equal distances along a trace, with the direction it runs in there; the ends are left out, where
// it meets others of its piece.
std::vector<OnTrace> sampled(const Trace& trace) {
  std::vector<double> reached{0.0};
  for (std::size_t i = 1; i < trace.points.size(); ++i)
    reached.push_back(reached.back() + distance(trace.points[i - 1], trace.points[i]));
  std::vector<OnTrace> samples;
  std::size_t i = 1;
  for (std::size_t k = 0; k < kSamples && reached.back() > 0.0; ++k) {
    const double s = reached.back() * (static_cast<double>(k) + 0.5) / kSamples;
    while (i + 1 < reached.size() && reached[i] < s) ++i;
    const double step = reached[i] - reached[i - 1];
    const double t = step > 0.0 ? (s - reached[i - 1]) / step : 0.0;
    const Vec2 d = trace.points[i] - trace.points[i - 1];
    samples.push_back({lerp(trace.points[i - 1], trace.points[i], t), unit(d), 0.0});
  }
  return samples;
}

struct TracedPiece {
  const BoundPiece* piece = nullptr;
  std::size_t index = 0;
  std::vector<Trace> edges;
  std::vector<Trace> all;  // edges and what is drawn inside
  Box2 box;
};

bool stated(const PieceSpec& spec) {
  const auto named = [](const CornerSpec& corner) { return std::holds_alternative<std::string>(corner.at); };
  return spec.lies.has_value() || std::count_if(spec.corners.begin(), spec.corners.end(), named) >= 2;
}

class PlaceProver {
 public:
  PlaceProver(const FormeSpec& forme, const std::vector<const BoundPiece*>& pieces,
              const PlaceProofLimits& limits)
      : forme_(forme), limits_(limits) {
    for (std::size_t p = 0; p < pieces.size(); ++p) {
      if (pieces[p]->spec.forme == forme.name) pieces_.push_back(traced(*pieces[p], p));
    }
    // The forme itself is the body 0.
    body_.resize(pieces_.size() + 1);
    std::iota(body_.begin(), body_.end(), std::size_t{0});
    ties_.assign(body_.size(), std::vector<std::vector<FixedPlaces>>(body_.size()));
  }

  std::vector<LoosePieces> run() {
    for (std::size_t p = 0; p < pieces_.size(); ++p) {
      if (stated(pieces_[p].piece->spec)) body_[p + 1] = 0;
      tie_to_forme(p);
      for (std::size_t q = 0; q < pieces_.size(); ++q) {
        if (p != q) tie_to_piece(p, q);
      }
    }
    for (bool more = true; more;) more = join_some();
    return what_is_loose();
  }

 private:
  static TracedPiece traced(const BoundPiece& piece, std::size_t index) {
    TracedPiece out{&piece, index, {}, {}, {}};
    for (const BoundEdge& edge : piece.edges) out.edges.push_back(trace_of(edge.chain.curves()));
    for (const Trace& edge : out.edges) out.box.add(edge.box);
    out.all = out.edges;
    for (const BoundLine& line : piece.lines) out.all.push_back(trace_of(line.chain.curves()));
    for (const BoundLoop& loop : piece.loops) out.all.push_back(trace_of(loop.outline.curves()));
    return out;
  }

  [[nodiscard]] static Vec2 corner(const TracedPiece& piece, std::size_t e) {
    return piece.edges[e].points.front();
  }
  [[nodiscard]] Vec2 point_named(const std::string& name) const {
    const auto found = std::find_if(forme_.points.begin(), forme_.points.end(),
                                    [&](const NamedPoint& point) { return point.name == name; });
    return found == forme_.points.end() ? Vec2{} : found->at;
  }

  void tie(std::size_t one, std::size_t other, FixedPlaces places) {
    if (places.empty()) return;
    ties_[std::min(one, other)][std::max(one, other)].push_back(std::move(places));
  }

  void tie_to_forme(std::size_t p) {
    const TracedPiece& piece = pieces_[p];
    FixedPlaces fixed;
    for (std::size_t e = 0; e < piece.edges.size(); ++e) {
      const std::string& from = piece.piece->edges[e].spec.from;
      for (const CornerSpec& corner : piece.piece->spec.corners) {
        if (corner.name == from && std::holds_alternative<std::string>(corner.at))
          fixed.add_point(this->corner(piece, e));
      }
    }
    for (const NamedPoint& point : forme_.points) {
      OnTrace best;
      best.away = limits_.touching.value();
      for (const Trace& edge : piece.edges) look_nearer(edge, point.at, best);
      if (!(best.away < limits_.touching.value())) continue;
      fixed.add(point.at, left_of(best.along));
      for (std::size_t e = 0; e < piece.edges.size(); ++e) {
        if (distance(corner(piece, e), point.at) <= limits_.touching.value()) fixed.add_point(point.at);
      }
    }
    const Vec2 from = point_named(forme_.base_line.first);
    const Vec2 axis = unit(point_named(forme_.base_line.second) - from);
    for (const Trace& edge : piece.edges) {
      for (const OnTrace& sample : sampled(edge)) {
        if (std::abs(cross(axis, sample.at - from)) <= limits_.touching.value() && alike(sample.along, axis))
          fixed.add(sample.at, left_of(axis));
      }
    }
    tie(0, p + 1, std::move(fixed));
  }

  [[nodiscard]] bool alike(Vec2 a, Vec2 b) const {
    return std::abs(cross(a, b)) <= std::sin(limits_.along.value());
  }

  void tie_to_piece(std::size_t p, std::size_t q) {
    const TracedPiece& piece = pieces_[p];
    const TracedPiece& other = pieces_[q];
    if (!piece.box.grown(limits_.margin.value()).overlaps(other.box)) return;
    FixedPlaces touching;
    for (std::size_t e = 0; e < piece.edges.size(); ++e) {
      for (std::size_t f = 0; f < other.edges.size(); ++f) {
        if (distance(corner(piece, e), corner(other, f)) <= limits_.touching.value())
          touching.add_point(corner(piece, e));
      }
      if (piece.edges[e].box.grown(limits_.margin.value()).overlaps(other.box))
        tie_along(piece.edges[e], other, touching, p, q);
    }
    tie(p + 1, q + 1, std::move(touching));
  }

  void tie_along(const Trace& edge, const TracedPiece& other, FixedPlaces& touching, std::size_t p,
                 std::size_t q) {
    std::vector<OnTrace> run;
    double least = 0.0;
    double most = 0.0;
    const auto end_run = [&] {
      FixedPlaces beside;
      if (run.size() >= kLeastRun) {
        for (const OnTrace& one : run) beside.add(one.at, left_of(one.along));
        beside.leave_common();
      }
      tie(p + 1, q + 1, std::move(beside));
      run.clear();
    };
    for (const OnTrace& sample : sampled(edge)) {
      OnTrace best;
      best.away = limits_.margin.value();
      for (const Trace& one : other.all) look_nearer(one, sample.at, best);
      const bool along = best.away < limits_.margin.value() && alike(sample.along, best.along);
      if (along && best.away <= limits_.touching.value()) touching.add(sample.at, left_of(best.along));
      if (!along) {
        end_run();
        continue;
      }
      const double low = run.empty() ? best.away : std::min(least, best.away);
      const double high = run.empty() ? best.away : std::max(most, best.away);
      if (high - low > limits_.constant.value()) {
        end_run();
        least = most = best.away;
      } else {
        least = low;
        most = high;
      }
      run.push_back({sample.at, best.along, best.away});
    }
    end_run();
  }

  // All that ties two bodies.
  [[nodiscard]] std::vector<FixedPlaces> between(std::size_t one, std::size_t other) const {
    std::vector<FixedPlaces> all;
    for (std::size_t a = 0; a < body_.size(); ++a) {
      for (std::size_t b = a + 1; b < body_.size(); ++b) {
        const bool these = (body_[a] == one && body_[b] == other) || (body_[a] == other && body_[b] == one);
        if (these) all.insert(all.end(), ties_[a][b].begin(), ties_[a][b].end());
      }
    }
    return all;
  }
  [[nodiscard]] double size_of(std::size_t body) const {
    Box2 box;
    for (std::size_t p = 0; p < pieces_.size(); ++p) {
      if (body_[p + 1] == body) box.add(pieces_[p].box);
    }
    return 0.5 * std::hypot(box.width(), box.height());
  }
  [[nodiscard]] PlaceFreedom freedom(std::size_t one, std::size_t other) const {
    return freedom_left(between(one, other),
                        other == 0 ? size_of(one) : std::min(size_of(one), size_of(other)));
  }

  bool join_some() {
    for (std::size_t one = body_.size(); one-- > 0;) {
      for (std::size_t other = 0; other < one; ++other) {
        if (body_[one] != one || body_[other] != other || freedom(one, other).held < 3) continue;
        std::replace(body_.begin(), body_.end(), one, other);
        return true;
      }
    }
    return false;
  }

  [[nodiscard]] std::vector<LoosePieces> what_is_loose() const {
    std::vector<LoosePieces> out;
    for (std::size_t body = 1; body < body_.size(); ++body) {
      LoosePieces loose;
      for (std::size_t p = 0; p < pieces_.size(); ++p) {
        if (body_[p + 1] == body) loose.pieces.push_back(pieces_[p].index);
      }
      if (loose.pieces.empty()) continue;
      for (std::size_t other = 0; other < body_.size(); ++other) {
        if (other == body || body_[other] != other) continue;
        const PlaceFreedom here = freedom(body, other);
        if (other != 0 && here.held <= loose.held) continue;
        loose.held = here.held;
        loose.turns = here.turns;
        loose.motion = here.motion;
      }
      out.push_back(std::move(loose));
    }
    return out;
  }

  const FormeSpec& forme_;
  const PlaceProofLimits& limits_;
  std::vector<TracedPiece> pieces_;
  std::vector<std::size_t> body_;  // of the forme, then of each piece: the first of its body
  std::vector<std::vector<std::vector<FixedPlaces>>> ties_;  // by the lower and the higher of two
};

}  // namespace

std::vector<LoosePieces> loose_pieces(const FormeSpec& forme, const std::vector<const BoundPiece*>& pieces,
                                      const PlaceProofLimits& limits) {
  return PlaceProver(forme, pieces, limits).run();
}

std::string to_text(const LoosePieces& loose, const std::vector<const BoundPiece*>& pieces) {
  std::string names;
  for (std::size_t i = 0; i < loose.pieces.size(); ++i) {
    if (i > 0) names += i + 1 == loose.pieces.size() ? " and " : ", ";
    names += pieces[loose.pieces[i]]->spec.name;
  }
  const char* lie = loose.pieces.size() > 1 ? "lie together" : "lies";
  if (loose.held == 0) return fmt::format("nothing proves where {} {}", names, lie);
  if (loose.held == 1) return fmt::format("one edge or point alone proves where {} {}", names, lie);
  if (loose.turns)
    return fmt::format("nothing proves how {} {}: it could be turned about ({:.1f}, {:.1f})", names, lie,
                       loose.motion.x, loose.motion.y);
  return fmt::format("nothing proves where {} {}: it could be moved along ({:.2f}, {:.2f})", names, lie,
                     loose.motion.x, loose.motion.y);
}

}  // namespace lastwright
