#include "cli/last/deviation_picture.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <string>

namespace lastwright {

namespace {

constexpr double kCell = 2.0;  // mm

struct Step {
  double up_to;
  const char* colour;
};
constexpr std::array<Step, 9> kSteps{{{-1.0, "#053061"},
                                      {-0.5, "#2166ac"},
                                      {-0.25, "#67a9cf"},
                                      {-0.1, "#d1e5f0"},
                                      {0.1, "#d9d9d9"},
                                      {0.25, "#fddbc7"},
                                      {0.5, "#ef8a62"},
                                      {1.0, "#b2182b"},
                                      {1e300, "#67001f"}}};

const char* colour_of(double off) {
  for (const Step& s : kSteps) {
    if (off <= s.up_to) return s.colour;
  }
  return kSteps.back().colour;
}

struct View {
  std::string title;
  double x, y;  // paper place of the heel on the ground or axis
  enum { kSide, kAbove, kBelow } kind;
  double keep = 1.0;  // sides: sign of y that is seen
};

bool sees(const View& view, const Residual& r, const Body& nominal) {
  if (view.kind == View::kSide) return r.foot.y * view.keep >= 0.0;
  const bool bottom = nominal.faces[static_cast<std::size_t>(r.face)].role == FaceRole::kBottom;
  return bottom == (view.kind == View::kBelow);
}

}  // namespace

std::string deviation_svg(const ScanFit& fit, const Body& nominal, double length, LastFoot foot) {
  const double outside = foot == LastFoot::kLeft ? 1.0 : -1.0;  // sign of y there
  const std::array<View, 4> views{{{"outside", 15, 155, View::kSide, outside},
                                   {"inside", 25 + length, 155, View::kSide, -outside},
                                   {"upper from above", 15, 230, View::kAbove},
                                   {"bottom from below", 25 + length, 230, View::kBelow}}};
  const double wide = 2.0 * length + 50.0;
  std::string out = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.0f}mm\" height=\"320mm\" viewBox=\"0 0 {0:.0f} "
      "320\">\n"
      "<style>text{{font:5px sans-serif}}</style>\n",
      wide);
  for (const View& view : views) {
    std::map<std::pair<int, int>, std::pair<double, int>> cells;
    for (const Residual& r : fit.residuals) {
      if (!sees(view, r, nominal)) continue;
      // Seen from below what was left is right.
      const double up = view.kind == View::kSide    ? r.foot.z
                        : view.kind == View::kAbove ? r.foot.y
                                                    : -r.foot.y;
      auto& cell =
          cells[{static_cast<int>(std::floor(r.foot.x / kCell)), static_cast<int>(std::floor(up / kCell))}];
      cell.first += r.off;
      ++cell.second;
    }
    out += fmt::format("<text x=\"{:.0f}\" y=\"{:.0f}\">{}</text>\n", view.x,
                       view.y - (view.kind == View::kSide ? 138 : 60), view.title);
    for (const auto& [at, sum] : cells) {
      out += fmt::format("<rect x=\"{:.0f}\" y=\"{:.0f}\" width=\"2\" height=\"2\" fill=\"{}\"/>\n",
                         view.x + kCell * at.first, view.y - kCell * (at.second + 1),
                         colour_of(sum.first / sum.second));
    }
  }
  double x = 15.0;
  double below = -1e300;
  for (const Step& s : kSteps) {
    const std::string label = below < -1e299    ? fmt::format("under {:g}", s.up_to)
                              : s.up_to > 1e299 ? fmt::format("over {:g}", below)
                                                : fmt::format("{:g} to {:g}", below, s.up_to);
    out += fmt::format(
        "<rect x=\"{0:.0f}\" y=\"298\" width=\"10\" height=\"6\" fill=\"{1}\"/>"
        "<text x=\"{2:.0f}\" y=\"303\">{3}</text>\n",
        x, s.colour, x + 12.0, label);
    below = s.up_to;
    x += 48.0;
  }
  out +=
      "<text x=\"15\" y=\"313\">millimetres off the nominal last after registration, means over 2 mm; plus: "
      "the "
      "scan is fuller; toe to the right in every view</text>\n</svg>\n";
  return out;
}

}  // namespace lastwright
