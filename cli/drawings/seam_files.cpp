#include "cli/drawings/seam_files.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "cli/tables/csv.hpp"

namespace lastwright {

namespace {

void add_columns(Table& table, std::initializer_list<const char*> titles, int decimals) {
  for (const char* title : titles) table.columns.push_back({title, 14.0, decimals});
}

}  // namespace

Table seam_table(const StyleSpec& style, const StyleGrade& grade, const std::vector<SeamReport>& reports) {
  Table table;
  table.name = "seams";
  add_columns(table, {"seam", "one", "other", "size", "width"}, 0);
  add_columns(table,
              {"length of one, mm", "length of other, mm", "difference less ease, mm", "beyond the base, mm"},
              4);
  add_columns(table,
              {"first end: angle of one, degrees", "angle of other, degrees", "turn, degrees",
               "last end: angle of one, degrees", "angle of other, degrees", "turn, degrees"},
              3);
  add_columns(table, {"nick pairs", "nicks alone"}, 0);
  add_columns(table, {"nicks apart, mm"}, 4);
  add_columns(table, {"sizes tied on"}, 0);
  for (const SeamReport& report : reports) {
    const SeamSpec& seam = style.seams[report.seam];
    for (std::size_t k = 0; k < grade.run_cells(); ++k) {
      const SeamCell& cell = report.cells[k];
      std::vector<TableCell> row;
      row.push_back({seam.name});
      for (const SeamSide* side : {&seam.one, &seam.other}) row.push_back({side->piece + ": " + side->edge});
      row.push_back({grade.cells[k].size.label});
      row.push_back({grade.cells[k].width.label});
      for (const double length : {cell.one, cell.other, cell.difference, cell.beyond})
        row.push_back({length});
      for (const SeamEnd& end : {cell.first, cell.last}) {
        for (const Radians angle : {end.one, end.other, end.turn}) row.push_back({to_degrees(angle)});
      }
      double apart = 0.0;
      for (const SeamNick& nick : cell.nicks) apart = std::max(apart, std::abs(nick.off()));
      row.push_back({static_cast<std::int64_t>(cell.nicks.size())});
      row.push_back({static_cast<std::int64_t>(report.lone.size())});
      row.emplace_back();
      if (!cell.nicks.empty()) row.back().value = apart;
      std::string tied;
      for (const std::string& piece : report.tied) tied += (tied.empty() ? "" : ", ") + piece;
      row.push_back({tied});
      table.rows.push_back(std::move(row));
    }
  }
  return table;
}

Table piece_girth_table(const StyleGrade& grade, const std::vector<PieceGirth>& girths) {
  Table table;
  table.name = "girths in pieces";
  add_columns(table, {"girth", "layer", "size", "width"}, 0);
  add_columns(table, {"in pieces, mm", "asked, mm", "deviation, mm"}, 4);
  add_columns(table, {"pieces"}, 0);
  for (const PieceGirth& girth : girths) {
    std::string names;
    for (const std::vector<std::string>& part : girth.pieces) {
      std::string together;
      for (const std::string& piece : part) together += (together.empty() ? "" : " + ") + piece;
      names += (names.empty() ? "" : "; ") + together;
    }
    for (std::size_t k = 0; k < grade.run_cells(); ++k) {
      const PieceGirthCell& cell = girth.cells[k];
      table.rows.push_back({{girth.measure},
                            {girth.layer},
                            {grade.cells[k].size.label},
                            {grade.cells[k].width.label},
                            {cell.covered},
                            {cell.asked},
                            {cell.off()},
                            {names}});
    }
  }
  return table;
}

Status add_seam_tables(const StyleSpec& style, const StyleGrade& grade, const JudgedStyle& judged,
                       OutputSet& set) {
  if (!judged.seams) return judged.seams.problem();
  if (!judged.seams->empty()) {
    if (Status added = set.add("seams.csv", to_csv(seam_table(style, grade, *judged.seams))); !added)
      return added;
  }
  if (!judged.girths) return judged.girths.problem();
  if (judged.girths->empty()) return Done{};
  return set.add("girths-in-pieces.csv", to_csv(piece_girth_table(grade, *judged.girths)));
}

}  // namespace lastwright
