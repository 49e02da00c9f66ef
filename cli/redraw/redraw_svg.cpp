#include "cli/redraw/redraw_svg.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geometry/box2.hpp"
#include "geometry/curve/curve_measure.hpp"
#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

namespace {

constexpr double kMargin = 12.0;     // mm round each piece
constexpr double kTitle = 8.0;       // mm above it
constexpr double kRowWidth = 420.0;  // mm: pieces are set in rows of about this width

const LineStyle kWas{"was", "as it was drawn", palette::kGrey, 0.3, {2.0, 1.2}};
const LineStyle kNow{"now", "as it is drawn now", palette::kBlack, 0.35, {}};
const LineStyle kMove{"moved", "moved", palette::kVermilion, 0.3, {}};

struct Framed {
  const RedrawnPiece* piece = nullptr;
  Box2 box;
  Vec2 shift;  // of the piece's coordinates on the page, y up, from its top left
};

void draw(SvgCanvas& canvas, const std::vector<Curve>& curves, Vec2 by) {
  OpenArcPath path;
  for (const Curve& curve : curves) {
    for (const Vec2 p : flattened(curve, Millimetres(0.02))) path.vertices.push_back({p + by, 0.0});
  }
  canvas.line(path);
}

void mark(SvgCanvas& canvas, Vec2 from, Vec2 to, double distance, const std::string& name) {
  canvas.circle(to, 0.8, stroke_attributes(kMove));
  canvas.segment(from, to, stroke_attributes(kMove));
  canvas.text({.at = to + Vec2{1.4, 0.8},
               .height = 2.2,
               .angle = {},
               .anchor = Anchor::kStart,
               .colour = palette::kVermilion,
               .bold = false,
               .halo = true},
              fmt::format("{}{:.2f}", name.empty() ? "" : name + " ", distance));
}

void draw_piece(SvgCanvas& canvas, const Framed& frame, std::size_t number) {
  const RedrawnPiece& piece = *frame.piece;
  canvas.open_group(fmt::format("piece-{}", number), piece.name);
  canvas.text({.at = Vec2{frame.box.low.x, frame.box.high.y + 3.0} + frame.shift,
               .height = 3.2,
               .angle = {},
               .anchor = Anchor::kStart,
               .colour = palette::kBlack,
               .bold = true,
               .halo = false},
              piece.name);
  canvas.open_group(kWas);
  draw(canvas, piece.was, frame.shift);
  canvas.close_group();
  canvas.open_group(kNow);
  draw(canvas, piece.now, frame.shift);
  canvas.close_group();
  for (const MovedPlace& corner : piece.corners) {
    const double off = distance(corner.was, corner.now);
    if (off < kSameDrawn) continue;
    mark(canvas, corner.was + frame.shift, corner.now + frame.shift, off,
         corner.what.substr(corner.what.rfind(" corner ") + 8));
  }
  for (const RedrawnEdge& edge : piece.edges) {
    const bool at_corner =
        std::any_of(piece.corners.begin(), piece.corners.end(),
                    [&](const MovedPlace& corner) { return distance(corner.now, edge.at) < 1.0; });
    if (!at_corner) mark(canvas, edge.at + frame.shift, edge.at + frame.shift, edge.most, "");
  }
  canvas.close_group();
}

}  // namespace

std::string redraw_svg(const std::string& style, const Redraw& redraw) {
  std::vector<Framed> frames;
  double x = 0.0;
  double y = -kTitle;
  double row = 0.0;
  double width = 120.0;
  for (const RedrawnPiece& piece : redraw.pieces) {
    Framed frame{&piece, {}, {}};
    for (const Curve& curve : piece.was) frame.box.add(bounds(curve));
    for (const Curve& curve : piece.now) frame.box.add(bounds(curve));
    const double wide = frame.box.width() + 2.0 * kMargin;
    const double high = frame.box.height() + 2.0 * kMargin + kTitle;
    if (x > 0.0 && x + wide > kRowWidth) {
      x = 0.0;
      y -= row;
      row = 0.0;
    }
    frame.shift = Vec2{x + kMargin - frame.box.low.x, y - kMargin - frame.box.high.y};
    frames.push_back(frame);
    x += wide;
    row = std::max(row, high);
    width = std::max(width, x);
  }
  const double height = row - y + kTitle;
  SvgCanvas canvas(width, height, {0.0, 0.0});
  canvas.text({.at = {kMargin, -6.0},
               .height = 3.0,
               .angle = {},
               .anchor = Anchor::kStart,
               .colour = palette::kGrey,
               .bold = false,
               .halo = false},
              "dashed: as it was drawn; black: as it is drawn now; red: what moved, in mm");
  for (std::size_t i = 0; i < frames.size(); ++i) draw_piece(canvas, frames[i], i + 1);
  return canvas.finish(style, "The old drawing and the new one over each other; distances in millimetres");
}

}  // namespace lastwright
