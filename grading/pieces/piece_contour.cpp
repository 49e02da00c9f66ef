#include "grading/pieces/piece_contour.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "geometry/curve/curve.hpp"
#include "geometry/io/dxf/drawn_twice.hpp"
#include "grading/pieces/drawing/open_contours.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostListed = 6;

Problem source_refused(const char* pointer, std::string message) {
  Problem problem{Trouble::kBadValue, std::move(message), {}, {}, {}};
  problem.place.pointer = pointer;
  return problem;
}

std::string listed(const std::vector<std::size_t>& which, const PatternDrawing& drawing) {
  std::string text;
  for (std::size_t i = 0; i < which.size() && i < kMostListed; ++i) {
    text += (i == 0 ? "" : "; ") + described(drawing.contours[which[i]]);
  }
  return which.size() > kMostListed ? fmt::format("{}; and {} more", text, which.size() - kMostListed) : text;
}

void add_once(std::vector<std::string>& names, const std::string& name) {
  if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
}

class ContourFinder {
 public:
  ContourFinder(const OutlineSource& source, const PatternDrawing& drawing)
      : source_(source), drawing_(drawing) {}

  Result<std::size_t> run() {
    std::vector<std::size_t> fitting;
    std::vector<std::size_t> open;
    for (std::size_t i = 0; i < drawing_.contours.size(); ++i) {
      const PatternContour& contour = drawing_.contours[i];
      if (!on_layer(contour) || !in_block(contour)) continue;
      if (!contour.contour.closed) {
        open.push_back(i);
      } else if (!source_.at || inside_polygon(contour.polygon, *source_.at)) {
        fitting.push_back(i);
      }
    }
    if (fitting.empty()) return open.empty() ? nothing() : only_open(open);
    if (source_.at) {
      std::stable_sort(fitting.begin(), fitting.end(), [&](std::size_t a, std::size_t b) {
        return drawing_.contours[a].area < drawing_.contours[b].area;
      });
      return fitting.front();
    }
    if (fitting.size() == 1) return fitting.front();
    return source_refused(
        "/outline",
        fmt::format(
            "{} contours fit, and the piece is one; name its block, its layer or a point inside it{}: {}",
            fitting.size(),
            within_each_other(fitting) ? ", or say by \"inside\" of the drawing what closed lines inside an "
                                         "outline on its layer are, cut-outs or drill holes"
                                       : "",
            listed(fitting, drawing_)));
  }

 private:
  // All of them lie in the largest: then it may be the piece, and the others what is cut in it.
  [[nodiscard]] bool within_each_other(const std::vector<std::size_t>& which) const {
    const auto area = [&](std::size_t i) { return drawing_.contours[i].area; };
    const std::size_t largest = *std::max_element(
        which.begin(), which.end(), [&](std::size_t a, std::size_t b) { return area(a) < area(b); });
    return std::all_of(which.begin(), which.end(), [&](std::size_t i) {
      const PatternContour& one = drawing_.contours[i];
      return i == largest || (!one.polygon.empty() &&
                              inside_polygon(drawing_.contours[largest].polygon, one.polygon.front()));
    });
  }

  [[nodiscard]] bool on_layer(const PatternContour& contour) const {
    if (contour.inner) return false;
    if (source_.layer) return contour.contour.from.layer == *source_.layer;
    return contour.role == LayerRole::kBoundary && !contour.named_only;
  }
  [[nodiscard]] bool in_block(const PatternContour& contour) const {
    return !source_.block || contour.contour.from.block == *source_.block;
  }

  // Says which of the things asked for is not there at all.
  [[nodiscard]] Problem nothing() const {
    std::vector<std::string> blocks;
    std::vector<std::string> layers;
    std::vector<std::size_t> boundaries;
    bool block_there = false;
    bool layer_there = false;
    for (std::size_t i = 0; i < drawing_.contours.size(); ++i) {
      const PatternContour& contour = drawing_.contours[i];
      if (!contour.contour.from.block.empty()) add_once(blocks, contour.contour.from.block);
      add_once(layers, contour.contour.from.layer);
      block_there = block_there || in_block(contour);
      layer_there = layer_there || on_layer(contour);
      if (on_layer(contour) && contour.contour.closed) boundaries.push_back(i);
    }
    if (drawing_.contours.empty())
      return source_refused("/outline/drawing", "the drawing holds no lines at all");
    if (source_.block && !block_there) {
      return source_refused("/outline/block",
                            fmt::format("the drawing has no block {} with lines in it{}", *source_.block,
                                        suggestion(*source_.block, blocks)));
    }
    if (source_.layer && !layer_there) {
      return source_refused("/outline/layer",
                            fmt::format("the drawing has no lines on the layer {}{}", *source_.layer,
                                        suggestion(*source_.layer, layers)));
    }
    if (!layer_there) {
      return source_refused(
          "/outline/drawing",
          fmt::format("no layer of the drawing is the boundary; say in its \"layers\" which one is{}",
                      suggestion("", layers)));
    }
    if (source_.at && !boundaries.empty()) {
      return source_refused(
          "/outline/at", fmt::format("no boundary goes round ({:.3f}, {:.3f}); there are: {}", source_.at->x,
                                     source_.at->y, listed(boundaries, drawing_)));
    }
    return source_refused("/outline",
                          fmt::format("no boundary fits; there are: {}", listed(boundaries, drawing_)));
  }

  [[nodiscard]] Problem only_open(const std::vector<std::size_t>& open) const {
    const auto& curves = drawing_.contours[open.front()].contour.raw.curves;
    const Vec2 from = start_of(curves.front());
    const Vec2 to = end_of(curves.back());
    Problem problem = source_refused(
        "/outline", fmt::format("the boundary is open between {} and {}; {}: {}", drawn_place(drawing_, from),
                                drawn_place(drawing_, to), remedy(open.front()), listed(open, drawing_)));
    problem.trouble = Trouble::kGeometry;
    problem.value = distance(from, to);
    problem.limit = drawing_.spec.chain_gap.value();
    return problem;
  }

  // What closes it: a wider gap is no remedy for a line that is not there.
  [[nodiscard]] std::string remedy(std::size_t open) const {
    const Contour& contour = drawing_.contours[open].contour;
    for (const LeftOut& one : drawing_.drawing.left_out) {
      if (one.from.layer == contour.from.layer && one.from.insert == contour.from.insert &&
          one.reason.rfind(kDrawnTwice, 0) == 0)
        return fmt::format(
            "a line of the layer was left out because it lies on another (line {}): where two outlines share "
            "a "
            "line, draw each on a layer of its own or as one closed line",
            one.from.line);
    }
    const double gap = distance(start_of(contour.raw.curves.front()), end_of(contour.raw.curves.back()));
    if (gap > kMostJoined)
      return fmt::format("more than {:g} mm apart, so a line is missing there", kMostJoined);
    return "\"chain_gap\" of the drawing widens what is joined";
  }

  const OutlineSource& source_;
  const PatternDrawing& drawing_;
};

}  // namespace

Result<std::size_t> find_contour(const OutlineSource& source, const PatternDrawing& drawing) {
  return ContourFinder(source, drawing).run();
}

}  // namespace lastwright
