#include "grading/draft/forme_rules.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <string_view>

#include "grading/draft/kind_points.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

constexpr double kSquareDegrees = 3.0;  // an edge that meets a line this nearly square was meant to
constexpr double kOnLine = 0.06;        // mm; as kDraftSame

constexpr std::string_view kOfPiece = "{piece}";  // in a kind's measure: the piece's name

class RuleMaker {
 public:
  RuleMaker(const std::vector<DraftPiece>& pieces, const DraftForme& forme, const ShoeKind& kind,
            const std::vector<DraftSeam>& seams, double stick, std::vector<Proposed>& proposed)
      : pieces_(pieces), forme_(forme), kind_(kind), seams_(seams), stick_(stick), proposed_(proposed) {}

  FormeSpec run() {
    spec_.name = forme_.name;
    spec_.points = forme_.named;
    if (forme_.kind == DraftKind::kUpper) spec_.stated_role = FormeRole::kUpper;
    if (forme_.kind == DraftKind::kBottom) spec_.stated_role = FormeRole::kBottom;
    if (forme_.kind == DraftKind::kOwn) {
      own_lines();
    } else {
      lines();
    }
    folds();
    squares_of_kind();
    return std::move(spec_);
  }

 private:
  [[nodiscard]] const NamedPoint* point(const std::string& name) const {
    const auto found = std::find_if(spec_.points.begin(), spec_.points.end(),
                                    [&](const NamedPoint& one) { return one.name == name; });
    if (found != spec_.points.end()) return &*found;
    return name == "stick end" ? point("toe") : nullptr;
  }
  void tell(Sureness sure, std::string what) {
    proposed_.push_back({sure, fmt::format("{}: {}", forme_.name, what),
                         pointer_to(pointer_to("/formes", forme_.name) + "/rules", spec_.rules.size())});
  }

  bool put_line(const KindLine& line, const std::string& piece) {
    const NamedPoint* from = point(line.from);
    const NamedPoint* to = point(line.to);
    if (from == nullptr || to == nullptr || distance(from->at, to->at) < 1.0) {
      if (line.kind != "shoe")
        tell(Sureness::kGuess, fmt::format("no {}: the drawing shows no point {}", line.name,
                                           from == nullptr ? line.from : line.to));
      return false;
    }
    MeasureLine made{line.name, from->name, to->name, {}, {}};
    for (const auto& [measure, share] : line.carries)
      made.carries.emplace_back(with_piece(measure, piece), share);
    const double drawn = distance(from->at, to->at);
    if (!line.share_of.empty()) {
      const double whole = line.share_of == "ball girth"
                               ? 0.88 * stick_
                               : stick_;  // a girth is about as long as the foot less an eighth
      made.carries.emplace_back(line.share_of, drawn_share(drawn, whole));
    }
    std::string carried;
    for (const auto& [measure, share] : made.carries)
      carried += fmt::format("{}{} of {}", carried.empty() ? "" : ", ",
                             measure == line.share_of ? "as much as is drawn" : to_mixed(share), measure);
    tell(line.kind == "shoe" && line.carries.size() == 1 && line.share_of.empty() ? Sureness::kLikely
                                                                                  : Sureness::kGuess,
         fmt::format("the line {} from {} to {}, drawn {:.1f} mm, carries {}: common practice", line.name,
                     from->name, to->name, drawn, carried));
    if (line.check) {
      spec_.rules.emplace_back(CheckLine{std::move(made)});
    } else {
      spec_.rules.emplace_back(std::move(made));
    }
    return true;
  }
  static std::string with_piece(std::string measure, const std::string& piece) {
    if (const std::size_t at = measure.find(kOfPiece); at != std::string::npos)
      measure.replace(at, kOfPiece.size(), piece);
    return measure;
  }

  void own_lines() {
    const DraftPiece& piece = pieces_[forme_.main];
    const KindOwn& own = kind_.own_of(piece.name, forme_.constant_width);
    // A strap with a rounded tip is measured between its tips, beside its base line.
    const bool beside = point("base start") != nullptr;
    spec_.base_line = beside ? std::pair<std::string, std::string>{"base start", "base end"}
                             : std::pair<std::string, std::string>{"start", "end"};
    spec_.fixed_point = spec_.base_line.first;
    // From its middle to its side a piece is half as wide as it is cut.
    const bool halved = forme_.own_image || !piece.mirrors.empty() || piece.fold;
    for (KindLine line : own.lines) {
      if (line.from == "start" && line.to == "side") {
        line.from = spec_.base_line.first;
        for (auto& [measure, share] : line.carries) {
          if (halved && measure.find(kOfPiece) != std::string::npos) share = share * Fraction(1, 2);
        }
      }
      put_line(line, piece.name);
    }
    spec_.length_line = own.lines.front().name;
    spec_.girth_line = own.lines.back().name;
  }

