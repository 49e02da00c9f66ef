#include "grading/pieces/first_style.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <utility>

#include "geometry/tolerance.hpp"
#include "grading/pieces/open_contours.hpp"
#include "grading/pieces/piece_bind.hpp"
#include "grading/pieces/piece_contour.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostCorners = 60;  // more are a digitised curve, not corners
constexpr std::size_t kMostPieces = 500;  // as the schema says
constexpr const char* kForme = "shell";

// What the default measures are reckoned from: an English 8 is 11 in long; its ball girth is a house figure
// of no house.
constexpr double kStickLength = 279.4;
constexpr double kBallGirth = 246.0;

// No piece of a shoe is smaller than this both ways.
constexpr double kSmallest = 15.0;
// The largest piece of a style is about as long as the stick length; beyond these shares of it the unit is
// doubtful (an inch is 25 mm, a centimetre 10).
constexpr double kLeastOfStick = 0.3;
constexpr double kMostOfStick = 3.0;
constexpr std::size_t kMostOpenTold = 20;

double extent_of(const Box2& box) {
  return std::max(box.width(), box.height());
}

std::string unit_name(double millimetres) {
  for (const auto& [name, size] :
       {std::pair{"mm", 1.0}, {"cm", 10.0}, {"m", 1000.0}, {"in", 25.4}, {"ft", 304.8}}) {
    if (std::abs(millimetres - size) < 1e-9 * size) return name;
  }
  return fmt::format("{:g} mm", millimetres);
}

Vec2 rounded(Vec2 p) {
  constexpr double kPerMillimetre = 1e4;
  return {std::round(p.x * kPerMillimetre) / kPerMillimetre,
          std::round(p.y * kPerMillimetre) / kPerMillimetre};
}

// Thousandths, so that a person can read the share.
Fraction share_of(double length, double whole) {
  return Fraction(std::max<std::int64_t>(1, std::llround(1000.0 * length / whole)), 1000);
}

// "QUARTER_OUTSIDE" -> "quarter outside": a name a person would write.
std::string plain_name(const std::string& block) {
  std::string name;
  for (const char c : block) {
    if (c >= 'A' && c <= 'Z') {
      name += static_cast<char>(c - 'A' + 'a');
    } else if (c == '_') {
      name += ' ';
    } else if (static_cast<unsigned char>(c) >= 0x20 && c != 0x7f) {
      name += c;
    }
  }
  while (!name.empty() && name.back() == ' ') name.pop_back();
  while (!name.empty() && name.front() == ' ') name.erase(0, 1);
  constexpr std::size_t kLongest = 60;
  if (name.size() <= kLongest) return name;
  std::size_t cut = kLongest;
  while (cut > 0 && (static_cast<unsigned char>(name[cut]) & 0xC0U) == 0x80U) --cut;
  return name.substr(0, cut);
}

// A point well inside the polygon: the middle of the longest stretch of one of nine lines across it.
std::optional<Vec2> point_inside(const PatternContour& contour) {
  std::optional<Vec2> best;
  double best_width = 0.0;
  for (int i = 1; i <= 9; ++i) {
    const double y = contour.box.low.y + contour.box.height() * i / 10.0;
    std::vector<double> crossings;
    for (std::size_t k = 0; k < contour.polygon.size(); ++k) {
      const Vec2 a = contour.polygon[k];
      const Vec2 b = contour.polygon[(k + 1) % contour.polygon.size()];
      if ((a.y <= y) != (b.y <= y)) crossings.push_back(a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y));
    }
    std::sort(crossings.begin(), crossings.end());
    for (std::size_t k = 0; k + 1 < crossings.size(); k += 2) {
      const double width = crossings[k + 1] - crossings[k];
      if (width <= best_width) continue;
      best_width = width;
      best = rounded({0.5 * (crossings[k] + crossings[k + 1]), y});
    }
  }
  return best;
}

class FirstStyleMaker {
 public:
  FirstStyleMaker(Drawing drawing, const FirstStyleOptions& options) : options_(options) {
    DrawingSpec spec;
    spec.key = options.drawing_key;
    spec.file = options.drawing_file;
    spec.units = options.units;
    spec.chain_gap = options.chain_gap;
    drawing_ = pattern_drawing(std::move(drawing), spec);
    open_ = open_contours(drawing_);
  }

  Result<FirstStyle> run() {
    choose_boundaries();
    std::vector<std::size_t> boundaries;
    for (std::size_t i = 0; i < drawing_.contours.size(); ++i) {
      if (is_boundary(i)) boundaries.push_back(i);
    }
    if (boundaries.size() > kMostPieces) return too_many(boundaries.size());
    for (const std::size_t i : boundaries) add_piece(i);
    if (out_.style.pieces.empty()) return nothing();
    if (largest_ < kSmallest && largest_open() > largest_) return only_small();
    warn_of_open();
    warn_of_units();
    fill_style();
    return std::move(out_);
  }

