#include "cli/drawings/grade_additions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "cli/drawings/piece_files.hpp"
#include "cli/report/failed_checks.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/drawing_difference.hpp"
#include "geometry/io/dxf/dxf_read.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

// Both were fitted to the exact map within half of this (the accuracy that is promised of graded outlines):
// a run that holds more sizes parts its curves elsewhere, and cuts the same.
constexpr Millimetres kSameDrawing{0.02};

std::optional<double> difference(std::string_view was, std::string_view now) {
  const auto read = [](std::string_view bytes) {
    return read_dxf(bytes, {.file_name = {}, .unit = DrawingUnit::kMillimetre, .limits = {}});
  };
  const Result<Drawing> one = read(was);
  const Result<Drawing> other = read(now);
  if (!one || !other) return {};
  return difference_of(*one, *other);
}

}  // namespace

Result<GradeSelection> GradeAdditions::widened(const StyleGrade& grade, GradeSelection selection) const {
  const std::vector<std::vector<std::string>> names = piece_file_names(grade);
  std::vector<std::vector<std::size_t>> there(names.size());
  std::set<std::size_t> cells(selection.cells.begin(), selection.cells.end());
  for (std::size_t piece = 0; piece < names.size(); ++piece) {
    for (std::size_t cell = 0; cell < grade.run_cells(); ++cell) {
      if (!holds(names[piece][cell] + ".dxf")) continue;
      there[piece].push_back(cell);
      cells.insert(cell);
    }
    const bool asked = std::binary_search(selection.pieces.begin(), selection.pieces.end(), piece);
    if (asked == !there[piece].empty()) continue;
    const std::string& name = grade.pieces[piece].bound.spec.name;
    return Problem{Trouble::kUsage,
                   asked ? fmt::format("--add: the set does not hold {} yet; add the sizes and widths of the "
                                       "pieces it holds, or name another folder",
                                       name)
                         : fmt::format("--add: the set holds {} too; ask for it as well, or name another "
                                       "folder",
                                       name),
                   {},
                   {},
                   {}};
  }
  const std::vector<std::size_t>& first = there[selection.pieces.front()];
  for (const std::size_t piece : selection.pieces) {
    if (there[piece] == first) continue;
    return Problem{Trouble::kUsage,
                   fmt::format("--add: the set holds {} in other sizes and widths than {}",
                               grade.pieces[piece].bound.spec.name,
                               grade.pieces[selection.pieces.front()].bound.spec.name),
                   {},
                   {},
                   {}};
  }
  selection.cells.assign(cells.begin(), cells.end());
  std::set<std::size_t> sizes;
  std::set<std::size_t> widths;
  for (std::size_t s = 0; s < grade.run.sizes.size(); ++s) {
    for (std::size_t w = 0; w < grade.run.widths.size(); ++w) {
      if (!selection.holds(grade, s, w)) continue;
      sizes.insert(s);
      widths.insert(w);
    }
  }
  selection.sizes.assign(sizes.begin(), sizes.end());
  selection.widths.assign(widths.begin(), widths.end());
  return selection;
}

Status GradeAdditions::keep(const std::string& name, std::string_view now, OutputSet& set) {
  const Result<std::string> was = earlier_.read(name + ".dxf");
  if (!was) return was.problem();
  const bool same = *was == now;
  const std::optional<double> apart = same ? 0.0 : difference(*was, now);
  if (!apart || !(*apart <= kSameDrawing.value())) {
    Problem changed{
        Trouble::kWouldReplace,
        fmt::format("the style now gives {}.dxf differently from the one in the set: {}; grade into "
                    "another folder, or replace the set with --force",
                    name, apart ? "it was changed since" : "it does not hold the same lines"),
        {},
        apart,
        {}};
    if (apart) changed.limit = kSameDrawing.value();
    return changed;
  }
  {
    const std::lock_guard guard(lock_);
    ++kept_;
    if (!same) ++otherwise_;
    most_ = std::max(most_, *apart);
  }
  return set.add(name + ".dxf", *was);
}

Status GradeAdditions::keep_rest(OutputSet& set) const {
  for (const std::string& name : earlier_.names()) {
    if (name.starts_with("nests/") || name == kFailedFile || set.has(name)) continue;
    const Result<std::string> bytes = earlier_.read(name);
    if (!bytes) return bytes.problem();
    if (Status added = set.add(name, *bytes); !added) return added;
  }
  return Done{};
}

std::string GradeAdditions::text() const {
  std::string text = "  " + counted(kept_, "drawing of the set is kept as it was",
                                    "drawings of the set are kept as they were");
  if (otherwise_ > 0)
    text += fmt::format("; {} of them would be drawn by other arcs now, {:.4f} mm apart at most", otherwise_,
                        most_);
  return text + "\n";
}

}  // namespace lastwright
