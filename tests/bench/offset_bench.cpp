// How long an offset and the simplicity check take, and GEOS's buffer on the same outlines flattened at 0.01
// mm.
#include <benchmark/benchmark.h>
#include <geos_c.h>

#include <cstdarg>
#include <cstdlib>
#include <string>

#include "geometry/check/simple.hpp"
#include "geometry/offset/offset.hpp"
#include "tests/support/outline_file.hpp"
#include "tests/support/places.hpp"

using namespace lastwright;

namespace {

constexpr double kDistance = 5.0;

ClosedArcPath outline(const char* name) {
  return test::read_outline(std::string(test::project_dir() + "/tests/corpus/outlines/") + name + ".txt");
}

void ours(benchmark::State& state, const char* name, double distance) {
  const ClosedArcPath path = outline(name);
  for (auto _ : state) benchmark::DoNotOptimize(offset(path, Millimetres(distance)));
  state.counters["segments"] = static_cast<double>(path.size());
}

void check(benchmark::State& state, const char* name) {
  const ClosedArcPath path = outline(name);
  for (auto _ : state) benchmark::DoNotOptimize(check_simple(path));
  state.counters["segments"] = static_cast<double>(path.size());
}

void say_nothing(const char*, ...) {}

void geos(benchmark::State& state, const char* name, double distance) {
  const std::vector<Vec2> points = flattened(outline(name), Millimetres(0.01));
  GEOSContextHandle_t handle = initGEOS_r(say_nothing, say_nothing);
  const auto count = static_cast<unsigned>(points.size());
  GEOSCoordSequence* sequence = GEOSCoordSeq_create_r(handle, count + 1, 2);
  for (unsigned i = 0; i <= count; ++i) {
    GEOSCoordSeq_setXY_r(handle, sequence, i, points[i % count].x, points[i % count].y);
  }
  GEOSGeometry* polygon =
      GEOSGeom_createPolygon_r(handle, GEOSGeom_createLinearRing_r(handle, sequence), nullptr, 0);
  for (auto _ : state) {
    GEOSGeometry* result =
        GEOSBufferWithStyle_r(handle, polygon, distance, 16, GEOSBUF_CAP_ROUND, GEOSBUF_JOIN_MITRE, 4.0);
    benchmark::DoNotOptimize(result);
    GEOSGeom_destroy_r(handle, result);
  }
  state.counters["points"] = static_cast<double>(count);
  GEOSGeom_destroy_r(handle, polygon);
  finishGEOS_r(handle);
}

}  // namespace

BENCHMARK_CAPTURE(ours, insole, "insole-like", kDistance);
BENCHMARK_CAPTURE(geos, insole, "insole-like", kDistance);
BENCHMARK_CAPTURE(ours, vamp, "vamp-like", kDistance);
BENCHMARK_CAPTURE(geos, vamp, "vamp-like", kDistance);
BENCHMARK_CAPTURE(ours, quarter, "quarter-like", kDistance);
BENCHMARK_CAPTURE(geos, quarter, "quarter-like", kDistance);
BENCHMARK_CAPTURE(ours, vamp_that_overlaps, "vamp-like", 12.0);
BENCHMARK_CAPTURE(geos, vamp_that_overlaps, "vamp-like", 12.0);
BENCHMARK_CAPTURE(check, insole, "insole-like");

BENCHMARK_MAIN();