 private:
  void warn(std::string text) { out_.warnings.push_back(std::move(text)); }
  void guess(std::string text) { out_.guesses.push_back(std::move(text)); }

  [[nodiscard]] bool is_boundary(std::size_t i) const {
    return drawing_.contours[i].role == LayerRole::kBoundary && drawing_.contours[i].contour.closed;
  }

  // A drawing that does not use the published layers: the layers of its outermost closed contours are the
  // boundary.
  void choose_boundaries() {
    auto& contours = drawing_.contours;
    for (std::size_t i = 0; i < contours.size(); ++i) {
      if (is_boundary(i)) return;
    }
    std::set<std::string> layers;
    for (const PatternContour& contour : contours) {
      if (contour.contour.closed && !contour.role && !lies_in_another(contour))
        layers.insert(contour.contour.from.layer);
    }
    for (const std::string& layer : layers) {
      drawing_.spec.layers[layer] = name_of(LayerRole::kBoundary);
      guess(fmt::format("the layer {} holds the boundaries: its closed lines lie outermost", layer));
    }
    for (PatternContour& contour : contours) {
      if (layers.count(contour.contour.from.layer) > 0) contour.role = LayerRole::kBoundary;
    }
    // Inside a boundary on the boundary's own layer nothing can be told from a piece.
    inner_are_not_pieces_ = true;
  }

  [[nodiscard]] bool lies_in_another(const PatternContour& contour) const {
    return std::any_of(drawing_.contours.begin(), drawing_.contours.end(), [&](const PatternContour& other) {
      return &other != &contour && other.contour.closed && other.area > contour.area &&
             other.contour.from.block == contour.contour.from.block && !contour.polygon.empty() &&
             other.box.overlaps(contour.box) && inside_polygon(other.polygon, contour.polygon.front());
    });
  }

  void add_piece(std::size_t index) {
    const PatternContour& contour = drawing_.contours[index];
    if (inner_are_not_pieces_ && lies_in_another(contour)) {
      guess(fmt::format("not a piece, because it lies inside another: {}", described(contour)));
      return;
    }
    const Result<ClosedOutline> outline = make_closed_outline(contour.contour.raw, drawing_.spec.chain_gap);
    if (!outline) {
      faults_.push_back(outline.problem());
      guess(fmt::format("left out: {}: {}", described(contour), outline.problem().message));
      return;
    }
    PieceSpec piece;
    piece.forme = kForme;
    if (!find_source(index, piece.source)) {
      guess(fmt::format("left out, because nothing tells it from another outline: {}", described(contour)));
      return;
    }
    piece.name = name_of_piece(contour);
    add_corners(*outline, piece);
    find_fold(piece);
    box_.add(contour.box);
    const double extent = extent_of(contour.box);
    largest_ = std::max(largest_, extent);
    if (extent < kSmallest)
      warn(fmt::format("{} is only {:.1f} x {:.1f} mm: a hole or a mark rather than a piece?", piece.name,
                       contour.box.width(), contour.box.height()));
    out_.style.pieces.push_back(std::move(piece));
  }

  // The least that tells the contour from all others.
  bool find_source(std::size_t index, OutlineSource& source) const {
    const DrawnFrom& from = drawing_.contours[index].contour.from;
    const auto tells = [&] {
      const Result<std::size_t> found = find_contour(source, drawing_);
      return found.ok() && *found == index;
    };
    source.drawing = drawing_.spec.key;
    if (!from.block.empty()) source.block = from.block;
    if (tells()) return true;
    if (from.block.empty()) {
      source.layer = from.layer;
      if (tells()) return true;
      source.layer.reset();
    }
    source.at = point_inside(drawing_.contours[index]);
    return source.at && tells();
  }

  std::string name_of_piece(const PatternContour& contour) {
    const DrawnFrom& from = contour.contour.from;
    std::string name;
    const auto own_text = std::find_if(
        drawing_.drawing.texts.begin(), drawing_.drawing.texts.end(), [&](const DrawnText& text) {
          return text.from.block == from.block && inside_polygon(contour.polygon, text.at) &&
                 !plain_name(text.text).empty();
        });
    if (!from.block.empty()) {
      name = plain_name(from.block);
    } else if (own_text != drawing_.drawing.texts.end()) {
      name = plain_name(own_text->text);
      guess(fmt::format("the piece {} is named after a text inside it", name));
    }
    if (name.empty()) {
      name = fmt::format("piece-{}", out_.style.pieces.size() + 1);
      guess(fmt::format("{} has no name in the drawing: {}", name, described(contour)));
    }
    std::string unique = name;
    for (int n = 2; !names_.insert(unique).second; ++n) unique = fmt::format("{}-{}", name, n);
    return unique;
  }

