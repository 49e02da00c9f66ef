#include "geometry/solid/mesh_file.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <charconv>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "geometry/files/unzip.hpp"
#include "geometry/solid/mesh_3mf.hpp"
#include "geometry/solid/mesh_join.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostCorners = 3 * kMaxStlTriangles;
constexpr std::size_t kMostSides = 1000;  // of one polygon
constexpr double kReach = 1e6;

Problem at_line(std::string what, long line) {
  Problem p{Trouble::kSyntax, std::move(what), {}, {}, {}};
  p.place.line = line;
  return p;
}

// The lines of a text, one after the other.
class Lines {
 public:
  explicit Lines(std::string_view text) : text_(text) {}
  bool next(std::string_view& line) {
    if (at_ >= text_.size()) return false;
    const std::size_t end = std::min(text_.find('\n', at_), text_.size());
    line = text_.substr(at_, end - at_);
    if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    at_ = end + 1;
    ++number_;
    return true;
  }
  [[nodiscard]] long number() const { return number_; }
  [[nodiscard]] std::size_t at() const { return std::min(at_, text_.size()); }

 private:
  std::string_view text_;
  std::size_t at_ = 0;
  long number_ = 0;
};

std::vector<std::string_view> words_of(std::string_view line) {
  std::vector<std::string_view> words;
  std::size_t at = 0;
  while (words.size() < kMostSides + 8) {
    at = line.find_first_not_of(" \t", at);
    if (at == std::string_view::npos) break;
    const std::size_t end = std::min(line.find_first_of(" \t", at), line.size());
    words.push_back(line.substr(at, end - at));
    at = end;
  }
  return words;
}

template <class Number>
bool parsed(std::string_view word, Number& value) {
  if (!word.empty() && word.front() == '+') word.remove_prefix(1);
  const auto done = std::from_chars(word.data(), word.data() + word.size(), value);
  return done.ec == std::errc{} && done.ptr == word.data() + word.size();
}

// Adds a polygon by the numbers of its corners.
Status add_polygon(StlRead& read, CornerJoiner& join, const std::vector<Vec3>& points,
                   const std::vector<std::size_t>& corners) {
  for (std::size_t i : corners) {
    if (i >= points.size())
      return Problem{Trouble::kBadValue, "a face names a corner that is not there", {}, {}, {}};
  }
  for (std::size_t k = 1; k + 1 < corners.size(); ++k) {
    if (read.mesh.triangles.size() >= kMaxStlTriangles)
      return Problem{Trouble::kBudget, "too many triangles", {}, {}, {}};
    join.add_triangle(read, {points[corners[0]], points[corners[k]], points[corners[k + 1]]});
  }
  return Done{};
}

Result<Vec3> place_of(const std::array<double, 3>& v, double unit) {
  if (std::isnan(v[0]) || std::isnan(v[1]) || std::isnan(v[2]))
    return bad_value("a corner of the mesh is not a number");
  if (!(std::abs(v[0]) < kReach && std::abs(v[1]) < kReach && std::abs(v[2]) < kReach))
    return Problem{Trouble::kBadValue, "a corner of the mesh lies too far away", {}, {}, {}};
  return Vec3{unit * v[0], unit * v[1], unit * v[2]};
}

