#include "cli/planning/load_order.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <set>
#include <system_error>

#include "cli/planning/load_hide.hpp"
#include "cli/planning/load_works.hpp"
#include "cli/planning/table_file.hpp"
#include "cli/planning/works_doubts.hpp"
#include "grading/checks/judge.hpp"
#include "grading/jobs/left_out.hpp"
#include "grading/planning/headings.hpp"
#include "grading/planning/works_fit.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

bool names_style(const Order& order, const std::string& name) {
  return std::any_of(order.lines.begin(), order.lines.end(),
                     [&](const OrderLine& line) { return line.style == name; });
}

// As the user calls it, else as its rows do, else as its file is called.
Status name_order(const LoadOrderOptions& options, Order& order) {
  if (!options.name.empty()) {
    if (order.names.size() == 1 && order.names.front() != options.name)
      return Problem{Trouble::kUsage,
                     fmt::format("--name calls the order \"{}\", its column \"order\" \"{}\": leave one out",
                                 options.name, order.names.front()),
                     {order.file, 0, {}, {}},
                     {},
                     {}};
    order.name = options.name;
  } else if (order.names.size() > 1) {
    order.name = fmt::format("{}", fmt::join(order.names, "+"));
  } else if (order.names.empty()) {
    order.name = options.order == "-" ? "order" : std::filesystem::path(options.order).stem().string();
    order.named_after_file = true;
  }
  return Done{};
}

// As laying on the hide refuses them, so that nothing is reckoned of a hide on which it cannot be cut.
std::vector<Problem> unknown_zones(const LoadedOrder& order) {
  std::vector<Problem> problems;
  std::set<std::string> told;
  for (const OrderedStyle& style : order.styles) {
    for (const PieceSpec& piece : style.spec->pieces) {
      const auto hide = order.hides.find(piece.material);
      const auto rule = order.works.cutting.find(piece.name);
      if (hide == order.hides.end() || rule == order.works.cutting.end()) continue;
      std::vector<std::string> zones;
      for (const HideZone& zone : hide->second.zones) zones.push_back(zone.name);
      for (const std::string& zone : rule->second.zones) {
        if (std::find(zones.begin(), zones.end(), zone) != zones.end()) continue;
        if (!told.insert(piece.material + "\n" + piece.name + "\n" + zone).second) continue;
        problems.push_back({Trouble::kBadValue,
                            fmt::format("the hide of {} has no zone \"{}\", which {} comes from{}",
                                        piece.material, zone, piece.name, suggestion(zone, zones)),
                            {order.works.file, 0, "/cutting/" + piece.name + "/zones", {}},
                            {},
                            {}});
      }
    }
  }
  return problems;
}

// What the drawings of the styles that are ordered hold and no piece has: a line for each, so that what is
// told of the order is not lost among them.
void add_left_out(LoadedOrder& order) {
  for (std::size_t s = 0; s < order.loaded.size(); ++s) {
    if (!order.grades[s]) continue;
    for (const DrawingAccount& account : order.loaded[s]->accounts) {
      const std::string line = left_out_in_short(account);
      if (line.empty()) continue;
      order.order.told.push_back(
          bad_value(line.substr(std::min(line.size(), account.file.size() + 2))).in_file(account.file));
    }
  }
}

}  // namespace

std::optional<std::size_t> LoadedOrder::graded_from(const std::string& file) const {
  std::error_code none;
  for (std::size_t s = 0; s < loaded.size(); ++s) {
    if (grades[s] && std::filesystem::equivalent(loaded[s]->inputs.front(), file, none)) return s;
  }
  return {};
}

Checked<LoadedOrder> load_order(const LoadOrderOptions& options) {
  Checked<WorksSpec> works = load_works(options.works);
  if (!works) return works.problems();
  LoadedOrder all;
  all.works = *std::move(works);
  all.inputs = {options.works, options.order};
  Result<std::map<std::string, HideDrawing>> hides = measure_hides(all.works, all.inputs);
  if (!hides) return hides.problem();
  all.hides = *std::move(hides);
  if (all.works.styles.empty()) {
    return Problem{Trouble::kBadValue,
                   "the works file names no style: \"styles\": {\"name\": \"style.json\"}",
                   {options.works, 0, "/styles", {}},
                   {},
                   {}};
  }
  std::vector<Problem> problems;
  OrderedRuns runs;
  for (const auto& [name, file] : all.works.styles) {
    Checked<LoadedStyle> style = load_style(file_beside(options.works, file), options.files);
    if (!style) {
      problems.insert(problems.end(), style.problems().begin(), style.problems().end());
      continue;
    }
    runs[name] = style->run;
    all.inputs.insert(all.inputs.end(), style->inputs.begin(), style->inputs.end());
    all.loaded.push_back(std::make_unique<LoadedStyle>(*std::move(style)));
    all.grades.push_back(nullptr);
    all.styles.push_back({name, &all.loaded.back()->spec, nullptr});
  }
  if (!problems.empty()) return problems;
  std::vector<const StyleSpec*> specs;
  for (const OrderedStyle& style : all.styles) specs.push_back(style.spec);
  if (problems = works_misfits(all.works, specs); !problems.empty()) return problems;
  const Result<TextTable> table =
      read_table_file(options.order, {.asked = options.sheet}, heads_order, nearly_heads_order);
  if (!table) return table.problem();
  Result<Order> order = read_order(*table, runs, all.works);
  if (!order) return order.problem();
  if (order->lines.empty()) {  // nothing is planned, and nothing written
    problems = std::move(order->bad_rows);
    problems.push_back(
        {Trouble::kBadValue, "no row of the order is understood", {options.order, 0, {}, {}}, {}, {}});
    return problems;
  }
  all.order = *std::move(order);
  if (const Status named = name_order(options, all.order); !named) return named.problem();
  all.findings.resize(all.styles.size());
  for (std::size_t s = 0; s < all.styles.size(); ++s) {
    if (!names_style(all.order, all.styles[s].name)) continue;
    const LoadedStyle& style = *all.loaded[s];
    if (const Status fits =
            marking_fits(all.works, all.styles[s].name, style.spec.scale, all.loaded.front()->tables);
        !fits)
      return fits.problem();
    Result<StyleGrade> grade =
        grade_style(style.spec, style.measures, style.run, style.pieces, {}, options.threads);
    if (!grade) return grade.problem().in_file(style.inputs.front());
    all.findings[s] = judge_style(style.spec, *grade, style.measures, options.threads).findings;
    add_failed(all.failed, all.styles[s].name, all.findings[s]);
    all.grades[s] = std::make_unique<StyleGrade>(*std::move(grade));
    all.styles[s].grade = all.grades[s].get();
  }
  // What is not ordered is not looked at.
  std::erase_if(all.styles, [](const OrderedStyle& style) { return style.grade == nullptr; });
  if (problems = unknown_zones(all); !problems.empty()) return problems;
  const std::vector<Problem> doubts = works_doubts(all);
  all.order.told.insert(all.order.told.end(), doubts.begin(), doubts.end());
  const std::vector<Problem> idle = idle_words(all.works, specs, runs);
  all.order.told.insert(all.order.told.end(), idle.begin(), idle.end());
  add_left_out(all);
  return all;
}

}  // namespace lastwright
