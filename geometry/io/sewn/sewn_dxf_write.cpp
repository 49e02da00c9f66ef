#include <fmt/format.h>

#include <cctype>
#include <cmath>
#include <set>
#include <tuple>

#include "geometry/box2.hpp"
#include "geometry/io/drawable.hpp"
#include "geometry/io/dxf/dxf_append.hpp"
#include "geometry/io/dxf/dxf_escape.hpp"
#include "geometry/io/dxf/dxf_header.hpp"
#include "geometry/io/sewn/sewn_dxf.hpp"
#include "geometry/io/sewn/sewn_layers.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {
namespace {

std::vector<DxfLayer> sewn_layers() {
  std::vector<DxfLayer> layers;
  int colour = 1;
  for (const int number : sewn::kLayers) layers.push_back({fmt::format("{}", number), colour++ % 6 + 1});
  return layers;
}

// R12 names: capitals, digits, $, - and _, at most 31 of them.
std::string block_name(const SewnPiece& piece, std::set<std::string>& taken) {
  constexpr std::size_t kLongest = 31;
  constexpr std::size_t kRoomForNumber = 6;
  std::string name;
  for (const char c : piece.piece + "-" + piece.size + "-" + piece.width) {
    const auto u = static_cast<unsigned char>(c);
    if (u >= 0x80) {
      if (u >= 0xC0) name += '_';  // one for each character
    } else {
      name += std::isalnum(u) || c == '-' ? static_cast<char>(std::toupper(u)) : '_';
    }
  }
  if (name.size() > kLongest) name.resize(kLongest);
  std::string unique = name;
  for (int i = 2; !taken.insert(unique).second; ++i) {
    unique = fmt::format("{}_{}", name.substr(0, kLongest - kRoomForNumber), i);
  }
  return unique;
}

class SewnWriter {
 public:
  explicit SewnWriter(std::string& out) : out_(out) {}

  void piece(const SewnPiece& p) {
    const Vec2 at = p.boundary.points[0].at;
    text(at, 5.0, sewn::kPieceName + p.piece, sewn::kText);
    text(at, 5.0, sewn::kSize + p.size + " " + p.width, sewn::kText);
    text(at, 5.0, sewn::kWidth + p.width, sewn::kText);
    line(p.boundary, sewn::kBoundary);
    for (const SewnLine& l : p.internal_lines) line(l, sewn::kInternal);
    for (const SewnLine& l : p.cut_outs) line(l, sewn::kCutOut);
    for (const SewnLine& l : p.sew_lines) line(l, sewn::kSew);
    for (const SewnMark& m : p.notches) mark(m, sewn::kNotch);
    for (const SewnMark& m : p.drill_holes) mark(m, sewn::kDrill);
    if (p.mirror_line) straight(*p.mirror_line, sewn::kMirror);
    if (p.grain_line) straight(*p.grain_line, sewn::kGrain);
    for (const SewnText& t : p.texts) text(t.at, t.height, t.text, sewn::kText);
  }

  void style(const SewnStyle& s) {
    constexpr double kHeight = 5.0;  // mm of a capital
    double y = 0.0;
    const auto row = [&](const std::string& name, const std::string& value) {
      if (value.empty()) return;
      text({0.0, y}, kHeight, name + value, sewn::kText);
      y -= 2.0 * kHeight;
    };
    row(sewn::kStyleName, s.name);
    row(sewn::kProduct, s.product);
    row(sewn::kAuthor, s.author);
    row(sewn::kCreationDate, s.date);
    row(sewn::kUnits, sewn::kMetric);
    row(sewn::kSampleSize, s.sample_size);
    row(sewn::kRuleTable, s.rule_table);
  }

  void insert(const std::string& block) {
    out_ += "0\nINSERT\n8\n1\n2\n" + block + "\n10\n0.0\n20\n0.0\n30\n0.0\n";
  }

 private:
  void line(const SewnLine& l, int layer) {
    std::vector<Vec2> places;
    for (const SewnPoint& p : l.points) places.push_back(p.at);
    polyline(places, l.closed, layer);
    if (!l.dense.empty()) polyline(l.dense, l.closed, sewn::dense_of(layer));
    for (const SewnPoint& p : l.points) mark({p.at, p.rule}, p.turn ? sewn::kTurn : sewn::kCurve);
  }

  void mark(const SewnMark& m, int layer) {
    point(m.at, layer);
    if (m.rule > 0) text(m.at, 2.0, fmt::format("# {}", m.rule), layer);
  }

  void polyline(const std::vector<Vec2>& points, bool closed, int layer) {
    start("POLYLINE", layer);
    out_ +=
        closed ? "66\n1\n10\n0.0\n20\n0.0\n30\n0.0\n70\n1\n" : "66\n1\n10\n0.0\n20\n0.0\n30\n0.0\n70\n0\n";
    for (const Vec2 p : points) {
      start("VERTEX", layer);
      place(10, p);
    }
    start("SEQEND", layer);
  }

