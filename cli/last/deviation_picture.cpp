#include "cli/last/deviation_picture.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "cli/last/section_lines.hpp"
#include "cli/report/mask_outline.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "geometry/solid/section.hpp"
#include "grading/lasts/roles.hpp"

namespace lastwright {

namespace {

constexpr double kCell = 1.0;         // mm
constexpr int kBlur = 3;              // cells over which points are averaged, to either side
constexpr int kBeyond = 3;            // cells that colours run on beyond the edge of what is seen
constexpr std::size_t kWorst = 4;     // places that are named
constexpr double kFarPlaces = 25.0;   // mm between them
constexpr double kWorthNaming = 0.1;  // mm
constexpr double kEdgeOn = 0.25;  // of a cell's points: more than what is blurred in across the featherline

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

// To hundredths, without a "-0.00".
double to_hundredths(double off) {
  return std::round(100.0 * off) / 100.0 + 0.0;
}

// The colours between the steps', in so many shades that runs of one can be drawn as one.
std::string colour_of(double off) {
  constexpr int kShades = 6;
  const auto middle = [](std::size_t i) {
    const double low = i == 0 ? -1.5 : kSteps[i - 1].up_to;
    const double high = i + 1 == kSteps.size() ? 1.5 : kSteps[i].up_to;
    return 0.5 * (low + high);
  };
  std::size_t i = 0;
  while (i + 2 < kSteps.size() && off > middle(i + 1)) ++i;
  const double share = std::clamp((off - middle(i)) / (middle(i + 1) - middle(i)), 0.0, 1.0);
  const double shade = std::round(share * kShades) / kShades;
  const auto part = [](const char* colour, std::size_t at) {
    int value = 0;
    std::from_chars(colour + at, colour + at + 2, value, 16);
    return value;
  };
  std::string mixed = "#";
  for (std::size_t at : {1U, 3U, 5U}) {
    const double a = part(kSteps[i].colour, at);
    const double b = part(kSteps[i + 1].colour, at);
    mixed += fmt::format("{:02x}", static_cast<int>(std::lround(a + shade * (b - a))));
  }
  return mixed;
}

constexpr const char* kMissing = "#fff7c0";
constexpr double kSideHigh = 145.0;  // of a side view with its girths' names, mm

struct View {
  std::string title;
  double x, y;  // paper place of the left end, of the ground or the axis
  enum { kSide, kAbove, kBelow } kind;
  double keep = 1.0;      // sides: sign of y that is seen
  bool toe_left = false;  // as the eye sees it from there
};

bool sees(const View& view, Vec3 p, int face, const Body& nominal) {
  if (view.kind == View::kSide) return p.y * view.keep >= 0.0;
  const bool bottom = nominal.faces[static_cast<std::size_t>(face)].role == FaceRole::kBottom;
  return bottom == (view.kind == View::kBelow);
}

double up_of(const View& view, Vec3 p) {
  // Seen from below what was left is right.
  return view.kind == View::kSide ? p.z : view.kind == View::kAbove ? p.y : -p.y;
}

using Cell = std::pair<int, int>;
Cell cell_of(const View& view, Vec3 p) {
  return {static_cast<int>(std::floor(p.x / kCell)), static_cast<int>(std::floor(up_of(view, p) / kCell))};
}

// What lies in each cell of a view, the cells side by side.
class Grid {
 public:
  struct Sum {
    bool there = false;
    double off = 0.0;
    Vec3 feet;  // sum of the places on the last
    int points = 0;
    int under = 0;  // of them, on the bottom
  };
  void reach(Cell at) {
    low_ = {std::min(low_.first, at.first), std::min(low_.second, at.second)};
    high_ = {std::max(high_.first, at.first), std::max(high_.second, at.second)};
  }
  // Empty cells as far as was reached.
  void clear() {
    sums_.clear();
    if (low_.first > high_.first) return;
    const auto wide = static_cast<std::size_t>(high_.first - low_.first + 1);
    sums_.resize(wide * static_cast<std::size_t>(high_.second - low_.second + 1));
  }
  // Of a cell that was reached.
  Sum& operator[](Cell at) { return sums_[index(at)]; }
  [[nodiscard]] const Sum* find(Cell at) const {
    const bool in = at.first >= low_.first && at.first <= high_.first && at.second >= low_.second &&
                    at.second <= high_.second;
    return in ? &sums_[index(at)] : nullptr;
  }
  // The cells with something in them, by their place along and then by height.
  [[nodiscard]] std::vector<Cell> there() const {
    std::vector<Cell> cells;
    for (int x = low_.first; x <= high_.first; ++x) {
      for (int y = low_.second; y <= high_.second; ++y) {
        if (sums_[index({x, y})].there) cells.emplace_back(x, y);
      }
    }
    return cells;
  }

