// The outlines of graded lasts for a page that shows one at a time.
#include <fmt/format.h>

#include <cmath>

#include "cli/last/last_report.hpp"
#include "cli/last/section_lines.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "geometry/vec2.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

constexpr double kUnits = 10.0;  // a millimetre
const SectionOptions kCoarse{0.05, 8};

// Path data in whole units: a line goes on where the next part begins where the last one ended.
class PathData {
 public:
  void line(Vec2 from, Vec2 to) {
    const Place a = place(from);
    const Place b = place(to);
    if (b.x == a.x && b.y == a.y) return;
    if (data_.empty() || a.x != at_.x || a.y != at_.y) {
      data_ += fmt::format("M{} {}", a.x, a.y);
      at_ = a;
      lines_ = false;
    }
    data_ += fmt::format("{}{} {}", lines_ ? " " : "l", b.x - at_.x, b.y - at_.y);
    lines_ = true;
    at_ = b;
  }
  [[nodiscard]] const std::string& data() const { return data_; }

 private:
  struct Place {
    long x = 0;
    long y = 0;
  };
  static Place place(Vec2 p) { return {std::lround(kUnits * p.x), std::lround(-kUnits * p.y)}; }

  std::string data_;
  Place at_;
  bool lines_ = false;  // numbers go on as parts of the last command
};

std::string section_data(const Form& form, const SectionView& view) {
  const Section section = cut_section(form, view.plane, kCoarse);
  const auto flat = [&](Vec3 at) {
    const Vec3 p = at - view.origin;
    return Vec2{dot(p, view.right), dot(p, view.up)};
  };
  PathData path;
  for (const std::vector<Vec3>& line : section_lines(section)) {
    for (std::size_t i = 1; i < line.size(); ++i) path.line(flat(line[i - 1]), flat(line[i]));
  }
  return path.data();
}

// Featherline and rim of the top.
std::string plan_data(const Body& body) {
  constexpr int kChords = 48;
  PathData path;
  for (const BodyEdge* edge : plan_edges(body)) {
    const BodyEdge& e = *edge;
    const int chords = body.facets ? 1 : kChords;
    Vec2 before;
    for (int k = 0; k <= chords; ++k) {
      const Vec3 p = body.facets ? (k == 0 ? e.curve.poles.front() : e.curve.poles.back())
                                 : e.curve.point(e.from + (e.to - e.from) * k / chords);
      if (k > 0) path.line(before, {p.x, p.y});
      before = {p.x, p.y};
    }
  }
  return path.data();
}

}  // namespace

std::string outlines_row(const BaseLast& base, const GradedLast& last) {
  const Form form = make_form(last.body);
  Json views{{"side", section_data(form, {plane_through({0, 0, 0}, {0, 1, 0}), {}, {1, 0, 0}, {0, 0, 1}})},
             {"plan", plan_data(last.body)}};
  for (std::size_t i = 0; i < base.definitions.size(); ++i) {
    if (const std::optional<SectionView> view = section_view(base, last, form, i))
      views[base.definitions[i].measure] = section_data(form, *view);
  }
  return Json{{"size", last.at.size.label}, {"width", last.at.width.label}, {"views", std::move(views)}}
      .dump();
}

std::string outlines_json(const LastSet& set, const LastRunExtra& extra) {
  std::string out =
      fmt::format("{{\"lastwright_last_outlines\": 1, \"units_per_mm\": {}, \"lasts\": [", kUnits);
  const char* between = "\n";
  for (const LastResult& last : set.results) {
    out += between + extra.outlines[last.job];
    between = ",\n";
  }
  return out + "\n]}\n";
}

}  // namespace lastwright