  void lines() {
    const bool bottom = forme_.kind == DraftKind::kBottom;
    spec_.base_line = {"heel", bottom || point("stick end") == nullptr ? "toe" : point("stick end")->name};
    spec_.fixed_point = "heel";
    for (const KindLine& line : kind_.lines) {
      if (of_forme(forme_, line.forme)) put_line(line, pieces_[forme_.main].name);
    }
    stay_on_base();
    spec_.length_line = bottom ? "length line" : "stick";
    for (const char* name : {"ball line", "tread line", "seat line", "girth"}) {
      if (has_line(name)) {
        spec_.girth_line = name;
        return;
      }
    }
    // Without a joint or a front line the height of all stands for the girth.
    double high = 0.0;
    for (const std::size_t i : forme_.pieces) {
      for (const Vec2 p : pieces_[i].polygon) high = std::max(high, forme_.frame.in(p).y);
    }
    spec_.points.push_back({"height", forme_.frame.out({0.0, high})});
    KindLine girth;
    girth.name = "girth";
    girth.from = "heel";
    girth.to = "height";
    girth.share_of = "ball girth";
    girth.kind = "shoe";
    put_line(girth, "");
    spec_.girth_line = "girth";
  }
  // What stands on the base line stays on it.
  void stay_on_base() {
    std::vector<const NamedPoint*> on;
    for (const auto& [name, one] : kind_.points) {
      if (one.on == PointOn::kBase && of_forme(forme_, one.forme) && point(name) != nullptr)
        on.push_back(point(name));
    }
    if (on.empty()) return;
    std::sort(on.begin(), on.end(), [&](const NamedPoint* a, const NamedPoint* b) {
      return forme_.frame.in(a->at).x < forme_.frame.in(b->at).x;
    });
    Straight straight{{spec_.base_line.first}};
    for (const NamedPoint* one : on) straight.points.push_back(one->name);
    straight.points.push_back(spec_.base_line.second);
    tell(Sureness::kGuess, fmt::format("{} stays on the base line: common practice", on.front()->name));
    spec_.rules.emplace_back(std::move(straight));
  }
  [[nodiscard]] bool has_line(const std::string& name) const {
    return std::any_of(spec_.rules.begin(), spec_.rules.end(), [&](const Rule& rule) {
      const auto* line = std::get_if<MeasureLine>(&rule);
      return line != nullptr && line->name == name;
    });
  }

  struct FoldLine {
    Vec2 from;
    Vec2 to;
  };

  // Folds in one line are one line, however many pieces they belong to.
  void folds() {
    std::vector<FoldLine> all;
    for (const std::size_t i : forme_.pieces) {
      const DraftPiece& piece = pieces_[i];
      if (!piece.fold) continue;
      const Vec2 from = piece.from(*piece.fold).at;
      const Vec2 to = piece.to(*piece.fold).at;
      bool joined = false;
      for (FoldLine& line : all) {
        if (off_line(line.from, line.to, from) > kOnLine || off_line(line.from, line.to, to) > kOnLine)
          continue;
        stretch(line, from);
        stretch(line, to);
        joined = true;
      }
      if (!joined) all.push_back({from, to});
    }
    // In an order that does not depend on the drawing's: from the toe back, then up.
    const auto order = [&](const FoldLine& line) {
      const Vec2 q = forme_.frame.in(0.5 * (line.from + line.to));
      return std::pair(-std::lround(10.0 * q.x), std::lround(10.0 * q.y));
    };
    std::sort(all.begin(), all.end(),
              [&](const FoldLine& a, const FoldLine& b) { return order(a) < order(b); });
    for (const FoldLine& line : all) fold_rules(line);
  }
  static void stretch(FoldLine& line, Vec2 p) {
    const Vec2 way = line.to - line.from;
    if (dot(p - line.from, way) < 0.0) {
      line.from = p;
    } else if (dot(p - line.to, way) > 0.0) {
      line.to = p;
    }
  }

  void fold_rules(FoldLine line) {
    std::vector<const NamedPoint*> on;
    for (const NamedPoint& one : spec_.points) {
      const double along = dot(one.at - line.from, unit(line.to - line.from));
      const bool beyond = along < -kOnLine || along > distance(line.from, line.to) + kOnLine;
      // The top of the ball line may lie where the front line would go on.
      if (off_line(line.from, line.to, one.at) > kOnLine || (beyond && one.name != "ball top")) continue;
      const auto same = std::find_if(on.begin(), on.end(), [&](const NamedPoint* other) {
        return distance(other->at, one.at) <= kOnLine;
      });
      if (same == on.end()) {
        on.push_back(&one);
      } else if (kind_.points.contains((*same)->name)) {
        *same = &one;  // what stands by itself names the place
      }
    }
    if (on.size() < 2) return;
    const Vec2 way = line.to - line.from;
    std::sort(on.begin(), on.end(),
              [&](const NamedPoint* a, const NamedPoint* b) { return dot(a->at - b->at, way) < 0.0; });
    // From the end nearer to the toe, or else nearer to the heel: whichever way the sheet lies.
    if (forme_.frame.in(on.front()->at).x < forme_.frame.in(on.back()->at).x)
      std::reverse(on.begin(), on.end());
    if (on.size() > 2) {
      Straight straight;
      std::string names;
      for (const NamedPoint* one : on) {
        straight.points.push_back(one->name);
        names += (names.empty() ? "" : ", ") + one->name;
      }
      tell(Sureness::kSure,
           fmt::format("{} stay in one straight line, because pieces are cut double on it", names));
      spec_.rules.emplace_back(std::move(straight));
    }
    Square square;
    square.from = on.front()->name;
    square.to = on.back()->name;
    for (const NamedPoint* one : on) {
      if (crossed_square(one->at, way)) square.points.push_back(one->name);
    }
    if (square.points.empty()) return;
    std::string names;
    for (const std::string& name : square.points) names += (names.empty() ? "" : ", ") + name;
    tell(Sureness::kSure,
         fmt::format("edges meet the fold square at {} in every size, as they do in the drawing", names));
    spec_.rules.emplace_back(std::move(square));
  }

