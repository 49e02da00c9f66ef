#include "grading/pieces/place/place_proof.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <numeric>
#include <utility>

#include "geometry/box2.hpp"
#include "geometry/curve/curve_measure.hpp"
#include "grading/pieces/place/place_freedom.hpp"

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

constexpr std::size_t kChunk = 32;  // straights that are passed by together

// In parts, each with its box.
std::vector<Trace> in_chunks(const Trace& trace) {
  std::vector<Trace> chunks;
  for (std::size_t i = 0; i + 1 < trace.points.size(); i += kChunk) {
    const std::size_t end = std::min(i + kChunk + 1, trace.points.size());
    Trace& chunk = chunks.emplace_back();
    chunk.points.assign(trace.points.begin() + static_cast<std::ptrdiff_t>(i),
                        trace.points.begin() + static_cast<std::ptrdiff_t>(end));
    for (const Vec2 p : chunk.points) chunk.box.add(p);
  }
  return chunks;
}

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
void look_nearer(const Trace& trace, Vec2 p, OnTrace& best, std::size_t& work) {
  ++work;
  if (trace.box.square_gap(p) >= best.away * best.away) return;
  work += trace.points.size();
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
  std::vector<Trace> outline;  // the edges in chunks
  std::vector<Trace> all;      // with what is drawn inside
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
  }

  PlaceProof run() {
    for (std::size_t p = 0; p < pieces_.size(); ++p) {
      if (stated(pieces_[p].piece->spec)) body_[p + 1] = 0;
      tie_to_forme(p);
      for (std::size_t q = 0; q < pieces_.size(); ++q) {
        if (p != q) tie_to_piece(p, q);
        if (work_ > limits_.work) return {{}, false};
      }
    }
    while (join_some()) {
    }
    return {what_is_loose(), true};
  }

 private:
  static TracedPiece traced(const BoundPiece& piece, std::size_t index) {
    TracedPiece out;
    out.piece = &piece;
    out.index = index;
    for (const BoundEdge& edge : piece.edges) out.edges.push_back(trace_of(edge.chain.curves()));
    for (const Trace& edge : out.edges) out.box.add(edge.box);
    const auto add = [](std::vector<Trace>& to, const Trace& trace) {
      for (Trace& chunk : in_chunks(trace)) to.push_back(std::move(chunk));
    };
    for (const Trace& edge : out.edges) add(out.outline, edge);
    out.all = out.outline;
    for (const BoundLine& line : piece.lines) add(out.all, trace_of(line.chain.curves()));
    for (const BoundLoop& loop : piece.loops) add(out.all, trace_of(loop.outline.curves()));
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
    if (!places.empty()) ties_.push_back({one, other, std::move(places)});
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
      for (const Trace& chunk : piece.outline) look_nearer(chunk, point.at, best, work_);
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
    work_ += piece.edges.size() * other.edges.size();
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
      for (const Trace& one : other.all) look_nearer(one, sample.at, best, work_);
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

  struct Tie {
    std::size_t one;
    std::size_t other;
    FixedPlaces places;
  };
  // All that ties two bodies, by the lower and the higher of each pair.
  using Between = std::map<std::pair<std::size_t, std::size_t>, std::vector<FixedPlaces>>;
  [[nodiscard]] Between between_bodies() const {
    Between between;
    for (const Tie& tie : ties_) {
      const auto bodies = std::minmax({body_[tie.one], body_[tie.other]});
      if (bodies.first != bodies.second) between[bodies].push_back(tie.places);
    }
    return between;
  }
  [[nodiscard]] double size_of(std::size_t body) const {
    Box2 box;
    for (std::size_t p = 0; p < pieces_.size(); ++p) {
      if (body_[p + 1] == body) box.add(pieces_[p].box);
    }
    return 0.5 * std::hypot(box.width(), box.height());
  }
  [[nodiscard]] PlaceFreedom freedom(const Between::value_type& tied) const {
    const auto& [one, other] = tied.first;
    return freedom_left(tied.second, one == 0 ? size_of(other) : std::min(size_of(one), size_of(other)));
  }

  // Bodies that hold each other become one. Whether any did.
  bool join_some() {
    bool joined = false;
    for (const auto& tied : between_bodies()) {
      if (freedom(tied).held < 3) continue;
      // They may have become parts of others by now.
      const auto bodies = std::minmax({label(tied.first.first), label(tied.first.second)});
      if (bodies.first == bodies.second) continue;
      std::replace(body_.begin(), body_.end(), bodies.second, bodies.first);
      joined = true;
    }
    return joined;
  }
  // Of the body that what was called so belongs to now: a body is called by its first piece.
  [[nodiscard]] std::size_t label(std::size_t body) const { return body_[body]; }

  [[nodiscard]] std::vector<LoosePieces> what_is_loose() const {
    std::map<std::size_t, LoosePieces> by_body;
    for (std::size_t p = 0; p < pieces_.size(); ++p) {
      if (body_[p + 1] != 0) by_body[body_[p + 1]].pieces.push_back(pieces_[p].index);
    }
    for (const auto& tied : between_bodies()) {
      const PlaceFreedom here = freedom(tied);
      for (const std::size_t body : {tied.first.first, tied.first.second}) {
        const auto loose = by_body.find(body);
        if (loose == by_body.end() || here.held <= loose->second.held) continue;
        loose->second.held = here.held;
        loose->second.turns = here.turns;
        loose->second.motion = here.motion;
      }
    }
    std::vector<LoosePieces> out;
    for (auto& [body, loose] : by_body) out.push_back(std::move(loose));
    return out;
  }

  const FormeSpec& forme_;
  const PlaceProofLimits& limits_;
  std::vector<TracedPiece> pieces_;
  std::vector<std::size_t> body_;  // of the forme, then of each piece: the first of its body
  std::vector<Tie> ties_;
  std::size_t work_ = 0;
};

}  // namespace

PlaceProof loose_pieces(const FormeSpec& forme, const std::vector<const BoundPiece*>& pieces,
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
