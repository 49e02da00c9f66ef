#include "grading/pieces/first/first_style.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <optional>
#include <set>
#include <utility>

#include "geometry/counted.hpp"
#include "geometry/tolerance.hpp"
#include "grading/pieces/drawing/contour_source.hpp"
#include "grading/pieces/drawing/mark_account.hpp"
#include "grading/pieces/drawing/ownership.hpp"
#include "grading/pieces/first/first_boundaries.hpp"
#include "grading/pieces/first/first_corners.hpp"
#include "grading/pieces/first/first_defaults.hpp"
#include "grading/pieces/first/first_doubts.hpp"
#include "grading/pieces/first/first_names.hpp"
#include "grading/pieces/first/first_open.hpp"
#include "grading/pieces/piece_bind.hpp"
#include "grading/pieces/piece_texts.hpp"
#include "grading/pieces/piece_words.hpp"
#include "grading/pieces/unit_words.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostRead = 500;  // as the schema says

class FirstStyleMaker {
 public:
  FirstStyleMaker(Drawing drawing, const FirstStyleOptions& options) : options_(options) {
    DrawingSpec spec;
    spec.key = options.drawing_key;
    spec.file = options.drawing_file;
    spec.units = options.units;
    spec.chain_gap = options.chain_gap;
    spec.fair = options.fair;
    spec.edge_lines = options.edge_lines;
    drawing_ = pattern_drawing(std::move(drawing), spec);
  }

  Result<FirstStyle> run() {
    choose_boundaries();
    open_.emplace(drawing_);
    out_.marks = texted_marks(drawing_);
    std::vector<std::size_t> boundaries;
    for (std::size_t i = 0; i < drawing_.contours.size(); ++i) {
      if (is_boundary(i)) boundaries.push_back(i);
    }
    if (boundaries.size() > kMostRead) return too_many(boundaries.size());
    for (const std::size_t i : boundaries) add_piece(i);
    if (out_.style.pieces.empty()) return nothing();
    if (largest_ < kSmallestPiece && open_->largest() > largest_) return only_small();
    if (auto problem = pieces_too_far(drawing_.drawing, box_)) return *std::move(problem);
    tell_inner();
    tell_beside();
    tell_unread();
    tell_open();
    doubt_units();
    out_.read_guesses = out_.guesses;
    out_.style.name = options_.name;
    fill_first_style(drawing_.spec, box_, out_.style, out_.guesses);
    doubt_sizes();
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
    const std::vector<TextedMark> named =
        found.beside.empty() ? std::vector<TextedMark>() : texted_marks(drawing_);
    for (const std::size_t i : found.beside) {
      if (!is_mark(i, named)) beside_.push_back(described(drawing_.contours[i]));
    }
    if (options_.inside != "pieces") drawing_.spec.inside = options_.inside;
    if (found.layers.empty() && drawing_.spec.inside.empty()) return;
    const DrawingSpec spec = drawing_.spec;
    drawing_ = pattern_drawing(std::move(drawing_.drawing), spec);
    if (published_ || !options_.inside.empty()) return;
    const std::vector<TextedMark> marks = texted_marks(drawing_);
    for (const std::size_t i : inner_contours(drawing_)) {
      inner_.insert(i);
      if (is_mark(i, marks)) marks_drawn_.insert(i);
    }
  }

  // A circle that a text beside it makes a mark: no outline, and no loss.
  [[nodiscard]] bool is_mark(std::size_t i, const std::vector<TextedMark>& marks) const {
    const DrawnFrom& from = drawing_.contours[i].contour.from;
    return from.entity == "CIRCLE" && std::any_of(marks.begin(), marks.end(), [&](const TextedMark& mark) {
             return distance(drawing_.contours[i].box.centre(), mark.at) <= tolerance::kSamePoint.value();
           });
  }

