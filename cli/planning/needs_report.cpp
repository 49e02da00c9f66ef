#include "cli/planning/needs_report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cli/planning/needs_json.hpp"
#include "cli/planning/order_told.hpp"
#include "cli/planning/planning_page.hpp"
#include "cli/report/html_table.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

namespace {

constexpr double kDm = 1e4;           // mm^2
constexpr double kFoot = 9.290304e4;  // mm^2, exactly

TableCell maybe_number(const std::optional<double>& value, double unit = 1.0) {
  return value ? TableCell{*value / unit} : TableCell{};
}

// An area; nothing of what is bought ready cut, which is only counted.
template <class Need>
TableCell area_cell(const Need& need, double area) {
  return need.ready_cut() ? TableCell{} : TableCell{area / kDm};
}

// Hides and sheets are bought whole.
std::string units_text(const MaterialNeed& need) {
  if (need.bought_as == BoughtAs::kPieces) return counted(need.pieces, "piece");
  if (!need.units) return "";
  if (need.bought_as == BoughtAs::kRoll) return fmt::format("{:.2f} m of roll", *need.units);
  const double whole = std::ceil(*need.units - 1e-9);
  const char* unit = need.bought_as == BoughtAs::kSheets ? "sheet" : "hide";
  const std::string words = fmt::format("{:.0f} {}{}", whole, unit, whole == 1.0 ? "" : "s");
  if (whole - *need.units < 0.005) return words;
  return words +
         (*need.units < 0.005 ? " (less than 0.01 needed)" : fmt::format(" ({:.2f} needed)", *need.units));
}

std::string past_text(const MaterialNeed& need) {
  if (!need.past) return "";
  if (need.past->lots < 2) return fmt::format("{:.4f}, one lot: no interval", need.past->mean);
  return fmt::format("{:.4f} ({:.4f} to {:.4f})", need.past->mean, need.past->low, need.past->high);
}

std::string joined_notes(const std::vector<std::string>& notes) {
  std::string all;
  for (const std::string& note : notes) all += (all.empty() ? "" : "; ") + note;
  return all;
}

struct CommonNotes {
  std::vector<std::string> notes;
  std::vector<std::string> materials;
  [[nodiscard]] bool hold(const std::string& note) const {
    return std::find(notes.begin(), notes.end(), note) != notes.end();
  }
};

// Notes that several materials have in common, those of the same materials together.
std::vector<CommonNotes> common_notes(const Needs& needs) {
  std::vector<CommonNotes> found;  // a note each, as they come
  for (const MaterialNeed& need : needs.materials) {
    for (const std::string& note : need.notes) {
      auto one = std::find_if(found.begin(), found.end(), [&](const CommonNotes& f) { return f.hold(note); });
      if (one == found.end()) one = found.insert(one, {{note}, {}});
      one->materials.push_back(shown_material(need.name));
    }
  }
  std::vector<CommonNotes> common;
  for (CommonNotes& one : found) {
    if (one.materials.size() < 2) continue;
    const auto alike = std::find_if(common.begin(), common.end(),
                                    [&](const CommonNotes& c) { return c.materials == one.materials; });
    if (alike == common.end()) {
      common.push_back(std::move(one));
    } else {
      alike->notes.push_back(one.notes.front());
    }
  }
  return common;
}

// "all materials", "all but box calf", or their names, whichever is shortest.
std::string materials_words(const std::vector<std::string>& names, const Needs& needs) {
  std::vector<std::string> others;
  for (const MaterialNeed& need : needs.materials) {
    const std::string name = shown_material(need.name);
    if (std::find(names.begin(), names.end(), name) == names.end()) others.push_back(name);
  }
  if (others.empty()) return "all materials";
  return others.size() < names.size() ? fmt::format("all but {}", fmt::join(others, ", "))
                                      : fmt::format("{}", fmt::join(names, ", "));
}

// The same without what is said beside the table.
Needs without_notes(Needs needs, const std::vector<CommonNotes>& said) {
  for (MaterialNeed& need : needs.materials) {
    std::erase_if(need.notes, [&](const std::string& note) {
      return std::any_of(said.begin(), said.end(), [&](const CommonNotes& one) { return one.hold(note); });
    });
  }
  return needs;
}

std::string common_list(const std::vector<CommonNotes>& said, const Needs& needs) {
  if (said.empty()) return "";
  std::string html = "<p>What the figures of several materials rest on:</p>\n<ul>";
  for (const CommonNotes& one : said)
    html += "<li>" + xml_escaped(materials_words(one.materials, needs)) + ": " +
            xml_escaped(joined_notes(one.notes)) + "</li>";
  return html + "</ul>\n";
}

Table material_table(const Needs& needs) {
  Table table;
  table.name = "materials";
  table.columns = {{"material", 24, 0},
                   {"bought as", 10, 0},
                   {"pieces", 8, 0},
                   {"net, dm2", 12, 2},
                   {"scale, dm2", 12, 2},
                   {"first waste, % of scale", 10, 2},
                   {"with second waste, dm2", 12, 2},
                   {"second waste, % on scale", 10, 2},
                   {"to buy, dm2", 12, 2},
                   {"to buy, sq ft", 12, 2},
                   {"to buy, as it is bought", 18, 0},
                   {"used over scale area, your lots", 20, 0},
                   {"area used by your lots, dm2", 12, 2},
                   {"rests on", 60, 0}};
  for (const MaterialNeed& need : needs.materials) {
    std::optional<double> second;
    if (need.material_area) second = 100.0 * (*need.material_area / need.scale - 1.0);
    std::optional<double> by_past;
    if (need.past) by_past = need.past->mean * need.scale;
    table.rows.push_back({{shown_material(need.name)},
                          {bought_text(need)},
                          {std::int64_t{need.pieces}},
                          area_cell(need, need.net),
                          area_cell(need, need.scale),
                          need.ready_cut() ? TableCell{} : TableCell{100.0 * (1.0 - need.net / need.scale)},
                          maybe_number(need.material_area, kDm),
                          maybe_number(second),
                          maybe_number(need.buy, kDm),
                          maybe_number(need.buy, kFoot),
                          {units_text(need)},
                          {past_text(need)},
                          maybe_number(by_past, kDm),
                          {joined_notes(need.notes)}});
  }
  return table;
}

Table piece_need_table(const Needs& needs) {
  Table table;
  table.name = "pieces";
  table.filter = true;
  table.columns = {{"style", 20, 0},
                   {"piece", 18, 0},
                   {"size", 7, 0},
                   {"width", 7, 0},
                   {"material", 24, 0},
                   {"pairs", 8, 0},
                   {"pieces", 8, 0},
                   {"net of one, dm2", 10, 4},
                   {"scale of one, dm2", 10, 4},
                   {"material of one, dm2", 10, 4},
                   {"a hide, metre or sheet holds", 10, 2},
                   {"laid", 24, 0}};
  for (const PieceNeed& need : needs.pieces) {
    table.rows.push_back({{need.style},
                          {need.piece},
                          {need.size},
                          {need.width},
                          {shown_material(need.material)},
                          {std::int64_t{need.pairs}},
                          {std::int64_t{need.pieces}},
                          need.ready_cut ? TableCell{} : TableCell{need.net / kDm},
                          need.ready_cut ? TableCell{} : TableCell{need.scale / kDm},
                          maybe_number(need.material_area, kDm),
                          maybe_number(need.per_unit),
                          {need.laid}});
  }
  return table;
}

// One pair, or all pairs that the order has in the size and width.
Table pair_table(const Needs& needs, bool all) {
  Table table;
  table.name = all ? "by size" : "one more pair";
  table.filter = true;
  table.columns = {{"style", 20, 0},         {"size", 7, 0},
                   {"width", 7, 0},          {"pairs", 8, 0},
                   {"material", 24, 0},      {"net, dm2", 10, 4},
                   {"scale, dm2", 10, 4},    {"to buy, dm2", 10, 4},
                   {"to buy, sq ft", 10, 4}, {"to buy, as it is bought", 10, 4},
                   {"unit", 12, 0}};
  for (const PairNeed& need : needs.more) {
    const double times = all ? need.pairs : 1.0;
    table.rows.push_back({{need.style},
                          {need.size},
                          {need.width},
                          {std::int64_t{all ? need.pairs : 1}},
                          {shown_material(need.material)},
                          area_cell(need, times * need.net),
                          area_cell(need, times * need.scale),
                          maybe_number(all ? need.buy_all : need.buy, kDm),
                          maybe_number(all ? need.buy_all : need.buy, kFoot),
                          maybe_number(all ? need.units_all : need.units),
                          {need.units ? unit_of(need.bought_as) : ""}});
  }
  return table;
}

Table cost_table(const Needs& needs) {
  Table table;
  table.name = "cost of one more pair";
  const std::string in = needs.currency.empty() ? "" : ", " + needs.currency;
  table.columns = {{"style", 20, 0},          {"size", 7, 0},        {"width", 7, 0},
                   {"materials" + in, 12, 3}, {"parts" + in, 12, 3}, {"together" + in, 12, 3},
                   {"not in it", 60, 0}};
  for (const PairCost& cost : needs.costs)
    table.rows.push_back({{cost.style},
                          {cost.size},
                          {cost.width},
                          {cost.materials},
                          {cost.parts},
                          {cost.materials + cost.parts},
                          {joined_notes(cost.missing)}});
  return table;
}

Table order_table(const Order& order) {
  Table table;
  table.name = "order";
  table.columns = {{"line", 6, 0}, {"style", 20, 0}, {"size", 7, 0}, {"width", 7, 0}, {"pairs", 8, 0}};
  for (const OrderLine& line : order.lines) {
    table.rows.push_back(
        {{std::int64_t{line.line}}, {line.style}, {line.size}, {line.width}, {std::int64_t{line.pairs}}});
  }
  return table;
}

}  // namespace

