#include "cli/drawings/picture_files.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cli/drawings/piece_files.hpp"
#include "cli/files/safe_name.hpp"
#include "cli/report/nest_svg.hpp"
#include "cli/report/piece_sheet_info.hpp"
#include "geometry/parallel.hpp"
#include "grading/grade/lay.hpp"

namespace lastwright {

namespace {

// Index of the base in a list of positions, or of the nearest where it is not there.
template <class Item>
std::size_t nearest(const std::vector<Item>& items, const Item& base, const std::vector<std::size_t>& among) {
  const auto off = [&](std::size_t i) { return std::abs((items[i].position - base.position).value()); };
  return *std::min_element(among.begin(), among.end(),
                           [&](std::size_t a, std::size_t b) { return off(a) < off(b); });
}

// The selected size and width nearest to the sample: the size first, of those its widths.
std::size_t nearest_size(const StyleGrade& grade, const GradeSelection& selection) {
  return nearest(grade.run.sizes, grade.run.base.size, selection.sizes);
}
std::size_t nearest_width(const StyleGrade& grade, const GradeSelection& selection) {
  return nearest(grade.run.widths, grade.run.base.width,
                 selection.widths_of(grade, nearest_size(grade, selection)));
}

Result<GradedPiece> laid_piece(const StyleGrade& grade, std::size_t piece, std::size_t cell) {
  Result<GradedPiece> graded = grade.cut_piece(piece, cell);
  if (!graded) return graded.problem();
  return laid(std::move(*graded), lay_of(grade, piece, cell));
}

Result<NestOutline> nest_outline(const StyleGrade& grade, std::size_t piece, std::size_t cell,
                                 NestLine line) {
  Result<GradedPiece> graded = laid_piece(grade, piece, cell);
  if (!graded) return graded.problem();
  NestOutline outline;
  const bool apart = graded->cut.path.vertices != graded->net.path.vertices;
  outline.path = line == NestLine::kNet ? graded->net.path : graded->cut.path;
  if (apart && line == NestLine::kCut) outline.net = graded->net.path;
  outline.cut_outs = std::move(graded->cut_outs);
  for (const GradedHole& hole : graded->holes) {
    if (hole.radius > 0.0) outline.holes.push_back({hole.centre, hole.radius});
  }
  return outline;
}

NestPlace place_of(const Fraction& position, const Fraction& base) {
  return position == base ? NestPlace::kBase : position < base ? NestPlace::kSmaller : NestPlace::kLarger;
}

// `what`: "sizes 5 to 13 in width F".
NestOptions nest_options(const StyleGrade& grade, std::size_t piece, NestLine line, const std::string& what) {
  NestOptions options;
  options.title = grade.pieces[piece].bound.spec.name;
  options.subtitle =
      fmt::format("{}, base {} {}; {}", what, grade.run.base.size.label, grade.run.base.width.label,
                  line == NestLine::kNet ? "net lines" : "cut lines");
  options.kept = kept_point(grade, piece);
  if (const auto corner = pinned_corner(grade, piece)) {
    options.kept_name = *corner;
    options.subtitle += ", fold on fold";
  }
  return options;
}

bool same_path(const ClosedArcPath& a, const ClosedArcPath& b) {
  return std::equal(a.vertices.begin(), a.vertices.end(), b.vertices.begin(), b.vertices.end(),
                    [](const ArcVertex& p, const ArcVertex& q) {
                      return distance(p.at, q.at) < 1e-9 && std::abs(p.bulge - q.bulge) < 1e-9;
                    });
}

Result<std::string> sizes_nest(const StyleGrade& grade, const GradeSelection& selection, NestLine line,
                               std::size_t piece, std::size_t width) {
  std::vector<NestOutline> outlines;
  std::string first;  // of the sizes that are tied to one outline: "5 to 6.5"
  const std::vector<std::size_t> sizes = selection.sizes_in(grade, width);
  for (const std::size_t size : sizes) {
    const Size& at = grade.run.sizes[size];
    auto outline = nest_outline(grade, piece, grade.cell(size, width), line);
    if (!outline) return outline.problem();
    outline->label = at.label;
    outline->place = place_of(at.position, grade.run.base.size.position);
    outline->minor = at.position.denominator() != 1;
    if (!outlines.empty() && same_path(outlines.back().path, outline->path)) {
      NestOutline& tied = outlines.back();
      tied.label = first + " to " + at.label;
      tied.minor = tied.minor && outline->minor;
      if (outline->place == NestPlace::kBase) {
        tied.place = NestPlace::kBase;
        tied.net = outline->net;
      }
      continue;
    }
    first = at.label;
    outlines.push_back(std::move(*outline));
  }
  NestOptions options =
      nest_options(grade, piece, line,
                   fmt::format("sizes {} to {} in width {}", grade.run.sizes[sizes.front()].label,
                               grade.run.sizes[sizes.back()].label, grade.run.widths[width].label));
  options.minor = "half sizes";
  return nest_svg(outlines, options);
}

Result<std::string> widths_nest(const StyleGrade& grade, const GradeSelection& selection, NestLine line,
                                std::size_t piece, std::size_t size) {
  std::vector<NestOutline> outlines;
  for (const std::size_t width : selection.widths_of(grade, size)) {
    const Width& at = grade.run.widths[width];
    auto outline = nest_outline(grade, piece, grade.cell(size, width), line);
    if (!outline) return outline.problem();
    outline->label = at.label;
    outline->place = place_of(at.position, grade.run.base.width.position);
    outlines.push_back(std::move(*outline));
  }
  NestOptions options = nest_options(grade, piece, line,
                                     fmt::format("widths {} to {} of size {}", outlines.front().label,
                                                 outlines.back().label, grade.run.sizes[size].label));
  options.smaller = "narrower";
  options.larger = "wider";
  return nest_svg(outlines, options);
}

}  // namespace

Status add_nests(const StyleGrade& grade, const GradeSelection& selection, const PictureOptions& options,
                 OutputSet& set) {
  const std::vector<std::string> names = piece_names(grade);
  const std::size_t width = nearest_width(grade, selection);
  const std::size_t size = nearest_size(grade, selection);
  return run_jobs(selection.pieces.size(), options.threads, [&](std::size_t i) -> Status {
    const std::size_t piece = selection.pieces[i];
    const Result<std::string> sizes = sizes_nest(grade, selection, options.nest_line, piece, width);
    if (!sizes) return sizes.problem();
    const Result<std::string> widths = widths_nest(grade, selection, options.nest_line, piece, size);
    if (!widths) return widths.problem();
    const std::string width_label = safe_name(grade.run.widths[width].label);
    const std::string size_label = safe_name(grade.run.sizes[size].label);
    if (Status added = set.add(fmt::format("nests/{} sizes in {}.svg", names[piece], width_label), *sizes);
        !added)
      return added;
    return set.add(fmt::format("nests/{} widths of {}.svg", names[piece], size_label), *widths);
  });
}

Status add_sheets(const StyleSpec& style, const StyleGrade& grade, const GradeSelection& selection,
                  const PictureOptions& options, OutputSet& set) {
  if (options.sheets == SheetsOf::kNone) return Done{};
  const std::vector<std::string> names = piece_names(grade);
  struct Job {
    std::size_t piece;
    std::size_t cell;
  };
  std::vector<Job> jobs;
  for (const std::size_t piece : selection.pieces) {
    if (options.sheets == SheetsOf::kBase) {
      jobs.push_back({piece, grade.cell(nearest_size(grade, selection), nearest_width(grade, selection))});
      continue;
    }
    for (const std::size_t cell : selection.cells) jobs.push_back({piece, cell});
  }
  return run_jobs(jobs.size(), options.threads, [&](std::size_t i) -> Status {
    const auto [piece, cell] = jobs[i];
    const Result<GradedPiece> graded = laid_piece(grade, piece, cell);
    if (!graded) return graded.problem();
    const PieceSheetInfo info = piece_sheet_info(style, grade, piece, cell);
    return set.add(fmt::format("sheets/{} {}.svg", names[piece], cell_name(grade, cell)),
                   piece_sheet_svg(*graded, info));
  });
}

}  // namespace lastwright