Result<StlRead> read_obj(std::string_view bytes, double unit) {
  StlRead read;
  CornerJoiner join;
  std::vector<Vec3> points;
  Lines lines(bytes);
  std::string_view line;
  while (lines.next(line)) {
    if (line.ends_with('\\'))
      return at_line("a line of the OBJ file continues on the next, which is not read", lines.number());
    const bool corner = line.starts_with("v ") || line.starts_with("v\t");
    const bool face = line.starts_with("f ") || line.starts_with("f\t");
    if (!corner && !face) continue;
    const std::vector<std::string_view> words = words_of(line);
    if (corner) {
      std::array<double, 3> v{};
      for (std::size_t k = 0; k < 3; ++k) {
        if (words.size() < 4 || !parsed(words[k + 1], v[k]))
          return at_line("a corner needs three numbers", lines.number());
      }
      const Result<Vec3> p = place_of(v, unit);
      if (!p) return at_line(p.problem().message, lines.number());
      if (points.size() >= kMostCorners) return Problem{Trouble::kBudget, "too many corners", {}, {}, {}};
      points.push_back(*p);
      continue;
    }
    if (words.size() < 4 || words.size() > kMostSides)
      return at_line("a face needs 3 to 999 corners", lines.number());
    std::vector<std::size_t> corners;
    for (std::size_t k = 1; k < words.size(); ++k) {
      long number = 0;
      if (!parsed(words[k].substr(0, words[k].find('/')), number) || number == 0)
        return at_line("a face needs the numbers of its corners", lines.number());
      // Counted from one; from the last one back where negative.
      const long index = number > 0 ? number - 1 : static_cast<long>(points.size()) + number;
      corners.push_back(index < 0 ? points.size() : static_cast<std::size_t>(index));
    }
    if (const Status added = add_polygon(read, join, points, corners); !added)
      return at_line(added.problem().message, lines.number());
  }
  return join.in_order_of(std::move(read), points);
}

enum class Scalar { kInt8, kUint8, kInt16, kUint16, kInt32, kUint32, kFloat, kDouble };
std::optional<Scalar> scalar_of(std::string_view name) {
  constexpr std::pair<std::string_view, Scalar> kNames[] = {
      {"char", Scalar::kInt8},     {"int8", Scalar::kInt8},     {"uchar", Scalar::kUint8},
      {"uint8", Scalar::kUint8},   {"short", Scalar::kInt16},   {"int16", Scalar::kInt16},
      {"ushort", Scalar::kUint16}, {"uint16", Scalar::kUint16}, {"int", Scalar::kInt32},
      {"int32", Scalar::kInt32},   {"uint", Scalar::kUint32},   {"uint32", Scalar::kUint32},
      {"float", Scalar::kFloat},   {"float32", Scalar::kFloat}, {"double", Scalar::kDouble},
      {"float64", Scalar::kDouble}};
  for (const auto& [known, scalar] : kNames) {
    if (known == name) return scalar;
  }
  return std::nullopt;
}
std::size_t bytes_of(Scalar s) {
  constexpr std::size_t kBytes[] = {1, 1, 2, 2, 4, 4, 4, 8};
  return kBytes[static_cast<std::size_t>(s)];
}

struct PlyProperty {
  std::string name;
  Scalar scalar = Scalar::kFloat;
  std::optional<Scalar> count;  // of a list: how its length is written
};
struct PlyElement {
  std::string name;
  std::size_t count = 0;
  std::vector<PlyProperty> properties;
};

// The values of a PLY file's body, in text or binary of either order.
class PlyBody {
 public:
  PlyBody(std::string_view bytes, bool text, bool big) : bytes_(bytes), text_(text), big_(big) {}
  bool next(Scalar scalar, double& value) {
    if (text_) {
      at_ = bytes_.find_first_not_of(" \t\r\n", at_);
      if (at_ == std::string_view::npos) {
        at_ = bytes_.size();
        return false;
      }
      const std::size_t end = std::min(bytes_.find_first_of(" \t\r\n", at_), bytes_.size());
      const std::string_view word = bytes_.substr(at_, end - at_);
      at_ = end;
      return parsed(word, value);
    }
    const std::size_t size = bytes_of(scalar);
    if (bytes_.size() - at_ < size) return false;
    std::uint64_t raw = 0;
    for (std::size_t i = 0; i < size; ++i) {
      const auto byte =
          static_cast<std::uint64_t>(static_cast<unsigned char>(bytes_[at_ + (big_ ? size - 1 - i : i)]));
      raw |= byte << (8 * i);
    }
    at_ += size;
    switch (scalar) {
      case Scalar::kInt8:
        value = static_cast<std::int8_t>(raw);
        break;
      case Scalar::kInt16:
        value = static_cast<std::int16_t>(raw);
        break;
      case Scalar::kInt32:
        value = static_cast<std::int32_t>(raw);
        break;
      case Scalar::kFloat:
        value = static_cast<double>(std::bit_cast<float>(static_cast<std::uint32_t>(raw)));
        break;
      case Scalar::kDouble:
        value = std::bit_cast<double>(raw);
        break;
      default:
        value = static_cast<double>(raw);
    }
    return true;
  }

