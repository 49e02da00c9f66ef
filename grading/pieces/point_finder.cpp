#include "grading/pieces/point_finder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <set>
#include <utility>

#include "geometry/curve/outline.hpp"
#include "geometry/curve/spaced_points.hpp"
#include "geometry/tolerance.hpp"
#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/pieces/curve_meets.hpp"
#include "grading/pieces/drawing/drawn_marks.hpp"
#include "grading/pieces/drawing/outline_split.hpp"
#include "grading/pieces/piece_contour.hpp"
#include "grading/pieces/place/place_home.hpp"
#include "grading/sizes/suggest.hpp"
#include "grading/style/stated_places.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostWork = 200'000'000;  // curves and marks looked at: a few seconds
constexpr double kLongLine = 1e4;               // mm: a line without end, on any sheet

class PointFinder {
 public:
  PointFinder(const JsonDocument& document, const StyleSpec& style,
              const std::map<std::string, PatternDrawing>& drawings)
      : document_(document), style_(style), drawings_(drawings), outlines_(style.pieces.size()) {}

  FoundPoints run() {
    each_place(document_.root, [&](const StatedPlace& place, const Json& value) {
      if (!is_reference(value)) return;
      const PlaceHome home{place.piece ? &style_.pieces[*place.piece] : nullptr, place.forme};
      const Result<Vec2> found = reference(value, home, place.pointer);
      if (found) {
        out_.places[place.pointer] = *found;
        return;
      }
      Problem problem = found.problem();
      if (problem.place.pointer.empty()) problem.place.pointer = place.pointer;
      out_.problems.push_back(std::move(problem));
    });
    return std::move(out_);
  }

 private:
  // A value that is being found holds its key: who asks for it again asks in a circle.
  class Asked {
   public:
    Asked(std::set<std::string>& open, const std::string& key) : open_(open) {
      const auto [at, fresh] = open.insert(key);
      if (fresh) at_ = at;
    }
    Asked(const Asked&) = delete;
    Asked& operator=(const Asked&) = delete;
    ~Asked() {
      if (at_) open_.erase(*at_);
    }
    [[nodiscard]] bool again() const { return !at_; }

   private:
    std::set<std::string>& open_;
    std::optional<std::set<std::string>::iterator> at_;
  };

  static Problem circle(const std::string& what) {
    return bad_value(fmt::format(
        "{} is stated by itself: one of the points in this circle needs a place of its own", what));
  }

  Status spend(std::size_t work) {
    work_ += work;
    if (work_ <= kMostWork) return Done{};
    return Problem{Trouble::kBudget,
                   "the points stated by what they are take too long to find in these drawings",
                   {},
                   {},
                   {}};
  }

  // A name, [x, y] or a reference.
  Result<Vec2> spot(const Json& value, const PlaceHome& home, const std::string& at) {
    if (value.is_array()) return Vec2{value[0].get<double>(), value[1].get<double>()};
    if (value.is_object()) return reference(value, home, at);
    const auto& name = value.get_ref<const std::string&>();
    if (home.piece != nullptr && lies_elsewhere(*home.piece)) {
      return bad_value(
          fmt::format("the point {} is on the forme, and the piece {} is drawn elsewhere: what is found in "
                      "its drawing cannot "
                      "be stated by it",
                      name, home.piece->name));
    }
    return forme_point(home.forme, name);
  }

  Result<Vec2> forme_point(const std::string& forme, const std::string& name) {
    const std::string pointer = pointer_to(pointer_to("/formes", forme) + "/points", name);
    const auto known = points_.find(pointer);
    if (known != points_.end()) return known->second;
    const Asked asked(open_, pointer);
    if (asked.again()) return circle(fmt::format("the point {} of the forme {}", name, forme));
    const Json& points = document_.root.at("formes").at(forme).at("points");
    const auto value = points.find(name);
    if (value == points.end()) {
      const FormeSpec* spec = with_name(style_.formes, forme);
      return bad_value(fmt::format("the forme {} has no point {}{}", forme, name,
                                   spec == nullptr ? "" : suggestion(name, known_names(spec->points))));
    }
    const Result<Vec2> found = spot(*value, {nullptr, forme}, pointer);
    return points_.emplace(pointer, found).first->second;
  }

