#include "grading/pieces/first_style.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <utility>

#include "geometry/io/drawn_twice.hpp"
#include "geometry/tolerance.hpp"
#include "grading/pieces/contour_source.hpp"
#include "grading/pieces/first_boundaries.hpp"
#include "grading/pieces/open_contours.hpp"
#include "grading/pieces/ownership.hpp"
#include "grading/pieces/piece_bind.hpp"
#include "grading/pieces/unit_words.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostCorners = 60;  // more are a digitised curve, not corners
constexpr std::size_t kMostPieces = 500;  // as the schema says
constexpr const char* kForme = "shell";

// What the default measures are reckoned from: an English 8 is 11 in long; its ball girth is a house figure
// of no house.
constexpr double kStickLength = 279.4;
constexpr double kBallGirth = 246.0;

// The largest piece of a style is about as long as the stick length; beyond these shares of it the unit is
// doubtful (an inch is 25 mm, a centimetre 10).
constexpr double kLeastOfStick = 0.3;
constexpr double kMostOfStick = 3.0;
constexpr std::size_t kMostOpenTold = 20;
constexpr double kFarthest = 1e5;         // a style's places, as the schema says; millimetres
constexpr double kShallowDegrees = 20.0;  // corners of a pattern turn by more

double extent_of(const Box2& box) {
  return std::max(box.width(), box.height());
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

// Annotations and fills draw no outline, the paper space draws none of the pattern.
bool could_be_outline(const LeftOut& one) {
  static const std::set<std::string> kNone = {
      "TEXT",     "MTEXT", "ATTRIB",    "ATTDEF",  "DIMENSION", "LEADER", "HATCH", "MULTILEADER",
      "VIEWPORT", "IMAGE", "TOLERANCE", "WIPEOUT", "OLE2FRAME", "XLINE",  "RAY",   "POINT"};
  static const std::set<std::string> kNothing = {"in the paper space", "it has no length", "radius 0",
                                                 "an ellipse without extent"};
  return !kNone.contains(one.from.entity) && !kNothing.contains(one.reason) &&
         !one.reason.starts_with(kDrawnTwice);
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
    if (largest_ < kSmallestPiece && largest_open() > largest_) return only_small();
    if (const double away = farthest(); away > kFarthest) return too_far(away);
    tell_inner();
    tell_beside();
    tell_unread();
    warn_of_open();
    warn_of_units();
    fill_style();
    bind();
    return std::move(out_);
  }

 private:
  void warn(std::string text) { out_.warnings.push_back(std::move(text)); }
  void guess(std::string text) { out_.guesses.push_back(std::move(text)); }
  void lose(std::string text) { out_.lost.push_back(std::move(text)); }

  [[nodiscard]] bool is_boundary(std::size_t i) const {
    return drawing_.contours[i].role == LayerRole::kBoundary && drawing_.contours[i].contour.closed &&
           !drawing_.contours[i].inner;
  }

  // A drawing that does not use the published layers gets boundaries by guess. The drawing is made anew then,
  // so that all is as it will be when the style is loaded.
  void choose_boundaries() {
    const FirstBoundaries found = first_boundaries(drawing_);
    published_ = found.layers.empty();
    for (const std::string& layer : found.layers) {
      drawing_.spec.layers[layer] = name_of(LayerRole::kBoundary);
      guess(fmt::format(
          "the layer {} holds boundaries: {}", layer,
          found.one_a_piece ? "it looks as if one layer were one piece" : "its closed lines lie outermost"));
    }
    for (const std::size_t i : found.beside) beside_.push_back(described(drawing_.contours[i]));
    if (options_.inside != "pieces") drawing_.spec.inside = options_.inside;
    if (found.layers.empty() && drawing_.spec.inside.empty()) return;
    const DrawingSpec spec = drawing_.spec;
    drawing_ = pattern_drawing(std::move(drawing_.drawing), spec);
    open_ = open_contours(drawing_);
    if (published_ || !options_.inside.empty()) return;
    for (const std::size_t i : inner_contours(drawing_)) inner_.insert(i);
  }

  void tell_inner() {
    if (inner_.empty()) return;
    lose(fmt::format(
        "{} closed line{} inside an outline of the same layer, the first: {}; --inside says what such "
        "lines are: cut-outs, lines, sew lines, pieces, or ignore",
        inner_.size(), inner_.size() == 1 ? "" : "s", described(drawing_.contours[*inner_.begin()])));
  }

  // What could have been an outline had it been read; the account has the others.
  void tell_unread() {
    std::vector<std::string> unread;
    for (const LeftOut& one : drawing_.drawing.left_out) {
      if (!could_be_outline(one)) continue;
      unread.push_back(fmt::format("{} on the layer {}, line {}: {}", one.from.entity, one.from.layer,
                                   one.from.line, one.reason));
    }
    tell_lost(unread, [](const std::string& what) { return "not read, and it may be a piece: " + what; });
  }

  void tell_beside() {
    tell_lost(beside_, [](const std::string& what) {
      return fmt::format(
          "no piece, for nobody gave its layer a role: {}; if it is one, \"layers\" of the drawing "
          "makes its layer a boundary",
          what);
    });
  }

  template <class Tell>
  void tell_lost(const std::vector<std::string>& what, const Tell& tell) {
    for (std::size_t i = 0; i < std::min(what.size(), kMostOpenTold); ++i) lose(tell(what[i]));
    if (what.size() > kMostOpenTold) lose(fmt::format("and {} more like it", what.size() - kMostOpenTold));
  }

  void add_piece(std::size_t index) {
    const PatternContour& contour = drawing_.contours[index];
    if (inner_.contains(index)) return;  // tell_inner does
    const Result<ClosedOutline> outline = make_closed_outline(contour.contour.raw, drawing_.spec.chain_gap);
    if (!outline) {
      faults_.push_back(outline.problem());
      lose(fmt::format("no piece: {}: {}", described(contour), outline.problem().message));
      return;
    }
    PieceSpec piece;
    piece.forme = kForme;
    const std::optional<OutlineSource> source = source_of(index, drawing_);
    if (!source) {
      lose(fmt::format("no piece, because nothing tells it from another outline: {}", described(contour)));
      return;
    }
    piece.source = *source;
    piece.name = name_of_piece(index);
    add_corners(*outline, piece);
    box_.add(contour.box);
    const double extent = extent_of(contour.box);
    largest_ = std::max(largest_, extent);
    if (extent < kSmallestPiece)
      warn(fmt::format("{} is only {:.1f} x {:.1f} mm: a hole or a mark rather than a piece?", piece.name,
                       contour.box.width(), contour.box.height()));
    out_.style.pieces.push_back(std::move(piece));
  }

  // After its block, after a layer that it has for itself, or after a text that belongs to it.
  std::string name_of_piece(std::size_t index) {
    const PatternContour& contour = drawing_.contours[index];
    const DrawnFrom& from = contour.contour.from;
    std::string name;
    if (!from.block.empty()) {
      name = plain_name(from.block);
    } else if (drawing_.spec.layers.contains(from.layer) && drawing_.spec.layers.size() > 1 &&
               alone_on_layer(index)) {
      name = plain_name(from.layer);
      if (!name.empty()) guess(fmt::format("the piece {} is named after its layer", name));
    } else if (const DrawnText* text = own_text(index)) {
      name = plain_name(text->text);
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

  [[nodiscard]] bool alone_on_layer(std::size_t index) const {
    const DrawnFrom& from = drawing_.contours[index].contour.from;
    for (std::size_t i = 0; i < drawing_.contours.size(); ++i) {
      const DrawnFrom& other = drawing_.contours[i].contour.from;
      if (i != index && is_boundary(i) && !inner_.contains(i) && other.layer == from.layer) return false;
    }
    return true;
  }

  [[nodiscard]] const DrawnText* own_text(std::size_t index) {
    if (!owners_) owners_.emplace(drawing_, std::set<std::size_t>{});
    for (const DrawnThing thing : owners_->things_of(index)) {
      if (thing.kind != DrawnKind::kText) continue;
      const DrawnText& text = drawing_.drawing.texts[thing.index];
      if (!plain_name(text.text).empty()) return &text;
    }
    return nullptr;
  }

  void tell_shallow(const std::string& piece, std::size_t corners, std::size_t shallow) {
    constexpr std::size_t kSome = 6;
    if (shallow < kSome) return;
    guess(fmt::format(
        "{}: {} of its {} corners turn by less than {:g} degrees; if they are a curve drawn in short lines, "
        "--corner-angle {:g} makes one edge of it",
        piece, shallow, corners, kShallowDegrees, kShallowDegrees));
  }

  void add_corners(const ClosedOutline& outline, PieceSpec& piece) {
    const auto& curves = outline.curves();
    std::vector<Vec2> corners;
    std::size_t shallow = 0;
    for (std::size_t i = 0; i < curves.size(); ++i) {
      const Curve& before = curves[(i + curves.size() - 1) % curves.size()];
      const double turn = angle_between(tangent_at(before, 1.0), tangent_at(curves[i], 0.0));
      if (std::abs(turn) > options_.corner_angle.value()) {
        corners.push_back(start_of(curves[i]));
        if (std::abs(turn) < from_degrees(kShallowDegrees).value()) ++shallow;
      }
    }
    tell_shallow(piece.name, corners.size(), shallow);
    if (corners.size() > kMostCorners) {
      guess(
          fmt::format("{}: {} breaks of its outline look like a digitised curve, not corners: one corner "
                      "taken; --corner-angle sets "
                      "from how many degrees on a break is a corner",
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
  void find_fold(PieceSpec& piece, const BoundPiece& bound) {
    if (!bound.mirror) return;
    for (std::size_t i = 0; i < bound.edges.size(); ++i) {
      const auto& curves = bound.edges[i].chain.curves();
      const Vec2 from = start_of(curves.front());
      const Vec2 to = end_of(curves.back());
      const auto near = [](Vec2 a, Vec2 b) { return distance(a, b) <= tolerance::kCornerSnap.value(); };
      const bool covers = (near(from, bound.mirror->from) && near(to, bound.mirror->to)) ||
                          (near(from, bound.mirror->to) && near(to, bound.mirror->from));
      if (!covers || curves.size() != 1 || !std::holds_alternative<Line>(curves.front())) continue;
      piece.fold = piece.edges[i].name;
      piece.edges[i].straight = true;
      guess(fmt::format("{} is cut double on its edge {}: the mirror line lies there", piece.name,
                        piece.edges[i].name));
    }
  }

  // Twice: what lies on a fold is judged once the fold is known.
  void bind() {
    std::map<std::string, PatternDrawing> drawings;
    drawings.emplace(drawing_.spec.key, std::move(drawing_));
    bool folds = false;
    BoundStyle bound = bind_as_drawn(out_.style, drawings);
    for (const BoundPiece& piece : bound.pieces) {
      const auto spec = std::find_if(out_.style.pieces.begin(), out_.style.pieces.end(),
                                     [&](const PieceSpec& one) { return one.name == piece.spec.name; });
      find_fold(*spec, piece);
      folds = folds || spec->fold;
    }
    if (folds) bound = bind_as_drawn(out_.style, drawings);
    for (std::string& note : bound.notes) warn(std::move(note));
    for (std::string& line : left_out_lines(bound.accounts.front())) warn(std::move(line));
    out_.problems = std::move(bound.problems);
    for (Problem& problem : out_.problems) problem = problem.in_file(drawings.begin()->second.drawing.file);
    out_.account = std::move(bound.accounts.front());
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
    std::vector<std::string> told;
    for (const OpenContour& open : open_) {
      const bool boundary = drawing_.contours[open.contour].role.has_value();
      if (open.nearly_shut || (boundary && !lies_in_outline(open)))
        told.push_back(described(open, drawing_) + to_join(open));
    }
    tell_lost(told, [](const std::string& what) { return "no piece, for it does not close: " + what; });
  }

  // A line across a piece, not an outline of one: the account names it.
  [[nodiscard]] bool lies_in_outline(const OpenContour& open) {
    const auto& curves = drawing_.contours[open.contour].contour.raw.curves;
    const Vec2 middle = point_at(curves[curves.size() / 2], 0.5);
    const auto holds = [&](const PatternContour& outline) {
      return outline.role == LayerRole::kBoundary && outline.contour.closed &&
             outline.box.overlaps({middle, middle}) && inside_polygon(outline.polygon, middle);
    };
    return std::any_of(drawing_.contours.begin(), drawing_.contours.end(), holds);
  }

  JoiningGaps& gaps() {
    if (!gaps_) gaps_.emplace(drawing_);
    return *gaps_;
  }

  // Nothing is advised that has not been tried.
  std::string to_join(const OpenContour& open) {
    if (const std::optional<double> gap = gaps().joining(open))
      return fmt::format("; --gap {:g} joins it", *gap);
    if (open.gap <= drawing_.spec.chain_gap.value()) return "; other lines end there too";
    if (open.gap > kMostJoined && open.nearly_shut)
      return fmt::format("; more than --gap joins ({:g} mm): a line is missing there", kMostJoined);
    return "";
  }

  void warn_of_units() {
    const double mm = drawing_.drawing.unit_in_mm;
    if (std::string told = unit_overridden(drawing_.drawing); !told.empty()) warn(std::move(told));
    const double share = largest_ / kStickLength;
    if (share >= kLeastOfStick && share <= kMostOfStick) return;
    std::string text = fmt::format(
        "the largest piece is {:.1f} mm long, {:.2g} times the stick length of {:.1f} mm: is the "
        "drawing really in {}?",
        largest_, share, kStickLength, unit_name(mm));
    for (const auto& [name, size] : {std::pair{"mm", 1.0}, {"cm", 10.0}, {"in", 25.4}}) {
      const double other = share * size / mm;
      if (other >= kLeastOfStick && other <= kMostOfStick)
        text += fmt::format(" --units {} makes it {:.1f} mm", name, largest_ * size / mm);
    }
    warn(std::move(text));
  }

  // Where all that closes is too small, the outlines that were meant are the open ones.
  Problem only_small() {
    Problem problem = nothing();
    problem.message = fmt::format(
        "the closed outlines are at most {:.1f} mm, too small for a piece, and larger ones are open: {}",
        largest_, told_open());
    return problem;
  }

  std::string told_open() {
    std::string text;
    for (std::size_t i = 0; i < open_.size() && i < kMostOpenTold; ++i)
      text += (i ? "; " : "") + described(open_[i], drawing_) + to_join(open_[i]);
    if (open_.size() > kMostOpenTold) text += fmt::format("; and {} more", open_.size() - kMostOpenTold);
    constexpr std::size_t kMostBranchesTold = 3;
    for (std::size_t i = 0; i < drawing_.branches.size() && i < kMostBranchesTold; ++i)
      text += "; " + drawing_.branches[i].message;
    return text;
  }

  [[nodiscard]] double farthest() const {
    return std::max(
        {std::abs(box_.low.x), std::abs(box_.low.y), std::abs(box_.high.x), std::abs(box_.high.y)});
  }

  [[nodiscard]] Problem too_far(double away) const {
    Problem problem{Trouble::kBadValue, "", {}, away, kFarthest};
    problem.message = fmt::format(
        "the pieces lie too far from the drawing's origin, in millimetres; move the drawing by about "
        "({:.0f}, {:.0f}) "
        "mm, so that it starts at its origin",
        -box_.low.x, -box_.low.y);
    problem.place.file = drawing_.drawing.file;
    return problem;
  }

  [[nodiscard]] Problem too_many(std::size_t boundaries) const {
    Problem problem{
        Trouble::kBudget, "the drawing holds more closed outlines than a style may have pieces", {}, {}, {}};
    problem.place.file = drawing_.drawing.file;
    problem.value = static_cast<double>(boundaries);
    problem.limit = static_cast<double>(kMostPieces);
    return problem;
  }

  Problem nothing() {
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
  bool published_ = true;            // the drawing's boundaries are on the published layers
  std::set<std::size_t> inner_;      // boundaries that are taken for no pieces
  std::vector<std::string> beside_;  // closed lines that could be pieces, on layers without a role
  std::optional<Owners> owners_;     // of all boundaries
  std::optional<JoiningGaps> gaps_;
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