 private:
  [[nodiscard]] std::size_t index(Cell at) const {
    const auto high = static_cast<std::size_t>(high_.second - low_.second + 1);
    return static_cast<std::size_t>(at.first - low_.first) * high +
           static_cast<std::size_t>(at.second - low_.second);
  }
  Cell low_{std::numeric_limits<int>::max(), std::numeric_limits<int>::max()};
  Cell high_{std::numeric_limits<int>::min(), std::numeric_limits<int>::min()};
  std::vector<Sum> sums_;
};

class Picture {
 public:
  Picture(const ScanFit& fit, const Body& nominal, double length) : fit_(&fit), nominal_(&nominal) {
    wide_ = kCell * std::ceil(length / kCell);
  }
  std::string text;

  void cells(const View& view) {
    std::vector<Cell> form;
    for (const auto& [p, face] : form_points()) {
      if (sees(view, p, face, *nominal_)) form.push_back(cell_of(view, p));
    }
    std::vector<std::pair<Cell, const Residual*>> scanned;
    for (const Residual& r : fit_->residuals) {
      if (sees(view, r.foot, r.face, *nominal_)) scanned.emplace_back(cell_of(view, r.foot), &r);
    }
    Grid cells;
    for (const Cell& at : form) cells.reach(at);
    for (const auto& [at, point] : scanned) cells.reach(at);
    cells.clear();
    for (const Cell& at : form) cells[at].there = true;
    for (const auto& [at, point] : scanned) {
      Grid::Sum& sum = cells[at];
      sum.there = true;
      sum.off += point->off;
      sum.feet += point->foot;
      ++sum.points;
      sum.under += nominal_->faces[static_cast<std::size_t>(point->face)].role == FaceRole::kBottom;
    }
    text += fmt::format("<text x=\"{:.0f}\" y=\"{:.0f}\">{}, toe to the {}</text>\n", view.x,
                        view.y - (view.kind == View::kSide ? kSideHigh : 62.0), view.title,
                        view.toe_left ? "left" : "right");
    // Each cell by the points around it, the nearer the more; none within reach: not scanned.
    struct Blurred {
      double off = 0.0;
      Vec3 foot;           // in the middle of the points
      double under = 0.0;  // share of them on the bottom
    };
    const auto blurred = [&](const Cell& at) -> std::optional<Blurred> {
      double sum = 0.0;
      Vec3 feet;
      double under = 0.0;
      double weights = 0.0;
      for (int i = -kBlur; i <= kBlur; ++i) {
        for (int j = -kBlur; j <= kBlur; ++j) {
          const Grid::Sum* near = cells.find({at.first + i, at.second + j});
          if (near == nullptr || near->points == 0) continue;
          const double bell = std::exp(-0.5 * (i * i + j * j) / 3.0);
          sum += bell * near->off;
          feet += bell * near->feet;
          under += bell * near->under;
          weights += bell * near->points;
        }
      }
      if (!(weights > 0.0)) return std::nullopt;
      return Blurred{sum / weights, feet / weights, under / weights};
    };
    std::map<Cell, std::string> rows;  // by height and place along: the colour
    for (const Cell& at : cells.there()) {
      const std::optional<Blurred> here = blurred(at);
      rows[{at.second, at.first}] = here ? colour_of(here->off) : kMissing;
      // Side views see the bottom edge on, all of its width in one cell: what lies there is named from below.
      const bool edge_on = here && view.kind == View::kSide && here->under > kEdgeOn;
      if (here && !edge_on && std::abs(here->off) > kWorthNaming)
        places_.push_back({std::abs(here->off), here->off, &view, at, here->foot});
    }
    // What is seen has a smooth edge: the colours run on beyond it, and are cut off there.
    for (int k = 0; k < kBeyond; ++k) {
      const std::map<Cell, std::string> was = rows;
      for (const auto& [at, colour] : was) {
        for (const Cell& beside : {Cell{at.first - 1, at.second}, Cell{at.first + 1, at.second},
                                   Cell{at.first, at.second - 1}, Cell{at.first, at.second + 1}})
          rows.emplace(beside, colour);
      }
    }
    const std::string edge = edge_of(view);
    const std::string id = fmt::format("view-{}", ++views_);
    text += fmt::format("<clipPath id=\"{0}\"><path d=\"{1}\"/></clipPath>\n<g clip-path=\"url(#{0})\">\n",
                        id, edge);
    for (auto it = rows.begin(); it != rows.end();) {
      const auto [height, first] = it->first;
      const std::string& colour = it->second;
      int last = first;
      for (++it; it != rows.end() && it->first == std::pair{height, last + 1} && it->second == colour; ++it)
        ++last;
      const double x = kCell * (view.toe_left ? wide_ / kCell - last - 1 : first);
      text +=
          fmt::format("<rect x=\"{:g}\" y=\"{:g}\" width=\"{:g}\" height=\"{:g}\" fill=\"{}\"/>\n",
                      view.x + x, view.y - kCell * (height + 1), kCell * (last - first + 1), kCell, colour);
    }
    text += fmt::format("</g>\n<path class=\"edge\" d=\"{}\"/>\n", edge);
  }

