#include "cli/report/report_page.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>

#include "cli/report/die_words.hpp"
#include "cli/report/page_foot.hpp"
#include "cli/report/page_template.hpp"
#include "cli/report/report_sections.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/drawing_style.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "grading/grade/lay.hpp"
#include "grading/jobs/version.hpp"

namespace lastwright {

namespace {

using Json = nlohmann::ordered_json;

Json layers_of(const std::vector<PieceOutlines>& pieces) {
  std::uint32_t found = 0;
  for (const PieceOutlines& piece : pieces) found |= piece.operations;
  Json layers = Json::array();
  for (const Operation operation : all_operations()) {
    const auto number = static_cast<unsigned>(operation);
    if ((found >> number & 1U) == 0) continue;
    const LineStyle& style = style_of(operation);
    Json dash = Json::array();
    for (const double length : style.dashes()) dash.push_back(length);
    layers.push_back({{"operation", number}, {"key", style.key}, {"name", style.meaning}, {"dash", dash}});
  }
  return layers;
}

// By piece: the dies, and which of them serves each cell; empty where dies were not planned.
void add_dies(Json& pieces, const ReportDies& dies, std::size_t cells) {
  for (Json& piece : pieces) piece["die_at"] = std::vector<int>(cells, -1);
  for (const DieOrderLine& line : dies.order.lines) {
    const PlannedDie& die = dies.plan.dies[line.die];
    Json& piece = pieces[die.piece];
    const std::size_t number = piece["dies"].size();
    piece["dies"].push_back({line.number, line.drawn_as, line.serves, name_of(die.hands.mode)});
    for (const std::uint32_t cell : die.serves) piece["die_at"][cell] = number;
  }
}

// By size and width: the place of its outline, -1 where it is not made; null where all are made.
Json made_json(const SizeRun& run) {
  if (run.whole()) return nullptr;
  Json made = Json::array();
  for (std::size_t s = 0; s < run.sizes.size(); ++s) {
    for (std::size_t w = 0; w < run.widths.size(); ++w) {
      const auto cell = run.cell(s, w);
      made.push_back(cell ? static_cast<int>(*cell) : -1);
    }
  }
  return made;
}

std::string nest_json(const ReportInput& input) {
  const StyleGrade& grade = input.grade;
  Json json;
  for (const Size& size : grade.run.sizes)
    json["sizes"].push_back({size.label, size.position.denominator() == 1});
  for (const Width& width : grade.run.widths) json["widths"].push_back(width.label);
  json["made"] = made_json(grade.run);
  const auto place = [](const auto& items, const auto& base) {
    for (std::size_t i = 0; i < items.size(); ++i) {
      if (items[i].position == base.position) return static_cast<int>(i);
    }
    return -1;
  };
  json["base"] = {place(grade.run.sizes, grade.run.base.size), place(grade.run.widths, grade.run.base.width)};
  json["base_name"] = label_of(grade.run.base);
  json["layers"] = layers_of(input.outlines);
  Json pieces = Json::array();
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const PieceSpec& spec = grade.pieces[p].bound.spec;
    const Vec2 fixed = kept_point(grade, p);
    const PieceOutlines& outlines = input.outlines[p];
    pieces.push_back({{"name", spec.name},
                      {"forme", spec.forme},
                      {"material", spec.material},
                      {"hand", name_of(spec.hand)},
                      {"per_pair", spec.per_pair},
                      {"fixed", {std::llround(fixed.x * 100), std::llround(fixed.y * 100)}},
                      {"texts", outlines.texts},
                      {"base", outlines.base},
                      {"cells", outlines.cells},
                      {"dies", Json::array()},
                      {"die_at", Json::array()}});
  }
  if (input.dies != nullptr) add_dies(pieces, *input.dies, grade.run_cells());
  json["pieces"] = std::move(pieces);
  std::string text = json.dump(-1, ' ', false, Json::error_handler_t::replace);
  if (input.lasts != nullptr) text.insert(text.size() - 1, ",\"lasts\":" + input.lasts->data);
  return json_in_html(text);
}

std::string facts_html(const ReportInput& input) {
  const LoadedStyle& style = input.style;
  const SizeRun& run = input.grade.run;
  std::string html = "<dl class=\"title-block\">";
  const auto row = [&](const char* what, const std::string& value) {
    if (!value.empty()) html += fmt::format("<div><dt>{}</dt><dd>{}</dd></div>", what, xml_escaped(value));
  };
  row("works", style.spec.works);
  row("base", label_of(run.base));
  row("part", input.part);
  row("run", fmt::format("{} to {}, widths {} to {}", run.sizes.front().label, run.sizes.back().label,
                         run.widths.front().label, run.widths.back().label));
  if (run.whole()) {
    row("graded",
        fmt::format("{} x {} x {} = {}", counted(input.grade.pieces.size(), "piece"),
                    counted(run.sizes.size(), "size"), counted(run.widths.size(), "width"),
                    with_thousands(static_cast<long long>(input.grade.pieces.size() * run.count()))));
  } else {
    row("graded",
        fmt::format("{} x {} = {}", counted(input.grade.pieces.size(), "piece"),
                    counted(run.count(), "size and width", "sizes and widths"),
                    with_thousands(static_cast<long long>(input.grade.pieces.size() * run.count()))));
    for (std::size_t w = 0; w < run.widths.size(); ++w)
      row(("width " + run.widths[w].label).c_str(), run.sizes_of(w));
  }
  row("scale", style.scale.title);
  row("note", style.spec.note);
  row("date", input.date);
  row("made by", std::string("Lastwright ") + program_version());
  return html + "</dl>";
}

std::string files_html(const ReportInput& input) {
  std::string html = "<ul class=\"files\">";
  for (const auto& [name, digest] : input.files)
    html += fmt::format("<li>{} <code>{}</code></li>", xml_escaped(name), xml_escaped(digest));
  return html + "</ul>";
}

bool failed_check(const std::vector<StyleFinding>& findings) {
  return std::any_of(findings.begin(), findings.end(), [](const StyleFinding& f) { return !f.passed; });
}

}  // namespace