 private:
  std::string_view bytes_;
  bool text_;
  bool big_;
  std::size_t at_ = 0;
};

struct PlyHead {
  bool text = true;
  bool big = false;
  std::size_t body = 0;  // where it begins
  std::vector<PlyElement> elements;
};
Result<PlyHead> read_ply_head(std::string_view bytes) {
  constexpr long kMostLines = 1000;
  PlyHead head;
  Lines lines(bytes);
  std::string_view line;
  bool format = false;
  while (lines.next(line) && lines.number() < kMostLines) {
    const std::vector<std::string_view> w = words_of(line);
    if (lines.number() == 1 || w.empty() || w[0] == "comment" || w[0] == "obj_info") continue;
    if (w[0] == "end_header") {
      if (!format) return at_line("the PLY file does not state its format", lines.number());
      head.body = lines.at();
      return head;
    }
    if (w[0] == "format" && w.size() == 3) {
      format = w[1] == "ascii" || w[1] == "binary_little_endian" || w[1] == "binary_big_endian";
      head.text = w[1] == "ascii";
      head.big = w[1] == "binary_big_endian";
    } else if (w[0] == "element" && w.size() == 3) {
      PlyElement element;
      element.name = std::string(w[1]);
      if (!parsed(w[2], element.count))
        return at_line("an element of the PLY file needs a count", lines.number());
      head.elements.push_back(std::move(element));
    } else if (w[0] == "property" && !head.elements.empty()) {
      PlyProperty property;
      const bool list = w.size() == 5 && w[1] == "list";
      const std::optional<Scalar> kind = w.size() >= 3 ? scalar_of(w[list ? 3 : 1]) : std::nullopt;
      if (list) property.count = scalar_of(w[2]);
      if (!kind || (list && !property.count) || (!list && w.size() != 3))
        return at_line("a property of the PLY file has an unknown type", lines.number());
      property.scalar = *kind;
      property.name = std::string(w.back());
      head.elements.back().properties.push_back(std::move(property));
    } else {
      return at_line("a line of the PLY file's head is not understood", lines.number());
    }
  }
  return at_line("the head of the PLY file does not end", lines.number());
}

Problem ply_cut_short(const PlyElement& element, std::size_t i) {
  return {Trouble::kSyntax,
          fmt::format("the PLY file is cut short or holds something that is not a number: {} {} of {}",
                      element.name, i + 1, element.count),
          {},
          {},
          {}};
}

