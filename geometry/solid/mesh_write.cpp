#include "geometry/solid/mesh_write.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <charconv>

#include "geometry/files/zip_write.hpp"
#include "geometry/invariant.hpp"
#include "geometry/solid/mesh_3mf.hpp"
#include "geometry/units.hpp"

namespace lastwright {

namespace {

void put_digits(std::string& out, double value) {
  char buffer[48];
  out.append(buffer, std::to_chars(buffer, buffer + sizeof buffer, static_cast<float>(value) + 0.0f).ptr);
}

void put_text(std::string& out, std::string_view before, Vec3 p) {
  out += before;
  put_digits(out, p.x);
  out += ' ';
  put_digits(out, p.y);
  out += ' ';
  put_digits(out, p.z);
  out += '\n';
}

// Text in which neither a name can end the line nor a comment begin.
std::string one_line(std::string_view name) {
  std::string line(name.substr(0, 80));
  std::replace_if(
      line.begin(), line.end(), [](char c) { return c < 32 || c > 126; }, '?');
  return line;
}

std::string stl_text(const PlainMesh& mesh, std::string_view name) {
  std::string out = "solid " + one_line(name) + "\n";
  for (const auto& t : mesh.triangles) {
    const Vec3 a = mesh.points[t[0]];
    put_text(out, "facet normal ", unit(cross(mesh.points[t[1]] - a, mesh.points[t[2]] - a)));
    out += "outer loop\n";
    for (std::uint32_t corner : t) put_text(out, "vertex ", mesh.points[corner]);
    out += "endloop\nendfacet\n";
  }
  return out + "endsolid " + one_line(name) + "\n";
}

std::string obj_text(const PlainMesh& mesh, std::string_view name) {
  std::string out = "# " + one_line(name) + "\n";
  for (const Vec3& p : mesh.points) put_text(out, "v ", p);
  for (const auto& t : mesh.triangles) out += fmt::format("f {} {} {}\n", t[0] + 1, t[1] + 1, t[2] + 1);
  return out;
}

std::string ply(const PlainMesh& mesh, std::string_view name, bool text, bool big) {
  std::string out = fmt::format(
      "ply\nformat {} 1.0\ncomment {}\nelement vertex {}\nproperty float x\nproperty float y\nproperty float "
      "z\n"
      "element face {}\nproperty list uchar int vertex_indices\nend_header\n",
      text  ? "ascii"
      : big ? "binary_big_endian"
            : "binary_little_endian",
      one_line(name), mesh.points.size(), mesh.triangles.size());
  if (text) {
    for (const Vec3& p : mesh.points) put_text(out, "", p);
    for (const auto& t : mesh.triangles) out += fmt::format("3 {} {} {}\n", t[0], t[1], t[2]);
    return out;
  }
  const auto put_word = [&](std::uint32_t word) {
    for (int i = 0; i < 4; ++i) out += static_cast<char>((word >> (8 * (big ? 3 - i : i))) & 0xffu);
  };
  for (const Vec3& p : mesh.points) {
    for (double v : {p.x, p.y, p.z}) put_word(std::bit_cast<std::uint32_t>(static_cast<float>(v) + 0.0f));
  }
  for (const auto& t : mesh.triangles) {
    out += '\3';
    for (std::uint32_t corner : t) put_word(corner);
  }
  return out;
}

// Text as it stands between tags.
std::string xml_text(const std::string& text) {
  std::string out;
  for (char c : text) {
    if (c == '&') {
      out += "&amp;";
    } else if (c == '<') {
      out += "&lt;";
    } else if (c == '>') {
      out += "&gt;";
    } else {
      out += c;
    }
  }
  return out;
}

constexpr std::string_view kTypes3mf =
    R"(<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">
<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>
<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>
</Types>
)";
constexpr std::string_view kRelations3mf =
    R"(<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">
<Relationship Target="/3D/3dmodel.model" Id="rel0" Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>
</Relationships>
)";

std::string three_mf(const PlainMesh& mesh, std::string_view unit_name, std::string_view name) {
  const auto put = [](std::string& out, std::string_view before, double value) {
    out += before;
    put_digits(out, value);
  };
  std::string model = fmt::format(
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<model unit=\"{}\" xml:lang=\"en\" "
      "xmlns=\"http://schemas.microsoft.com/3dmanufacturing/core/2015/02\">\n"
      "<metadata name=\"Title\">{}</metadata>\n"
      "<resources>\n<object id=\"1\" type=\"model\">\n<mesh>\n<vertices>\n",
      unit_name, xml_text(one_line(name)));
  for (const Vec3& p : mesh.points) {
    put(model, "<vertex x=\"", p.x);
    put(model, "\" y=\"", p.y);
    put(model, "\" z=\"", p.z);
    model += "\"/>\n";
  }
  model += "</vertices>\n<triangles>\n";
  for (const auto& t : mesh.triangles)
    model += fmt::format("<triangle v1=\"{}\" v2=\"{}\" v3=\"{}\"/>\n", t[0], t[1], t[2]);
  model +=
      "</triangles>\n</mesh>\n</object>\n</resources>\n<build>\n<item objectid=\"1\"/>\n</build>\n</model>\n";
  return zip_archive(
      {{"[Content_Types].xml", kTypes3mf}, {"_rels/.rels", kRelations3mf}, {"3D/3dmodel.model", model}});
}

}  // namespace

const char* ending_of(MeshKind kind) {
  switch (kind) {
    case MeshKind::kPly:
      return ".ply";
    case MeshKind::kObj:
      return ".obj";
    case MeshKind::k3mf:
      return ".3mf";
    case MeshKind::kStl:
      break;
  }
  return ".stl";
}

std::string write_mesh(const PlainMesh& mesh, const MeshFormat& format, double millimetres,
                       std::string_view name) {
  const char* unit_name = millimetres == kMillimetresPerInch ? "inches"
                          : millimetres == 10.0              ? "centimetres"
                                                             : "millimetres";
  const std::string named = fmt::format("{}, {}", one_line(name), unit_name);
  PlainMesh scaled = mesh;
  for (Vec3& p : scaled.points) p = p / millimetres;
  switch (format.kind) {
    case MeshKind::kPly:
      return ply(scaled, named, format.text, format.big);
    case MeshKind::kObj:
      return obj_text(scaled, named);
    case MeshKind::k3mf: {
      const auto unit_of_file = name_of_3mf_unit(millimetres);
      invariant(unit_of_file.has_value(), "a 3MF mesh is in a unit of the format");
      return three_mf(scaled, *unit_of_file, name);
    }
    case MeshKind::kStl:
      break;
  }
  return format.text ? stl_text(scaled, named) : write_stl(scaled, name, unit_name);
}

}  // namespace lastwright
