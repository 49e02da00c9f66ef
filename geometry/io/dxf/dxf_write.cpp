#include "geometry/io/dxf/dxf_write.hpp"

#include <array>
#include <cmath>

#include "geometry/io/dxf/dxf_append.hpp"
#include "geometry/io/dxf/dxf_escape.hpp"
#include "geometry/io/dxf/dxf_header.hpp"
#include "geometry/io/dxf/dxf_reread.hpp"

namespace lastwright {
namespace {

constexpr std::size_t kBulgeDigits = 12;

// Index colours of middle lightness, told apart on a dark and
// on a light ground; 7 is white or black, whichever shows.
int colour_of(Operation operation) {
  switch (operation) {
    case Operation::kCut:
      return 7;
    case Operation::kCutOut:
      return 1;
    case Operation::kHole:
      return 30;
    case Operation::kNick:
      return 6;
    case Operation::kPrick:
      return 200;
    case Operation::kStitch:
      return 104;
    case Operation::kSkive:
      return 150;
    case Operation::kLapGuide:
      return 42;
    case Operation::kNetLine:
      return 8;
    case Operation::kFold:
      return 170;
    case Operation::kGrain:
      return 34;
    case Operation::kGuide:
      return 252;
    case Operation::kText:
      return 134;
  }
  return 7;
}

std::vector<DxfLayer> operation_layers() {
  std::vector<DxfLayer> layers;
  for (int i = 0; i < kOperationCount; ++i) {
    const auto operation = static_cast<Operation>(i);
    layers.push_back({layer_name(operation), colour_of(operation)});
  }
  return layers;
}

Box2 extent_of(const Sheet& sheet) {
  Box2 box;
  for (const SheetOutline& outline : sheet.outlines) box.add(bounds(outline.path));
  for (const SheetLine& line : sheet.lines) box.add(bounds(line.path));
  for (const SheetHole& hole : sheet.holes) box.add(Box2{hole.centre, hole.centre}.grown(hole.radius));
  for (const SheetText& text : sheet.texts) box.add(text.at);
  return box;
}

class SheetWriter {
 public:
  SheetWriter(std::string& out, DxfVersion version) : out_(out), modern_(version == DxfVersion::kR2000) {}

  void path(const std::vector<ArcVertex>& vertices, bool closed, Operation operation) {
    if (modern_) {
      start("LWPOLYLINE", operation, "AcDbPolyline");
      out_ += "90\n";
      append_whole(out_, vertices.size());
      out_ += closed ? "\n70\n1\n43\n0.0\n" : "\n70\n0\n43\n0.0\n";
      for (const ArcVertex& vertex : vertices) {
        point(vertex.at);
        bulge(vertex.bulge);
      }
      return;
    }
    start("POLYLINE", operation, "");
    out_ +=
        closed ? "66\n1\n10\n0.0\n20\n0.0\n30\n0.0\n70\n1\n" : "66\n1\n10\n0.0\n20\n0.0\n30\n0.0\n70\n0\n";
    for (const ArcVertex& vertex : vertices) {
      start("VERTEX", operation, "");
      point(vertex.at);
      out_ += "30\n0.0\n";
      bulge(vertex.bulge);
    }
    start("SEQEND", operation, "");
  }

  void hole(const SheetHole& hole) {
    start("CIRCLE", hole.operation, "AcDbCircle");
    point(hole.centre);
    out_ += "30\n0.0\n";
    append_real(out_, "40\n", hole.radius, kCoordinateDigits);
  }

  void text(const SheetText& text) {
    start("TEXT", text.operation, "AcDbText");
    point(text.at);
    out_ += "30\n0.0\n";
    append_real(out_, "40\n", text.height, kCoordinateDigits);
    out_ += "1\n";
    append_dxf_text(out_, text.text);
    out_ += '\n';
    append_real(out_, "50\n", std::remainder(to_degrees(text.angle), 360.0), kCoordinateDigits);
    if (modern_) out_ += "100\nAcDbText\n";
  }

 private:
  void start(const char* type, Operation operation, const char* subclass) {
    out_ += "0\n";
    out_ += type;
    if (modern_) {
      out_ += "\n5\n";
      append_whole(out_, handle_++, 16);
      out_ += "\n330\n1F\n100\nAcDbEntity";
    }
    out_ += "\n8\n";
    out_ += layer_name(operation);
    out_ += '\n';
    if (modern_) {
      out_ += "100\n";
      out_ += subclass;
      out_ += '\n';
    }
  }

  void point(Vec2 p) {
    append_real(out_, "10\n", p.x, kCoordinateDigits);
    append_real(out_, "20\n", p.y, kCoordinateDigits);
  }

  void bulge(double value) {
    if (value != 0.0) append_real(out_, "42\n", value, kBulgeDigits);
  }

  std::string& out_;
  bool modern_;
  std::uint64_t handle_ = DxfFrame2000::kFirstEntityHandle;
};

std::string write_prepared(const Sheet& prepared, const DxfWriteOptions& options) {
  static const DxfFrame2000 frame_2000(operation_layers());
  static const DxfFrame12 frame_12(operation_layers());
  const bool modern = options.version == DxfVersion::kR2000;
  const std::size_t entities =
      prepared.outlines.size() + prepared.lines.size() + prepared.holes.size() + prepared.texts.size();
  std::string out;
  if (modern) {
    frame_2000.begin(out, extent_of(prepared), entities);
  } else {
    frame_12.begin(out, extent_of(prepared));
    frame_12.begin_entities(out);
  }
  SheetWriter writer(out, options.version);
  for (const SheetOutline& outline : prepared.outlines)
    writer.path(outline.path.vertices, true, outline.operation);
  for (const SheetLine& line : prepared.lines) writer.path(line.path.vertices, false, line.operation);
  for (const SheetHole& hole : prepared.holes) writer.hole(hole);
  for (const SheetText& text : prepared.texts) writer.text(text);
  if (modern) {
    frame_2000.end(out);
  } else {
    frame_12.end(out);
  }
  return out;
}

}  // namespace

Result<std::string> write_dxf(const Sheet& sheet, const DxfWriteOptions& options) {
  const Result<Sheet> prepared = prepare_sheet(sheet, options.prepare);
  if (!prepared) return prepared.problem();
  return write_prepared(*prepared, options);
}

Result<std::string> write_checked_dxf(const Sheet& sheet, const DxfWriteOptions& options) {
  const Result<Sheet> prepared = prepare_sheet(sheet, options.prepare);
  if (!prepared) return prepared.problem();
  std::string bytes = write_prepared(*prepared, options);
  if (Status same = reread_prepared(bytes, *prepared, options.version); !same) return same.problem();
  return bytes;
}

}  // namespace lastwright
