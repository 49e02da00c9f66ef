// Writes what the reader makes of files that another program
// wrote; tests/outside/dxf/check_read_dxf.py compares it.
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>

#include "geometry/io/dxf/dxf_read.hpp"
#include "tests/support/shared_folder.hpp"

using namespace lastwright;

TEST_CASE("dump of drawings for the outside check", "[.][dxf-dump]") {
  namespace fs = std::filesystem;
  const char* folder = std::getenv("LASTWRIGHT_OUTSIDE_DIR");
  REQUIRE(folder != nullptr);
  for (const auto& entry : fs::directory_iterator(folder)) {
    if (entry.path().extension() != ".dxf") continue;
    DxfReadOptions options;
    options.unit = DrawingUnit::kMillimetre;
    const Result<Drawing> drawing = read_dxf(test::read_bytes(entry.path()), options);
    std::ofstream out(fs::path(entry.path()).replace_extension(".dump"));
    out.precision(17);
    if (!drawing) {
      out << "refused\t" << to_text(drawing.problem()) << '\n';
      continue;
    }
    const auto head = [&](const char* kind, const DrawnFrom& from) {
      out << kind << '\t' << from.layer << '\t' << from.block;
    };
    for (const DrawnPath& path : drawing->paths) {
      head("path", path.from);
      double total = 0.0;
      for (const Curve& curve : path.curves) total += length(curve);
      out << '\t' << path.closed << '\t' << total << '\t';
      for (const Curve& curve : path.curves) {
        const int samples = std::holds_alternative<Spline>(curve) ? 512 : 64;
        for (int i = 0; i <= samples; ++i) {
          const Vec2 p = point_at(curve, static_cast<double>(i) / samples);
          out << p.x << ',' << p.y << ';';
        }
      }
      out << '\n';
    }
    for (const DrawnCircle& circle : drawing->circles) {
      head("circle", circle.from);
      out << '\t' << circle.centre.x << '\t' << circle.centre.y << '\t' << circle.radius << '\n';
    }
    for (const DrawnPoint& point : drawing->points) {
      head("point", point.from);
      out << '\t' << point.at.x << '\t' << point.at.y << '\n';
    }
    for (const DrawnText& text : drawing->texts) {
      head("text", text.from);
      std::string words = text.text;
      for (std::size_t at; (at = words.find('\n')) != std::string::npos;) words.replace(at, 1, "\\n");
      out << '\t' << text.at.x << '\t' << text.at.y << '\t' << text.height << '\t' << words << '\n';
    }
    for (const LeftOut& left : drawing->left_out) {
      head("left-out", left.from);
      out << '\t' << left.from.entity << '\t' << left.reason << '\n';
    }
  }
}
