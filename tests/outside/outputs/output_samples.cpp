// Writes samples of every kind of output with what outside tools shall find in them (expected.json); and sets
// of files for the kill and race test.
//
//   output_samples write FOLDER
//   output_samples set FOLDER COUNT BYTES MARK [--force]
#include <fmt/format.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <string>
#include <thread>
#include <vector>

#include "cli/exit_codes.hpp"
#include "cli/files/output_set.hpp"
#include "cli/report/nest_svg.hpp"
#include "cli/report/piece_sheet_svg.hpp"
#include "cli/tables/csv.hpp"
#include "cli/tables/xlsx.hpp"
#include "geometry/io/paper/pdf_write.hpp"
#include "geometry/io/paper/svg_write.hpp"

using namespace lastwright;

namespace {

const ClosedArcPath kOutline{
    {{{0, 0}, 0.3}, {{300, 20}, 0.2}, {{290, 260}, 0.1}, {{150, 250}, -0.4}, {{10, 240}, -0.1}}};
const ClosedArcPath kKeyhole{{{{100, 100}, 2.5}, {{110, 100}, 0.0}, {{110, 140}, 1.0}, {{100, 140}, 0.0}}};
const ClosedArcPath kRound{{{{200, 100}, 1.0}, {{240, 100}, 1.0}}};

Sheet sample_sheet() {
  Sheet sheet;
  sheet.title = "vamp <8½> & \"F\"";
  sheet.outlines = {
      {kOutline, Operation::kCut}, {kKeyhole, Operation::kCutOut}, {kRound, Operation::kCutOut}};
  sheet.lines.push_back({OpenArcPath{{{{20, 20}, 0.2}, {{270, 220}, 0}}}, Operation::kStitch});
  sheet.holes.push_back({{50, 150}, 5.0, Operation::kHole});
  sheet.texts.push_back({{60, 200}, 5.0, from_degrees(20), "8½ <F> & \x01", Operation::kText});
  return sheet;
}

GradedPiece sample_piece() {
  GradedPiece piece;
  piece.piece = "vamp <script>";
  piece.at.size.label = "8½";
  piece.at.width.label = "F";
  piece.net = {kOutline, std::vector<std::uint16_t>(kOutline.size(), 0)};
  piece.cut = piece.net;
  piece.cut_outs = {kKeyhole, kRound};
  return piece;
}

std::string sample_nest() {
  std::vector<NestOutline> outlines;
  for (int i = 0; i < 7; ++i) {
    ClosedArcPath path = kOutline;
    for (ArcVertex& v : path.vertices) v.at = (1.0 + 0.02 * (i - 3)) * v.at;
    outlines.push_back({.label = std::to_string(i),
                        .path = path,
                        .place = i < 3    ? NestPlace::kSmaller
                                 : i == 3 ? NestPlace::kBase
                                          : NestPlace::kLarger});
  }
  return nest_svg(outlines, {.title = "vamp", .subtitle = "sizes", .kept = Vec2{}});
}

Table sample_table() {
  return {"girths: all [mm]",
          {{"size"}, {"width"}, {"ball girth, mm"}, {"pairs", 8.0, 0}},
          {{{"8½"}, {"F"}, {246.125}, {std::int64_t{12}}},
           {{"=1+1"}, {"@x"}, {-0.004, Emphasis::kBad}, {std::int64_t{0}}},
           {{"two\nlines, \"quoted\""}, {}, {1e9 / 3, Emphasis::kGood}, {}}},
          1};
}

nlohmann::json points_of(const ClosedArcPath& path) {
  nlohmann::json points = nlohmann::json::array();
  for (const Vec2 p : flattened(path, Millimetres(1e-5))) points.push_back({p.x, p.y});
  return points;
}

int write_samples(const std::filesystem::path& folder) {
  std::filesystem::create_directories(folder);
  const auto put = [&](const std::string& name, const std::string& bytes) {
    std::ofstream(folder / name, std::ios::binary) << bytes;
  };
  const Sheet sheet = sample_sheet();
  nlohmann::json expected;
  expected["outline"] = points_of(kOutline);
  expected["areas"] = {{"cut", {signed_area(kOutline)}},
                       {"cut-out", {signed_area(kKeyhole), signed_area(kRound)}}};
  put("sheet.svg", write_svg(sheet, {.margin = 5.0}));
  const Box2 page = bounds(sheet).grown(5.0);
  expected["svg_page"] = {page.width(), page.height()};
  put("piece.svg", piece_sheet_svg(sample_piece(),
                                   {.style = "a & b", .per_pair = 2, .edges = {{"all", "lasting", 18.0}}}));
  put("nest.svg", sample_nest());
  put("table.csv", to_csv(sample_table()));
  const auto book = to_xlsx({sample_table(), sample_table()}, "girths");
  if (!book) return 1;
  put("table.xlsx", *book);
  for (const char* name : {"A4", "A3", "Letter", "roll 900"}) {
    const auto paper = paper_named(name);
    const auto pdf = write_pdf({sheet}, {.paper = *paper, .title = "sample"});
    const auto plan = plan_tiles(bounds(sheet).grown(3.0), *paper, {});
    if (!pdf || !plan) return 1;
    put(std::string(name) + ".pdf", *pdf);
    nlohmann::json tiles = nlohmann::json::array();
    for (const Tile& t : plan->tiles) {
      tiles.push_back({{"name", tile_name(*plan, t.row, t.column)},
                       {"shown", {t.shown.low.x, t.shown.low.y, t.shown.high.x, t.shown.high.y}}});
    }
    expected["pdf"][name] = {
        {"page", {plan->page_width, plan->page_height}}, {"margin", TileOptions{}.margin}, {"tiles", tiles}};
  }
  put("expected.json", expected.dump(1));
  return 0;
}

int write_set(const std::string& folder, int count, std::size_t bytes, const std::string& mark, bool force) {
  Result<OutputSet> set = OutputSet::begin(folder, {.force = force});
  if (!set)
    return fmt::print(stderr, "{}\n", to_text(set.problem())),
           static_cast<int>(exit_code_of(set.problem().trouble));
  const std::string content(bytes, mark.front());
  const auto add = [&](int first) {
    for (int i = first; i < count; i += 2)
      (void)set->add(fmt::format("piece {}/{} {}.dxf", i % 20, mark, i), content);
  };
  std::thread other(add, 1);
  add(0);
  other.join();
  const auto written = set->commit();
  if (!written)
    return fmt::print(stderr, "{}\n", to_text(written.problem())),
           static_cast<int>(exit_code_of(written.problem().trouble));
  return 0;
}

}  // namespace

int main(int argc, char** argv) {
  ignore_write_signals();
  const std::vector<std::string> arguments(argv + 1, argv + argc);
  if (arguments.size() == 2 && arguments[0] == "write") return write_samples(arguments[1]);
  if (arguments.size() >= 5 && arguments[0] == "set") {
    return write_set(arguments[1], std::stoi(arguments[2]), std::stoul(arguments[3]), arguments[4],
                     arguments.size() > 5);
  }
  return 2;
}