  Result<Vec2> reference(const Json& from, const PlaceHome& home, const std::string& at) {
    if (from.contains("corner")) {
      const Result<std::size_t> piece = piece_of(from, home, style_);
      if (!piece) return piece.problem();
      const Result<CornerPlace> place = corner(*piece, from.at("corner").get<std::string>());
      if (!place) return place.problem();
      return place->at;
    }
    if (from.contains("edges")) return edges_corner(from, home);
    if (from.contains("along")) return along(from, home, at);
    if (from.contains("crossing")) return crossing(from, home, at);
    if (from.contains("mark")) return mark(from, home);
    return so_far(from, home, at);
  }

  Result<const std::vector<Curve>*> outline(std::size_t index) {
    std::optional<Result<ClosedOutline>>& known = outlines_[index];
    if (!known) {
      const PieceSpec& piece = style_.pieces[index];
      OutlineSource source = piece.source;
      const Json& stated = document_.root.at("pieces")[index].at("outline");
      if (const auto inside = stated.find("at"); inside != stated.end() && inside->is_object()) {
        const std::string pointer = pointer_to("/pieces", index) + "/outline/at";
        const Asked asked(open_, pointer);
        if (asked.again()) return circle("the place inside the outline of the piece " + piece.name);
        const Result<Vec2> at = reference(*inside, {&piece, piece.forme}, pointer);
        if (!at) return at.problem();
        source.at = *at;
      }
      const PatternDrawing& drawing = drawings_.at(piece.source.drawing);
      const Result<std::size_t> contour = find_contour(source, drawing);
      if (!contour) {
        known = in_style(contour.problem().in("drawing", drawing.spec.file).in("piece", piece.name), index);
      } else {
        known = make_closed_outline(drawing.contours[*contour].contour.raw, drawing.spec.chain_gap);
        if (!known->ok()) known = known->problem().in_file(drawing.drawing.file).in("piece", piece.name);
      }
    }
    if (!known->ok()) return known->problem();
    const std::vector<Curve>& curves = (*known)->curves();
    if (Status fine = spend(curves.size()); !fine) return fine.problem();
    return &curves;
  }

  static Problem in_style(Problem problem, std::size_t piece) {
    problem.place.pointer = pointer_to("/pieces", piece) + problem.place.pointer;
    return problem;
  }

  Result<CornerPlace> corner(std::size_t index, const std::string& name) {
    const std::pair key(index, name);
    if (const auto known = corners_.find(key); known != corners_.end()) return known->second;
    const PieceSpec& piece = style_.pieces[index];
    const Json& corners = document_.root.at("pieces")[index].at("corners");
    const auto value = corners.find(name);
    if (value == corners.end()) {
      return bad_value(fmt::format("the piece {} has no corner {}{}", piece.name, name,
                                   suggestion(name, known_names(piece.corners))));
    }
    const std::string pointer = pointer_to(pointer_to("/pieces", index) + "/corners", name);
    const Asked asked(open_, pointer);
    if (asked.again()) return circle(fmt::format("the corner {} of the piece {}", name, piece.name));
    const bool formed = value->is_object() && value->contains("at");
    const Result<Vec2> wanted =
        spot(formed ? value->at("at") : *value, {&piece, piece.forme}, formed ? pointer + "/at" : pointer);
    if (!wanted) return wanted.problem();
    const Result<const std::vector<Curve>*> curves = outline(index);
    if (!curves) return curves.problem();
    const std::optional<SnappedPlace> found = snapped(**curves, *wanted);
    if (!found) {
      return bad_value(
          fmt::format("the corner {} of the piece {} is not on its outline: it is stated at ({:.3f}, "
                      "{:.3f}), and nothing of the outline is within {:g} mm",
                      name, piece.name, wanted->x, wanted->y, tolerance::kCornerSnap.value()));
    }
    return corners_.emplace(key, found->place).first->second;
  }

  Result<const EdgeSpec*> edge(std::size_t index, const std::string& name) {
    const PieceSpec& piece = style_.pieces[index];
    if (const EdgeSpec* found = with_name(piece.edges, name)) return found;
    return bad_value(fmt::format("the piece {} has no edge {}{}", piece.name, name,
                                 suggestion(name, known_names(piece.edges))));
  }

