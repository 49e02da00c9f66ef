// An allowance of 5 mm round twenty outlines of a shoe: ours, true arcs in and out, beside GEOS's buffer and
// Clipper's offset of the same outlines flattened at 0.01 mm. The figure to compare is the time for one
// outline (items per second).
#include <benchmark/benchmark.h>
#include <geos_c.h>

#include <cmath>
#include <polyclipping/clipper.hpp>

#include "geometry/check/simple.hpp"
#include "geometry/offset/offset.hpp"
#include "tests/bench/demo_style.hpp"

using namespace lastwright;

namespace {

constexpr double kDistance = 5.0;
constexpr double kMitreLimit = 4.0;
constexpr Millimetres kChordError(0.01);

// Counts every outline and every corner that went in.
void count(benchmark::State& state, std::size_t corners) {
  const auto outlines = static_cast<std::int64_t>(bench::twenty_outlines().size());
  state.SetItemsProcessed(state.iterations() * outlines);
  state.counters["time/outline"] =
      benchmark::Counter(static_cast<double>(state.iterations() * outlines),
                         benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
  state.counters["corners"] = static_cast<double>(corners);
}

void offset_ours(benchmark::State& state) {
  std::size_t corners = 0;
  std::size_t refused = 0;
  for (const ClosedArcPath& path : bench::twenty_outlines()) {
    corners += path.size();
    if (!offset(path, Millimetres(kDistance))) ++refused;
  }
  for (auto _ : state) {
    for (const ClosedArcPath& path : bench::twenty_outlines()) {
      benchmark::DoNotOptimize(offset(path, Millimetres(kDistance)));
    }
  }
  count(state, corners);
  state.counters["refused"] = static_cast<double>(refused);
}

void check_simple_ours(benchmark::State& state) {
  std::size_t corners = 0;
  for (const ClosedArcPath& path : bench::twenty_outlines()) corners += path.size();
  for (auto _ : state) {
    for (const ClosedArcPath& path : bench::twenty_outlines()) benchmark::DoNotOptimize(check_simple(path));
  }
  count(state, corners);
}

void say_nothing(const char*, ...) {}

void offset_geos(benchmark::State& state) {
  GEOSContextHandle_t handle = initGEOS_r(say_nothing, say_nothing);
  std::vector<GEOSGeometry*> polygons;
  std::size_t corners = 0;
  for (const ClosedArcPath& path : bench::twenty_outlines()) {
    const std::vector<Vec2> points = flattened(path, kChordError);
    const auto size = static_cast<unsigned>(points.size());
    corners += points.size();
    GEOSCoordSequence* sequence = GEOSCoordSeq_create_r(handle, size + 1, 2);
    for (unsigned i = 0; i <= size; ++i) {
      GEOSCoordSeq_setXY_r(handle, sequence, i, points[i % size].x, points[i % size].y);
    }
    polygons.push_back(
        GEOSGeom_createPolygon_r(handle, GEOSGeom_createLinearRing_r(handle, sequence), nullptr, 0));
  }
  for (auto _ : state) {
    for (const GEOSGeometry* polygon : polygons) {
      GEOSGeometry* result = GEOSBufferWithStyle_r(handle, polygon, kDistance, 16, GEOSBUF_CAP_ROUND,
                                                   GEOSBUF_JOIN_MITRE, kMitreLimit);
      benchmark::DoNotOptimize(result);
      GEOSGeom_destroy_r(handle, result);
    }
  }
  count(state, corners);
  for (GEOSGeometry* polygon : polygons) GEOSGeom_destroy_r(handle, polygon);
  finishGEOS_r(handle);
}

void offset_clipper(benchmark::State& state) {
  constexpr double kPerMillimetre = 1e4;  // Clipper works in whole numbers
  std::vector<ClipperLib::Path> paths;
  std::size_t corners = 0;
  for (const ClosedArcPath& path : bench::twenty_outlines()) {
    ClipperLib::Path whole;
    for (const Vec2 p : flattened(path, kChordError)) {
      whole.emplace_back(std::llround(p.x * kPerMillimetre), std::llround(p.y * kPerMillimetre));
    }
    corners += whole.size();
    paths.push_back(std::move(whole));
  }
  for (auto _ : state) {
    for (const ClipperLib::Path& path : paths) {
      ClipperLib::ClipperOffset engine(kMitreLimit, 0.01 * kPerMillimetre);
      engine.AddPath(path, ClipperLib::jtMiter, ClipperLib::etClosedPolygon);
      ClipperLib::Paths result;
      engine.Execute(result, kDistance * kPerMillimetre);
      benchmark::DoNotOptimize(result);
    }
  }
  count(state, corners);
}

BENCHMARK(offset_ours)->Unit(benchmark::kMicrosecond);
BENCHMARK(offset_geos)->Unit(benchmark::kMicrosecond);
BENCHMARK(offset_clipper)->Unit(benchmark::kMicrosecond);
BENCHMARK(check_simple_ours)->Unit(benchmark::kMicrosecond);

}  // namespace
