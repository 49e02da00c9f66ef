#include "cli/planning/cut_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "cli/planning/cut_beds.hpp"
#include "cli/planning/feet_json.hpp"
#include "cli/planning/order_told.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/cutter_write.hpp"
#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/style/drawn_feet.hpp"
#include "grading/style/foot_words.hpp"

namespace lastwright {

namespace {

// What of the drawing is not worked, by kind.
std::string left_out(const std::vector<Sheet>& sheets, const std::vector<Operation>& asked) {
  std::string text;
  for (const Operation operation : all_operations()) {
    if (std::find(asked.begin(), asked.end(), operation) != asked.end()) continue;
    std::size_t count = 0;
    for (const Sheet& sheet : sheets) {
      const auto of = [&](const auto& list) {
        return static_cast<std::size_t>(std::count_if(
            list.begin(), list.end(), [&](const auto& one) { return one.operation == operation; }));
      };
      count += of(sheet.outlines) + of(sheet.lines) + of(sheet.holes) + of(sheet.texts);
    }
    if (count > 0)
      text += fmt::format("{}{} ({})", text.empty() ? "" : ", ", style_of(operation).meaning, count);
  }
  return text.empty() ? "" : "left out: " + text + "\n";
}

bool has_own_bed(const PieceLayoutOptions& laid, const PieceLayout& layout, std::size_t sheet) {
  return laid.beds.count(layout.materials[sheet].front()) > 0;
}

// How many are cut, of which sizes and for which foot.
struct CutCount {
  std::vector<std::string> sizes;  // as they come, each once; as widths
  std::vector<std::string> widths;
  std::vector<std::string> cells;  // "7 F"
  std::size_t as_drawn = 0;
  std::size_t mirrored = 0;
  std::size_t either = 0;
  std::map<std::string, std::size_t> called;  // of as_drawn and mirrored: "L", "R", "as drawn", "mirrored"
  std::vector<std::string> handed;            // pieces, each once
};

CutCount count_of(const CutReport& report) {
  CutCount count;
  const auto once = [](std::vector<std::string>& list, const std::string& one) {
    if (std::find(list.begin(), list.end(), one) == list.end()) list.push_back(one);
  };
  for (const LaidPiece& piece : report.pieces) {
    const SizeWidth& at = report.grade.cells[piece.cell];
    once(count.sizes, at.size.label);
    once(count.widths, at.width.label);
    once(count.cells, at.size.label + " " + at.width.label);
    const PieceSpec& spec = report.grade.pieces[piece.piece].bound.spec;
    const bool handed = spec.hand == Hand::kHanded;
    ++(!handed ? count.either : piece.mirrored ? count.mirrored : count.as_drawn);
    if (!handed) continue;
    ++count.called[foot_words(drawn_foot_of(report.spec, spec.name), piece.mirrored)];
    once(count.handed, spec.name);
  }
  return count;
}

std::string count_text(const CutReport& report) {
  const CutCount count = count_of(report);
  const std::string of =
      fmt::format("size: {}; width: {}", fmt::join(count.sizes, ", "), fmt::join(count.widths, ", "));
  const auto cells = count.cells.size();
  if (report.pairs == 0)
    return fmt::format("each piece once for each size and width, as drawn ({}): {} in all\n", of,
                       counted(report.pieces.size(), "piece"));
  const auto pairs = static_cast<std::size_t>(report.pairs);
  std::string hands;
  for (const char* hand : {"L", "R", "as drawn", "mirrored"}) {
    if (const auto found = count.called.find(hand); found != count.called.end())
      hands += fmt::format("{} {}, ", found->second, hand);
  }
  return fmt::format("{} of each of {} ({}): {} in all, {}: {}{} for either foot\n", counted(pairs, "pair"),
                     counted(cells, "size and width", "sizes and widths"), of, counted(pairs * cells, "pair"),
                     counted(report.pieces.size(), "piece"), hands, count.either);
}

// "bought ready cut by the works file, not laid out: 2 outsole of oak bark bend 5.5 mm".
std::string ready_cut_text(const CutReport& report) {
  std::map<std::size_t, std::size_t> counts;  // by piece
  for (const LaidPiece& piece : report.ready_cut) ++counts[piece.piece];
  std::vector<std::string> words;
  for (const auto& [piece, count] : counts) {
    const PieceSpec& spec = report.grade.pieces[piece].bound.spec;
    words.push_back(fmt::format("{} {} of {}", count, spec.name, spec.material));
  }
  if (words.empty()) return "";
  return fmt::format("bought ready cut by the works file, not laid out: {}\n", fmt::join(words, ", "));
}

}  // namespace

std::string cut_text(const CutReport& report) {
  const PieceLayoutOptions& laid = report.laid;
  const PieceLayout& layout = report.layout;
  const std::vector<CutFile>& files = report.files;
  const std::vector<Operation>& operations = report.operations;

  double area = 0.0;
  std::size_t rolls = 0;
  for (std::size_t s = 0; s < files.size(); ++s) {
    const PieceBed& bed = layout.beds[s];
    area += bed.width * (bed.length > 0.0 ? bed.length : layout.lengths[s]);
    if (!(bed.length > 0.0)) ++rolls;
  }
  std::string on = rolls > 0 ? counted(rolls, "roll") : "";
  if (rolls < files.size()) on += (on.empty() ? "" : " and ") + counted(files.size() - rolls, "sheet");
  std::string text = fmt::format("{} on {}: {:.1f} % of the area used\n",
                                 counted(report.pieces.size(), "piece"), on, 100.0 * layout.net / area);
  text = count_text(report) + ready_cut_text(report) + text;
  for (std::size_t s = 0; s < files.size(); ++s) {
    const CutFile& file = files[s];
    text += fmt::format("  {}: {:.1f} x {:.1f} mm, {}\n", file.name, file.length, file.width,
                        bed_text(layout.beds[s], has_own_bed(laid, layout, s)));
    if (report.form == "hpgl" && std::max(file.length, file.width) > kHpglOldLimit) {
      Vec2 largest;
      for (const PiecePlace& place : layout.places) {
        if (place.sheet == s)
          largest = {std::max(largest.x, place.box.width()), std::max(largest.y, place.box.height())};
      }
      text += fmt::format(
          "    farther than {:.0f} mm: old machines stop at 32767 units and would cut askew; for these {}\n",
          kHpglOldLimit,
          within_old_limit(layout.beds[s], has_own_bed(laid, layout, s), largest.x, largest.y));
    }
  }
  if (report.form != "gcode")
    text += fmt::format("arcs in chords within {} mm{}\n", report.chord,
                        report.form == "hpgl" ? ", each axis rounded to 0.025 mm" : "");
  if (report.form == "hpgl") {
    text += "pens:";
    for (const Operation operation : cutting_order()) {
      if (std::find(operations.begin(), operations.end(), operation) != operations.end())
        text += fmt::format(" {} {},", pen_of(operation), style_of(operation).meaning);
    }
    text.back() = '\n';
  }
  const auto several = std::find_if(layout.materials.begin(), layout.materials.end(),
                                    [](const auto& one) { return one.size() > 1; });
  if (several != layout.materials.end()) {
    std::vector<std::string> names;
    for (const std::string& material : *several) names.push_back(shown_material(material));
    text += fmt::format(
        "pieces of {} lie together, each once, as for patterns; with --pairs each material has files of "
        "its own\n",
        fmt::join(names, ", "));
  }
  if (layout.without_grain > 0)
    text += counted(layout.without_grain, "piece has no grain line and lies as it is drawn\n",
                    "pieces have no grain line and lie as they are drawn\n");
  if (const std::string feet = feet_note(report.spec, count_of(report).handed); !feet.empty())
    text += feet + "\n";
  for (const std::string& line : report.feet_told) text += line + "\n";
  text += left_out(layout.sheets, operations);
  return text +
         "CAUTION: the machine moves by itself. Keep hands and cables clear and its guards closed, run the "
         "file once\n"
         "with the knife up, and measure the first piece before cutting from good material.\n";
}

std::string cut_json(const CutReport& report) {
  const PieceLayoutOptions& laid = report.laid;
  const PieceLayout& layout = report.layout;
  const std::vector<CutFile>& files = report.files;
  const std::vector<LaidPiece>& pieces = report.pieces;

  Json list = Json::array();
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    const PieceSpec& spec = report.grade.pieces[pieces[i].piece].bound.spec;
    const SizeWidth& at = report.grade.cells[pieces[i].cell];
    const Box2& box = layout.places[i].box;
    list.push_back({{"piece", spec.name},
                    {"material", spec.material},
                    {"size", at.size.label},
                    {"width", at.width.label},
                    {"hand", spec.hand != Hand::kHanded ? "either"
                             : pieces[i].mirrored       ? "mirrored"
                                                        : "as drawn"},
                    {"file", files[layout.places[i].sheet].name},
                    {"box",
                     {four_decimals(box.low.x), four_decimals(box.low.y), four_decimals(box.high.x),
                      four_decimals(box.high.y)}}});
  }
  Json sheets = Json::array();
  for (std::size_t s = 0; s < files.size(); ++s) {
    const PieceBed& bed = layout.beds[s];
    Json cut_from{{"kind", kind_of_bed(bed)},
                  {"width_mm", bed.width},
                  {"gap_mm", layout.gaps[s]},
                  {"grain", bed.grain_across ? "across" : "along"},
                  {"stated_by", has_own_bed(laid, layout, s) ? "works file" : "option"}};
    const bool own_gap = laid.by_material && laid.gaps.count(layout.materials[s].front()) > 0;
    cut_from["gap_stated_by"] = own_gap ? "works file" : "option";
    if (bed.length > 0.0) cut_from["length_mm"] = bed.length;
    sheets.push_back({{"file", files[s].name},
                      {"cut_from", std::move(cut_from)},
                      {"materials", layout.materials[s]},
                      {"length_mm", four_decimals(files[s].length)},
                      {"width_mm", four_decimals(files[s].width)},
                      {"taken_mm", four_decimals(layout.lengths[s])}});
  }
  const CutCount count = count_of(report);
  Json json{{"lastwright_cut", 1},
            {"style", report.style},
            {"form", report.form},
            {"drawn_foot", common_foot(report.spec, count.handed)},
            {"drawn_feet", feet_json(report.spec, count.handed)},
            {"feet_doubted", report.feet_told},
            {"gap_mm", laid.gap},
            {"pieces_mm2", four_decimals(layout.net)},
            {"without_grain", layout.without_grain},
            {"count",
             {{"pairs_of_each", report.pairs},
              {"sizes_and_widths", count.cells},
              {"pairs", static_cast<std::size_t>(report.pairs) * count.cells.size()},
              {"pieces", pieces.size()},
              {"as_drawn", count.as_drawn},
              {"mirrored", count.mirrored},
              {"either", count.either},
              {"ready_cut", report.ready_cut.size()}}},
            {"about", "box: x and y of the low corner, then of the high one, x along the roll or sheet"},
            {"checks_failed", failed_json(report.failed)},
            {"sheets", std::move(sheets)},
            {"pieces", std::move(list)}};
  // Of the pairs too, but bought so by the works file, and in none of the files.
  Json ready = Json::array();
  for (const LaidPiece& piece : report.ready_cut) {
    const PieceSpec& spec = report.grade.pieces[piece.piece].bound.spec;
    const SizeWidth& at = report.grade.cells[piece.cell];
    ready.push_back({{"piece", spec.name},
                     {"material", spec.material},
                     {"size", at.size.label},
                     {"width", at.width.label}});
  }
  json["ready_cut"] = std::move(ready);
  if (report.form != "gcode") json["chord_mm"] = report.chord;
  // Of what all are cut from that the works file gives no width.
  if (laid.bed.width > 0.0) json["width_mm"] = laid.bed.width;
  if (laid.bed.length > 0.0) json["length_mm"] = laid.bed.length;
  return json.dump(1) + "\n";
}

}  // namespace lastwright
