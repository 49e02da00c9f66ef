// The grade-rule table as plain text: comment lines with #, then tab-parted rows.
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <set>

#include "geometry/io/drawable.hpp"
#include "geometry/io/dxf/dxf_append.hpp"
#include "geometry/io/sewn/sewn_dxf.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {
namespace {

constexpr std::size_t kLeadingColumns = 3;

constexpr std::string_view kExplanation =
    "# Grade rules beside a D6673-style drawing, in millimetres. Columns are separated by tabs.\n# 'base' "
    "names the size and width the moves start from. 'columns' names the rest of each row:\n# piece, point, "
    "rule number (as in the drawing, after '# '), then for each size and width dx and dy,\n# how far the "
    "point lies from its place in the base, x to the right and y up.\n# The last row is 'end' and the number "
    "of rules: without it the file was cut short.\n";

Problem wrong(std::string message, long line = 0) {
  Problem problem{Trouble::kBadValue, "grade rules: " + std::move(message), {}, {}, {}};
  problem.place.line = line;
  return problem;
}

std::optional<std::string> fault_of(const GradeRuleTable& table) {
  const auto plain = [](const std::string& name) {
    return !name.empty() && name.find_first_of("\t\r\n") == std::string::npos;
  };
  if (std::find(table.sizes.begin(), table.sizes.end(), table.base) == table.sizes.end()) {
    return fmt::format("the base {} is not one of the sizes", table.base);
  }
  for (const std::string& size : table.sizes) {
    if (!plain(size)) return "a size without a name, or with a tab or a line end in it";
  }
  std::set<std::pair<std::string, int>> seen;
  for (const GradeRule& rule : table.rules) {
    const std::string name = fmt::format("piece {}, point {}", rule.piece, rule.point);
    if (!plain(rule.piece) || !plain(rule.point) || rule.piece.starts_with('#')) {
      return name + ": names must not be empty, start with # or hold tabs or line ends";
    }
    if (rule.moves.size() != table.sizes.size()) {
      return fmt::format("{}: {} moves for {} sizes", name, rule.moves.size(), table.sizes.size());
    }
    for (const Vec2 move : rule.moves) {
      if (!is_drawable(norm(move))) return name + ": a move that is not a length";
    }
    if (!seen.insert({rule.piece, rule.rule}).second)
      return fmt::format("{}: rule {} twice", name, rule.rule);
  }
  return std::nullopt;
}

std::vector<std::string_view> split(std::string_view line) {
  std::vector<std::string_view> cells;
  while (true) {
    const std::size_t tab = line.find('\t');
    cells.push_back(line.substr(0, tab));
    if (tab == std::string_view::npos) return cells;
    line.remove_prefix(tab + 1);
  }
}

template <class Number>
bool parse(std::string_view cell, Number& value) {
  const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
  return error == std::errc{} && end == cell.data() + cell.size();
}

}  // namespace

Result<std::string> write_grade_rules(const GradeRuleTable& table) {
  if (const auto fault = fault_of(table)) return wrong(*fault);
  std::string out(kExplanation);
  out += "base\t" + table.base + "\ncolumns\tpiece\tpoint\trule";
  for (const std::string& size : table.sizes) out += "\t" + size + " dx\t" + size + " dy";
  out += '\n';
  for (const GradeRule& rule : table.rules) {
    out += fmt::format("{}\t{}\t{}", rule.piece, rule.point, rule.rule);
    for (const Vec2 move : rule.moves) {
      for (const double value : {move.x, move.y}) {
        out += '\t';
        append_decimal(out, value, kCoordinateDigits);
      }
    }
    out += '\n';
  }
  return out + fmt::format("end\t{}\n", table.rules.size());
}

Result<GradeRuleTable> read_grade_rules(std::string_view text) {
  GradeRuleTable table;
  long number = 0;
  bool ended = false;
  while (!text.empty()) {
    const std::size_t end = text.find('\n');
    std::string_view line = text.substr(0, end);
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
    ++number;
    if (line.ends_with('\r')) line.remove_suffix(1);
    if (line.empty() || line.starts_with('#')) continue;
    const std::vector<std::string_view> cells = split(line);
    if (ended) return wrong("something follows the end", number);
    if (cells.size() == 2 && cells[0] == "end" && !table.sizes.empty()) {
      std::size_t rules = 0;
      if (!parse(cells[1], rules) || rules != table.rules.size()) {
        return wrong(
            fmt::format("the last row says {} rules, but there are {}", cells[1], table.rules.size()),
            number);
      }
      ended = true;
      continue;
    }
    if (table.base.empty()) {
      if (cells.size() != 2 || cells[0] != "base") return wrong("the base is expected here", number);
      table.base = cells[1];
    } else if (table.sizes.empty()) {
      if (cells.size() < kLeadingColumns + 3 || cells[0] != "columns" || cells.size() % 2 != 0) {
        return wrong("the names of the columns are expected here", number);
      }
      for (std::size_t i = kLeadingColumns + 1; i < cells.size(); i += 2) {
        const std::string_view dx = cells[i];
        const std::string_view dy = cells[i + 1];
        if (!dx.ends_with(" dx") || !dy.ends_with(" dy") ||
            dx.substr(0, dx.size() - 3) != dy.substr(0, dy.size() - 3)) {
          return wrong("columns of moves come in pairs, dx and dy of one size", number);
        }
        table.sizes.emplace_back(dx.substr(0, dx.size() - 3));
      }
    } else {
      if (cells.size() != kLeadingColumns + 2 * table.sizes.size()) {
        return wrong(
            fmt::format("{} columns instead of {}", cells.size(), kLeadingColumns + 2 * table.sizes.size()),
            number);
      }
      GradeRule rule{std::string(cells[0]), std::string(cells[1]), 0, {}};
      bool good = parse(cells[2], rule.rule);
      for (std::size_t i = kLeadingColumns; i < cells.size(); i += 2) {
        Vec2 move;
        good = good && parse(cells[i], move.x) && parse(cells[i + 1], move.y);
        rule.moves.push_back(move);
      }
      if (!good) return wrong("a value that is not a number", number);
      table.rules.push_back(std::move(rule));
    }
  }
  if (!ended) return wrong("the file is cut short: its end is missing", number);
  if (const auto fault = fault_of(table)) return wrong(*fault);
  return table;
}

}  // namespace lastwright
