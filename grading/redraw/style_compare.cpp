#include "grading/redraw/style_compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "geometry/check/hausdorff.hpp"
#include "geometry/map/closest_lie.hpp"
#include "geometry/parallel.hpp"
#include "grading/dies/die.hpp"

namespace lastwright {

namespace {

constexpr double kSameCut = 1e-3;  // mm: two outlines this near are the same

// What a die makes besides its outline.
struct DieMark {
  Vec2 at;
  double size = 0.0;
  std::string kind;
  const ClosedArcPath* outline = nullptr;  // of a cut-out or a slot, which may be turned on its place
  std::optional<Vec2> mouth = {};          // of a nick: where it starts, however deep it is
};

std::vector<DieMark> marks_of(const GradedPiece& piece) {
  std::vector<DieMark> marks;
  for (const GradedHole& hole : piece.holes)
    marks.push_back({hole.centre, hole.radius, hole.radius > 0.0 ? "hole" : "prick"});
  for (const GradedLine& line : piece.lines) {
    if (line.operation != Operation::kNick || line.path.vertices.empty()) continue;
    marks.push_back({0.5 * (line.path.vertices.front().at + line.path.vertices.back().at),
                     distance(line.path.vertices.front().at, line.path.vertices.back().at), "nick", nullptr,
                     line.path.vertices.front().at});
  }
  for (const ClosedArcPath& cut_out : piece.cut_outs) {
    Vec2 sum{};
    for (const ArcVertex& vertex : cut_out.vertices) sum = sum + vertex.at;
    marks.push_back({(1.0 / static_cast<double>(cut_out.vertices.size())) * sum,
                     std::sqrt(std::abs(signed_area(cut_out))), "cut-out", &cut_out});
  }
  return marks;
}

// As long, and all along on the other.
bool same_shape(const ClosedArcPath& was, const ClosedArcPath& now, const Placement& laid, double tolerance) {
  constexpr int kPlaces = 4;  // on each segment
  if (std::abs(length(was) - length(now)) > 10.0 * tolerance) return false;
  for (std::size_t i = 0; i < was.size(); ++i) {
    for (int k = 0; k < kPlaces; ++k) {
      const Vec2 at = was.segment(i).point_at(static_cast<double>(k) / kPlaces);
      if (distance_to(now, placed(at, laid)) > tolerance) return false;
    }
  }
  return true;
}

// What a mark without a twin has become: of another size where it was, moved, or gone. `left`: those of the
// other that have no twin either. `laid`: how the one lies on the other.
std::string became(const DieMark& mark, const Placement& laid, const std::vector<const DieMark*>& left,
                   double tolerance) {
  constexpr double kThere = 3.0;  // mm: what lies this near was put in its place
  const Vec2 at = placed(mark.at, laid);
  const DieMark* there = nullptr;
  const DieMark* like = nullptr;
  // A nick that is made deeper is where it was, though its middle is not.
  const auto off = [&](const DieMark& one) {
    return mark.mouth && one.mouth ? distance(*one.mouth, placed(*mark.mouth, laid)) : distance(one.at, at);
  };
  for (const DieMark* one : left) {
    if (one->kind != mark.kind) continue;
    if (there == nullptr || off(*one) < off(*there)) there = one;
    if (std::abs(one->size - mark.size) > tolerance) continue;
    if (like == nullptr || distance(one->at, at) < distance(like->at, at)) like = one;
  }
  const auto size_of = [](const DieMark& one) {
    return one.kind == "hole"   ? fmt::format("{:.3f} mm wide", 2.0 * one.size)
           : one.kind == "nick" ? fmt::format("{:.3f} mm long", one.size)
                                : fmt::format("{:.2f} mm2 in area", one.size * one.size);
  };
  if (there != nullptr && there != like && off(*there) <= kThere)
    return fmt::format("a {} is {}, and was {}", mark.kind, size_of(*there), size_of(mark));
  if (like == nullptr) return fmt::format("a {} is gone", mark.kind);
  if (distance(like->at, at) > tolerance)
    return fmt::format("a {} is {:.3f} mm off", mark.kind, distance(like->at, at));
  return fmt::format("a {} is of another shape or turned", mark.kind);
}

// Why the marks of one are not those of the other, laid so; "" where they are.
std::string marks_differ(const std::vector<DieMark>& was, const std::vector<DieMark>& now,
                         const Placement& laid, double tolerance) {
  std::vector<bool> taken(now.size(), false);
  std::vector<const DieMark*> left;
  for (const DieMark& mark : was) {
    const Vec2 at = placed(mark.at, laid);
    double nearest = tolerance;
    std::optional<std::size_t> best;
    for (std::size_t i = 0; i < now.size(); ++i) {
      if (taken[i] || now[i].kind != mark.kind || std::abs(now[i].size - mark.size) > tolerance) continue;
      if (distance(now[i].at, at) > nearest) continue;
      if (mark.outline != nullptr && !same_shape(*mark.outline, *now[i].outline, laid, tolerance)) continue;
      nearest = distance(now[i].at, at);
      best = i;
    }
    if (best) {
      taken[*best] = true;
    } else {
      left.push_back(&mark);
    }
  }
  std::vector<const DieMark*> others;
  for (std::size_t i = 0; i < now.size(); ++i) {
    if (!taken[i]) others.push_back(&now[i]);
  }
  if (!left.empty()) return became(*left.front(), laid, others, tolerance);
  return others.empty() ? std::string() : fmt::format("a {} is new", others.front()->kind);
}

bool same_line(const OpenArcPath& one, const OpenArcPath& other) {
  if (one.vertices.size() != other.vertices.size()) return false;
  const std::size_t n = one.vertices.size();
  const auto same = [&](bool backwards) {
    for (std::size_t i = 0; i < n; ++i) {
      if (distance(one.vertices[i].at, other.vertices[backwards ? n - 1 - i : i].at) > kSameCut) return false;
    }
    return true;
  };
  return same(false) || same(true);
}

// What is drawn or marked within a cut line that has stayed: the first that differs, in words; "" where
// nothing does.
std::string drawn_differ(const GradedPiece& was, const GradedPiece& now) {
  if (std::string marks = marks_differ(marks_of(was), marks_of(now), {}, kSameCut); !marks.empty())
    return marks;
  const auto word_of = [](Operation operation) {
    return operation == Operation::kGrain      ? "the grain line"
           : operation == Operation::kStitch   ? "a stitch line"
           : operation == Operation::kSkive    ? "a skive"
           : operation == Operation::kLapGuide ? "a lap guide"
           : operation == Operation::kFold     ? "the fold line"
           : operation == Operation::kNetLine  ? "the net line"
                                               : "a line";
  };
  std::vector<bool> taken(now.lines.size(), false);
  for (const GradedLine& line : was.lines) {
    std::size_t i = 0;
    while (i < now.lines.size() &&
           (taken[i] || now.lines[i].operation != line.operation || !same_line(line.path, now.lines[i].path)))
      ++i;
    if (i == now.lines.size()) {
      const auto count = [&](const GradedPiece& piece) {
        return std::count_if(piece.lines.begin(), piece.lines.end(),
                             [&](const GradedLine& one) { return one.operation == line.operation; });
      };
      return fmt::format("{} {}", word_of(line.operation),
                         count(now) < count(was) ? "is gone" : "lies differently");
    }
    taken[i] = true;
  }
  if (const auto added = std::find(taken.begin(), taken.end(), false); added != taken.end())
    return fmt::format("{} is new",
                       word_of(now.lines[static_cast<std::size_t>(added - taken.begin())].operation));
  if (was.texts.size() != now.texts.size())
    return was.texts.size() > now.texts.size() ? "a text is gone" : "a text is new";
  for (std::size_t i = 0; i < was.texts.size(); ++i) {
    const SheetText& one = was.texts[i];
    const SheetText& other = now.texts[i];
    if (one.text != other.text) return fmt::format("a text says {}, where it said {}", other.text, one.text);
    if (distance(one.at, other.at) > kSameCut || std::abs(one.height - other.height) > kSameCut ||
        std::abs(one.angle.value() - other.angle.value()) > 1e-6)
      return fmt::format("the text {} stands differently", one.text);
  }
  return {};
}

CellCompare compare_cell(const GradedPiece& was, const GradedPiece& now, double tolerance) {
  CellCompare cell;
  cell.area = signed_area(now.net.path) - signed_area(was.net.path);
  const MeasuredOutline one(was.cut.path);
  const MeasuredOutline other(now.cut.path);
  cell.off = hausdorff(one, other).value;
  // Either way round what is told is the same figure, and not one within its precision.
  if (cell.off > 0.0) cell.off = std::max(cell.off, hausdorff(other, one).value);
  cell.laid = cell.off;
  if (cell.off <= kSameCut) cell.drawn = drawn_differ(was, now);
  std::vector<Placement> fitting;  // as it lies on its forme before others
  if (cell.off <= tolerance) fitting.emplace_back();
  if (cell.off > kSameCut) {
    const std::vector<Lie> lies = closest_lies(was.cut.path, now.cut.path, Millimetres(tolerance));
    cell.laid = std::min(cell.off, lies.front().off);
    for (const Lie& lie : lies) {
      if (lie.off <= tolerance) fitting.push_back(lie.placement);
    }
  }
  const std::vector<DieMark> marks_was = marks_of(was);
  const std::vector<DieMark> marks_now = marks_of(now);
  for (const Placement& laid : fitting) {
    std::string why = marks_differ(marks_was, marks_now, laid, tolerance);
    cell.good = why.empty();
    if (cell.good || cell.why.empty()) cell.why = std::move(why);
    if (cell.good) break;
  }
  return cell;
}

std::optional<std::size_t> cell_at(const StyleGrade& grade, const SizeWidth& at) {
  for (std::size_t i = 0; i < grade.run_cells(); ++i) {
    if (grade.cells[i].size.label == at.size.label && grade.cells[i].width.label == at.width.label) return i;
  }
  return std::nullopt;
}

std::optional<std::size_t> piece_named(const StyleGrade& grade, const std::string& name) {
  for (std::size_t i = 0; i < grade.pieces.size(); ++i) {
    if (grade.pieces[i].bound.spec.name == name) return i;
  }
  return std::nullopt;
}

class Comparing {
 public:
  Comparing(const LoadedStyle& was, const StyleGrade& was_graded, const LoadedStyle& now,
            const StyleGrade& now_graded, const CompareOptions& options)
      : was_(was), was_graded_(was_graded), now_(now), now_graded_(now_graded), options_(options) {}