  void point(Vec2 at, int layer) {
    start("POINT", layer);
    place(10, at);
  }

  void straight(const std::pair<Vec2, Vec2>& ends, int layer) {
    start("LINE", layer);
    place(10, ends.first);
    place(11, ends.second);
  }

  void text(Vec2 at, double height, const std::string& words, int layer) {
    start("TEXT", layer);
    place(10, at);
    append_real(out_, "40\n", height, kCoordinateDigits);
    out_ += "1\n";
    append_dxf_text(out_, words);
    out_ += '\n';
  }

  void start(const char* type, int layer) { out_ += fmt::format("0\n{}\n8\n{}\n", type, layer); }

  void place(int code, Vec2 p) {
    for (const double value : {p.x, p.y, 0.0}) {
      append_whole(out_, static_cast<std::uint64_t>(code));
      out_ += '\n';
      append_decimal(out_, value, kCoordinateDigits);
      out_ += '\n';
      code += 10;
    }
  }

  std::string& out_;
};

// What is wrong with a piece, if anything.
std::optional<std::string> fault_of(const SewnPiece& piece) {
  constexpr double kSame = tolerance::kDrawingGrid.value();  // below it two points are written alike
  const auto fault_of_run = [&](const auto& points, auto place, bool closed,
                                std::size_t least) -> std::optional<std::string> {
    if (points.size() < least) return fmt::format("a line of {} points, fewer than {}", points.size(), least);
    for (std::size_t i = 0; i < points.size(); ++i) {
      const Vec2 p = place(points[i]);
      if (!is_drawable(p)) return "a point that is not finite or lies beyond a kilometre";
      const bool last = i + 1 == points.size();
      if (last && !closed) break;
      if (distance(p, place(points[last ? 0 : i + 1])) <= 2.0 * kSame) {
        return fmt::format("two points on the same place at ({:.3f}, {:.3f})", p.x, p.y);
      }
    }
    return std::nullopt;
  };
  if (!piece.boundary.closed) return "a boundary that is not closed";
  std::vector<const SewnLine*> lines{&piece.boundary};
  for (const auto* group : {&piece.internal_lines, &piece.cut_outs, &piece.sew_lines}) {
    for (const SewnLine& l : *group) lines.push_back(&l);
  }
  for (const SewnLine* l : lines) {
    const std::size_t least = l->closed ? 3 : 2;
    if (auto fault = fault_of_run(
            l->points, [](const SewnPoint& p) { return p.at; }, l->closed, least))
      return fault;
    if (l->dense.empty()) continue;
    if (auto fault = fault_of_run(
            l->dense, [](Vec2 p) { return p; }, l->closed, least))
      return fault;
  }
  std::vector<Vec2> others;
  for (const auto* marks : {&piece.notches, &piece.drill_holes}) {
    for (const SewnMark& mark : *marks) others.push_back(mark.at);
  }
  for (const auto& ends : {piece.mirror_line, piece.grain_line}) {
    if (!ends) continue;
    others.insert(others.end(), {ends->first, ends->second});
    if (distance(ends->first, ends->second) <= 2.0 * kSame) return "a mirror or grain line without length";
  }
  for (const SewnText& t : piece.texts) {
    others.push_back(t.at);
    if (!(t.height > 0.0 && is_drawable(t.height))) return "a text without a valid height";
  }
  for (const Vec2 p : others) {
    if (!is_drawable(p)) return "a point that is not finite or lies beyond a kilometre";
  }
  return std::nullopt;
}

}  // namespace

Result<std::string> write_sewn_dxf(const SewnDrawing& drawing) {
  const std::vector<SewnPiece>& pieces = drawing.pieces;
  std::set<std::tuple<std::string, std::string, std::string>> seen;
  Box2 extent;
  for (const SewnPiece& piece : pieces) {
    std::optional<std::string> fault = fault_of(piece);
    if (!seen.insert({piece.piece, piece.size, piece.width}).second)
      fault = "the same piece, size and width twice";
    if (fault) {
      Problem problem{Trouble::kGeometry, *fault, {}, {}, {}};
      problem.place.named = {{"piece", piece.piece}, {"size", piece.size}, {"width", piece.width}};
      return problem;
    }
    for (const SewnPoint& p : piece.boundary.points) extent.add(p.at);
  }
  static const DxfFrame12 frame(sewn_layers());
  std::string out;
  frame.begin(out, extent);
  SewnWriter writer(out);
  std::set<std::string> taken;
  std::vector<std::string> names;
  for (const SewnPiece& piece : pieces) {
    names.push_back(block_name(piece, taken));
    out += "0\nBLOCK\n8\n1\n2\n" + names.back() + "\n70\n0\n10\n0.0\n20\n0.0\n30\n0.0\n3\n" + names.back() +
           "\n";
    writer.piece(piece);
    out += "0\nENDBLK\n8\n1\n";
  }
  frame.begin_entities(out);
  writer.style(drawing.style);
  for (const std::string& name : names) writer.insert(name);
  frame.end(out);
  return out;
}

}  // namespace lastwright
