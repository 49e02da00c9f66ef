// Where the pieces of all sizes and widths go: the bare matrix product beside what the program makes of it,
// for the whole run of the demo. time/piece is for one piece in one size and width.
#include <benchmark/benchmark.h>

#include "geometry/map/columns_matrix.hpp"
#include "tests/bench/demo_style.hpp"

using namespace lastwright;

namespace {

std::vector<Eigen::MatrixXd> columns_of(const StyleGrade& grade) {
  std::vector<Eigen::MatrixXd> all;
  for (const PreparedPiece& piece : grade.pieces) {
    const std::vector<Drivers>& drivers = grade.formes[piece.forme].drivers;
    Eigen::MatrixXd columns(static_cast<Eigen::Index>(piece.shape.basis.count()),
                            static_cast<Eigen::Index>(drivers.size()));
    for (std::size_t k = 0; k < drivers.size(); ++k) {
      columns.col(static_cast<Eigen::Index>(k)) = Eigen::Map<const Eigen::VectorXd>(
          drivers[k].data(), static_cast<Eigen::Index>(piece.shape.basis.count()));
    }
    all.push_back(std::move(columns));
  }
  return all;
}

void count(benchmark::State& state) {
  const StyleGrade& grade = bench::demo_grade();
  std::size_t rows = 0;
  for (const PreparedPiece& piece : grade.pieces) rows += piece.shape.basis.rows;
  const double pieces = static_cast<double>(grade.pieces.size());
  state.counters["numbers/piece"] = static_cast<double>(rows) / pieces;
  state.counters["time/piece"] = benchmark::Counter(
      static_cast<double>(state.iterations()) * pieces * static_cast<double>(grade.cells.size()),
      benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}

// Drivers times basis fields and nothing else.
void map_product(benchmark::State& state) {
  const StyleGrade& grade = bench::demo_grade();
  const std::vector<Eigen::MatrixXd> columns = columns_of(grade);
  for (auto _ : state) {
    for (std::size_t i = 0; i < columns.size(); ++i) {
      Eigen::MatrixXd nodes = as_matrix(grade.pieces[i].shape.basis) * columns[i];
      benchmark::DoNotOptimize(nodes.data());
    }
  }
  count(state);
}

// Nodes to net lines of biarcs, inner lines, holes and marks.
void map_drawn_pieces(benchmark::State& state) {
  const StyleGrade& grade = bench::demo_grade();
  for (auto _ : state) {
    for (std::size_t piece = 0; piece < grade.pieces.size(); ++piece) {
      for (std::size_t cell = 0; cell < grade.cells.size(); ++cell)
        benchmark::DoNotOptimize(grade.drawn_piece(piece, cell));
    }
  }
  count(state);
}

// Unfolded and with allowances.
void map_outlined_pieces(benchmark::State& state) {
  const StyleGrade& grade = bench::demo_grade();
  for (auto _ : state) {
    for (std::size_t piece = 0; piece < grade.pieces.size(); ++piece) {
      for (std::size_t cell = 0; cell < grade.cells.size(); ++cell)
        benchmark::DoNotOptimize(grade.outlined_piece(piece, cell));
    }
  }
  count(state);
}

// And with features.
void map_cut_pieces(benchmark::State& state) {
  const StyleGrade& grade = bench::demo_grade();
  for (auto _ : state) {
    for (std::size_t piece = 0; piece < grade.pieces.size(); ++piece) {
      for (std::size_t cell = 0; cell < grade.cells.size(); ++cell)
        benchmark::DoNotOptimize(grade.cut_piece(piece, cell));
    }
  }
  count(state);
}

BENCHMARK(map_product)->Unit(benchmark::kMillisecond);
BENCHMARK(map_drawn_pieces)->Unit(benchmark::kMillisecond);
BENCHMARK(map_outlined_pieces)->Unit(benchmark::kMillisecond);
BENCHMARK(map_cut_pieces)->Unit(benchmark::kMillisecond);

}  // namespace
