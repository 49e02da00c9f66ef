#include "cli/planning/label_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

#include "cli/planning/barcode.hpp"
#include "cli/planning/label_signs.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/paper/page_pdf.hpp"
#include "grading/json/json_text.hpp"
#include "grading/readings/natural_order.hpp"

namespace lastwright {

namespace {

constexpr double kLabelWidth = 70.0;  // mm, as the height: three across and eight down on A4
constexpr double kLabelHeight = 37.0;
constexpr std::size_t kAcross = 3;
constexpr std::size_t kDown = 8;

PageText label_line(double y, double height, const std::string& text, double widest) {
  return {{4.0, y}, height, text, widest};
}

// What labels of one style, size and width have alike: all but the pair's number and its case.
PageFigure label_figure(const NumberedPair& pair, const LabelSpec& spec, const LabelSheet& sheet,
                        bool failed) {
  PageFigure figure{kLabelWidth, kLabelHeight, {}, {}};
  const auto line = [&](double y, double height, const std::string& text, double widest) {
    if (!text.empty()) figure.texts.push_back(label_line(y, height, text, widest));
  };
  line(6.0, 2.4, pair.style + (spec.stock_number.empty() ? "" : "  " + spec.stock_number), 62.0);
  line(12.5, 4.2, pair.size + " " + pair.width, 30.0);
  if (failed) line(16.4, 2.4, "CHECKS FAILED", 29.0);
  if (const auto marking = sheet.markings.find({pair.style, pair.size}); marking != sheet.markings.end())
    line(20.0, 1.8, marking->second, 62.0);
  // The part above what it is made of, and the same in words.
  constexpr double kSign = 5.0;
  double y = 22.8;
  double x = 34.0;
  const auto add_sign = [&](const std::vector<PageShape>& sign) {
    figure.shapes.insert(figure.shapes.end(), sign.begin(), sign.end());
  };
  for (const StyleLabel& label : sheet.styles) {
    if (label.style != pair.style) continue;
    for (const PartContent& part : label.parts) {
      add_sign(sign_of_part(part.part, {x, 7.0}, kSign));
      for (std::size_t k = 0; k < part.named.size(); ++k)
        add_sign(sign_of_kind(part.named[k], {x + 5.4 * static_cast<double>(k), 12.5}, 0.9 * kSign));
      x += 11.0;
      line(y, 1.7, part.says, 62.0);
      y += 2.6;
    }
  }
  return figure;
}

constexpr double kLabelModule = 0.29;  // mm, the narrowest bar
constexpr double kLabelBars = 62.0;    // mm for all of them

// What a label's barcode says of the last pair: the pair's number behind the order's name, where that fits.
std::string pair_code(const std::string& order, int number) {
  const std::string code = fmt::format("{:06}", number);
  if (order.empty() || !fits_barcode(order)) return code;
  std::string whole = order + " " + code;
  const Result<std::vector<Box2>> bars = code_128(whole, {{}, kLabelModule, 1.0});
  return bars && bars->back().high.x <= kLabelBars ? whole : code;
}

Status add_numbers(const NumberedPair& pair, const LabelSpec& spec, const std::string& order, Vec2 at,
                   PrintedPage& page) {
  const std::string of = order.empty() ? "" : order + ", ";
  const std::string made = spec.made.empty() ? "" : ", made " + spec.made;
  page.texts.push_back(label_line(
      30.6, 1.7, fmt::format("{}case {}, pair {}{}", of, pair.case_number, pair.number, made), 62.0));
  page.texts.back().at += at;
  const Result<std::vector<Box2>> bars =
      code_128(pair_code(order, pair.number), {{at.x + 4.0, at.y + 31.3}, kLabelModule, 4.7});
  if (!bars) return bars.problem();
  page.bars.insert(page.bars.end(), bars->begin(), bars->end());
  return Done{};
}

// That no column of its table is known to hold the sizes of a style; another one load_order refuses.
void tell_column(const MarkingTable& table, const LabelSpec& spec, const std::string& style,
                 const LoadedOrder& order, LabelSheet& sheet) {
  const auto ordered = std::find_if(order.styles.begin(), order.styles.end(),
                                    [&](const OrderedStyle& one) { return one.name == style; });
  if (ordered == order.styles.end()) return;
  const std::string& scale = ordered->spec->scale;
  if (!column_of_scale(table, scale).empty()) return;
  const std::string note = fmt::format(
      "labels of {}: no column of {} is known to hold sizes of its scale {}: that they stand in the column "
      "{} is taken as stated",
      style, spec.marking_table, scale, spec.marking_column);
  if (std::find(sheet.notes.begin(), sheet.notes.end(), note) == sheet.notes.end())
    sheet.notes.push_back(note);
}

}  // namespace

std::string unmarked_words(const std::string& style, const LabelSpec& spec,
                           const std::vector<std::string>& sizes) {
  return fmt::format(
      "labels of {}: the marking table {} has no {} {} {}: the line of other systems' sizes is missing on "
      "the labels of {}",
      style, spec.marking_table, spec.marking_column, noun_of(sizes.size(), "size"), fmt::join(sizes, ", "),
      sizes.size() == 1 ? "this size" : "these sizes");
}

Result<LabelSheet> label_sheet_of(const Tickets& tickets, const Needs& needs, const LoadedOrder& order) {
  LabelSheet sheet;
  sheet.order = tickets.order;
  if (!tickets.order.empty() && pair_code(tickets.order, 1) == pair_code("", 1))
    sheet.notes.push_back(fmt::format(
        "the labels' barcodes say the pair's number alone: with \"{}\" before it they would be wider "
        "than a label, or hold more than plain letters",
        tickets.order));
  for (const OrderedStyle& style : order.styles) {
    StyleLabel label = label_of_style(style, needs, order.works);
    for (const std::string& missing : label.missing)
      sheet.notes.push_back(fmt::format("labels of {}: {}", style.name, missing));
    sheet.styles.push_back(std::move(label));
  }
  std::map<std::string, std::vector<std::string>> unmarked;  // by style: sizes that its table does not have
  for (const OrderCase& one : tickets.cases) {
    const LabelSpec spec = order.works.labels.of(one.style);
    if (spec.marking_table.empty()) continue;
    const Result<MarkingTable> table = order.loaded.front()->tables.find_marking(spec.marking_table);
    if (!table) return table.problem().in_file(order.works.file);
    tell_column(*table, spec, one.style, order, sheet);
    for (const NumberedPair& pair : one.pairs) {
      const std::pair at(pair.style, pair.size);
      if (sheet.markings.count(at) > 0) continue;
      const Result<std::string> marking = marking_of(*table, spec.marking_column, pair.size);
      if (!marking) return marking.problem().in_file(order.works.file);
      if (marking->empty()) unmarked[pair.style].push_back(pair.size);
      sheet.markings[at] = *marking;
    }
  }
  for (auto& [style, sizes] : unmarked) {
    std::sort(sizes.begin(), sizes.end(), NaturalOrder());
    const LabelSpec spec = order.works.labels.of(style);
    sheet.notes.push_back(unmarked_words(style, spec, sizes));
  }
  return sheet;
}

Table label_table(const LabelSheet& sheet) {
  Table table;
  table.name = "what the labels say";
  table.columns = {
      {"style", 20, 0}, {"part or size", 16, 0}, {"says", 40, 0}, {"of it by area or volume", 40, 0}};
  for (const StyleLabel& label : sheet.styles) {
    for (const PartContent& part : label.parts) {
      std::string shares;
      for (const auto& [kind, share] : part.shares)
        shares += fmt::format("{}{} {:.1f} %", shares.empty() ? "" : ", ", kind, 100.0 * share);
      table.rows.push_back({{label.style}, {part.part}, {part.says}, {shares}});
    }
  }
  for (const auto& [at, marking] : sheet.markings)
    table.rows.push_back({{at.first}, {at.second}, {marking}, {}});
  return table;
}

std::string labels_json(const LabelSpec& spec, const LabelSheet& sheet, const FailedStyles& failed) {
  Json styles = Json::array();
  for (const StyleLabel& label : sheet.styles) {
    const LabelSpec own = spec.of(label.style);
    Json parts = Json::array();
    for (const PartContent& part : label.parts) {
      Json shares = Json::object();
      for (const auto& [kind, share] : part.shares) shares[kind] = std::round(share * 1e6) / 1e6;
      parts.push_back(
          {{"part", part.part}, {"says", part.says}, {"named", part.named}, {"shares", std::move(shares)}});
    }
    Json markings = Json::object();
    for (const auto& [at, marking] : sheet.markings) {
      if (at.first == label.style) markings[at.second] = marking;
    }
    styles.push_back({{"style", label.style},
                      {"stock_number", own.stock_number},
                      {"made", own.made},
                      {"marking_table", own.marking_table},
                      {"markings", std::move(markings)},
                      {"parts", std::move(parts)}});
  }
  const Json json{{"lastwright_labels", 1},
                  {"order", sheet.order},
                  {"checks_failed", failed_json(failed)},
                  {"styles", std::move(styles)},
                  {"rests_on",
                   "net areas of the pieces that the works file names for a part, the kinds and thicknesses "
                   "it gives of their materials, and its marking table"},
                  {"not_said", sheet.notes}};
  return json.dump(1) + "\n";
}

Result<std::string> labels_pdf(const Tickets& tickets, const LabelSpec& spec, const LabelSheet& sheet,
                               const FailedStyles& failed) {
  std::vector<PrintedPage> pages;
  std::vector<PageFigure> figures;
  std::map<std::tuple<std::string, std::string, std::string>, std::size_t> alike;  // style, size, width
  std::size_t count = 0;
  for (const OrderCase& one : tickets.cases) {
    for (const NumberedPair& pair : one.pairs) {
      const std::size_t place = count++ % (kAcross * kDown);
      if (place == 0) pages.emplace_back();
      const Vec2 at{kLabelWidth * static_cast<double>(place % kAcross),
                    0.5 + kLabelHeight * static_cast<double>(place / kAcross)};
      const LabelSpec own = spec.of(pair.style);
      const auto [figure, first] = alike.try_emplace({pair.style, pair.size, pair.width}, figures.size());
      const bool bad = std::any_of(failed.begin(), failed.end(),
                                   [&](const FailedStyle& style) { return style.style == pair.style; });
      if (first) figures.push_back(label_figure(pair, own, sheet, bad));
      pages.back().figures.push_back({figure->second, at});
      if (Status added = add_numbers(pair, own, tickets.order, at, pages.back()); !added)
        return added.problem();
    }
  }
  return write_page_pdf(pages, {.title = "Labels"}, figures);
}

}  // namespace lastwright
