// A piece of the demo as DXF: writing it beside fwrite of the same bytes, reading it beside fread.
#include <benchmark/benchmark.h>
#include <unistd.h>

#include <cstdio>
#include <string>

#include "cli/sha256.hpp"
#include "geometry/invariant.hpp"
#include "geometry/io/dxf_read.hpp"
#include "geometry/io/dxf_write.hpp"
#include "geometry/io/svg_write.hpp"
#include "grading/piece_sheet.hpp"
#include "tests/bench/demo_style.hpp"

using namespace lastwright;

namespace {

const Sheet& sheet() {
  static const Sheet one = [] {
    const auto piece = bench::demo_grade().cut_piece(0, 0);
    invariant(piece.ok(), "the piece can be cut");
    return sheet_of(*piece);
  }();
  return one;
}

// In memory where there is such a disk, so that the disk is not what is timed.
std::string scratch_file() {
  const std::string folder = ::access("/dev/shm", W_OK) == 0 ? "/dev/shm" : ".";
  return folder + "/lastwright-bench.dxf";
}

void write_bytes(const std::string& bytes) {
  std::FILE* file = std::fopen(scratch_file().c_str(), "wb");
  invariant(file != nullptr, "the scratch file opens");
  invariant(std::fwrite(bytes.data(), 1, bytes.size(), file) == bytes.size(), "it takes the bytes");
  std::fclose(file);
}

void count(benchmark::State& state, std::size_t bytes) {
  state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(bytes));
  state.counters["bytes"] = static_cast<double>(bytes);
}

void files_fwrite(benchmark::State& state) {
  const std::string bytes = *write_dxf(sheet());
  for (auto _ : state) write_bytes(bytes);
  count(state, bytes.size());
}

void files_write_dxf(benchmark::State& state) {
  for (auto _ : state) write_bytes(*write_dxf(sheet()));
  count(state, write_dxf(sheet())->size());
}

void files_format_dxf(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(write_dxf(sheet()));
  count(state, write_dxf(sheet())->size());
}

void files_format_svg(benchmark::State& state) {
  for (auto _ : state) benchmark::DoNotOptimize(write_svg(sheet()));
  count(state, write_svg(sheet()).size());
}

std::string read_bytes() {
  std::string bytes(1 << 20, '\0');
  std::FILE* file = std::fopen(scratch_file().c_str(), "rb");
  invariant(file != nullptr, "the scratch file opens");
  bytes.resize(std::fread(bytes.data(), 1, bytes.size(), file));
  std::fclose(file);
  return bytes;
}

void files_fread(benchmark::State& state) {
  write_bytes(*write_dxf(sheet()));
  for (auto _ : state) benchmark::DoNotOptimize(read_bytes());
  count(state, read_bytes().size());
}

void files_read_dxf(benchmark::State& state) {
  write_bytes(*write_dxf(sheet()));
  for (auto _ : state) benchmark::DoNotOptimize(read_dxf(read_bytes(), {}));
  count(state, read_bytes().size());
}

void files_reread_check(benchmark::State& state) {
  const std::string bytes = *write_dxf(sheet());
  for (auto _ : state) benchmark::DoNotOptimize(reread_check(bytes, sheet()));
  count(state, bytes.size());
}

void files_sha256(benchmark::State& state) {
  const std::string bytes = *write_dxf(sheet());
  for (auto _ : state) benchmark::DoNotOptimize(sha256(bytes));
  count(state, bytes.size());
}

BENCHMARK(files_fwrite)->Unit(benchmark::kMicrosecond);
BENCHMARK(files_write_dxf)->Unit(benchmark::kMicrosecond);
BENCHMARK(files_format_dxf)->Unit(benchmark::kMicrosecond);
BENCHMARK(files_format_svg)->Unit(benchmark::kMicrosecond);
BENCHMARK(files_fread)->Unit(benchmark::kMicrosecond);
BENCHMARK(files_read_dxf)->Unit(benchmark::kMicrosecond);
BENCHMARK(files_reread_check)->Unit(benchmark::kMicrosecond);
BENCHMARK(files_sha256)->Unit(benchmark::kMicrosecond);

}  // namespace