std::string report_page(const ReportInput& input) {
  const std::string nest(report_nest());
  const std::string script(report_page_script());
  return filled(
      report_frame(),
      {{"policy", fmt::format("default-src 'none'; style-src 'unsafe-inline'; script-src '{}' "
                              "'{}'; base-uri 'none'; form-action 'none'",
                              script_digest(nest), script_digest(script))},
       {"title", xml_escaped(input.style.spec.name)},
       {"look", std::string(report_look()) +
                    page_foot_style((failed_check(input.findings) ? "CHECKS FAILED. Report: " : "Report: ") +
                                    input.style.spec.name + (input.date.empty() ? "" : "; " + input.date))},
       {"facts", facts_html(input)},
       {"attention", attention_html(input)},
       {"measures", measures_html(input.style)},
       {"pieces", pieces_html(input.style)},
       {"checks", checks_html(input.findings)},
       {"dies", dies_html(input)},
       {"plan",
        input.plan.empty()
            ? ""
            : "<section id=\"plan\" aria-labelledby=\"plan-title\">\n<h2 id=\"plan-title\">The order</h2>\n" +
                  input.plan + "</section>\n"},
       {"lasts", input.lasts == nullptr ? ""
                                        : "<section id=\"lasts\" aria-labelledby=\"lasts-title\">\n<h2 "
                                          "id=\"lasts-title\">Lasts</h2>\n" +
                                              input.lasts->html + "</section>\n"},
       {"lasts-link", input.lasts == nullptr ? "" : "<a href=\"#lasts\">Lasts</a>"},
       {"plan-link", input.plan.empty() ? "" : "<a href=\"#plan\">Order</a>"},
       {"files", files_html(input)},
       {"data", nest_json(input)},
       {"nest", nest},
       {"script", script}});
}

}  // namespace lastwright
