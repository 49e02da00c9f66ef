// An allowance of 5 mm round twenty outlines of a shoe: ours, true arcs in and out, beside GEOS's buffer and
// Clipper's offset of the same outlines flattened at 0.01 mm. The figure to compare is the time for one
// outline (time/outline); corners are those that went in and came out. What the others need besides, to
// flatten and to copy into their own types, is not counted.
//
// Each result is measured against the definition, not against one of the
// others: `off_mm` is how far points along it are from 5 mm off the outline
// they belong to, `near_mm` how much too near the nearest is, corners included.
#include <benchmark/benchmark.h>
#include <geos_c.h>

#include <cmath>
#include <polyclipping/clipper.hpp>

#include "geometry/check/simple.hpp"
#include "geometry/invariant.hpp"
#include "geometry/offset/offset.hpp"
#include "tests/bench/demo_style.hpp"

using namespace lastwright;
using bench::ShoeOutline;

namespace {

constexpr double kDistance = 5.0;
constexpr double kMitreLimit = 4.0;
constexpr Millimetres kChordError(0.01);

struct Counted {
  std::size_t in = 0;
  std::size_t out = 0;
  double off = 0.0;
  double near = 0.0;
};

void measure(const ClosedArcPath& source, const ClosedArcPath& result, Counted& counted) {
  counted.out += result.size();
  for (std::size_t i = 0; i < result.size(); ++i) {
    for (const double along : {0.0, 0.25, 0.5, 0.75}) {
      const Vec2 p = result.segment(i).point_at(along);
      double nearest = 1e300;
      bool inside = false;  // whether its foot lies inside a segment: else it belongs to a corner
      for (std::size_t k = 0; k < source.size(); ++k) {
        const ArcSegment segment = source.segment(k);
        const double d = segment.distance_to(p);
        if (d >= nearest) continue;
        nearest = d;
        const double t = segment.nearest(p);
        inside = t > 1e-6 && t < 1.0 - 1e-6;
      }
      counted.near = std::max(counted.near, kDistance - nearest);
      if (inside) counted.off = std::max(counted.off, std::abs(nearest - kDistance));
    }
  }
}

void count(benchmark::State& state, const Counted& counted) {
  const auto outlines = static_cast<std::int64_t>(bench::twenty_outlines().size());
  state.counters["time/outline"] =
      benchmark::Counter(static_cast<double>(state.iterations() * outlines),
                         benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
  state.counters["in"] = static_cast<double>(counted.in);
  state.counters["out"] = static_cast<double>(counted.out);
  state.counters["off_mm"] = counted.off;
  state.counters["near_mm"] = counted.near;
}

ClosedArcPath polygon_of(const std::vector<Vec2>& points) {
  ClosedArcPath path;
  for (const Vec2 p : points) path.vertices.push_back({p, 0.0});
  return path;
}

void offset_ours(benchmark::State& state) {
  Counted counted;
  for (const ShoeOutline& outline : bench::twenty_outlines()) {
    counted.in += outline.path.size();
    const Result<OffsetOutline> result = offset(outline.path, Millimetres(kDistance));
    invariant(result.ok(), "5 mm fit");
    measure(outline.path, result->path, counted);
  }
  for (auto _ : state) {
    for (const ShoeOutline& outline : bench::twenty_outlines())
      benchmark::DoNotOptimize(offset(outline.path, Millimetres(kDistance)));
  }
  count(state, counted);
}

// The same outlines as the others get them: as if nothing were known of arcs.
void offset_ours_flattened(benchmark::State& state) {
  Counted counted;
  std::vector<ClosedArcPath> polygons;
  for (const ShoeOutline& outline : bench::twenty_outlines()) {
    polygons.push_back(polygon_of(flattened(outline.path, kChordError)));
    counted.in += polygons.back().size();
    const Result<OffsetOutline> result = offset(polygons.back(), Millimetres(kDistance));
    invariant(result.ok(), "5 mm fit");
    measure(outline.path, result->path, counted);
  }
  for (auto _ : state) {
    for (const ClosedArcPath& polygon : polygons)
      benchmark::DoNotOptimize(offset(polygon, Millimetres(kDistance)));
  }
  count(state, counted);
}

// What the style asks: another distance for each edge.
void offset_ours_allowances(benchmark::State& state) {
  Counted counted;
  for (const ShoeOutline& outline : bench::twenty_outlines()) {
    counted.in += outline.path.size();
    const Result<OffsetOutline> result = offset(outline.path, outline.allowances);
    invariant(result.ok(), "the style's allowances fit");
    counted.out += result->path.size();
  }
  for (auto _ : state) {
    for (const ShoeOutline& outline : bench::twenty_outlines())
      benchmark::DoNotOptimize(offset(outline.path, outline.allowances));
  }
  count(state, counted);
}

// The floor: the ends of all edges pushed along their normals; no corners, nothing trimmed, nothing checked.
void offset_bare_normals(benchmark::State& state) {
  Counted counted;
  for (const ShoeOutline& outline : bench::twenty_outlines()) counted.in += outline.path.size();
  for (auto _ : state) {
    for (const ShoeOutline& outline : bench::twenty_outlines()) {
      ClosedArcPath moved;
      moved.vertices.reserve(outline.path.size());
      for (std::size_t i = 0; i < outline.path.size(); ++i) {
        const ArcSegment segment = outline.path.segment(i);
        moved.vertices.push_back({segment.a - kDistance * left_of(segment.start_tangent()), segment.bulge});
      }
      benchmark::DoNotOptimize(moved);
    }
  }
  counted.out = counted.in;
  count(state, counted);
}

void check_simple_ours(benchmark::State& state) {
  Counted counted;
  for (const ShoeOutline& outline : bench::twenty_outlines()) counted.in += outline.path.size();
  for (auto _ : state) {
    for (const ShoeOutline& outline : bench::twenty_outlines())
      benchmark::DoNotOptimize(check_simple(outline.path));
  }
  count(state, counted);
}

void say_nothing(const char*, ...) {}

void offset_geos(benchmark::State& state) {
  GEOSContextHandle_t handle = initGEOS_r(say_nothing, say_nothing);
  const auto buffer = [&](const GEOSGeometry* polygon) {
    return GEOSBufferWithStyle_r(handle, polygon, kDistance, 16, GEOSBUF_CAP_ROUND, GEOSBUF_JOIN_MITRE,
                                 kMitreLimit);
  };
  std::vector<GEOSGeometry*> polygons;
  Counted counted;
  for (const ShoeOutline& outline : bench::twenty_outlines()) {
    const std::vector<Vec2> points = flattened(outline.path, kChordError);
    const auto size = static_cast<unsigned>(points.size());
    counted.in += points.size();
    GEOSCoordSequence* sequence = GEOSCoordSeq_create_r(handle, size + 1, 2);
    for (unsigned i = 0; i <= size; ++i) {
      GEOSCoordSeq_setXY_r(handle, sequence, i, points[i % size].x, points[i % size].y);
    }
    polygons.push_back(
        GEOSGeom_createPolygon_r(handle, GEOSGeom_createLinearRing_r(handle, sequence), nullptr, 0));
    GEOSGeometry* result = buffer(polygons.back());
    invariant(result != nullptr && GEOSGeomTypeId_r(handle, result) == GEOS_POLYGON, "GEOS builds 5 mm");
    const GEOSCoordSequence* ring = GEOSGeom_getCoordSeq_r(handle, GEOSGetExteriorRing_r(handle, result));
    unsigned corners = 0;
    GEOSCoordSeq_getSize_r(handle, ring, &corners);
    std::vector<Vec2> round(corners - 1);
    for (unsigned i = 0; i + 1 < corners; ++i)
      GEOSCoordSeq_getXY_r(handle, ring, i, &round[i].x, &round[i].y);
    measure(outline.path, polygon_of(round), counted);
    GEOSGeom_destroy_r(handle, result);
  }
  for (auto _ : state) {
    for (const GEOSGeometry* polygon : polygons) {
      GEOSGeometry* result = buffer(polygon);
      benchmark::DoNotOptimize(result);
      GEOSGeom_destroy_r(handle, result);
    }
  }
  count(state, counted);
  for (GEOSGeometry* polygon : polygons) GEOSGeom_destroy_r(handle, polygon);
  finishGEOS_r(handle);
}

void offset_clipper(benchmark::State& state) {
  constexpr double kPerMillimetre = 1e4;  // Clipper works in whole numbers
  const auto built = [&](const ClipperLib::Path& path) {
    ClipperLib::ClipperOffset engine(kMitreLimit, kChordError.value() * kPerMillimetre);
    engine.AddPath(path, ClipperLib::jtMiter, ClipperLib::etClosedPolygon);
    ClipperLib::Paths result;
    engine.Execute(result, kDistance * kPerMillimetre);
    return result;
  };
  std::vector<ClipperLib::Path> paths;
  Counted counted;
  for (const ShoeOutline& outline : bench::twenty_outlines()) {
    ClipperLib::Path whole;
    for (const Vec2 p : flattened(outline.path, kChordError)) {
      whole.emplace_back(std::llround(p.x * kPerMillimetre), std::llround(p.y * kPerMillimetre));
    }
    counted.in += whole.size();
    paths.push_back(std::move(whole));
    const ClipperLib::Paths result = built(paths.back());
    invariant(result.size() == 1, "Clipper builds 5 mm");
    std::vector<Vec2> round;
    for (const ClipperLib::IntPoint& p : result[0])
      round.push_back({static_cast<double>(p.X) / kPerMillimetre, static_cast<double>(p.Y) / kPerMillimetre});
    measure(outline.path, polygon_of(round), counted);
  }
  for (auto _ : state) {
    for (const ClipperLib::Path& path : paths) benchmark::DoNotOptimize(built(path));
  }
  count(state, counted);
}

BENCHMARK(offset_ours)->Unit(benchmark::kMicrosecond);
BENCHMARK(offset_ours_allowances)->Unit(benchmark::kMicrosecond);
BENCHMARK(offset_ours_flattened)->Unit(benchmark::kMicrosecond);
BENCHMARK(offset_geos)->Unit(benchmark::kMicrosecond);
BENCHMARK(offset_clipper)->Unit(benchmark::kMicrosecond);
BENCHMARK(offset_bare_normals)->Unit(benchmark::kMicrosecond);
BENCHMARK(check_simple_ours)->Unit(benchmark::kMicrosecond);

}  // namespace
