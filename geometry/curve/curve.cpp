#include "geometry/curve/curve.hpp"

#include "geometry/curve/spline.hpp"

namespace lastwright {

namespace {

template <class... Fs>
struct Overloaded : Fs... {
  using Fs::operator()...;
};
template <class... Fs>
Overloaded(Fs...) -> Overloaded<Fs...>;

template <class... Fs>
auto by_kind(const Curve& curve, Fs... fs) {
  return std::visit(Overloaded{fs...}, curve);
}

// Direction from the first pole to the next one that is elsewhere: the tangent of a clamped spline at its
// start, whatever its first derivative does.
template <class Iterator>
Vec2 leave_direction(Iterator first, Iterator last) {
  for (Iterator next = first; next != last; ++next) {
    if (distance(*first, *next) > 0.0) return unit(*next - *first);
  }
  return {};
}

Vec2 spline_tangent(const Spline& spline, double t) {
  const std::vector<Vec2>& poles = spline.poles();
  if (t <= 0.0) return leave_direction(poles.begin(), poles.end());
  if (t >= 1.0) return -leave_direction(poles.rbegin(), poles.rend());
  const CurveJet jet = jet_at(spline, t);
  // At an inner cusp the first derivative vanishes and the curve goes on along the second.
  return norm(jet.first) > 1e-9 * norm(jet.second) ? unit(jet.first) : unit(jet.second);
}

}  // namespace

Vec2 point_at(const Curve& curve, double t) {
  return by_kind(
      curve,
      [t](const Line& line) { return t <= 0.0   ? line.a
                                     : t >= 1.0 ? line.b
                                                : lerp(line.a, line.b, t); },
      [t](const Arc& arc) { return arc.segment().point_at(t); },
      [t](const Spline& spline) {
        if (t <= 0.0) return spline.poles().front();
        if (t >= 1.0) return spline.poles().back();
        return jet_at(spline, t, 0).at;
      });
}

Vec2 derivative_at(const Curve& curve, double t) {
  return by_kind(
      curve, [](const Line& line) { return line.b - line.a; },
      [t](const Arc& arc) { return arc.segment().length() * arc.segment().tangent_at(t); },
      [t](const Spline& spline) { return jet_at(spline, t, 1).first; });
}

Vec2 second_derivative_at(const Curve& curve, double t) {
  return by_kind(
      curve, [](const Line&) { return Vec2{}; },
      [t](const Arc& arc) {
        const ArcSegment s = arc.segment();
        return s.length() * s.sweep() * left_of(s.tangent_at(t));
      },
      [t](const Spline& spline) { return jet_at(spline, t).second; });
}

Vec2 tangent_at(const Curve& curve, double t) {
  return by_kind(
      curve, [](const Line& line) { return unit(line.b - line.a); },
      [t](const Arc& arc) { return arc.segment().tangent_at(t); },
      [t](const Spline& spline) { return spline_tangent(spline, t); });
}

std::optional<ArcSegment> segment_of(const Curve& curve) {
  if (const auto* line = std::get_if<Line>(&curve)) return ArcSegment{line->a, line->b, 0.0};
  if (const auto* arc = std::get_if<Arc>(&curve)) return arc->segment();
  return std::nullopt;
}

Vec2 start_of(const Curve& curve) {
  return by_kind(
      curve, [](const Line& line) { return line.a; }, [](const Arc& arc) { return arc.a; },
      [](const Spline& spline) { return spline.poles().front(); });
}

Vec2 end_of(const Curve& curve) {
  return by_kind(
      curve, [](const Line& line) { return line.b; }, [](const Arc& arc) { return arc.b; },
      [](const Spline& spline) { return spline.poles().back(); });
}

Curve with_ends(const Curve& curve, Vec2 start, Vec2 end) {
  return by_kind(
      curve,
      [=](const Line&) -> Curve {
        return Line{start, end};
      },
      [=](const Arc& arc) -> Curve {
        return Arc{start, end, arc.bulge};
      },
      [=](const Spline& spline) -> Curve {
        std::vector<Vec2> poles = spline.poles();
        poles.front() = start;
        poles.back() = end;
        Result<Spline> moved =
            make_spline(spline.degree(), spline.knots(), std::move(poles), spline.weights());
        invariant(moved.ok(), "moving the ends of a spline leaves it a spline");
        return *std::move(moved);
      });
}

Curve reversed(const Curve& curve) {
  return by_kind(
      curve,
      [](const Line& line) -> Curve {
        return Line{line.b, line.a};
      },
      [](const Arc& arc) -> Curve {
        return Arc{arc.b, arc.a, -arc.bulge};
      },
      [](const Spline& spline) -> Curve { return reversed(spline); });
}

Curve part_of(const Curve& curve, double t0, double t1) {
  return by_kind(
      curve,
      [&](const Line&) -> Curve {
        return Line{point_at(curve, t0), point_at(curve, t1)};
      },
      [&](const Arc& arc) -> Curve {
        const ArcSegment part = arc.segment().part(t0, t1);
        return Arc{part.a, part.b, part.bulge};
      },
      [&](const Spline& spline) -> Curve { return part_of(spline, t0, t1); });
}

std::vector<double> breaks_of(const Curve& curve) {
  return by_kind(
      curve, [](const Line&) { return std::vector<double>{}; },
      [](const Arc&) { return std::vector<double>{}; },
      [](const Spline& spline) { return interior_knots(spline); });
}

}  // namespace lastwright
