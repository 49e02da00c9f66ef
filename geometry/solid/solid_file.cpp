#include "geometry/solid/solid_file.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geometry/files/kernel_time.hpp"
#include "geometry/files/read_file.hpp"
#include "geometry/solid/mesh_3mf.hpp"
#include "geometry/solid/mesh_body.hpp"
#include "geometry/solid/mesh_file.hpp"
#include "geometry/solid/mesh_pips.hpp"
#include "geometry/units.hpp"

namespace lastwright {

namespace {

// Scans are the largest: two million triangles in binary STL. Several copies of a file have to fit in memory.
constexpr std::size_t kMostSolidBytes = std::size_t{100} << 20;

// IGES 5.3, 2.2.1: lines of 80 columns, the letter of the section in column 73; the first section is S.
bool is_iges(const std::string& bytes) {
  if (bytes.size() < 80 || bytes[72] != 'S') return false;
  return std::all_of(bytes.begin() + 73, bytes.begin() + 80,
                     [](char c) { return c == ' ' || (c >= '0' && c <= '9'); });
}

Result<SolidFile> from_step(const std::string& bytes, double deflection) {
  const Result<KernelShape> shape = read_shape(bytes);
  if (!shape) return shape.problem();
  const KernelTime limited(kernel_seconds(bytes.size()));
  const Result<KernelOpinion> opinion = check(*shape);
  if (!opinion) return opinion.problem();
  Result<Body> body = to_body(*shape, deflection);
  if (!body) return body.problem();
  SolidFile file{std::move(*body), *shape, opinion->valid, opinion->volume, {}};
  file.kind = fmt::format("{} faces", file.body.faces.size());
  return file;
}

Result<SolidFile> from_mesh(const std::string& bytes, const std::string& unit) {
  const Result<StlRead> read = read_mesh_in(bytes, unit, kSayUnit);
  if (!read) return read.problem();
  Result<Body> body = mesh_body(read->mesh);
  if (!body) return body.problem();
  SolidFile file{std::move(*body), {}, true, 0.0, fmt::format("{} triangles", read->mesh.triangles.size())};
  file.volume = volume(file.body.mesh);
  for (const std::string& note : read->notes) file.body.notes.push_back(note);
  if (read->flat > 0) {
    file.body.notes.push_back(fmt::format("{} triangles without area were left out", read->flat));
  }
  const double rough = roughness(file.body);
  // Noise has angles between its triangles as chords have: what they would say is not so.
  if (rough <= kRough) {
    file.body.notes.push_back(fmt::format(
        "measured on the triangles: where they are chords of a smooth last they lie {:.3f} mm inside "
        "it in the mean, and a girth reads low by about {:.2f} mm; noise of a scan reads high "
        "(verify a scan against its nominal last instead)",
        chord_depth(file.body), 6.283185307 * chord_depth(file.body)));
  } else {
    file.body.notes.push_back(told_roughness(rough) + "; verify a scan against its nominal last instead");
  }
  if (const std::vector<MeshPip> pips = pips_of(file.body, rough); !pips.empty())
    file.body.notes.push_back(told_of(pips) + ": a measure that goes over it has it in");
  return file;
}

}  // namespace

std::string told_roughness(double rough) {
  // The farthest that a measure was off with a mark that wandered, on six lasts with noise of 0.025 to 0.2
  // mm.
  constexpr double kMarkPerRough = 20.0;
  return fmt::format(
      "the surface is rough by {:.3f} mm (standard deviation of its corners): girths read high by up to "
      "about "
      "{:.2f} mm, and where a mark wanders with the noise a measure may be off by {:.1f} mm to either side",
      rough, kTapePerRough * rough, kMarkPerRough * rough);
}

bool is_solid(const std::string& bytes) {
  return bytes.substr(0, 256).find("ISO-10303-21") != std::string::npos || is_iges(bytes);
}

Result<KernelShape> read_shape(const std::string& bytes) {
  const KernelTime limited(kernel_seconds(bytes.size()));
  return is_iges(bytes) ? read_iges(bytes) : read_step(bytes);
}

Result<StlRead> read_mesh_in(const std::string& bytes, const std::string& unit, const char* without_unit) {
  const double named = unit == "mm"   ? 1.0
                       : unit == "cm" ? 10.0
                       : unit == "m"  ? 1000.0
                       : unit == "in" ? kMillimetresPerInch
                                      : 0.0;
  // What is no mesh at all needs no unit either.
  Result<StlRead> read = read_mesh(bytes, named > 0.0 ? named : 1.0);
  if (!read) return read;
  if (mesh_kind(bytes) != MeshKind::k3mf) {
    if (named > 0.0) return read;
    return Problem{Trouble::kUsage, without_unit, {}, {}, {}};
  }
  if (named > 0.0 && named != read->millimetres)
    return Problem{
        Trouble::kBadValue,
        fmt::format("the 3MF file states its unit, {}, and another is named, {}: leave it out, or state "
                    "in the file what it was drawn in",
                    *name_of_3mf_unit(read->millimetres), unit),
        {},
        {},
        {}};
  return read;
}

Result<SolidFile> read_solid_file(const std::string& path, const std::string& unit, double deflection) {
  const Result<std::string> bytes = read_solid_bytes(path);
  if (!bytes) return bytes.problem();
  const auto placed = [&](Result<SolidFile> file) -> Result<SolidFile> {
    return file ? std::move(file) : Result<SolidFile>(file.problem().in_file(path));
  };
  if (is_solid(*bytes)) return placed(from_step(*bytes, deflection));
  return placed(from_mesh(*bytes, unit));
}

Result<std::string> read_solid_bytes(const std::string& path) {
  return read_file(path, kMostSolidBytes);
}

}  // namespace lastwright