  Result<StyleCompare> run() {
    out_.tolerance = options_.tolerance.value();
    shared_cells();
    measures();
    for (std::size_t i = 0; i < was_graded_.pieces.size(); ++i) {
      const std::string& name = was_graded_.pieces[i].bound.spec.name;
      const auto there = piece_named(now_graded_, name);
      if (!there) {
        out_.pieces.push_back({name, true, false, {}, {}, {}});
        continue;
      }
      Result<PieceCompare> piece = compare(i, *there);
      if (!piece) return piece.problem();
      out_.pieces.push_back(*std::move(piece));
    }
    for (const PreparedPiece& piece : now_graded_.pieces) {
      if (!piece_named(was_graded_, piece.bound.spec.name))
        out_.pieces.push_back({piece.bound.spec.name, false, true, {}, {}, {}});
    }
    return std::move(out_);
  }

 private:
  void shared_cells() {
    for (std::size_t i = 0; i < was_graded_.run_cells(); ++i) {
      if (const auto there = cell_at(now_graded_, was_graded_.cells[i])) {
        cells_.emplace_back(i, *there);
      } else {
        out_.only_was.push_back(label_of(was_graded_.cells[i]));
      }
    }
    for (std::size_t i = 0; i < now_graded_.run_cells(); ++i) {
      if (!cell_at(was_graded_, now_graded_.cells[i]))
        out_.only_now.push_back(label_of(now_graded_.cells[i]));
    }
  }

