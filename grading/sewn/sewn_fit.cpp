#include "grading/sewn/sewn_fit.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geometry/check/hausdorff.hpp"
#include "grading/sewn/sewn_curve.hpp"
#include "grading/sewn/sewn_sort.hpp"

namespace lastwright {

namespace {

MeasuredOutline measured(const std::vector<Vec2>& places, bool closed) {
  ClosedArcPath loop;
  for (const Vec2 p : places) loop.vertices.push_back({p, 0.0});
  return closed ? MeasuredOutline(loop) : MeasuredOutline(OpenArcPath{std::move(loop.vertices)});
}

double off(const MeasuredOutline& one, const MeasuredOutline& other, double floor) {
  const double floors[] = {floor};
  HausdorffOptions options;
  options.precision = Millimetres(kSewnFit);
  options.floors = floors;
  const HausdorffResult far = hausdorff(one, other, options);
  return far.value > floor ? far.value + far.precision : far.value;
}

// Splines between corners, and all round where there is none.
std::vector<Vec2> smooth_line(const SewnLine& line) {
  constexpr int kParts = 16;
  const std::size_t n = line.points.size();
  std::size_t first = 0;
  while (first < n && !line.points[first].turn) ++first;
  std::vector<Vec2> all;
  std::vector<Vec2> run;
  if (first == n) {
    for (const SewnPoint& point : line.points) run.push_back(point.at);
    return spline_through(run, line.closed, kParts);
  }
  const auto flush = [&] {
    if (run.size() < 2) return;
    const std::vector<Vec2> places = spline_through(run, false, kParts);
    all.insert(all.end(), places.begin(), places.end() - 1);
  };
  const std::size_t steps = line.closed ? n : n - 1 - first;
  run = {line.points[first].at};
  for (std::size_t k = 1; k <= steps; ++k) {
    const SewnPoint& point = line.points[(first + k) % n];
    run.push_back(point.at);
    if (!point.turn && k < steps) continue;
    flush();
    run = {point.at};
  }
  if (!line.closed) all.push_back(line.points.back().at);
  return all;
}

class Fitter {
 public:
  Fitter(const SewnPiece& drawn, SewnFit worst) : drawn_(drawn), worst_(std::move(worst)) {}

  void line(const SewnLine& line, const Track& track, const std::string& name) {
    const MeasuredOutline truth =
        track.closed ? MeasuredOutline(closed_path(track)) : MeasuredOutline(open_path(track));
    std::vector<Vec2> places;
    for (const SewnPoint& point : line.points) places.push_back(point.at);
    const double straight = off(measured(places, line.closed), truth, worst_.straight);
    const double smooth = off(measured(smooth_line(line), line.closed), truth, worst_.smooth);
    const double dense = off(measured(line.dense, line.closed), truth, worst_.dense);
    worst_.add({straight, smooth, dense,
                fmt::format("{} {} {}, {}", drawn_.piece, drawn_.size, drawn_.width, name)});
  }
  void lines(const std::vector<SewnLine>& lines, const std::vector<Track>& tracks, const char* name) {
    for (std::size_t i = 0; i < lines.size(); ++i)
      line(lines[i], tracks[i], fmt::format("{} {}", name, i + 1));
  }
  SewnFit result() && { return std::move(worst_); }

 private:
  const SewnPiece& drawn_;
  SewnFit worst_;
};

}  // namespace

void SewnFit::add(const SewnFit& other) {
  if (std::max(other.straight, other.smooth) > std::max(straight, smooth)) where = other.where;
  straight = std::max(straight, other.straight);
  smooth = std::max(smooth, other.smooth);
  dense = std::max(dense, other.dense);
}

Result<SewnFit> fit_of(const SewnPiece& drawn, const GradedPiece& graded, const SewnFit& worst) {
  const SewnSorted truth = sorted(graded);
  const std::size_t net = graded.net.path.vertices != graded.cut.path.vertices ? 1 : 0;
  const std::size_t grain = drawn.grain_line ? 1 : 0;
  const std::pair<const char*, std::pair<std::size_t, std::size_t>> counts[] = {
      {"internal lines", {drawn.internal_lines.size(), truth.internal.size()}},
      {"cut-outs", {drawn.cut_outs.size(), truth.cut_outs.size()}},
      {"sew lines", {drawn.sew_lines.size(), truth.sew.size()}},
      {"notches", {drawn.notches.size(), truth.notches.size() + truth.size_notches.size()}},
      {"drill holes", {drawn.drill_holes.size(), truth.drills.size()}},
      {"lines and notches",
       {drawn.internal_lines.size() + drawn.sew_lines.size() - net + drawn.notches.size() + grain,
        graded.lines.size()}}};
  for (const auto& [what, numbers] : counts) {
    if (numbers.first == numbers.second) continue;
    return Problem{Trouble::kInternal,
                   fmt::format("the sewn-products drawing has {} {} of the piece's {}", numbers.first, what,
                               numbers.second),
                   {},
                   static_cast<double>(numbers.first),
                   static_cast<double>(numbers.second)}
        .in("width", drawn.width)
        .in("size", drawn.size)
        .in("piece", drawn.piece);
  }
  for (const SheetText& text : graded.texts) {
    if (std::any_of(drawn.texts.begin(), drawn.texts.end(),
                    [&](const SewnText& one) { return one.text == text.text; }))
      continue;
    return Problem{Trouble::kInternal, "the sewn-products drawing lacks the text " + text.text, {}, {}, {}}
        .in("width", drawn.width)
        .in("size", drawn.size)
        .in("piece", drawn.piece);
  }
  Fitter fitter(drawn, worst);
  fitter.line(drawn.boundary, truth.boundary, "cut line");
  fitter.lines(drawn.internal_lines, truth.internal, "line");
  fitter.lines(drawn.cut_outs, truth.cut_outs, "cut-out");
  fitter.lines(drawn.sew_lines, truth.sew, "sew line");
  return std::move(fitter).result();
}

}  // namespace lastwright