  Result<Vec2> edges_corner(const Json& from, const PlaceHome& home) {
    const Result<std::size_t> piece = piece_of(from, home, style_);
    if (!piece) return piece.problem();
    const Result<const EdgeSpec*> one = edge(*piece, from.at("edges")[0].get<std::string>());
    if (!one) return one.problem();
    const Result<const EdgeSpec*> other = edge(*piece, from.at("edges")[1].get<std::string>());
    if (!other) return other.problem();
    const bool ahead = (*one)->to == (*other)->from;
    const bool back = (*other)->to == (*one)->from;
    if (ahead == back || *one == *other) {
      return bad_value(fmt::format("the edges {} and {} of the piece {} {}: name the corner", (*one)->name,
                                   (*other)->name, style_.pieces[*piece].name,
                                   ahead ? "meet at two corners" : "do not meet"));
    }
    const Result<CornerPlace> place = corner(*piece, ahead ? (*one)->to : (*other)->to);
    if (!place) return place.problem();
    return place->at;
  }

  Result<std::vector<Curve>> stretch(std::size_t piece, const std::string& from, const std::string& to) {
    const Result<CornerPlace> start = corner(piece, from);
    if (!start) return start.problem();
    const Result<CornerPlace> end = corner(piece, to);
    if (!end) return end.problem();
    const Result<const std::vector<Curve>*> curves = outline(piece);
    if (!curves) return curves.problem();
    const Result<OpenChain> chain = stretch_of(**curves, *start, *end);
    if (!chain) return chain.problem().in("piece", style_.pieces[piece].name);
    return chain->curves();
  }

  Result<std::vector<Curve>> edge_curves(std::size_t piece, const std::string& name) {
    const Result<const EdgeSpec*> found = edge(piece, name);
    if (!found) return found.problem();
    return stretch(piece, (*found)->from, (*found)->to);
  }

  Result<Vec2> along(const Json& from, const PlaceHome& home, const std::string& at) {
    const Result<std::size_t> piece = piece_of(from, home, style_);
    if (!piece) return piece.problem();
    const bool shared = from.contains("share");
    if (shared == from.contains("distance"))
      return bad_value("how far along it lies is said by a share or a distance, one of the two");
    if (shared && from.contains("from_end"))
      return bad_value(
          "a share is counted from the first corner: from_end goes with a distance; leave it out");
    const Json& line = from.at("along");
    const Result<std::vector<Curve>> run =
        line.is_string() ? edge_curves(*piece, line.get<std::string>())
                         : stretch(*piece, line[0].get<std::string>(), line[1].get<std::string>());
    if (!run) return run.problem();
    double length = 0.0;
    for (const Curve& curve : *run) length += lastwright::length(curve);
    double share = 0.0;
    if (shared) {
      const Result<Fraction> stated = fraction_at(document_, at + "/share");
      if (!stated) return stated.problem();
      share = stated->value();
    } else {
      const Result<Millimetres> stated = length_at(document_, at + "/distance");
      if (!stated) return stated.problem();
      share = stated->value() / length;
      if (from.value("from_end", false)) share = 1.0 - share;
    }
    if (!(share >= 0.0 && share <= 1.0)) {
      Problem problem = bad_value(
          fmt::format("the place lies beyond the end of the line, which is {:.3f} mm long", length));
      problem.value = share * length;
      problem.limit = length;
      return problem;
    }
    return points_at_shares(*run, {share}).front();
  }

  Result<std::vector<Curve>> line_of(const Json& from, const PlaceHome& home, const std::string& at) {
    if (from.contains("edge")) {
      const Result<std::size_t> piece = piece_of(from, home, style_);
      if (!piece) return piece.problem();
      return edge_curves(*piece, from.at("edge").get<std::string>());
    }
    const Result<Vec2> a = spot(from.at("through")[0], home, at + "/through/0");
    if (!a) return a.problem();
    const Result<Vec2> b = spot(from.at("through")[1], home, at + "/through/1");
    if (!b) return b.problem();
    const double apart = distance(*a, *b);
    if (apart <= tolerance::kSamePoint.value())
      return bad_value("the two places of a straight line are the same");
    const Vec2 along = (kLongLine / apart) * (*b - *a);
    return std::vector<Curve>{Line{*a - along, *a + along}};
  }