  void add_corners(const ClosedOutline& outline, PieceSpec& piece) {
    const auto& curves = outline.curves();
    std::vector<Vec2> corners;
    for (std::size_t i = 0; i < curves.size(); ++i) {
      const Curve& before = curves[(i + curves.size() - 1) % curves.size()];
      const double turn = angle_between(tangent_at(before, 1.0), tangent_at(curves[i], 0.0));
      if (std::abs(turn) > tolerance::kCorner.value()) corners.push_back(start_of(curves[i]));
    }
    if (corners.size() > kMostCorners) {
      guess(fmt::format(
          "{}: {} breaks of its outline look like a digitised curve, not corners: one corner taken",
          piece.name, corners.size()));
      corners.clear();
    }
    if (corners.empty()) corners.push_back(start_of(curves.front()));
    for (std::size_t i = 0; i < corners.size(); ++i) {
      piece.corners.push_back({fmt::format("c{}", i + 1), rounded(corners[i])});
    }
    for (std::size_t i = 0; i < corners.size(); ++i) {
      EdgeSpec edge;
      edge.name = fmt::format("e{}", i + 1);
      edge.from = piece.corners[i].name;
      edge.to = piece.corners[(i + 1) % corners.size()].name;
      piece.edges.push_back(std::move(edge));
    }
  }

  // An edge that the drawing's mirror line covers is the fold.
  void find_fold(PieceSpec& piece) {
    const Result<BoundPiece> bound = bind_piece(piece, FormeSpec{}, drawing_);
    if (!bound || !bound->mirror) return;
    for (std::size_t i = 0; i < bound->edges.size(); ++i) {
      const auto& curves = bound->edges[i].chain.curves();
      const Vec2 from = start_of(curves.front());
      const Vec2 to = end_of(curves.back());
      const auto near = [](Vec2 a, Vec2 b) { return distance(a, b) <= tolerance::kCornerSnap.value(); };
      const bool covers = (near(from, bound->mirror->from) && near(to, bound->mirror->to)) ||
                          (near(from, bound->mirror->to) && near(to, bound->mirror->from));
      if (!covers || curves.size() != 1 || !std::holds_alternative<Line>(curves.front())) continue;
      piece.fold = piece.edges[i].name;
      piece.edges[i].straight = true;
      guess(fmt::format("{} is cut double on its edge {}: the mirror line lies there", piece.name,
                        piece.edges[i].name));
    }
  }

  void fill_style() {
    StyleSpec& style = out_.style;
    style.name = options_.name;
    style.note =
        "A first draft made from the drawing alone. To be confirmed: scale, run, measures, forme, rules, and "
        "for every "
        "piece its edges with their treatments and allowances.";
    style.scale = "english";
    style.ladder = "english-letters";
    style.base_size = "8";
    style.base_width = "F";
    style.run_from = "6";
    style.run_to = "11";
    style.run_by = Fraction(1, 2);
    style.run_widths = {"E", "F", "G"};
    style.drawings.push_back(drawing_.spec);
    MeasureSpec stick;
    stick.name = "stick length";
    stick.from_scale = true;
    MeasureSpec girth;
    girth.name = "ball girth";
    girth.base = *parse_quantity("246 mm");
    girth.per_size = *parse_quantity("1/4 in");
    girth.per_width = *parse_quantity("1/4 in");
    girth.source = {"to be confirmed: a usual step, not a figure of this last", "",
                    Provenance::kCommonPractice};
    style.measures = {stick, girth};
    style.formes.push_back(forme());
    guess("scale english, ladder english-letters, sample 8 F, sizes 6 to 11 with halves, widths E, F, G");
    guess("ball girth 246 mm in the sample, 1/4 in a size and a width (common practice)");
    guess(
        "one forme for all pieces, its base line along the bottom of the drawing; all pieces grow in "
        "proportion: along it with "
        "the stick length, across it with the ball girth");
    guess("all edges raw, without allowance; all pieces handed, two to a pair");
  }

  [[nodiscard]] FormeSpec forme() const {
    FormeSpec forme;
    forme.name = kForme;
    const Vec2 low = rounded(box_.low);
    const Vec2 high = rounded(box_.high);
    forme.points = {{"heel", low}, {"toe", {high.x, low.y}}, {"top", {low.x, high.y}}};
    forme.base_line = {"heel", "toe"};
    forme.fixed_point = "heel";
    forme.length_line = "length";
    forme.girth_line = "girth";
    forme.rules = {
        MeasureLine{"length", "heel", "toe", {{"stick length", share_of(high.x - low.x, kStickLength)}}},
        MeasureLine{"girth", "heel", "top", {{"ball girth", share_of(high.y - low.y, kBallGirth)}}}};
    return forme;
  }

