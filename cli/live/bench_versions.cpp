#include "cli/live/bench_versions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>
#include <vector>

#include "cli/live/bench_folder.hpp"
#include "cli/live/live_json.hpp"
#include "cli/redraw/compare_report.hpp"
#include "cli/redraw/redraw_text.hpp"
#include "geometry/curve/curve_measure.hpp"
#include "grading/pieces/place/piece_lie.hpp"
#include "grading/redraw/redraw_style.hpp"
#include "grading/redraw/style_compare.hpp"
#include "grading/style/style_json.hpp"

namespace lastwright {

namespace {

constexpr double kTraced = 0.05;  // mm: how closely the lines on the sheet follow what is drawn

Json line_json(const std::vector<Vec2>& points) {
  Json out = Json::array();
  for (const Vec2 p : points) out.push_back({std::llround(100.0 * p.x), std::llround(100.0 * p.y)});
  return out;
}
std::vector<Vec2> points_of(const std::vector<Curve>& curves) {
  std::vector<Vec2> points;
  for (const Curve& curve : curves) {
    const std::vector<Vec2> more = flattened(curve, Millimetres(kTraced));
    points.insert(points.end(), more.begin(), more.end());
  }
  return points;
}

// How the piece was laid from where it is drawn onto its forme.
std::optional<PieceLie> lie_of(const Checked<LoadedStyle>& load, const std::string& piece) {
  if (!load.ok()) return std::nullopt;
  for (const BoundPiece& one : load->pieces) {
    if (one.spec.name == piece) return one.lie;
  }
  return std::nullopt;
}
std::vector<Vec2> laid(std::vector<Vec2> points, const std::optional<PieceLie>& lie) {
  if (!lie) return points;
  const PlaneAffine motion = motion_of(*lie);
  for (Vec2& p : points) p = motion.point(p);
  return points;
}

struct LoadedVersion {
  Json document;
  LoadedStyle style;
  StyleGrade grade;
};
Result<LoadedVersion> load_version(const BenchVersion& version, const LoadStyleOptions& files,
                                   unsigned threads) {
  const Result<JsonDocument> document = parse_json(version.text, version.path);
  if (!document) return document.problem();
  Checked<LoadedStyle> load = load_style_text(version.path, version.text, files);
  if (!load.ok()) return load.problems().front();
  Result<StyleGrade> grade = grade_style(load->spec, load->measures, load->run, load->pieces, {}, threads);
  if (!grade) return grade.problem();
  return LoadedVersion{document->root, *std::move(load), *std::move(grade)};
}

}  // namespace

Result<BenchRedraw> redraw_on_bench(const BenchVersion& style, const LoadStyleOptions& files,
                                    const Json& asked) {
  const std::string key = text_in(asked, "drawing").value_or("");
  const std::string name = text_in(asked, "file").value_or("");
  const auto file = beside(style.path, ".dxf", name);
  if (!file) return bad_value(fmt::format("there is no drawing {} beside the style", name));
  const StyleRead read = read_style(style.text, style.path);
  if (!read.ok()) return read.problems.front();
  const auto& drawings = read.style->drawings;
  const auto old =
      std::find_if(drawings.begin(), drawings.end(), [&](const DrawingSpec& one) { return one.key == key; });
  if (old == drawings.end()) return bad_value(fmt::format("the style has no drawing {}", key));
  if (old->file == name)
    return bad_value(
        "this is the drawing that the style has: without the one it was made from nothing can be compared; "
        "save "
        "the change under another name");
  RedrawOptions options;
  options.files = files;
  options.text = style.text;
  options.fresh[key] = *file;
  options.names[pointer_to("/drawings", key) + "/file"] = name;
  options.corners.slide = asked.value("slide", Json()) == true;
  if (const auto reach = asked.find("reach"); reach != asked.end() && reach->is_number())
    options.corners.reach = std::clamp(reach->get<double>(), 0.1, 200.0);
  const Redraw redraw = redraw_style(style.path, options);
  const Checked<LoadedStyle> load = load_style_text(style.path, style.text, files);
  BenchRedraw out{redraw.problems.empty() ? redraw.text : std::string(),
                  parse_json(redraw_json(redraw), "the redraw")->root};
  for (std::size_t i = 0; i < redraw.problems.size(); ++i)
    out.answer["problems"][i]["says"] = plain_text(redraw.problems[i]);
  out.answer["trace"] = Json::array();
  for (const RedrawnPiece& piece : redraw.pieces) {
    const std::optional<PieceLie> lie = lie_of(load, piece.name);
    out.answer["trace"].push_back({{"piece", piece.name},
                                   {"was", line_json(laid(points_of(piece.was), lie))},
                                   {"now", line_json(laid(points_of(piece.now), lie))}});
  }
  return out;
}

Result<Json> compare_on_bench(const BenchVersion& was, const BenchVersion& now, const LoadStyleOptions& files,
                              unsigned threads) {
  const Result<LoadedVersion> before = load_version(was, files, threads);
  if (!before) return before.problem();
  const Result<LoadedVersion> after = load_version(now, files, threads);
  if (!after) return after.problem();
  Result<StyleCompare> compare = compare_versions(before->style, before->grade, after->style, after->grade,
                                                  {CompareOptions{}.tolerance, threads});
  if (!compare) return compare.problem();
  compare->stated = stated_differences(before->document, after->document);
  Json out = parse_json(compare_json(*compare, {was.path, now.path}), "the comparison")->root;
  out["trace"] = Json::array();
  for (const PieceCompare& piece : compare->pieces) {
    if (!piece.was || !piece.now) continue;
    out["trace"].push_back({{"piece", piece.piece},
                            {"was", line_json(flattened(piece.base_was, Millimetres(kTraced)))},
                            {"now", line_json(flattened(piece.base_now, Millimetres(kTraced)))}});
  }
  return out;
}

}  // namespace lastwright