  // Rings round the places that lie farthest off, each the farthest of its neighbourhood on the last: a dent
  // that several views show is named in the one that shows it best.
  void worst_places() {
    std::stable_sort(places_.begin(), places_.end(),
                     [](const Place& a, const Place& b) { return a.most > b.most; });
    std::vector<Place> named;
    for (const Place& p : places_) {
      if (named.size() == kWorst) break;
      const bool near = std::any_of(named.begin(), named.end(),
                                    [&](const Place& q) { return distance(p.foot, q.foot) < kFarPlaces; });
      if (!near) named.push_back(p);
    }
    for (const Place& p : named) {
      const double along = kCell * (p.at.first + 0.5);
      const double x = p.view->x + (p.view->toe_left ? wide_ - along : along);
      const double y = p.view->y - kCell * (p.at.second + 0.5);
      text += fmt::format(
          "<circle cx=\"{0:.1f}\" cy=\"{1:.1f}\" r=\"3\"/><text class=\"small worst\" x=\"{2:.1f}\" "
          "y=\"{3:.1f}\">"
          "{4:+.2f}</text>\n",
          x, y, x + 4.0, y + 1.4, p.off);
    }
  }

  // The line of a girth on a side view, with how far off it is.
  void girth(const View& view, const MeasureNote& note) {
    const Section section = cut_section(make_form(*nominal_), *note.plane, {0.05, 8});
    std::string d;
    Vec3 top{0, 0, -1e9};
    const auto place = [&](Vec3 p) {
      return fmt::format("{:.2f} {:.2f}", view.x + (view.toe_left ? wide_ - p.x : p.x), view.y - p.z);
    };
    const auto seen = [&view](Vec3 a, Vec3 b) { return a.y * view.keep >= 0.0 || b.y * view.keep >= 0.0; };
    for (const std::vector<Vec3>& line : section_lines(section, seen)) {
      for (std::size_t i = 0; i < line.size(); ++i) {
        d += (i == 0 ? "M" : "L") + place(line[i]);
        if (line[i].z > top.z) top = line[i];
      }
    }
    text += fmt::format("<path d=\"{}\"/>\n", d);
    const bool right = !view.toe_left;
    text += fmt::format(
        "<text class=\"small\" text-anchor=\"{}\" x=\"{:.1f}\" y=\"{:.1f}\">{} {:+.2f}</text>\n",
        right ? "start" : "end", view.x + (view.toe_left ? wide_ - top.x : top.x) + (right ? 2.5 : -2.5),
        view.y - top.z - 2.0, note.measure, to_hundredths(note.off));
  }

 private:
  // Of a side view the whole last's, as the eye sees it; from above and below that of the faces seen.
  std::string edge_of(const View& view) {
    std::vector<std::array<Vec2, 3>> triangles;
    for (const Triangle& t : nominal_->mesh.triangles) {
      std::array<Vec2, 3> flat;
      for (std::size_t k = 0; k < 3; ++k) {
        const Vec3 p = nominal_->mesh.nodes[t.node[k]].point;
        flat[k] = {view.x + (view.toe_left ? wide_ - p.x : p.x), view.y - up_of(view, p)};
      }
      const bool bottom = nominal_->faces[static_cast<std::size_t>(t.face)].role == FaceRole::kBottom;
      if (view.kind == View::kSide || bottom == (view.kind == View::kBelow)) triangles.push_back(flat);
    }
    std::string d;
    for (const std::vector<Vec2>& line : mask_outline(triangles, 0.5 * kCell)) {
      for (std::size_t i = 0; i < line.size(); ++i)
        d += fmt::format("{}{:.2f} {:.2f}", i == 0 ? "M" : "L", line[i].x, line[i].y);
      d += "Z";
    }
    return d;
  }