  void tell_inner() {
    std::vector<std::size_t> lines;
    for (const std::size_t i : inner_) {
      if (!marks_drawn_.contains(i)) lines.push_back(i);
    }
    if (lines.empty()) return;
    lose(
        fmt::format("{} inside an outline of the same layer, the first: {}; --inside says what such "
                    "lines are: cut-outs, lines, sew lines, pieces, or ignore",
                    counted(lines.size(), "closed line"), described(drawing_.contours[lines.front()])));
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
          "no piece, because its layer has no role: {}; if it is one, \"layers\" of the drawing makes its "
          "layer a boundary",
          what);
    });
  }

  template <class Tell>
  void tell_lost(const std::vector<std::string>& what, const Tell& tell) {
    for (std::size_t i = 0; i < std::min(what.size(), kMostOpenTold); ++i) lose(tell(what[i]));
    if (what.size() > kMostOpenTold) lose(fmt::format("and {} more like it", what.size() - kMostOpenTold));
  }

  void tell_open() {
    for (std::string& line : open_->branches()) warn(std::move(line));
    tell_lost(open_->may_be_pieces(),
              [](const std::string& what) { return "no piece, for it does not close: " + what; });
  }

  void doubt_units() {
    for (const std::string& note : drawing_.drawing.notes) warn(note);
    if (std::string told = unit_overridden(drawing_.drawing); !told.empty()) warn(std::move(told));
    if (auto doubt = doubt_of_size(drawing_.drawing, largest_)) warn(*std::move(doubt));
  }

  // The sizes that are proposed are an adult's, whatever is drawn.
  void doubt_sizes() {
    constexpr double kLeastAdult = 215.0;  // mm: an English 1, the shortest of the adult run
    constexpr double kFirstChild = 101.6;  // an English child 0
    constexpr double kSizeStep = 25.4 / 3.0;
    if (largest_ >= kLeastAdult || largest_ < kFirstChild) return;
    guess(
        fmt::format("the sizes are an adult's, and the longest piece is {:.0f} mm: were it a child's sole, "
                    "the size would be "
                    "about child {:.0f} (\"base\" and \"run\" of the style, and the bases of its measures)",
                    largest_, std::floor((largest_ - kFirstChild) / kSizeStep)));
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
    piece.forme = kFirstForme;
    const std::optional<OutlineSource> source = source_of(index, drawing_);
    if (!source) {
      lose(fmt::format("no piece, because nothing tells it from another outline: {}", described(contour)));
      return;
    }
    piece.source = *source;
    piece.name = name_of_piece(index);
    add_corners(*outline, options_.corner_angle, piece, out_.guesses);
    box_.add(contour.box);
    const double extent = extent_of(contour.box);
    largest_ = std::max(largest_, extent);
    if (extent < kSmallestPiece)
      warn(fmt::format("{} is only {:.1f} x {:.1f} mm: a hole or a mark rather than a piece?", piece.name,
                       contour.box.width(), contour.box.height()));
    out_.style.pieces.push_back(std::move(piece));
  }

  // What the piece is called by its block, or by a layer that it has for itself.
  struct GivenName {
    std::string written;
    const char* kind;
  };
  [[nodiscard]] GivenName given_to(std::size_t index) const {
    const DrawnFrom& from = drawing_.contours[index].contour.from;
    const bool own_layer = from.block.empty() && drawing_.spec.layers.contains(from.layer) &&
                           drawing_.spec.layers.size() > 1 && alone_on_layer(index);
    return own_layer ? GivenName{from.layer, "layer"} : GivenName{from.block, "block"};
  }

  // Whether the text is the name of another piece, by that one's own texts and block, and what this one is
  // called by its block, and its layer if that says anything, is a part of a shoe: then it is the wrong text.
  bool of_another(const std::string& said, std::size_t index) {
    const std::string given = plain_name(given_to(index).written);
    const std::string layer = plain_name(drawing_.contours[index].contour.from.layer);
    if (words_of(given).part == PartOfShoe::kUnknown ||
        (names_a_part(layer) && !says_no_more(layer, given) && !says_no_more(given, layer)))
      return false;
    if (called_.empty()) {
      called_.resize(drawing_.contours.size());
      for (std::size_t i = 0; i < called_.size(); ++i) {
        if (!is_boundary(i) || inner_.contains(i)) continue;
        const std::string name = plain_name(given_to(i).written);
        const NameInside inside = texts().inside(i, name);
        called_[i] = inside.text != nullptr && inside.names_it && !inside.several ? inside.said : name;
      }
    }
    for (std::size_t i = 0; i < called_.size(); ++i) {
      if (i != index && called_[i] == said) return true;
    }
    return false;
  }

  // After a text inside it, after its block, or after a layer that it has for itself. Where a text and one of
  // these are two names, both are told.
  std::string name_of_piece(std::size_t index) {
    const auto [given, kind] = given_to(index);
    std::string name = plain_name(given);
    if (name.empty()) {
      if (const DrawnText* text = texts().own(index)) {
        name = plain_name(text->text);
        const std::string doubt = texts().other_of(*text, index);
        guess(fmt::format("the piece {} is named after a text inside it{}", name, doubt));
      }
    } else {
      const NameInside inside = texts().inside(index, name);
      if (inside.several) {
        guess(fmt::format("the piece {} is named after its {}, for there are several names inside it: {}",
                          name, kind, inside.said));
      } else if (inside.text == nullptr || says_no_more(inside.said, name)) {
        if (kind == std::string("layer")) guess(fmt::format("the piece {} is named after its layer", name));
      } else if (inside.names_it && of_another(inside.said, index)) {
        guess(
            fmt::format("the piece {} is named after its {}, and the text inside it, {}, is the name of "
                        "another piece: is it the wrong text?",
                        name, kind, inside.said));
      } else if (inside.names_it) {
        name = inside.said;
        guess(fmt::format("the piece {} is named after a text inside it, and its {} is {}{}", name, kind,
                          given, texts().other_of(*inside.text, index)));
      } else {
        guess(fmt::format("the piece {} is named after its {}, and a text inside it is {}", name, kind,
                          inside.said));
      }
    }
    if (name.empty()) {
      name = fmt::format("piece-{}", out_.style.pieces.size() + 1);
      guess(fmt::format("{} has no name in the drawing: {}", name, described(drawing_.contours[index])));
    }
    std::string unique = name;
    for (int n = 2; !names_.insert(unique).second; ++n) unique = fmt::format("{}-{}", name, n);
    return unique;
  }

  PieceTexts& texts() {
    if (!texts_) texts_.emplace(drawing_, out_.marks);
    return *texts_;
  }

  [[nodiscard]] bool alone_on_layer(std::size_t index) const {
    const DrawnFrom& from = drawing_.contours[index].contour.from;
    for (std::size_t i = 0; i < drawing_.contours.size(); ++i) {
      const DrawnFrom& other = drawing_.contours[i].contour.from;
      if (i != index && is_boundary(i) && !inner_.contains(i) && other.layer == from.layer) return false;
    }
    return true;
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
      find_fold(piece, *spec, out_.guesses);
      folds = folds || spec->fold;
    }
    if (folds) bound = bind_as_drawn(out_.style, drawings);
    for (std::string& note : bound.notes) warn(std::move(note));
    std::vector<UsedMark> marks;
    for (const TextedMark& mark : out_.marks) marks.push_back({mark.written, mark.at});
    count_marks(marks, drawings.begin()->second.drawing, bound.accounts.front());
    const auto other = [](const LeftOutThing& thing) { return !thing.mirror_line; };
    for (std::string& line : left_out_lines(bound.accounts.front(), other)) warn(std::move(line));
    out_.problems = std::move(bound.problems);
    for (Problem& problem : out_.problems) problem = problem.in_file(drawings.begin()->second.drawing.file);
    out_.account = std::move(bound.accounts.front());
    out_.bound = std::move(bound.pieces);
    out_.drawing = std::move(drawings.begin()->second);
  }

  // Where all that closes is too small, the outlines that were meant are the open ones.
  Problem only_small() {
    Problem problem = nothing();
    problem.message = fmt::format(
        "the closed outlines are at most {:.1f} mm, too small for a piece, and larger ones are open: {}",
        largest_, open_->told());
    return problem;
  }

  [[nodiscard]] Problem too_many(std::size_t boundaries) const {
    Problem problem{
        Trouble::kBudget, "the drawing holds more closed outlines than a style may have pieces", {}, {}, {}};
    problem.place.file = drawing_.drawing.file;
    problem.value = static_cast<double>(boundaries);
    problem.limit = static_cast<double>(kMostRead);
    return problem;
  }

  Problem nothing() {
    if (!faults_.empty()) return faults_.front().in_file(drawing_.drawing.file);
    Problem problem{Trouble::kGeometry, "", {}, {}, {}};
    problem.place.file = drawing_.drawing.file;
    if (open_->all().empty()) {
      problem.message = "the drawing holds no closed outline";
      return problem;
    }
    problem.message = fmt::format("the drawing holds no closed outline, but {} open: {}", open_->all().size(),
                                  open_->told());
    double gap = INFINITY;
    for (const OpenContour& open : open_->all()) gap = std::min(gap, open.gap);
    problem.value = gap;
    problem.limit = drawing_.spec.chain_gap.value();
    return problem;
  }

  const FirstStyleOptions& options_;
  PatternDrawing drawing_;
  std::optional<OpenOutlines> open_;   // of the drawing
  bool published_ = true;              // the drawing's boundaries are on the published layers
  std::set<std::size_t> inner_;        // boundaries that are taken for no pieces
  std::set<std::size_t> marks_drawn_;  // of them the circles of marks
  std::vector<std::string> beside_;    // closed lines that could be pieces, on layers without a role
  std::optional<PieceTexts> texts_;    // of the drawing
  std::vector<std::string> called_;    // by contour: its name, were no other piece asked; made when needed
  double largest_ = 0.0;               // extent of the largest piece
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
