#include "grading/library/plain_values.hpp"

#include "geometry/io/safe_text.hpp"

namespace lastwright::library {

namespace {

Path plain(const std::vector<ArcVertex>& vertices) {
  Path path;
  path.reserve(vertices.size());
  for (const ArcVertex& vertex : vertices) path.push_back({vertex.at.x, vertex.at.y, vertex.bulge});
  return path;
}

void add_lines(const std::vector<GradedLine>& lines, Outline& outline) {
  for (const GradedLine& line : lines)
    outline.lines.push_back({layer_name(line.operation), plain(line.path.vertices)});
}

void add_holes(const std::vector<GradedHole>& holes, Outline& outline) {
  for (const GradedHole& hole : holes)
    outline.holes.push_back({layer_name(hole.operation), hole.centre.x, hole.centre.y, hole.radius});
}

}  // namespace

Fault plain(const Problem& problem) {
  return {name_of(problem.trouble), problem.message,       problem.place.file,
          problem.place.line,       problem.place.pointer, safe_text(to_text(problem)),
          problem.place.named,      problem.value,         problem.limit};
}

std::vector<Fault> plain(const std::vector<Problem>& problems) {
  std::vector<Fault> faults;
  for (const Problem& problem : problems) faults.push_back(plain(problem));
  return faults;
}

std::vector<CheckResult> plain(const std::vector<StyleFinding>& findings) {
  std::vector<CheckResult> all;
  for (const StyleFinding& one : findings) {
    CheckResult said;
    said.check = one.check;
    said.subject = one.subject;
    said.worst = one.worst;
    said.limit = one.limit;
    said.unit = one.unit;
    said.where = to_text(one.where);
    said.passed = one.passed;
    said.note = one.note;
    said.limit_is_least = one.limit && (one.least || one.check == "fold-over");
    said.look = one.doubtful;
    said.size = one.where.size;
    said.width = one.where.width;
    said.piece = one.where.piece;
    if (one.where.point) said.point.emplace(one.where.point->x, one.where.point->y);
    all.push_back(std::move(said));
  }
  return all;
}

Outline plain(const GradedPiece& piece) {
  Outline outline;
  outline.piece = piece.piece;
  outline.size = piece.at.size.label;
  outline.width = piece.at.width.label;
  outline.cut = plain(piece.cut.path.vertices);
  outline.net = plain(piece.net.path.vertices);
  for (const ClosedArcPath& cut_out : piece.cut_outs) outline.cut_outs.push_back(plain(cut_out.vertices));
  add_lines(piece.lines, outline);
  add_holes(piece.holes, outline);
  return outline;
}

Outline plain(const DieShape& shape, const std::string& piece) {
  Outline outline;
  outline.piece = piece;
  outline.cut = plain(shape.cut.path.vertices);
  for (const ClosedArcPath& cut_out : shape.cut_outs) outline.cut_outs.push_back(plain(cut_out.vertices));
  add_lines(shape.marks, outline);
  add_lines(shape.size_marks, outline);
  add_holes(shape.holes, outline);
  return outline;
}

}  // namespace lastwright::library
