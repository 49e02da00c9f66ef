// The pieces of the demo's base size as DXF: writing them beside fwrite of the same bytes, reading them
// beside fread of the same files. time/file is for one piece.
#include <benchmark/benchmark.h>
#include <unistd.h>

#include <cstdio>
#include <filesystem>
#include <string>

#include "cli/files/sha256.hpp"
#include "geometry/invariant.hpp"
#include "geometry/io/dxf/dxf_read.hpp"
#include "geometry/io/dxf/dxf_write.hpp"
#include "geometry/io/paper/svg_write.hpp"
#include "grading/grade/piece_sheet.hpp"
#include "tests/bench/demo_style.hpp"

using namespace lastwright;

namespace {

const std::vector<Sheet>& sheets() {
  static const std::vector<Sheet> all = [] {
    const StyleGrade& grade = bench::demo_grade();
    std::vector<Sheet> some;
    for (std::size_t i = 0; i < grade.pieces.size(); ++i) {
      const Result<GradedPiece> piece = grade.cut_piece(i, grade.base_cell());
      invariant(piece.ok(), "the piece can be cut");
      some.push_back(sheet_of(*piece));
    }
    return some;
  }();
  return all;
}

const std::vector<std::string>& texts() {
  static const std::vector<std::string> all = [] {
    std::vector<std::string> some;
    for (const Sheet& sheet : sheets()) some.push_back(*write_dxf(sheet));
    return some;
  }();
  return all;
}

// In memory where there is such a disk, so that the disk is not what is timed.
const std::vector<std::string>& file_names() {
  static const std::vector<std::string> all = [] {
    const std::string folder = ::access("/dev/shm", W_OK) == 0 ? "/dev/shm" : ".";
    std::vector<std::string> some;
    for (std::size_t i = 0; i < sheets().size(); ++i)
      some.push_back(folder + "/lastwright-bench-" + std::to_string(::getpid()) + "-" + std::to_string(i) +
                     ".dxf");
    return some;
  }();
  return all;
}

void write_bytes(const std::string& name, const std::string& bytes) {
  std::FILE* file = std::fopen(name.c_str(), "wb");
  invariant(file != nullptr, "the scratch file opens");
  invariant(std::fwrite(bytes.data(), 1, bytes.size(), file) == bytes.size(), "it takes the bytes");
  std::fclose(file);
}

std::string read_bytes(const std::string& name) {
  std::FILE* file = std::fopen(name.c_str(), "rb");
  invariant(file != nullptr, "the scratch file opens");
  std::string bytes(std::filesystem::file_size(name), '\0');
  invariant(std::fread(bytes.data(), 1, bytes.size(), file) == bytes.size(), "it gives the bytes");
  std::fclose(file);
  return bytes;
}

void count(benchmark::State& state, std::size_t bytes) {
  const auto files = static_cast<std::int64_t>(sheets().size());
  state.SetBytesProcessed(state.iterations() * static_cast<std::int64_t>(bytes));
  state.counters["bytes/file"] = static_cast<double>(bytes) / static_cast<double>(files);
  state.counters["time/file"] = benchmark::Counter(static_cast<double>(state.iterations() * files),
                                                   benchmark::Counter::kIsRate | benchmark::Counter::kInvert);
}

std::size_t dxf_bytes() {
  std::size_t bytes = 0;
  for (const std::string& text : texts()) bytes += text.size();
  return bytes;
}

void files_fwrite(benchmark::State& state) {
  for (auto _ : state) {
    for (std::size_t i = 0; i < texts().size(); ++i) write_bytes(file_names()[i], texts()[i]);
  }
  for (const std::string& name : file_names()) std::filesystem::remove(name);
  count(state, dxf_bytes());
}

void files_write_dxf(benchmark::State& state) {
  for (auto _ : state) {
    for (std::size_t i = 0; i < sheets().size(); ++i) write_bytes(file_names()[i], *write_dxf(sheets()[i]));
  }
  for (const std::string& name : file_names()) std::filesystem::remove(name);
  count(state, dxf_bytes());
}

void files_format_dxf(benchmark::State& state) {
  for (auto _ : state) {
    for (const Sheet& sheet : sheets()) benchmark::DoNotOptimize(write_dxf(sheet));
  }
  count(state, dxf_bytes());
}

void files_format_svg(benchmark::State& state) {
  std::size_t bytes = 0;
  for (const Sheet& sheet : sheets()) bytes += write_svg(sheet).size();
  for (auto _ : state) {
    for (const Sheet& sheet : sheets()) benchmark::DoNotOptimize(write_svg(sheet));
  }
  count(state, bytes);
}

void files_fread(benchmark::State& state) {
  for (std::size_t i = 0; i < texts().size(); ++i) write_bytes(file_names()[i], texts()[i]);
  for (auto _ : state) {
    for (const std::string& name : file_names()) benchmark::DoNotOptimize(read_bytes(name));
  }
  for (const std::string& name : file_names()) std::filesystem::remove(name);
  count(state, dxf_bytes());
}

void files_read_dxf(benchmark::State& state) {
  for (std::size_t i = 0; i < texts().size(); ++i) write_bytes(file_names()[i], texts()[i]);
  for (const std::string& text : texts()) invariant(read_dxf(text, {}).ok(), "it can be read");
  for (auto _ : state) {
    for (const std::string& name : file_names()) benchmark::DoNotOptimize(read_dxf(read_bytes(name), {}));
  }
  for (const std::string& name : file_names()) std::filesystem::remove(name);
  count(state, dxf_bytes());
}

void files_reread_check(benchmark::State& state) {
  for (auto _ : state) {
    for (std::size_t i = 0; i < sheets().size(); ++i)
      benchmark::DoNotOptimize(reread_check(texts()[i], sheets()[i]));
  }
  count(state, dxf_bytes());
}

void files_sha256(benchmark::State& state) {
  for (auto _ : state) {
    for (const std::string& text : texts()) benchmark::DoNotOptimize(sha256(text));
  }
  count(state, dxf_bytes());
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
