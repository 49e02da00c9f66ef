#include "cli/report/nest_data.hpp"

#include <algorithm>
#include <cmath>

#include "geometry/invariant.hpp"
#include "geometry/parallel.hpp"
#include "grading/grade/lay.hpp"
#include "grading/grade/piece_sheet.hpp"

namespace lastwright {

namespace {

enum class Shape { kClosed, kOpen, kHole, kText };

std::int64_t hundredths(double value) {
  return std::llround(value * 100.0);
}

class Row {
 public:
  std::vector<std::int64_t> numbers;

  void begin(Shape shape, Operation operation) {
    numbers.push_back(16 * static_cast<int>(shape) + static_cast<int>(operation));
  }
  void add(double value) { numbers.push_back(hundredths(value)); }
  void add_point(Vec2 p) {
    add(p.x);
    add(p.y);
  }
  // Differences of rounded places: rounding does not add up along the path.
  void add_path(const std::vector<ArcVertex>& vertices, bool closed) {
    numbers.push_back(static_cast<std::int64_t>(vertices.size()));
    std::int64_t x = 0;
    std::int64_t y = 0;
    for (std::size_t i = 0; i < vertices.size(); ++i) {
      const bool last = i + 1 == vertices.size();
      const Vec2 to = last ? (closed ? vertices.front().at : vertices.back().at) : vertices[i + 1].at;
      numbers.push_back(hundredths(vertices[i].at.x) - x);
      numbers.push_back(hundredths(vertices[i].at.y) - y);
      x += numbers[numbers.size() - 2];
      y += numbers.back();
      add(0.5 * vertices[i].bulge * distance(vertices[i].at, to));
    }
  }
};

std::vector<std::int64_t> minus(const std::vector<std::int64_t>& a, const std::vector<std::int64_t>& b) {
  std::vector<std::int64_t> difference(a.size());
  for (std::size_t i = 0; i < a.size(); ++i) difference[i] = a[i] - b[i];
  while (!difference.empty() && difference.back() == 0) difference.pop_back();
  return difference;
}

std::uint32_t operations_of(const Sheet& sheet) {
  std::uint32_t bits = 0;
  const auto mark = [&](Operation operation) { bits |= 1U << static_cast<unsigned>(operation); };
  for (const SheetOutline& outline : sheet.outlines) mark(outline.operation);
  for (const SheetLine& line : sheet.lines) mark(line.operation);
  for (const SheetHole& hole : sheet.holes) mark(hole.operation);
  for (const SheetText& text : sheet.texts) mark(text.operation);
  return bits;
}

// Without a cut line the piece as it is drawn: what is wrong is easier to see on it than on nothing.
Sheet sheet_at(const StyleGrade& grade, std::size_t piece, std::size_t cell, bool on_paper,
               std::vector<Problem>& not_built) {
  const Result<GradedPiece> graded = grade.cut_piece(piece, cell);
  const Lay lay = on_paper ? lay_of(grade, piece, cell) : Lay{};
  if (graded) return sheet_of(laid(*graded, lay));
  not_built.push_back(graded.problem());
  return sheet_of(laid(grade.drawn_piece(piece, cell), lay));
}

}  // namespace

PieceOutlines piece_outlines(const StyleGrade& grade, std::size_t piece, bool laid) {
  PieceOutlines out;
  const auto row_of = [&](std::size_t cell) {
    const Sheet sheet = sheet_at(grade, piece, cell, laid, out.not_built);
    out.operations |= operations_of(sheet);
    return numbers_of(sheet, out.texts);
  };
  const std::vector<std::int64_t> base = row_of(grade.base_cell());
  out.base = packed(base);
  for (std::size_t cell = 0; cell < grade.run_cells(); ++cell) {
    const std::vector<std::int64_t> row = row_of(cell);
    out.cells.push_back(row.size() == base.size() ? "+" + packed(minus(row, base)) : "=" + packed(row));
  }
  return out;
}

std::vector<std::int64_t> numbers_of(const Sheet& sheet, std::vector<std::string>& texts) {
  Row row;
  double area = 0.0;
  double cut = 0.0;
  for (const SheetOutline& outline : sheet.outlines) {
    if (outline.operation != Operation::kCut) continue;
    area += std::abs(signed_area(outline.path));
    cut += length(outline.path);
  }
  row.add(cut);
  row.numbers.push_back(std::llround(area));
  for (const SheetOutline& outline : sheet.outlines) {
    row.begin(Shape::kClosed, outline.operation);
    row.add_path(outline.path.vertices, true);
  }
  for (const SheetLine& line : sheet.lines) {
    row.begin(Shape::kOpen, line.operation);
    row.add_path(line.path.vertices, false);
  }
  for (const SheetHole& hole : sheet.holes) {
    row.begin(Shape::kHole, hole.operation);
    row.add_point(hole.centre);
    row.add(hole.radius);
  }
  for (const SheetText& text : sheet.texts) {
    const auto known = std::find(texts.begin(), texts.end(), text.text);
    row.begin(Shape::kText, text.operation);
    row.add_point(text.at);
    row.add(text.height);
    row.numbers.push_back(std::llround(to_degrees(text.angle) * 10.0));
    row.numbers.push_back(known - texts.begin());
    if (known == texts.end()) texts.push_back(text.text);
  }
  return std::move(row.numbers);
}

std::string packed(std::span<const std::int64_t> numbers) {
  static constexpr char kDigits[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_";
  std::string text;
  for (const std::int64_t number : numbers) {
    auto rest = static_cast<std::uint64_t>(number < 0 ? -number : number) * 2 + (number < 0 ? 1 : 0);
    do {
      const std::uint64_t more = rest >= 32 ? 32 : 0;
      text += kDigits[(rest & 31) | more];
      rest >>= 5;
    } while (rest != 0);
  }
  return text;
}

std::vector<PieceOutlines> run_outlines(const StyleGrade& grade, unsigned threads) {
  std::vector<PieceOutlines> pieces(grade.pieces.size());
  const Status done = run_jobs(pieces.size(), threads, [&](std::size_t i) -> Status {
    pieces[i] = piece_outlines(grade, i, true);
    return Done{};
  });
  invariant(done.ok(), "outlines come to something always");
  return pieces;
}

}  // namespace lastwright
