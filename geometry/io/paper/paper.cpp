#include "geometry/io/paper/paper.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>

#include "geometry/units.hpp"

namespace lastwright {

namespace {

// ISO 216; the inch sizes by definition.
const std::array<Paper, 7> kPapers = {{{"A4", 210, 297},
                                       {"A3", 297, 420},
                                       {"A2", 420, 594},
                                       {"A1", 594, 841},
                                       {"A0", 841, 1189},
                                       {"Letter", 8.5 * kMillimetresPerInch, 11 * kMillimetresPerInch},
                                       {"Tabloid", 11 * kMillimetresPerInch, 17 * kMillimetresPerInch}}};

constexpr double kNarrowestRoll = 130.0;  // the check square, the margins and a little
constexpr double kLongestPage = 5000.0;   // PDF allows 14,400 units: 5,080 mm
constexpr int kMostSheets = 2000;

char lower(char c) {
  return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

bool same_letters(std::string_view a, std::string_view b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](char x, char y) { return lower(x) == lower(y); });
}

// Pages of `inner` millimetres that cover `length` with
// `overlap` between neighbours; what cannot be counted is many.
int pages_for(double length, double inner, double overlap) {
  if (length <= inner) return 1;
  const double pages = 1.0 + std::ceil((length - inner) / (inner - overlap) - 1e-9);
  return pages < kMostSheets ? static_cast<int>(pages) : kMostSheets + 1;
}

struct TileGrid {
  double width = 0.0;
  double height = 0.0;
  int rows = 0;
  int columns = 0;
};

// Nothing when the margins leave too little of the page.
std::optional<TileGrid> grid_for(double page_width, double page_height, const Box2& drawing,
                                 const TileOptions& o) {
  const double inner_width = page_width - 2 * o.margin;
  const double inner_height = page_height - 2 * o.margin - o.strip;
  if (inner_width < 2 * o.overlap || inner_height < 2 * o.overlap) return std::nullopt;
  return TileGrid{page_width, page_height, pages_for(drawing.height(), inner_height, o.overlap),
                  pages_for(drawing.width(), inner_width, o.overlap)};
}

}  // namespace

Result<Paper> paper_named(std::string_view name) {
  for (const Paper& paper : kPapers) {
    if (same_letters(paper.name, name)) return paper;
  }
  if (name.size() > 5 && same_letters(name.substr(0, 4), "roll") && (name[4] == ' ' || name[4] == '-')) {
    double width = 0.0;
    const std::string_view digits = name.substr(5);
    const auto read = std::from_chars(digits.data(), digits.data() + digits.size(), width);
    if (read.ec == std::errc() && read.ptr == digits.data() + digits.size() && width >= kNarrowestRoll &&
        width <= 2000.0) {
      return Paper{std::string(name), width, kLongestPage, true};
    }
    return bad_value(fmt::format(
        "\"{}\" is not a roll; give its width in millimetres, 130 to 2000, as in \"roll 900\"", name));
  }
  return bad_value(
      fmt::format("there is no paper \"{}\"; there are A4, A3, A2, A1, A0, Letter, Tabloid and rolls such as "
                  "\"roll 900\"",
                  name));
}

std::string tile_name(const TilePlan& plan, int row, int column) {
  if (plan.rows == 1 && plan.columns == 1) return "one sheet";
  return fmt::format("row {} of {}, column {} of {}", row + 1, plan.rows, column + 1, plan.columns);
}

Result<TilePlan> plan_tiles(const Box2& drawing, const Paper& paper, const TileOptions& o) {
  std::optional<TileGrid> best;
  for (const bool turned : {false, true}) {
    const double across = paper.width;
    double along = paper.height;
    if (paper.roll) {
      const double needed = (turned ? drawing.width() : drawing.height() + o.strip) + 2 * o.margin;
      along = std::min(along, std::max(needed, 150.0));
    }
    const std::optional<TileGrid> grid =
        turned ? grid_for(along, across, drawing, o) : grid_for(across, along, drawing, o);
    if (!grid) continue;
    const auto cost = [](const TileGrid& g) { return g.rows * g.columns * g.width * g.height; };
    if (!best || cost(*grid) < cost(*best) - 1e-6) best = grid;
  }
  if (!best) return bad_value(fmt::format("paper {} is too small for its margins and overlap", paper.name));
  if (best->rows * best->columns > kMostSheets) {
    return Problem{Trouble::kBudget,
                   fmt::format("the drawing needs more sheets of {} than can be made; choose a larger paper",
                               paper.name),
                   {},
                   static_cast<double>(best->rows) * best->columns,
                   static_cast<double>(kMostSheets)};
  }
  TilePlan plan{best->width, best->height, best->rows, best->columns, {}};
  const double inner_width = plan.page_width - 2 * o.margin;
  const double inner_height = plan.page_height - 2 * o.margin - o.strip;
  // The sheets together are as large as the drawing or larger: it lies in their middle, at the top, so that
  // the check square at the foot stays clear of it where there is room.
  const double all_width = inner_width + (plan.columns - 1) * (inner_width - o.overlap);
  const double left = drawing.centre().x - all_width / 2;
  const double top = drawing.high.y;
  for (int row = 0; row < plan.rows; ++row) {
    for (int column = 0; column < plan.columns; ++column) {
      const double x = left + column * (inner_width - o.overlap);
      const double y = top - row * (inner_height - o.overlap);
      plan.tiles.push_back({row, column, {{x, y - inner_height}, {x + inner_width, y}}});
    }
  }
  return plan;
}

}  // namespace lastwright
