// Drawings that other programs wrote, each read to figures
// worked out by other programs, or refused for a stated reason.
#include <catch2/catch.hpp>
#include <charconv>
#include <cmath>
#include <map>

#include "geometry/curve/arc_path.hpp"
#include "geometry/io/dxf/dxf_read.hpp"
#include "tests/support/shared_folder.hpp"

using namespace lastwright;

namespace {

// Refused, and what the message says.
const std::map<std::string, std::string> kRefused{
    {"ezdxf__cc_dxflib.dxf", "not flat"},  // a 3D polyline whose heights differ
    {"ezdxf__recover01.dxf", "a section should start here, not \"$EXTMIN\""},  // its header lost its start
    {"gdal__elliptical-arc-hatch-min.dxf", "cut off"},                         // ends without (0, EOF)
    {"gdal__insert-too-many-errors.dxf", "a section should start here"},       // made by a fuzzer
};

std::vector<std::vector<std::string>> read_csv(const std::string& text) {
  std::vector<std::vector<std::string>> rows;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t end = std::min(text.find('\n', at), text.size());
    std::vector<std::string> row{""};
    for (const char c : text.substr(at, end - at)) {
      if (c == ',') {
        row.emplace_back();
      } else if (c != '\r') {
        row.back() += c;
      }
    }
    rows.push_back(row);
    at = end + 1;
  }
  return rows;
}

double number(const std::string& text) {
  double value = std::nan("");
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

struct Measured {
  double area = 0.0;
  double length = 0.0;
  Box2 box;
};

// From lines and arcs only, in drawing units; an open polyline's
// area is summed without a closing term, as in the table.
Measured measure(const DrawnPath& path, double unit) {
  Measured m;
  const Vec2 origin = start_of(path.curves.front());
  for (const Curve& curve : path.curves) {
    const auto* arc = std::get_if<Arc>(&curve);
    const ArcSegment segment = arc ? arc->segment() : ArcSegment{start_of(curve), end_of(curve), 0.0};
    m.area += 0.5 * cross(segment.a - origin, segment.b - origin) + segment.bow_area();
    m.length += segment.length();
    m.box.add(segment.bounds());
  }
  m.area /= unit * unit;
  m.length /= unit;
  m.box = {m.box.low / unit, m.box.high / unit};
  return m;
}

}  // namespace

TEST_CASE("every sample drawing is read to its true figures, or refused with its reason", "[.shared]") {
  const auto folder = test::shared_folder("dxf-samples");
  if (!folder) {
    WARN("skipped: no folder shared/dxf-samples beside the project");
    return;
  }
  std::map<std::string, std::vector<std::vector<std::string>>> truth;
  for (const auto& row : read_csv(test::read_bytes(*folder / "truth.csv"))) {
    if (row.size() > 12 && row[0] != "file") truth[row[0]].push_back(row);
  }
  REQUIRE(truth.size() >= 7);
  std::size_t files = 0;
  std::size_t compared = 0;
  for (const auto& entry : std::filesystem::directory_iterator(*folder)) {
    if (entry.path().extension() != ".dxf") continue;
    ++files;
    const std::string name = entry.path().filename().string();
    CAPTURE(name);
    DxfReadOptions options;
    options.file_name = name;
    options.unit_may_default = true;
    const std::string bytes = test::read_bytes(entry.path());
    const Result<Drawing> drawing = read_dxf(bytes, options);
    if (const auto refused = kRefused.find(name); refused != kRefused.end()) {
      REQUIRE_FALSE(drawing.ok());
      CHECK(to_text(drawing.problem()).find(refused->second) != std::string::npos);
      continue;
    }
    if (!drawing) FAIL(to_text(drawing.problem()));
    CHECK(drawing->entities_in == drawing->used() + drawing->left_out.size());
    std::vector<const DrawnPath*> polylines;
    for (const DrawnPath& path : drawing->paths) {
      if (path.from.block.empty() && path.from.entity.ends_with("POLYLINE")) polylines.push_back(&path);
    }
    const auto& rows = truth[name];
    REQUIRE(polylines.size() >= rows.size());
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const auto& row = rows[i];
      const DrawnPath& path = *polylines[i];
      CAPTURE(i);
      CHECK(path.from.entity == row[2]);
      CHECK(path.from.layer == row[3]);
      CHECK(path.closed == (row[4] == "1"));
      CHECK(path.vertices == static_cast<std::size_t>(number(row[5])));
      const Measured m = measure(path, drawing->unit_in_mm);
      // The table gives 9 decimals: half of its last digit is allowed besides the relative 1e-6.
      const auto close = [](double found, double wanted) {
        return std::abs(found - wanted) <= 1e-6 * std::abs(wanted) + 1e-9;
      };
      // Of a box the figure is relative to its size, not to where it lies.
      const double size = std::max(m.box.width(), m.box.height());
      const auto close_in_box = [&](double found, double wanted) {
        return std::abs(found - wanted) <= 1e-6 * size + 1e-9;
      };
      CHECK(close(m.area, number(row[7])));
      CHECK(close(m.length, number(row[8])));
      CHECK(close_in_box(m.box.low.x, number(row[9])));
      CHECK(close_in_box(m.box.low.y, number(row[10])));
      CHECK(close_in_box(m.box.high.x, number(row[11])));
      CHECK(close_in_box(m.box.high.y, number(row[12])));
      ++compared;
    }
  }
  CHECK(files >= 21);
  CHECK(compared >= 54);
}

TEST_CASE("sample drawings hold what their own index says", "[.shared]") {
  const auto folder = test::shared_folder("dxf-samples");
  if (!folder) {
    WARN("skipped: no folder shared/dxf-samples beside the project");
    return;
  }
  const auto read = [&](const std::string& name, bool repair = false) {
    DxfReadOptions options;
    options.unit_may_default = true;
    options.repair = repair;
    Result<Drawing> drawing = read_dxf(test::read_bytes(*folder / name), options);
    if (!drawing) FAIL(name << ": " << to_text(drawing.problem()));
    return std::move(drawing).value();
  };
  CHECK(read("ezdxf__AC1003_LINE_Example.dxf").paths.size() == 22);
  CHECK(read("gdal__bin_dxf_r12.dxf").paths.size() == 3);
  CHECK(read("gdal__circle.dxf").circles.size() == 1);
  CHECK(read("dxf-parser__splines.dxf").paths.size() == 2);
  CHECK(read("ezdxf__dxf_unicode.dxf").unit_in_mm == 1000.0);
  CHECK(read("ezdxf__Minimal_DXF_AC1009.dxf").entities_in == 0);
  // Three circles and an arc that were exported as splines:
  // their lengths are those of circles (radius 32.32015...).
  const Drawing arcs = read("dxf-parser__arcs-as-splines.dxf");
  REQUIRE(arcs.paths.size() == 3);
  CHECK(arcs.paths[0].closed);
  CHECK(length(arcs.paths[0].curves[0]) ==
        Approx(2.0 * 3.14159265358979 * (233.6663114494559 - 201.3461153580332)));
  CHECK_FALSE(arcs.paths[2].closed);
  // Repair is asked for: the missing end is listed, and everything whole is there.
  const Drawing repaired = read("gdal__elliptical-arc-hatch-min.dxf", true);
  CHECK(repaired.left_out.size() == 2);
  CHECK(repaired.repairs.size() == 1);
}
