// Where the pieces of one size and width go: the bare matrix product for all nodes of the style, and the
// pieces made of it, biarcs, holes and marks included.
#include <benchmark/benchmark.h>

#include "tests/bench/demo_style.hpp"

using namespace lastwright;

namespace {

void count(benchmark::State& state) {
  const StyleGrade& grade = bench::demo_grade();
  Eigen::Index rows = 0;
  for (const PreparedPiece& piece : grade.pieces) rows += piece.shape.basis.rows();
  state.counters["coordinates"] = static_cast<double>(rows);
  state.counters["time/piece"] =
      benchmark::Counter(static_cast<double>(state.iterations()) * static_cast<double>(grade.pieces.size()),
                         benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}

void map_product(benchmark::State& state) {
  const StyleGrade& grade = bench::demo_grade();
  for (auto _ : state) {
    for (const PreparedPiece& piece : grade.pieces) {
      const Drivers& drivers = grade.formes[piece.forme].drivers[0];
      const Eigen::Map<const Eigen::VectorXd> column(drivers.data(), piece.shape.basis.cols());
      Eigen::VectorXd nodes = piece.shape.base + piece.shape.basis * column;
      benchmark::DoNotOptimize(nodes.data());
    }
  }
  count(state);
}

void map_drawn_piece(benchmark::State& state) {
  const StyleGrade& grade = bench::demo_grade();
  for (auto _ : state) {
    for (std::size_t piece = 0; piece < grade.pieces.size(); ++piece) {
      benchmark::DoNotOptimize(grade.drawn_piece(piece, 0));
    }
  }
  count(state);
}

void map_cut_piece(benchmark::State& state) {
  const StyleGrade& grade = bench::demo_grade();
  for (auto _ : state) {
    for (std::size_t piece = 0; piece < grade.pieces.size(); ++piece) {
      benchmark::DoNotOptimize(grade.cut_piece(piece, 0));
    }
  }
  count(state);
}

BENCHMARK(map_product)->Unit(benchmark::kMicrosecond);
BENCHMARK(map_drawn_piece)->Unit(benchmark::kMicrosecond);
BENCHMARK(map_cut_piece)->Unit(benchmark::kMicrosecond);

}  // namespace
