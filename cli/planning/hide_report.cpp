#include "cli/planning/hide_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "cli/planning/feet_json.hpp"
#include "cli/planning/planning_page.hpp"
#include "cli/report/html_table.hpp"
#include "geometry/check/inscribed_circle.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/paper/sheet_place.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "grading/grade/piece_sheet.hpp"
#include "grading/json/json_text.hpp"
#include "grading/style/drawn_feet.hpp"
#include "grading/style/foot_words.hpp"

namespace lastwright {

namespace {

constexpr double kSquareDecimetre = 1e4;    // mm^2
constexpr double kFootOfHide = 9.290304e4;  // mm^2, exactly
constexpr double kNoArea = 1e-3;            // mm^2: a square of 0.03 mm

const std::string& name_of_piece(const HideReport& report, const HidePiece& piece) {
  return report.grade->pieces[piece.piece].bound.spec.name;
}

std::string hand_of(const HideReport& report, const HidePiece& piece) {
  if (report.grade->pieces[piece.piece].bound.spec.hand != Hand::kHanded) return "either";
  return piece.mirrored ? "mirrored" : "as drawn";
}

// As a page says it.
std::string foot_of(const HideReport& report, const HidePiece& piece) {
  const std::string hand = hand_of(report, piece);
  return hand == "either"
             ? hand
             : foot_words(drawn_foot_of(*report.spec, name_of_piece(report, piece)), piece.mirrored);
}

std::vector<std::string> handed_on_hide(const HideReport& report) {
  std::vector<std::string> names;
  for (const HidePiece& piece : report.layout->pieces) {
    const std::string& name = name_of_piece(report, piece);
    if (hand_of(report, piece) != "either" && std::find(names.begin(), names.end(), name) == names.end())
      names.push_back(name);
  }
  return names;
}

// What a colour of the picture is, where all pieces agree in it.
std::string colour_words(const HideReport& report, bool mirrored) {
  const std::string foot = common_foot(*report.spec, handed_on_hide(report));
  return one_foot(foot) ? foot_words(foot, mirrored) : foot_words("", mirrored);
}

std::string cell_of_piece(const HideReport& report, const HidePiece& piece) {
  const SizeWidth& at = report.grade->cells[piece.cell];
  return label_of(at);
}

double degrees_of(const HidePiece& piece) {
  const double degrees = std::fmod(to_degrees(Radians(piece.turn)) + 360.0, 360.0);
  return std::round(degrees * 1e6) / 1e6 + 0.0;
}

std::string path_of(const Polygon& polygon) {
  std::string d;
  for (std::size_t i = 0; i < polygon.size(); ++i)
    d += fmt::format("{}{:.1f} {:.1f}", i == 0 ? "M" : " ", polygon[i].x, -polygon[i].y);
  return d + "Z";
}

std::vector<std::pair<std::string, std::string>> facts(const HideReport& report) {
  const HideLayout& layout = *report.layout;
  const double usable = report.hide->usable();
  std::vector<std::pair<std::string, std::string>> all{
      {"whole pairs", fmt::format("{}", layout.pairs)},
      {"pieces", fmt::format("{}", layout.pieces.size())},
      {"hide, dm2", fmt::format("{:.1f}", report.hide->area() / kSquareDecimetre)},
      {"usable, dm2", fmt::format("{:.1f}", usable / kSquareDecimetre)},
      {"pieces, dm2", fmt::format("{:.1f}", layout.net / kSquareDecimetre)},
      {"used of the usable", fmt::format("{:.1f} %", 100.0 * layout.net / usable)},
      {"a pair, sq ft of hide",
       fmt::format("{:.2f}", report.hide->area() / kFootOfHide / static_cast<double>(layout.pairs))},
      {"mates apart, at most", fmt::format("{:.0f} mm", layout.mates_apart)}};
  if (report.pairs_by_law)
    all.emplace_back("pairs by area and edge", fmt::format("{:.1f}", *report.pairs_by_law));
  return all;
}

std::vector<std::string> told(const HideReport& report) {
  std::vector<std::string> notes = report.notes;
  if (const std::string fewer = pairs_short(report); !fewer.empty()) notes.insert(notes.begin(), fewer);
  const HideLayout& layout = *report.layout;
  const double most = std::max(layout.overlap, layout.beyond_zone);
  notes.push_back(fmt::format(
      "measured by clipping: no two pieces overlap, and no piece lies off the hide{}{}",
      report.hide->zones.empty() ? " or in a hole" : ", in a hole or beyond the zones it comes from",
      most < kNoArea ? "" : fmt::format("; the most by rounding is {:.3f} mm2", most)));
  if (report.rows)
    notes.push_back(fmt::format("in rows of like pieces: {} of its {} pieces, {}; the others singly",
                                layout.in_rows, layout.pieces.size(), counted(layout.rows, "row")));
  if (report.pairs_without_rows)
    notes.push_back(fmt::format("without rows {} found to lie",
                                counted(*report.pairs_without_rows, "pair was", "pairs were")));
  if (layout.mates_far > 0)
    notes.push_back(
        fmt::format("{} farther apart than was asked for: {}",
                    counted(layout.mates_far, "pair of like pieces lies", "pairs of like pieces lie"),
                    report.rows ? "rows come before mates"
                                : "no place nearer was found to where the first of each was left"));
  if (layout.without_grain > 0)
    notes.push_back(counted(layout.without_grain, "kind of piece has no grain line: it lies as it is drawn",
                            "kinds of piece have no grain line: they lie as they are drawn"));
  if (std::string feet = feet_note(*report.spec, handed_on_hide(report)); !feet.empty())
    notes.push_back(std::move(feet));
  notes.insert(notes.end(), report.hide->doubts.begin(), report.hide->doubts.end());
  notes.insert(notes.end(), report.hide->notes.begin(), report.hide->notes.end());
  return notes;
}

std::string told_list(const HideReport& report) {
  std::string html = "<ul>";
  for (const std::string& note : told(report)) html += "<li>" + xml_escaped(note) + "</li>";
  return html + "</ul>\n";
}

// Like pieces for one die; those that touch or nearly do lie together.
struct DieStrokes {
  const HidePiece* like = nullptr;
  std::vector<const HidePiece*> pieces;
  std::vector<std::size_t> together;  // how many of each group, the largest first
};

void group_strokes(DieStrokes& die) {
  const Box2 box = bounds(die.like->outline);
  const double near = 1.1 * std::max(box.width(), box.height());
  std::vector<const HidePiece*> left = die.pieces;
  while (!left.empty()) {
    std::vector<const HidePiece*> group{left.back()};
    left.pop_back();
    for (std::size_t g = 0; g < group.size(); ++g) {
      for (std::size_t i = left.size(); i-- > 0;) {
        if (distance(group[g]->at, left[i]->at) > near) continue;
        group.push_back(left[i]);
        left.erase(left.begin() + static_cast<std::ptrdiff_t>(i));
      }
    }
    die.together.push_back(group.size());
  }
  std::sort(die.together.rbegin(), die.together.rend());
}

std::vector<DieStrokes> strokes_by_die(const HideReport& report) {
  std::map<std::tuple<std::size_t, std::size_t, bool>, DieStrokes> dies;
  for (const HidePiece& piece : report.layout->pieces) {
    DieStrokes& die = dies[{piece.piece, piece.cell, piece.mirrored}];
    if (die.like == nullptr) die.like = &piece;
    die.pieces.push_back(&piece);
  }
  std::vector<DieStrokes> all;
  for (auto& [kind, die] : dies) {
    group_strokes(die);
    all.push_back(std::move(die));
  }
  return all;
}

enum class PictureSize { kTrue, kPage };

// In proportion to the piece: two thirds of the widest room in it, where digits are 0.64 em wide and 0.73 em
// high.
double number_height(const double radius, const std::size_t digits) {
  return 0.67 * 2.0 * radius / std::hypot(0.64 * static_cast<double>(std::max<std::size_t>(digits, 2)), 0.73);
}

// Styles and not attributes: a page that holds it may have rules of its own for pictures.
std::string hide_picture(const HideReport& report, const PictureSize size) {
  Box2 box;
  for (const Vec2 p : report.hide->outline) box.add(p);
  box = box.grown(20.0);
  const std::string extent =
      size == PictureSize::kTrue
          ? fmt::format("width=\"{:.1f}mm\" height=\"{:.1f}mm\"", box.width(), box.height())
          : "style=\"display:block;width:100%;height:auto\"";
  std::string svg = fmt::format(
      "<svg xmlns=\"http://www.w3.org/2000/svg\" {4} viewBox=\"{2:.1f} {3:.1f} {0:.1f} {1:.1f}\" "
      "role=\"img\" "
      "aria-label=\"the pieces on the hide\" stroke-linejoin=\"round\">\n",
      box.width(), box.height(), box.low.x, -box.high.y, extent);
  svg += fmt::format("<path d=\"{}\" style=\"fill:#f3ead8;stroke:#1b1b1b;stroke-width:2\"/>\n",
                     path_of(report.hide->outline));
  static const char* const kTints[] = {"#dfe8d0", "#f3dccb", "#d9e2ee", "#eadcec"};
  for (std::size_t z = 0; z < report.hide->zones.size(); ++z) {
    const HideZone& zone = report.hide->zones[z];
    svg += fmt::format(
        "<path d=\"{}\" style=\"fill:{};stroke:#777;stroke-width:1;stroke-dasharray:8,6\"><title>zone "
        "{}</title></path>\n",
        path_of(zone.outline), kTints[z % std::size(kTints)], xml_escaped(zone.name));
  }
  for (const std::vector<Vec2>& line : report.hide->directions) {
    std::string d;
    for (std::size_t i = 0; i < line.size(); ++i)
      d += fmt::format("{}{:.1f} {:.1f}", i == 0 ? "M" : " ", line[i].x, -line[i].y);
    svg += fmt::format(
        "<path d=\"{}\" style=\"fill:none;stroke:#777;stroke-width:1.5;stroke-dasharray:20,8,3,8\"/>\n", d);
  }
  for (const Polygon& hole : report.hide->holes)
    svg += fmt::format("<path d=\"{}\" style=\"fill:#fff;stroke:#b00;stroke-width:1.5\"/>\n", path_of(hole));
  for (const HidePiece& piece : report.layout->pieces) {
    const InscribedCircle room = largest_inscribed_circle(piece.outline, Millimetres(0.5));
    const std::string number = fmt::format("{}", piece.pair + 1);
    const double height = number_height(room.radius, number.size());
    svg += fmt::format(
        "<g><title>{0} {1}, pair {2}, {3}</title><path d=\"{4}\" "
        "style=\"fill:{5};stroke:#1b1b1b;stroke-width:0.6\"/><text x=\"{6:.1f}\" y=\"{7:.1f}\" "
        "style=\"font:{8:.1f}px sans-serif;fill:#1b1b1b;stroke:none;text-anchor:middle\">{2}</text></g>\n",
        xml_escaped(name_of_piece(report, piece)), xml_escaped(cell_of_piece(report, piece)), number,
        foot_of(report, piece), path_of(flattened(piece.outline, Millimetres(0.1))),
        piece.mirrored ? "#f6dfc8" : "#cfe3f1", room.centre.x, -room.centre.y + 0.36 * height, height);
  }
  if (!report.failed.empty())
    svg += fmt::format(
        "<text x=\"{:.1f}\" y=\"{:.1f}\" style=\"font:bold 12px "
        "sans-serif;fill:#a3001e;stroke:none\">{}</text>\n",
        box.low.x + 4.0, -box.high.y + 14.0, xml_escaped(failed_warning(report.failed)));
  return svg + "</svg>\n";
}

}  // namespace

Table hide_table(const HideReport& report) {
  Table table;
  table.name = "hide";
  table.columns = {{"pair", 6, 0},   {"piece", 18, 0}, {"size and width", 10, 0}, {"hand", 10, 0},
                   {"x, mm", 10, 3}, {"y, mm", 10, 3}, {"turned, degrees", 10, 3}};
  for (const HidePiece& piece : report.layout->pieces) {
    table.rows.push_back({{static_cast<std::int64_t>(piece.pair + 1)},
                          {name_of_piece(report, piece)},
                          {cell_of_piece(report, piece)},
                          {foot_of(report, piece)},
                          {piece.at.x},
                          {piece.at.y},
                          {degrees_of(piece)}});
  }
  return table;
}

Table hide_die_table(const HideReport& report) {
  Table table;
  table.name = "by die";
  table.columns = {
      {"piece", 18, 0}, {"size and width", 10, 0}, {"hand", 10, 0}, {"cuts", 8, 0}, {"lie together", 24, 0}};
  for (const DieStrokes& die : strokes_by_die(report)) {
    table.rows.push_back({{name_of_piece(report, *die.like)},
                          {cell_of_piece(report, *die.like)},
                          {foot_of(report, *die.like)},
                          {static_cast<std::int64_t>(die.pieces.size())},
                          {fmt::format("{}", fmt::join(die.together, ", "))}});
  }
  return table;
}

std::string pairs_short(const HideReport& report) {
  if (report.asked == 0 || report.layout->all) return "";
  return fmt::format("{} of the {} whole pairs that were asked for {} on the hide", report.layout->pairs,
                     report.asked, report.layout->pairs == 1 ? "lies" : "lie");
}

std::string hide_text(const HideReport& report) {
  std::string text = fmt::format("{} on {}:\n", report.style, report.file);
  for (const auto& [what, value] : facts(report)) text += fmt::format("  {:30} {}\n", what, value);
  for (const std::string& note : told(report)) text += "  " + note + "\n";
  return text +
         "  an estimate by a general method, each piece as far to one side as it goes: a cutter may do "
         "better\n";
}

std::string hide_svg(const HideReport& report) {
  return hide_picture(report, PictureSize::kTrue);
}

std::string hide_part(const HideReport& report) {
  Table table;
  table.columns = {{"on one hide", 30, 0}, {"", 12, 0}};
  for (const auto& [what, value] : facts(report)) table.rows.push_back({{what}, {value}});
  return html_table(table) + hide_picture(report, PictureSize::kPage) + html_table(hide_die_table(report)) +
         told_list(report);
}

std::string hide_page(const HideReport& report) {
  std::string body = failed_box(report.failed);
  if (const std::string fewer = pairs_short(report); !fewer.empty()) body += caution_box(fewer + ".");
  if (!report.doubts.empty()) {
    Table table;
    table.columns = {{"what may be a mistake in the style's drawings", 120, 0}};
    for (const std::string& line : report.doubts) table.rows.push_back({{line}});
    body += caution_box("What the style's drawings hold and no piece has: it is in no figure.") +
            html_table(table);
  }
  body += fact_boxes(facts(report));
  body += hide_picture(report, PictureSize::kPage);
  body += told_list(report);
  body += "<p>The figures are those of the pair. Blue: " + colour_words(report, false) +
          ", or for either foot; orange: " + colour_words(report, true) +
          ". Each piece was laid as far to one side as it goes, the largest first, in the turn in which it "
          "reaches "
          "least far: an estimate, not the most that a hide holds.</p>\n";
  body += caution_box(
      "Presses crush and dies cut: guards and two-hand controls stay in place, and local codes and the "
      "machine's "
      "own manual are followed.");
  body += "<h2>What each die cuts</h2>\n" + html_table(hide_die_table(report)) +
          "<p>Like pieces no farther apart than their length and a tenth lie together: how many of each "
          "group, the largest first.</p>\n";
  body += "<h2>Piece by piece</h2>\n" + html_table(hide_table(report));
  return planning_page("On the hide: " + report.style,
                       report.material.empty() ? report.file : report.material + ", " + report.file, body);
}

std::string hide_json(const HideReport& report) {
  const HideLayout& layout = *report.layout;
  Json pieces = Json::array();
  const auto rounded = [](double value) { return std::round(value * 1e6) / 1e6 + 0.0; };
  for (const HidePiece& piece : layout.pieces) {
    const SizeWidth& at = report.grade->cells[piece.cell];
    pieces.push_back({{"pair", piece.pair + 1},
                      {"piece", name_of_piece(report, piece)},
                      {"size", at.size.label},
                      {"width", at.width.label},
                      {"hand", hand_of(report, piece)},
                      {"lay_deg", rounded(to_degrees(Radians(piece.lay)))},
                      {"turned_deg", degrees_of(piece)},
                      {"at", {rounded(piece.at.x), rounded(piece.at.y)}}});
    if (piece.row > 0) pieces.back()["row"] = piece.row;
  }
  Json dies = Json::array();
  for (const DieStrokes& die : strokes_by_die(report)) {
    const SizeWidth& at = report.grade->cells[die.like->cell];
    dies.push_back({{"piece", name_of_piece(report, *die.like)},
                    {"size", at.size.label},
                    {"width", at.width.label},
                    {"hand", hand_of(report, *die.like)},
                    {"cuts", die.pieces.size()},
                    {"together", die.together}});
  }
  Json json{{"lastwright_hide", 1},
            {"style", report.style},
            {"material", report.material},
            {"hide", report.file},
            {"drawn_foot", common_foot(*report.spec, handed_on_hide(report))},
            {"drawn_feet", feet_json(*report.spec, handed_on_hide(report))},
            {"about",
             "a piece as it is cut is first turned by lay_deg, which lays its grain along x, mirrored in x = "
             "0 where "
             "its hand is mirrored, put with the middle of its box at the origin, turned by turned_deg and "
             "moved to "
             "at (mm)"},
            {"pairs", layout.pairs},
            {"hide_mm2", rounded(report.hide->area())},
            {"usable_mm2", rounded(report.hide->usable())},
            {"pieces_mm2", rounded(layout.net)},
            {"used_of_usable", rounded(layout.net / report.hide->usable())},
            {"gap_mm", report.gap},
            {"overlap_mm2", layout.overlap},
            {"beyond_zone_mm2", layout.beyond_zone},
            {"mates_apart_mm", rounded(layout.mates_apart)},
            {"mates_far", layout.mates_far},
            {"checks_failed", failed_json(report.failed)},
            {"doubts", report.doubts},
            {"by_die", std::move(dies)},
            {"notes", told(report)},
            {"pieces", std::move(pieces)}};
  if (report.asked > 0) json["pairs_asked"] = report.asked;
  if (report.rows) json["rows"] = {{"rows", layout.rows}, {"pieces", layout.in_rows}};
  if (report.pairs_without_rows) json["rows"]["pairs_without"] = *report.pairs_without_rows;
  if (report.pairs_by_law) json["pairs_by_law"] = rounded(*report.pairs_by_law);
  return json.dump(1) + "\n";
}

Result<Sheet> hide_sheet(const HideReport& report) {
  Sheet all;
  all.title = "on the hide: " + report.style;
  for (const HidePiece& piece : report.layout->pieces) {
    const Result<GradedPiece> made = report.grade->cut_piece(piece.piece, piece.cell);
    if (!made) return made.problem();
    Sheet sheet = placed(sheet_of(*made), Radians(piece.lay), {});
    if (piece.mirrored) sheet = mirrored(sheet);
    sheet = placed(placed(sheet, Radians(0.0), -piece.middle), Radians(piece.turn), piece.at);
    append(all, sheet);
  }
  add_failed_text(report.failed, all);
  return all;
}

}  // namespace lastwright