  // An edge beside a fold that ends there runs off it square.
  [[nodiscard]] bool crossed_square(Vec2 at, Vec2 way) const {
    for (const std::size_t i : forme_.pieces) {
      const DraftPiece& piece = pieces_[i];
      if (!piece.fold) continue;
      const std::size_t n = piece.edges.size();
      const DraftEdge& before = piece.edges[(*piece.fold + n - 1) % n];
      const DraftEdge& after = piece.edges[(*piece.fold + 1) % n];
      if (distance(piece.from(*piece.fold).at, at) <= kOnLine &&
          is_square(tangent_at(before.curves.back(), 1.0), way))
        return true;
      if (distance(piece.to(*piece.fold).at, at) <= kOnLine &&
          is_square(tangent_at(after.curves.front(), 0.0), way))
        return true;
    }
    return false;
  }
  static bool is_square(Vec2 direction, Vec2 way) {
    return std::abs(dot(unit(direction), unit(way))) <= std::sin(from_degrees(kSquareDegrees).value());
  }

  // Where two backs are sewn as mirror images and the top line runs on over them.
  void squares_of_kind() {
    if (forme_.kind != DraftKind::kUpper) return;
    std::vector<KindSquare> wanted = kind_.squares;
    const bool back_seam = std::any_of(seams_.begin(), seams_.end(), [&](const DraftSeam& seam) {
      return seam.mirrored && pieces_[seam.one].forme == pieces_[forme_.pieces.front()].forme;
    });
    if (back_seam && wanted.empty()) wanted.push_back({"back top", 8.0});
    for (const KindSquare& one : wanted) square_below(one);
  }
  void square_below(const KindSquare& wanted) {
    const NamedPoint* const top = point(wanted.at);
    if (top == nullptr) return;
    for (const Rule& rule : spec_.rules) {  // a fold there has its rule
      const auto* square = std::get_if<Square>(&rule);
      if (square != nullptr &&
          std::find(square->points.begin(), square->points.end(), top->name) != square->points.end())
        return;
    }
    for (const std::size_t i : forme_.pieces) {
      const DraftPiece& piece = pieces_[i];
      for (std::size_t e = 0; e < piece.edges.size(); ++e) {
        const DraftEdge& edge = piece.edges[e];
        if (edge.role != EdgeRole::kBack || piece.words.layer == "linings" ||
            piece.words.layer == "inner parts")
          continue;
        const bool at_start = distance(edge.samples.front(), top->at) <= kOnLine;
        if (!at_start && distance(edge.samples.back(), top->at) > kOnLine) continue;
        const double step = edge.length / kDraftSamples;
        const auto k = static_cast<std::size_t>(
            std::clamp(std::lround(wanted.below / step), 1L, static_cast<long>(kDraftSamples)));
        const Vec2 below = edge.samples[at_start ? k : kDraftSamples - k];
        const std::string top_name = top->name;
        const std::string name = top_name + " below";
        spec_.points.push_back({name, style_point(below)});
        tell(Sureness::kLikely,
             fmt::format("the top line meets the back seam square at {} in every size", top_name));
        spec_.rules.emplace_back(Square{{top_name}, name, top_name});
        return;
      }
    }
  }
  static Vec2 style_point(Vec2 p) { return {std::round(p.x * 1e4) / 1e4, std::round(p.y * 1e4) / 1e4}; }

  const std::vector<DraftPiece>& pieces_;
  const DraftForme& forme_;
  const ShoeKind& kind_;
  const std::vector<DraftSeam>& seams_;
  double stick_;
  std::vector<Proposed>& proposed_;
  FormeSpec spec_;
};

}  // namespace

Fraction drawn_share(double drawn, double whole) {
  constexpr std::int64_t kParts = 10'000;  // a hundredth of a millimetre of a girth
  return {std::max<std::int64_t>(1, std::llround(static_cast<double>(kParts) * drawn / whole)), kParts};
}

FormeSpec forme_spec(const std::vector<DraftPiece>& pieces, const DraftForme& forme, const ShoeKind& kind,
                     const std::vector<DraftSeam>& seams, double stick, std::vector<Proposed>& proposed) {
  return RuleMaker(pieces, forme, kind, seams, stick, proposed).run();
}

}  // namespace lastwright