  Result<Vec2> crossing(const Json& from, const PlaceHome& home, const std::string& at) {
    const Json& lines = from.at("crossing");
    const Result<std::vector<Curve>> one = line_of(lines[0], home, at + "/crossing/0");
    if (!one) return one.problem();
    const Result<std::vector<Curve>> other = line_of(lines[1], home, at + "/crossing/1");
    if (!other) return other.problem();
    constexpr std::size_t kPairs = 1000;  // sampled pieces of a curve times those of another
    if (Status fine = spend(one->size() * other->size() * kPairs); !fine) return fine.problem();
    const Result<std::vector<Vec2>> meets = curve_meets(*one, *other);
    if (!meets) return meets.problem();
    if (meets->empty()) return bad_value("the two lines do not cross");
    if (!from.contains("near")) {
      if (meets->size() == 1) return meets->front();
      return bad_value(
          fmt::format("the two lines cross at {} places, first at ({:.3f}, {:.3f}) and ({:.3f}, {:.3f}): say "
                      "which by \"near\"",
                      meets->size(), (*meets)[0].x, (*meets)[0].y, (*meets)[1].x, (*meets)[1].y));
    }
    const Result<Vec2> near = spot(from.at("near"), home, at + "/near");
    if (!near) return near.problem();
    std::vector<Vec2> sorted = *meets;
    std::stable_sort(sorted.begin(), sorted.end(),
                     [&](Vec2 a, Vec2 b) { return distance(a, *near) < distance(b, *near); });
    constexpr double kAsNear = 0.1;  // mm: read off a ruler, neither is nearer
    if (sorted.size() > 1 && distance(sorted[1], *near) - distance(sorted[0], *near) < kAsNear) {
      return bad_value(fmt::format("two crossings are as near: ({:.3f}, {:.3f}) and ({:.3f}, {:.3f})",
                                   sorted[0].x, sorted[0].y, sorted[1].x, sorted[1].y));
    }
    return sorted.front();
  }

  Result<Vec2> mark(const Json& from, const PlaceHome& home) {
    const Result<std::string> key = drawing_of(from, home, style_, drawings_);
    if (!key) return key.problem();
    const PatternDrawing& drawing = drawings_.at(*key);
    if (Status fine = spend(mark_cost(drawing.drawing)); !fine) return fine.problem();
    const Result<Vec2> found = mark_named(drawing.drawing, from.at("mark").get<std::string>());
    if (!found) return found.problem().in("drawing", drawing.spec.file);
    return *found;
  }

  Result<Vec2> so_far(const Json& from, const PlaceHome& home, const std::string& at) {
    const bool by = from.contains("by");
    if (by == from.contains("toward") || by == from.contains("distance"))
      return bad_value(
          "how far it is from the other place is said by \"by\", or by \"toward\" and \"distance\"");
    const Result<Vec2> start = spot(from.at("from"), home, at + "/from");
    if (!start) return start.problem();
    if (by) {
      const Result<Millimetres> x = length_at(document_, at + "/by/0");
      if (!x) return x.problem();
      const Result<Millimetres> y = length_at(document_, at + "/by/1");
      if (!y) return y.problem();
      return *start + Vec2{x->value(), y->value()};
    }
    const Result<Vec2> toward = spot(from.at("toward"), home, at + "/toward");
    if (!toward) return toward.problem();
    const Result<Millimetres> far = length_at(document_, at + "/distance");
    if (!far) return far.problem();
    const double apart = distance(*start, *toward);
    if (apart <= tolerance::kSamePoint.value())
      return bad_value("the place that gives the direction is the one it starts from");
    return *start + (far->value() / apart) * (*toward - *start);
  }

  const JsonDocument& document_;
  const StyleSpec& style_;
  const std::map<std::string, PatternDrawing>& drawings_;
  std::vector<std::optional<Result<ClosedOutline>>> outlines_;  // by piece
  std::map<std::pair<std::size_t, std::string>, CornerPlace> corners_;
  std::map<std::string, Result<Vec2>> points_;
  std::set<std::string> open_;
  std::size_t work_ = 0;
  FoundPoints out_;
};

}  // namespace

FoundPoints find_points(const JsonDocument& document, const StyleSpec& style,
                        const std::map<std::string, PatternDrawing>& drawings) {
  return PointFinder(document, style, drawings).run();
}

}  // namespace lastwright