Result<StlRead> read_ply(std::string_view bytes, double unit) {
  const Result<PlyHead> head = read_ply_head(bytes);
  if (!head) return head.problem();
  PlyBody body(bytes.substr(head->body), head->text, head->big);
  StlRead read;
  CornerJoiner join;
  std::vector<Vec3> points;
  for (const PlyElement& element : head->elements) {
    // Every entry takes a byte at least, so that a count cannot keep the reader busy.
    if (element.properties.empty() || element.count > bytes.size())
      return Problem{Trouble::kSyntax,
                     fmt::format("the PLY file cannot hold {} of '{}'", element.count, element.name),
                     {},
                     {},
                     {}};
    for (std::size_t i = 0; i < element.count; ++i) {
      std::array<double, 3> v{};
      std::vector<std::size_t> corners;
      for (const PlyProperty& property : element.properties) {
        double length = 1.0;
        if (property.count && !body.next(*property.count, length)) return ply_cut_short(element, i);
        if (!(length >= 0.0 && length <= static_cast<double>(kMostSides)))
          return Problem{Trouble::kSyntax,
                         "a list of the PLY file has an absurd length",
                         {},
                         length,
                         static_cast<double>(kMostSides)};
        const bool of_corners =
            property.count && (property.name == "vertex_indices" || property.name == "vertex_index");
        for (int k = 0; k < static_cast<int>(length); ++k) {
          double value = 0.0;
          if (!body.next(property.scalar, value)) return ply_cut_short(element, i);
          if (of_corners)
            corners.push_back(value >= 0.0 && value < 4e9 ? static_cast<std::size_t>(value) : SIZE_MAX);
          if (!property.count && property.name.size() == 1 && property.name[0] >= 'x' &&
              property.name[0] <= 'z')
            v[static_cast<std::size_t>(property.name[0] - 'x')] = value;
        }
      }
      if (element.name == "vertex") {
        const Result<Vec3> p = place_of(v, unit);
        if (!p) return p.problem();
        if (points.size() >= kMostCorners) return Problem{Trouble::kBudget, "too many corners", {}, {}, {}};
        points.push_back(*p);
      } else if (element.name == "face") {
        if (const Status added = add_polygon(read, join, points, corners); !added) return added.problem();
      }
    }
  }
  return join.in_order_of(std::move(read), points);
}

}  // namespace

const char* name_of(MeshKind kind) {
  switch (kind) {
    case MeshKind::kPly:
      return "PLY";
    case MeshKind::kObj:
      return "OBJ";
    case MeshKind::k3mf:
      return "3MF";
    case MeshKind::kStl:
      break;
  }
  return "STL";
}

MeshKind mesh_kind(std::string_view bytes) {
  if (bytes.starts_with("ply\n") || bytes.starts_with("ply\r\n")) return MeshKind::kPly;
  if (looks_like_zip(bytes)) return MeshKind::k3mf;
  // OBJ has no mark of its own: the first line that is no comment has one of its words.
  Lines lines(bytes.substr(0, std::size_t{1} << 16));
  std::string_view line;
  for (int i = 0; i < 2000 && lines.next(line); ++i) {
    const std::vector<std::string_view> words = words_of(line.substr(0, 200));
    if (words.empty() || words[0].starts_with('#')) continue;
    for (const std::string_view word : {"v", "vn", "vt", "f", "o", "g", "s", "mtllib", "usemtl"}) {
      if (words[0] == word) return MeshKind::kObj;
    }
    break;
  }
  return MeshKind::kStl;
}

MeshFormat mesh_format(std::string_view bytes) {
  MeshFormat format{mesh_kind(bytes), false, false};
  switch (format.kind) {
    case MeshKind::kObj:
      format.text = true;
      break;
    case MeshKind::k3mf:
      break;
    case MeshKind::kPly:
      if (const Result<PlyHead> head = read_ply_head(bytes); head) {
        format.text = head->text;
        format.big = head->big;
      }
      break;
    case MeshKind::kStl:
      format.text = !is_binary_stl(bytes);
  }
  return format;
}

Result<StlRead> read_mesh(std::string_view bytes, double millimetres) {
  const MeshKind kind = mesh_kind(bytes);
  if (kind == MeshKind::kStl) {
    Result<StlRead> read = read_stl(bytes, millimetres);
    if (read) read->millimetres = millimetres;
    return read;
  }
  Result<StlRead> read = kind == MeshKind::k3mf   ? read_3mf(bytes)
                         : kind == MeshKind::kPly ? read_ply(bytes, millimetres)
                                                  : read_obj(bytes, millimetres);
  if (!read) return read;
  if (kind != MeshKind::k3mf) read->millimetres = millimetres;
  if (read->mesh.triangles.empty())
    return Problem{
        Trouble::kBadValue, fmt::format("the {} file holds no triangles", name_of(kind)), {}, {}, {}};
  read->open_sides = open_sides(read->mesh);
  return read;
}

}  // namespace lastwright