  [[nodiscard]] double largest_open() const {
    double largest = 0.0;
    for (const OpenContour& open : open_)
      largest = std::max(largest, extent_of(drawing_.contours[open.contour].box));
    return largest;
  }

  void warn_of_open() {
    const std::size_t branches = drawing_.branches.size();
    for (std::size_t i = 0; i < std::min(branches, kMostOpenTold); ++i) warn(to_text(drawing_.branches[i]));
    if (branches > kMostOpenTold)
      warn(fmt::format("and {} more places where loose ends meet", branches - kMostOpenTold));
    std::size_t told = 0;
    std::size_t lines = 0;
    for (const OpenContour& open : open_) {
      const bool boundary = drawing_.contours[open.contour].role.has_value();
      if (!boundary && !open.nearly_shut) {
        ++lines;
      } else if (++told <= kMostOpenTold) {
        warn(fmt::format("no piece, for it does not close: {}{}", described(open, drawing_), to_join(open)));
      }
    }
    if (told > kMostOpenTold) warn(fmt::format("and {} more that do not close", told - kMostOpenTold));
    if (lines > 0) guess(fmt::format("{} open lines on layers without a role are no outlines", lines));
  }

  [[nodiscard]] static std::string to_join(const OpenContour& open) {
    return open.nearly_shut ? fmt::format("; --gap {:g} joins it", joining_gap(open.gap)) : "";
  }

  void warn_of_units() {
    const double mm = drawing_.drawing.unit_in_mm;
    const double said = drawing_.drawing.file_unit_in_mm;
    if (said > 0.0 && std::abs(said - mm) > 1e-9 * said) {
      warn(fmt::format("the drawing says its unit is {}, and {} was asked for: taken as {}", unit_name(said),
                       unit_name(mm), unit_name(mm)));
    }
    const double share = largest_ / kStickLength;
    if (share >= kLeastOfStick && share <= kMostOfStick) return;
    warn(fmt::format(
        "the largest piece is {:.1f} mm long, {:.2g} times the stick length of {:.1f} mm: is the drawing "
        "really in {}?",
        largest_, share, kStickLength, unit_name(mm)));
  }

  // Where all that closes is too small, the outlines that were meant are the open ones.
  [[nodiscard]] Problem only_small() const {
    Problem problem = nothing();
    problem.message = fmt::format(
        "the closed outlines are at most {:.1f} mm, too small for a piece, and larger ones are open: {}",
        largest_, told_open());
    return problem;
  }

  [[nodiscard]] std::string told_open() const {
    std::string text;
    for (std::size_t i = 0; i < open_.size() && i < kMostOpenTold; ++i)
      text += (i ? "; " : "") + described(open_[i], drawing_) + to_join(open_[i]);
    if (open_.size() > kMostOpenTold) text += fmt::format("; and {} more", open_.size() - kMostOpenTold);
    return text;
  }

  [[nodiscard]] Problem too_many(std::size_t boundaries) const {
    Problem problem{
        Trouble::kBudget, "the drawing holds more closed outlines than a style may have pieces", {}, {}, {}};
    problem.place.file = drawing_.drawing.file;
    problem.value = static_cast<double>(boundaries);
    problem.limit = static_cast<double>(kMostPieces);
    return problem;
  }

  [[nodiscard]] Problem nothing() const {
    if (!faults_.empty()) return faults_.front().in_file(drawing_.drawing.file);
    Problem problem{Trouble::kGeometry, "", {}, {}, {}};
    problem.place.file = drawing_.drawing.file;
    if (open_.empty()) {
      problem.message = "the drawing holds no closed outline";
      return problem;
    }
    problem.message =
        fmt::format("the drawing holds no closed outline, but {} open: {}", open_.size(), told_open());
    double gap = INFINITY;
    for (const OpenContour& open : open_) gap = std::min(gap, open.gap);
    problem.value = gap;
    problem.limit = drawing_.spec.chain_gap.value();
    return problem;
  }

  const FirstStyleOptions& options_;
  PatternDrawing drawing_;
  std::vector<OpenContour> open_;
  bool inner_are_not_pieces_ = false;
  double largest_ = 0.0;  // extent of the largest piece
  Box2 box_;
  std::set<std::string> names_;
  std::vector<Problem> faults_;
  FirstStyle out_;
};

}  // namespace

Result<FirstStyle> first_style(Drawing drawing, const FirstStyleOptions& options) {
  return FirstStyleMaker(std::move(drawing), options).run();
}

}  // namespace lastwright
