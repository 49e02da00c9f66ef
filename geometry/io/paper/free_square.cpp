#include "geometry/io/paper/free_square.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

namespace lastwright {

namespace {

constexpr double kCell = 2.0;          // millimetres
constexpr double kTextOfHeight = 0.9;  // width of a letter, generously

int cells_along(double length) {
  return static_cast<int>(std::ceil(length / kCell));
}

// Cells of the room that something lies in, summed up so that a square is asked in four look-ups.
class Covered {
 public:
  explicit Covered(const Box2& room)
      : room_(room),
        columns_(std::max(1, cells_along(room.width()))),
        rows_(std::max(1, cells_along(room.height()))),
        cells_(static_cast<std::size_t>(columns_) * static_cast<std::size_t>(rows_), 0) {}

  void mark(Vec2 p) {
    const int column = static_cast<int>(std::floor((p.x - room_.low.x) / kCell));
    const int row = static_cast<int>(std::floor((p.y - room_.low.y) / kCell));
    if (column >= 0 && row >= 0 && column < columns_ && row < rows_) cells_[index(row, column)] = 1;
  }
  void mark(const ArcSegment& segment) {
    const int steps = 1 + static_cast<int>(segment.length() / (0.5 * kCell));
    for (int i = 0; i <= steps; ++i) mark(segment.point_at(static_cast<double>(i) / steps));
  }
  void mark(const Box2& box) {
    const int columns = cells_along(box.width());
    const int rows = cells_along(box.height());
    for (int column = 0; column <= columns; ++column) {
      for (int row = 0; row <= rows; ++row) {
        mark(Vec2{std::min(box.low.x + column * kCell, box.high.x),
                  std::min(box.low.y + row * kCell, box.high.y)});
      }
    }
  }
  // Everything that cannot be reached from the rim of the room without crossing a marked cell.
  [[nodiscard]] Covered with_insides() const {
    std::vector<std::uint8_t> outside(cells_.size(), 0);
    std::vector<std::pair<int, int>> next;
    const auto visit = [&](int row, int column) {
      if (row < 0 || column < 0 || row >= rows_ || column >= columns_) return;
      const std::size_t i = index(row, column);
      if (cells_[i] != 0 || outside[i] != 0) return;
      outside[i] = 1;
      next.emplace_back(row, column);
    };
    for (int row = 0; row < rows_; ++row) visit(row, 0), visit(row, columns_ - 1);
    for (int column = 0; column < columns_; ++column) visit(0, column), visit(rows_ - 1, column);
    while (!next.empty()) {
      const auto [row, column] = next.back();
      next.pop_back();
      visit(row + 1, column), visit(row - 1, column), visit(row, column + 1), visit(row, column - 1);
    }
    Covered filled = *this;
    for (std::size_t i = 0; i < outside.size(); ++i) filled.cells_[i] = outside[i] == 0 ? 1 : 0;
    return filled;
  }

  [[nodiscard]] std::optional<Vec2> lowest_free(double side) const {
    const int n = cells_along(side);
    if (n > rows_ || n > columns_) return std::nullopt;
    const auto wide = static_cast<std::size_t>(columns_) + 1;
    std::vector<int> sums(wide * (static_cast<std::size_t>(rows_) + 1), 0);
    const auto sum = [&](int row, int column) -> int& {
      return sums[static_cast<std::size_t>(row) * wide + static_cast<std::size_t>(column)];
    };
    for (int row = 0; row < rows_; ++row) {
      for (int column = 0; column < columns_; ++column) {
        sum(row + 1, column + 1) =
            cells_[index(row, column)] + sum(row, column + 1) + sum(row + 1, column) - sum(row, column);
      }
    }
    for (int row = 0; row + n <= rows_; ++row) {
      for (int column = 0; column + n <= columns_; ++column) {
        if (sum(row + n, column + n) - sum(row, column + n) - sum(row + n, column) + sum(row, column) != 0)
          continue;
        // The last row and column of cells reach beyond the room.
        return Vec2{std::min(room_.low.x + column * kCell, room_.high.x - side),
                    std::min(room_.low.y + row * kCell, room_.high.y - side)};
      }
    }
    return std::nullopt;
  }

 private:
  [[nodiscard]] std::size_t index(int row, int column) const {
    return static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) +
           static_cast<std::size_t>(column);
  }
  Box2 room_;
  int columns_;
  int rows_;
  std::vector<std::uint8_t> cells_;
};

}  // namespace

std::optional<Vec2> free_square(const Sheet& sheet, const Box2& room, double side) {
  if (room.width() < side || room.height() < side) return std::nullopt;
  Covered covered(room);
  for (const SheetOutline& outline : sheet.outlines) {
    for (std::size_t i = 0; i < outline.path.size(); ++i) covered.mark(outline.path.segment(i));
  }
  for (const SheetLine& line : sheet.lines) {
    for (std::size_t i = 0; i < line.path.size(); ++i) covered.mark(line.path.segment(i));
  }
  for (const SheetHole& hole : sheet.holes) {
    const double r = std::max(hole.radius, 1.0);
    covered.mark(Box2{hole.centre - Vec2{r, r}, hole.centre + Vec2{r, r}});
  }
  for (const SheetText& text : sheet.texts) {
    const Vec2 along{std::cos(text.angle.value()), std::sin(text.angle.value())};
    const double length = kTextOfHeight * text.height * static_cast<double>(text.text.size());
    const int steps = 2 * cells_along(length);
    for (int i = 0; i <= steps; ++i) {
      for (const double y : {0.0, 0.5 * text.height, text.height})
        covered.mark(text.at + std::min(0.5 * kCell * i, length) * along + y * left_of(along));
    }
  }
  const std::optional<Vec2> outside = covered.with_insides().lowest_free(side);
  return outside ? outside : covered.lowest_free(side);
}

}  // namespace lastwright