  const std::vector<std::pair<Vec3, int>>& form_points() {
    if (!points_.empty()) return points_;
    // Mesh triangles filled to less than a cell; the residuals' own places would not tell what is missing.
    for (const Triangle& t : nominal_->mesh.triangles) {
      const Vec3 a = nominal_->mesh.nodes[t.node[0]].point;
      const Vec3 b = nominal_->mesh.nodes[t.node[1]].point;
      const Vec3 c = nominal_->mesh.nodes[t.node[2]].point;
      const double side = std::max({distance(a, b), distance(b, c), distance(c, a)});
      const int parts = std::max(1, static_cast<int>(std::ceil(side)));
      for (int i = 0; i < parts; ++i) {
        for (int j = 0; i + j < parts; ++j) {
          const double x = (i + 1.0 / 3.0) / parts;
          const double y = (j + 1.0 / 3.0) / parts;
          points_.emplace_back(x * a + y * b + (1.0 - x - y) * c, t.face);
        }
      }
    }
    return points_;
  }

  struct Place {
    double most = 0.0;
    double off = 0.0;
    const View* view = nullptr;
    Cell at;
    Vec3 foot;
  };
  const ScanFit* fit_;
  const Body* nominal_;
  std::vector<Place> places_;
  double wide_ = 0.0;
  int views_ = 0;
  std::vector<std::pair<Vec3, int>> points_;
};

}  // namespace

std::string deviation_svg(const ScanFit& fit, const Body& nominal, double length, LastFoot foot,
                          const DeviationNotes& notes) {
  const double outside = foot == LastFoot::kLeft ? 1.0 : -1.0;  // sign of y there
  const double second = 30.0 + length;
  const bool left = foot == LastFoot::kLeft;
  const std::array<View, 4> views{{{"outside", 15, 170, View::kSide, outside, left},
                                   {"inside", second, 170, View::kSide, -outside, !left},
                                   {"upper from above", 15, 243, View::kAbove},
                                   {"bottom from below", second, 243, View::kBelow}}};
  const double wide = 2.0 * length + 45.0;
  const std::size_t rows = (notes.measures.size() + 2) / 3;
  const double below_views = 310.0;
  const double high = below_views + 24.0 + 7.0 * static_cast<double>(rows);
  Picture picture(fit, nominal, length);
  std::string& out = picture.text;
  out = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.0f}mm\" height=\"{1:.0f}mm\" viewBox=\"0 0 "
      "{0:.0f} "
      "{1:.0f}\">\n"
      "<style>text{{font:5px sans-serif}}.small{{font-size:4px}}.fails{{font-weight:bold;fill:#b2182b}}"
      "rect{{shape-rendering:crispEdges}}circle{{fill:none;stroke:#111;stroke-width:0.5}}.worst{{font-weight:"
      "bold;paint-order:stroke;stroke:#fff;stroke-width:1}}path{{fill:none;stroke:#222;stroke-width:0.3;"
      "stroke-dasharray:2 1}}.edge{{stroke-dasharray:none}}"
      "</style>\n<text x=\"15\" y=\"11\">{2}</text>\n",
      wide, high, xml_escaped(notes.title));
  for (const View& view : views) {
    picture.cells(view);
    if (view.kind != View::kSide) continue;
    for (const MeasureNote& note : notes.measures) {
      if (note.plane) picture.girth(view, note);
    }
  }
  picture.worst_places();
  double x = 15.0;
  double below = -1e300;
  const auto key = [&](const char* colour, const std::string& label) {
    out += fmt::format(
        "<rect x=\"{0:.0f}\" y=\"{1:.0f}\" width=\"10\" height=\"6\" fill=\"{2}\"/>"
        "<text x=\"{3:.0f}\" y=\"{4:.0f}\">{5}</text>\n",
        x, below_views, colour, x + 12.0, below_views + 5.0, label);
    x += 46.0;
  };
  for (const Step& s : kSteps) {
    key(s.colour, below < -1e299    ? fmt::format("under {:g}", s.up_to)
                  : s.up_to > 1e299 ? fmt::format("over {:g}", below)
                                    : fmt::format("{:g} to {:g}", below, s.up_to));
    below = s.up_to;
  }
  key(kMissing, "not scanned");
  out += fmt::format(
      "<text x=\"15\" y=\"{:.0f}\">millimetres off the nominal last after registration, means over 3 mm; "
      "plus and red: the scan is fuller; rings: where it lies farthest off</text>\n",
      below_views + 13.0);
  for (std::size_t i = 0; i < notes.measures.size(); ++i) {
    const MeasureNote& note = notes.measures[i];
    const std::size_t column = i / rows;
    out += fmt::format("<text{} x=\"{:.0f}\" y=\"{:.0f}\">{} {:+.2f} ± {:.2f} {}</text>\n",
                       note.verdict == "FAIL" ? " class=\"fails\"" : "",
                       15.0 + static_cast<double>(column) * 0.31 * wide,
                       below_views + 21.0 + 7.0 * static_cast<double>(i % rows), note.measure,
                       to_hundredths(note.off), note.uncertainty, note.verdict);
  }
  return out + "</svg>\n";
}

}  // namespace lastwright
