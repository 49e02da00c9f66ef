#include "grading/redraw/style_compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include "geometry/check/hausdorff.hpp"
#include "geometry/map/closest_lie.hpp"
#include "geometry/parallel.hpp"
#include "grading/redraw/marks_compare.hpp"

namespace lastwright {

namespace {

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
  for (const Placement& laid : fitting) {
    std::string why = marks_differ(was, now, laid, tolerance);
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