  void measures() {
    for (std::size_t i = 0; i < was_.measures.size(); ++i) {
      const std::string& name = was_.measures.measures()[i].name;
      MeasureCompare one{name, 0.0, {}, {}, true, false};
      if (const auto there = now_.measures.index(name)) {
        one.now = true;
        for (const auto& [cell, other] : cells_) {
          const double more = now_.measures.value(*there, now_graded_.cells[other]) -
                              was_.measures.value(i, was_graded_.cells[cell]);
          if (std::abs(more) <= std::abs(one.most)) continue;
          one.most = more;
          one.size = was_graded_.cells[cell].size.label;
          one.width = was_graded_.cells[cell].width.label;
        }
      }
      if (!one.now || std::abs(one.most) > kSameCut) out_.measures.push_back(one);
    }
    for (const Measure& measure : now_.measures.measures()) {
      if (!was_.measures.index(measure.name))
        out_.measures.push_back({measure.name, 0.0, {}, {}, false, true});
    }
  }

  Result<PieceCompare> compare(std::size_t piece, std::size_t other) {
    PieceCompare out{was_graded_.pieces[piece].bound.spec.name, true, true, {}, {}, {}};
    out.cells.resize(cells_.size());
    const Status made = run_jobs(cells_.size(), options_.threads, [&](std::size_t k) -> Status {
      const Result<GradedPiece> one = was_graded_.cut_piece(piece, cells_[k].first);
      if (!one) return one.problem();
      const Result<GradedPiece> two = now_graded_.cut_piece(other, cells_[k].second);
      if (!two) return two.problem();
      out.cells[k] = compare_cell(*one, *two, options_.tolerance.value());
      out.cells[k].size = one->at.size.label;
      out.cells[k].width = one->at.width.label;
      return Done{};
    });
    if (!made) return made.problem();
    const Result<GradedPiece> one = was_graded_.outlined_piece(piece, was_graded_.base_cell());
    const Result<GradedPiece> two = now_graded_.outlined_piece(other, now_graded_.base_cell());
    if (one && two) {
      out.base_was = one->cut.path;
      out.base_now = two->cut.path;
    }
    return out;
  }

  const LoadedStyle& was_;
  const StyleGrade& was_graded_;
  const LoadedStyle& now_;
  const StyleGrade& now_graded_;
  const CompareOptions& options_;
  std::vector<std::pair<std::size_t, std::size_t>> cells_;  // of the one and the other
  StyleCompare out_;
};

}  // namespace

bool StyleCompare::same() const {
  if (!only_was.empty() || !only_now.empty() || !measures.empty()) return false;
  return std::all_of(pieces.begin(), pieces.end(), [](const PieceCompare& piece) {
    return piece.was && piece.now &&
           std::all_of(piece.cells.begin(), piece.cells.end(), [](const CellCompare& cell) {
             return cell.off <= kSameCut && cell.good && cell.drawn.empty();
           });
  });
}

Result<StyleCompare> compare_versions(const LoadedStyle& was, const StyleGrade& was_graded,
                                      const LoadedStyle& now, const StyleGrade& now_graded,
                                      const CompareOptions& options) {
  return Comparing(was, was_graded, now, now_graded, options).run();
}

}  // namespace lastwright
