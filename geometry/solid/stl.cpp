#include "geometry/solid/stl.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <charconv>
#include <cmath>
#include <cstring>
#include <map>
#include <numeric>
#include <unordered_map>

#include "geometry/io/dxf/dxf_file_kind.hpp"
#include "geometry/solid/mesh_join.hpp"

namespace lastwright {

namespace {

float float_at(std::string_view bytes, std::size_t at) {
  std::uint32_t word = 0;
  for (std::size_t i = 0; i < 4; ++i)
    word |= static_cast<std::uint32_t>(static_cast<unsigned char>(bytes[at + i])) << (8 * i);
  return std::bit_cast<float>(word);
}

Result<StlRead> read_binary(std::string_view bytes, double unit, std::size_t count) {
  StlRead read;
  CornerJoiner join;
  for (std::size_t i = 0; i < count; ++i) {
    std::array<Vec3, 3> corners;
    for (std::size_t k = 0; k < 3; ++k) {
      const std::size_t at = 84 + 50 * i + 12 + 12 * k;
      corners[k] = {unit * static_cast<double>(float_at(bytes, at)),
                    unit * static_cast<double>(float_at(bytes, at + 4)),
                    unit * static_cast<double>(float_at(bytes, at + 8))};
      if (std::isnan(corners[k].x + corners[k].y + corners[k].z))
        return bad_value(fmt::format("a corner of triangle {} of the STL file is not a number", i + 1));
      if (!std::isfinite(norm(corners[k])) || norm(corners[k]) > 1e6) {
        return Problem{Trouble::kBadValue, "a corner of the STL file lies too far away", {}, {}, {}};
      }
    }
    join.add_triangle(read, corners);
  }
  return read;
}

std::uint32_t count_at_head(std::string_view bytes) {
  std::uint32_t count = 0;
  for (std::size_t i = 0; i < 4 && bytes.size() >= 84; ++i)
    count |= static_cast<std::uint32_t>(static_cast<unsigned char>(bytes[80 + i])) << (8 * i);
  return count;
}

Result<StlRead> read_ascii(std::string_view bytes, double unit) {
  StlRead read;
  CornerJoiner join;
  std::array<Vec3, 3> corners;
  std::size_t corner = 0;
  std::size_t at = 0;
  long line = 1;
  const auto skip = [&] {
    while (at < bytes.size() && std::strchr(" \t\r\n", bytes[at]) != nullptr && bytes[at] != '\0')
      line += bytes[at++] == '\n';
  };
  const auto word = [&] {
    skip();
    const std::size_t from = at;
    while (at < bytes.size() && (bytes[at] > ' ' || bytes[at] < 0)) ++at;
    return bytes.substr(from, at - from);
  };
  const auto bad = [&](const char* what) {
    Problem p{Trouble::kSyntax, what, {}, {}, {}};
    p.place.line = line;
    return p;
  };
  bool ended = false;
  while (true) {
    const std::string_view w = word();
    if (w.empty()) break;
    if (w == "endsolid") ended = true;
    if (w != "vertex") continue;
    double v[3];
    for (double& value : v) {
      const std::string_view digits = word();
      const char* begin = digits.data() + (!digits.empty() && digits.front() == '+' ? 1 : 0);
      const auto parsed = std::from_chars(begin, digits.data() + digits.size(), value);
      if (parsed.ec != std::errc{} || parsed.ptr != digits.data() + digits.size() ||
          !(std::abs(value) < 1e6)) {
        return bad("a vertex needs three numbers");
      }
    }
    corners[corner] = {unit * v[0], unit * v[1], unit * v[2]};
    if (++corner == 3) {
      corner = 0;
      if (read.mesh.triangles.size() >= kMaxStlTriangles)
        return Problem{Trouble::kBudget, "too many triangles", {}, {}, {}};
      join.add_triangle(read, corners);
    }
  }
  if (corner != 0 || !ended) return bad("the ASCII STL file is cut short");
  return read;
}

void put(std::string& out, std::uint32_t word) {
  for (int i = 0; i < 4; ++i) out += static_cast<char>((word >> (8 * i)) & 0xffu);
}
void put(std::string& out, Vec3 p) {
  for (double v : {p.x, p.y, p.z}) put(out, std::bit_cast<std::uint32_t>(static_cast<float>(v) + 0.0f));
}

}  // namespace

bool is_binary_stl(std::string_view bytes) {
  return bytes.size() >= 84 && bytes.size() == 84 + std::size_t{50} * count_at_head(bytes);
}

Result<StlRead> read_stl(std::string_view bytes, double millimetres) {
  Result<StlRead> read = [&]() -> Result<StlRead> {
    const std::uint32_t count = count_at_head(bytes);
    if (is_binary_stl(bytes)) {
      if (count > kMaxStlTriangles) return Problem{Trouble::kBudget, "too many triangles", {}, {}, {}};
      return read_binary(bytes, millimetres, count);
    }
    const std::size_t first = bytes.find_first_not_of(" \t\r\n");
    if (first != std::string_view::npos && bytes.substr(first, 5) == "solid")
      return read_ascii(bytes, millimetres);
    const auto kind = foreign_file_kind(bytes);
    const bool known = kind && *kind != "an STL model" && *kind != "a file of zero bytes";
    if (!known && count > 0 && count <= kMaxStlTriangles && bytes.size() < 84 + std::size_t{50} * count) {
      return Problem{
          Trouble::kSyntax,
          fmt::format("the STL file is cut short: {} triangles take more bytes than it has", count),
          {},
          static_cast<double>(bytes.size()),
          static_cast<double>(84 + std::size_t{50} * count)};
    }
    if (first != std::string_view::npos && bytes[first] == '0' &&
        bytes.substr(first + 1, 16).find("SECTION") != std::string_view::npos) {
      return Problem{Trouble::kSyntax, "this is not an STL file but a DXF drawing", {}, {}, {}};
    }
    if (kind && *kind != "an STL model") {
      return Problem{Trouble::kSyntax, "this is not an STL file but " + std::string(*kind), {}, {}, {}};
    }
    return Problem{Trouble::kSyntax,
                   "this is not an STL file: no 'solid', and the length does not fit its triangle count",
                   {},
                   {},
                   {}};
  }();
  if (!read) return read;
  if (read->mesh.triangles.empty())
    return Problem{Trouble::kBadValue, "the STL file holds no triangles", {}, {}, {}};
  read->open_sides = open_sides(read->mesh);
  return read;
}

std::string write_stl(const PlainMesh& mesh, std::string_view name, std::string_view unit_name) {
  std::string out(80, ' ');
  const std::string head = fmt::format("binary STL, {}: {}", unit_name, name.substr(0, 50));
  std::copy(head.begin(), head.end(), out.begin());
  out.reserve(84 + 50 * mesh.triangles.size());
  put(out, static_cast<std::uint32_t>(mesh.triangles.size()));
  for (const auto& t : mesh.triangles) {
    const Vec3 a = mesh.points[t[0]];
    const Vec3 b = mesh.points[t[1]];
    const Vec3 c = mesh.points[t[2]];
    put(out, unit(cross(b - a, c - a)));
    put(out, a);
    put(out, b);
    put(out, c);
    out += '\0';
    out += '\0';
  }
  return out;
}

PlainMesh plain_mesh(const Body& body) {
  const Mesh& from = body.mesh;
  // Faces meet along rim pieces: the corners at a piece's two ends are one, whatever face they belong to.
  std::vector<std::uint32_t> leader(from.nodes.size());
  std::iota(leader.begin(), leader.end(), 0u);
  const auto find = [&](std::uint32_t n) {
    while (leader[n] != n) n = leader[n] = leader[leader[n]];
    return n;
  };
  const auto join = [&](std::uint32_t a, std::uint32_t b) {
    const std::uint32_t ra = find(a);
    const std::uint32_t rb = find(b);
    leader[std::max(ra, rb)] = std::min(ra, rb);
  };
  std::vector<const MeshSide*> first(from.rims.size(), nullptr);
  for (const MeshSide& side : from.sides) {
    if (side.rim < 0) {
      // A side along a pole has no length: its ends are one point of the form.
      if (from.nodes[side.a].point == from.nodes[side.b].point) join(side.a, side.b);
      continue;
    }
    const MeshSide*& other = first[static_cast<std::size_t>(side.rim)];
    if (!other) {
      other = &side;
      continue;
    }
    const auto apart = [&](std::uint32_t a, std::uint32_t b) {
      return distance(from.nodes[a].point, from.nodes[b].point);
    };
    const bool straight = apart(side.a, other->a) + apart(side.b, other->b) <=
                          apart(side.a, other->b) + apart(side.b, other->a);
    join(side.a, straight ? other->a : other->b);
    join(side.b, straight ? other->b : other->a);
  }
  PlainMesh mesh;
  std::vector<std::uint32_t> place(from.nodes.size());
  for (std::uint32_t i = 0; i < from.nodes.size(); ++i) {
    if (find(i) == i) {
      place[i] = static_cast<std::uint32_t>(mesh.points.size());
      mesh.points.push_back(from.nodes[i].point);
    }
  }
  for (const Triangle& t : from.triangles) {
    const std::array<std::uint32_t, 3> c{place[find(t.node[0])], place[find(t.node[1])],
                                         place[find(t.node[2])]};
    if (c[0] != c[1] && c[1] != c[2] && c[0] != c[2]) mesh.triangles.push_back(c);
  }
  return mesh;
}

Result<std::vector<Vec3>> spread_points(const PlainMesh& mesh, double spacing, std::vector<Vec3>* normals) {
  std::vector<Vec3> points = mesh.points;
  if (normals) {
    normals->assign(points.size(), {});
    for (const auto& t : mesh.triangles) {
      const Vec3 a = mesh.points[t[0]];
      const Vec3 area = cross(mesh.points[t[1]] - a, mesh.points[t[2]] - a);
      for (const std::uint32_t corner : t) (*normals)[corner] += area;
    }
    for (Vec3& n : *normals) n = unit(n);
  }
  for (const auto& t : mesh.triangles) {
    const Vec3 a = mesh.points[t[0]];
    const Vec3 b = mesh.points[t[1]];
    const Vec3 c = mesh.points[t[2]];
    const double longest = std::max({distance(a, b), distance(b, c), distance(c, a)});
    const int parts = std::min(200, static_cast<int>(std::ceil(longest / spacing)));
    if (points.size() > mesh.points.size() + kMaxSpreadPoints) {
      return Problem{
          Trouble::kBudget,
          "the triangles cover far more than a last: too many points would have to be spread over them",
          {},
          static_cast<double>(points.size() - mesh.points.size()),
          static_cast<double>(kMaxSpreadPoints)};
    }
    for (int i = 0; i <= parts && parts > 1; ++i) {
      for (int j = 0; i + j <= parts; ++j) {
        const int k = parts - i - j;
        if (i == parts || j == parts || k == parts) continue;  // the corners are there already
        points.push_back((double(i) * a + double(j) * b + double(k) * c) / double(parts));
      }
    }
    if (normals) normals->resize(points.size(), unit(cross(b - a, c - a)));
  }
  return points;
}

double volume(const PlainMesh& mesh) {
  double six = 0.0;
  for (const auto& t : mesh.triangles)
    six += dot(mesh.points[t[0]], cross(mesh.points[t[1]], mesh.points[t[2]]));
  return six / 6.0;
}

std::size_t open_sides(const PlainMesh& mesh) {
  std::map<std::pair<std::uint32_t, std::uint32_t>, std::pair<int, int>> uses;
  for (const auto& t : mesh.triangles) {
    for (std::size_t k = 0; k < 3; ++k) {
      const std::uint32_t a = t[k];
      const std::uint32_t b = t[(k + 1) % 3];
      auto& use = uses[std::minmax(a, b)];
      ++(a < b ? use.first : use.second);
    }
  }
  return static_cast<std::size_t>(std::count_if(uses.begin(), uses.end(), [](const auto& u) {
    return u.second != std::pair{1, 1};
  }));
}

}  // namespace lastwright