std::vector<Table> needs_tables(const Needs& needs, const Order& order, const FailedStyles& failed) {
  std::vector<Table> tables{material_table(needs), piece_need_table(needs), pair_table(needs, true),
                            pair_table(needs, false), order_table(order)};
  if (!needs.costs.empty()) tables.insert(tables.end() - 1, cost_table(needs));
  const std::vector<Table> told = told_tables(order, failed);
  tables.insert(tables.begin(), told.begin(), told.end());
  return tables;
}

std::string needs_page(const Needs& needs, const Order& order, const FailedStyles& failed) {
  std::string body = told_boxes(order, failed);
  body += fact_boxes({{"pairs", fmt::format("{}", needs.pairs)},
                      {"materials", fmt::format("{}", needs.materials.size())},
                      {"rows left out", fmt::format("{}", order.rows_left_out())}});
  const auto common = common_notes(needs);
  body += "<h2>Materials</h2>\n" + html_table(material_table(without_notes(needs, common))) +
          common_list(common, needs);
  body +=
      "<p>Net is the area inside the cut lines. Scale area adds the first waste, between like pieces. Second "
      "waste is what the edges of hides, rolls and sheets cost. First waste is given as a share of the scale "
      "area, second waste on top of it. An empty cell needs a figure that was not given, or is an area of "
      "what "
      "is bought ready cut, which is only counted.</p>\n";
  if (!needs.costs.empty()) {
    body += "<h2>What one more pair costs</h2>\n" + html_table(cost_table(needs)) +
            "<p>By your prices, for what is bought: second waste, short measure and defects are in it where "
            "they are given.</p>\n";
  }
  body += "<h2>By size</h2>\n" + html_table(pair_table(needs, true));
  body += "<h2>One more pair</h2>\n" + html_table(pair_table(needs, false));
  body += "<h2>Pieces</h2>\n" + html_table(piece_need_table(needs));
  return planning_page("What the order takes", order.file, body);
}

std::string needs_text(const Needs& needs, const Order& order) {
  std::string text =
      fmt::format("{}; {} left out\n", counted(needs.pairs, "pair"), counted(order.rows_left_out(), "row"));
  text += fmt::format("{:26} {:>8} {:>11} {:>11} {:>12}  {}\n", "material", "pieces", "net, dm2",
                      "scale, dm2", "to buy, dm2", "");
  for (const MaterialNeed& need : needs.materials) {
    const auto area = [&](const std::optional<double>& value) {
      return value && !need.ready_cut() ? fmt::format("{:.1f}", *value / kDm) : std::string("-");
    };
    text += fmt::format("{:26} {:>8} {:>11} {:>11} {:>12}  {}\n", shown_material(need.name), need.pieces,
                        area(need.net), area(need.scale), area(need.buy), units_text(need));
  }
  for (const MaterialNeed& need : needs.materials) {
    if (!need.zones.empty()) text += shown_material(need.name) + ": " + need.zones + "\n";
  }
  text +=
      "a dash: the works file does not give a figure that this needs (the page says which), or the material "
      "is "
      "bought ready cut and only counted\n";
  return text;
}

}  // namespace lastwright
