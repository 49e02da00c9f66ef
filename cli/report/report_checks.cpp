// Warnings and checks of the report.
#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <string>
#include <utility>

#include "cli/report/die_words.hpp"
#include "cli/report/html_table.hpp"
#include "cli/report/report_sections.hpp"
#include "geometry/counted.hpp"
#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

namespace {

// On paper the worst of each check, and all that failed; report.css hides the others.
constexpr std::size_t kPrinted = 4;

std::string value_of(const StyleFinding& f) {
  if (f.unit == "faults" || f.unit == "parts" || f.unit == "pieces")
    return fmt::format("{:g} {}", f.worst, f.unit);
  const bool length_or_angle = f.unit == "mm" || f.unit == "degrees";
  if (!length_or_angle || (!f.passed && std::abs(f.worst) < 0.0005))
    return fmt::format("{:.4g} {}", f.worst, f.unit);
  if (std::abs(f.worst) < 0.0005) return (f.worst == 0.0 ? "0 " : "under 0.001 ") + f.unit;
  return fmt::format("{:.3f} {}", f.worst, f.unit);
}

std::string limit_of(const StyleFinding& f) {
  if (!f.limit) return "none: reported";
  if (f.check == "fold-over") return fmt::format("above {:g}", *f.limit);
  if (f.least) return fmt::format("at least {:g} {}", *f.limit, f.unit);
  const std::string limit = fmt::format("{:g}", *f.limit);
  return f.unit == "mm" || f.unit == "degrees" ? limit + " " + f.unit : limit;
}

bool worse_on_page(const StyleFinding* a, const StyleFinding* b) {
  if (a->passed != b->passed) return !a->passed;
  return a->least || a->check == "fold-over" ? a->worst < b->worst : a->worst > b->worst;
}

struct CheckGroup {
  std::string check;
  std::vector<const StyleFinding*> findings;  // the worst first
  std::size_t failed = 0;
};

bool is_seam(const CheckGroup& group) {
  return group.check.find("seam") != std::string::npos;
}

std::vector<CheckGroup> groups_of(const std::vector<StyleFinding>& findings) {
  std::vector<CheckGroup> groups;
  for (const StyleFinding& f : findings) {
    auto group =
        std::find_if(groups.begin(), groups.end(), [&](const CheckGroup& g) { return g.check == f.check; });
    if (group == groups.end()) group = groups.insert(groups.end(), {f.check, {}, 0});
    group->findings.push_back(&f);
    group->failed += f.passed ? 0 : 1;
  }
  for (CheckGroup& group : groups)
    std::stable_sort(group.findings.begin(), group.findings.end(), worse_on_page);
  std::stable_sort(groups.begin(), groups.end(), [](const CheckGroup& a, const CheckGroup& b) {
    return std::pair(a.failed == 0, !is_seam(a)) < std::pair(b.failed == 0, !is_seam(b));
  });
  return groups;
}

// What all findings of a group say alike; empty where they differ.
std::string common_note(const CheckGroup& group) {
  const std::string& first = group.findings.front()->note;
  const auto same = [&](const StyleFinding* f) { return f->note == first; };
  return std::all_of(group.findings.begin(), group.findings.end(), same) ? first : "";
}

TableCell result_of(const StyleFinding& f) {
  if (!f.passed) return {std::string("FAILED"), Emphasis::kBad};
  if (f.limit) return {std::string("passed"), Emphasis::kGood};
  return {std::string("reported")};
}

Table table_of(const CheckGroup& group) {
  Table table;
  table.name = group.check;
  table.columns = {{"of"}, {"result"}, {"worst"}, {"limit"}, {"at"}};
  const bool notes = common_note(group).empty();
  if (notes) table.columns.push_back({"meaning"});
  for (const StyleFinding* f : group.findings) {
    table.rows.push_back({{f->subject},
                          result_of(*f),
                          {value_of(*f)},
                          {limit_of(*f)},
                          {f->where.empty() ? "everywhere" : to_text(f->where)}});
    if (notes) table.rows.back().push_back({f->note});
  }
  return table;
}

std::string item(const std::string& text) {
  return "<li>" + xml_escaped(text) + "</li>";
}

std::string block(const char* classes, const std::string& title, const std::vector<std::string>& items) {
  if (items.empty()) return "";
  std::string html = fmt::format("<div class=\"block {}\"><h3>{}</h3><ul>", classes, title);
  for (const std::string& one : items) html += item(one);
  return html + "</ul></div>\n";
}

// The order's checks are the run's; a part of it is looked at here with fewer sizes and widths.
bool found_here(const StyleFinding& of_order, const std::vector<StyleFinding>& findings) {
  return std::any_of(findings.begin(), findings.end(), [&](const StyleFinding& f) {
    return !f.passed && f.check == of_order.check && f.subject == of_order.subject;
  });
}

std::vector<std::string> failures(const ReportInput& input) {
  std::vector<std::string> items;
  for (const StyleFinding& f : input.findings) {
    if (f.passed) continue;
    items.push_back(fmt::format("{}, {}: {} (limit {}){}{}", f.check, f.subject, value_of(f), limit_of(f),
                                f.where.empty() ? "" : " at " + to_text(f.where),
                                f.note.empty() ? "" : "; " + f.note));
  }
  for (const PieceOutlines& piece : input.outlines) {
    if (piece.not_built.empty()) continue;
    items.push_back(fmt::format("no cut line in {} of the sizes and widths, shown there as drawn: {}",
                                piece.not_built.size(), to_text(piece.not_built.front())));
  }
  items.insert(items.end(), input.order_stale.begin(), input.order_stale.end());
  if (input.lasts != nullptr)
    items.insert(items.end(), input.lasts->failed.begin(), input.lasts->failed.end());
  if (input.dies != nullptr) {
    for (const StyleFinding& f : input.dies->order.failed) {
      if (found_here(f, input.findings)) continue;
      items.push_back(fmt::format("of the die order: {}, {}: {} (limit {}){}{}", f.check, f.subject,
                                  value_of(f), limit_of(f), f.where.empty() ? "" : " at " + to_text(f.where),
                                  f.note.empty() ? "" : "; " + f.note));
    }
    items.insert(items.end(), input.order_faults.begin(), input.order_faults.end());
  }
  return items;
}

// Of the sizes and widths shown, those that no die of the order cuts, by piece; none without an order.
std::vector<std::pair<std::string, std::vector<std::string>>> without_die(const ReportInput& input) {
  std::vector<std::pair<std::string, std::vector<std::string>>> found;
  if (input.dies == nullptr) return found;
  std::set<std::pair<std::string, std::string>> served;  // piece, size and width
  for (const DieOrderLine& line : input.dies->order.lines) {
    for (const auto& [size, width] : line.sizes_widths) served.emplace(line.piece, size + " " + width);
  }
  const SizeRun& run = input.grade.run;
  for (const PreparedPiece& piece : input.grade.pieces) {
    std::vector<std::string> missing;
    for (std::size_t s = 0; s < run.sizes.size(); ++s) {
      for (std::size_t w = 0; w < run.widths.size(); ++w) {
        const std::string at = run.sizes[s].label + " " + run.widths[w].label;
        if (run.makes(s, w) && served.count({piece.bound.spec.name, at}) == 0) missing.push_back(at);
      }
    }
    if (!missing.empty()) found.emplace_back(piece.bound.spec.name, std::move(missing));
  }
  return found;
}

std::vector<std::string> no_die_notes(const ReportInput& input) {
  std::map<std::vector<std::string>, std::vector<std::string>> pieces;  // by what they lack
  for (auto& [piece, missing] : without_die(input)) pieces[missing].push_back(piece);
  std::vector<std::string> items;
  for (const auto& [missing, of] : pieces)
    items.push_back(
        fmt::format("the die order has no die for {} in {}", some_of(of, 20), some_of(missing, 12)));
  return items;
}

std::vector<std::string> to_look_at(const ReportInput& input) {
  std::vector<std::string> items = input.style.notes;
  for (std::string& note : no_die_notes(input)) items.push_back(std::move(note));
  for (const StyleFinding& f : input.findings) {
    const bool far = !f.limit && f.worst >= 0.5 && f.unit == "mm" && f.check != "base share";
    if (!f.passed || !(f.doubtful || far)) continue;
    items.push_back(fmt::format("{}, {}: {}{}; {}", f.check, f.subject, value_of(f),
                                f.where.empty() ? "" : " at " + to_text(f.where), f.note));
  }
  if (input.lasts != nullptr) items.insert(items.end(), input.lasts->look.begin(), input.lasts->look.end());
  if (input.dies == nullptr) return items;
  if (!input.order_unknown.empty()) items.push_back(input.order_unknown);
  const DiePlan& plan = input.dies->plan;
  std::size_t dies = 0;
  for (const PlannedDie& die : plan.dies) dies += die.findings.empty() ? 0 : 1;
  if (dies > 0)
    items.push_back(
        fmt::format("{} of the order's {} {} {} a place that is hard to make as a die (a narrow gap, "
                    "a small punch, a "
                    "tight bend): the die maker should say whether it can be made. Which, and where, stands "
                    "under Dies; nothing "
                    "is wrong with the pieces",
                    with_thousands(static_cast<long long>(dies)),
                    with_thousands(static_cast<long long>(plan.dies.size())),
                    noun_of(plan.dies.size(), "outline"), dies == 1 ? "has" : "have"));
  const auto add = [&items](const std::string& note) {
    if (std::find(items.begin(), items.end(), note) == items.end()) items.push_back(note);
  };
  for (const std::string& note : input.dies->order.notes) add(note);  // what its drawings hold stands above
  for (const std::string& note : plan.notes) add(note);
  return items;
}

}  // namespace

std::string may_begin(const ReportInput& input) {
  const std::size_t failed = failures(input).size();
  if (failed > 0)
    return fmt::format("Cutting may not begin: {} failed. Have no die made and cut nothing before {}.",
                       counted(failed, "check"), failed == 1 ? "it passes" : "they pass");
  std::string text =
      "Cutting may begin with trial pairs: every check passed. Cut in quantity when one pair of the ends of "
      "the "
      "run and of every doubtful size has been made and tried on.";
  if (!input.part.empty()) text += " This is said of " + input.part + "; nothing is said of the others.";
  std::set<std::string> lacking;
  for (const auto& [piece, missing] : without_die(input)) lacking.insert(missing.begin(), missing.end());
  if (!lacking.empty()) {
    text += fmt::format(
        " Not with the dies of this order alone in {}: some pieces have no die there, see \"To look at\".",
        counted(lacking.size(), "size and width", "sizes and widths"));
  }
  return text;
}

bool report_failed(const ReportInput& input) {
  return !failures(input).empty();
}

std::string attention_html(const ReportInput& input) {
  const std::vector<std::string> failed = failures(input);
  const std::vector<std::string> look = to_look_at(input);
  std::string html = fmt::format("<p class=\"verdict\"><b>{}</b></p>\n", xml_escaped(may_begin(input)));
  html += block("bad", fmt::format("Failed: {}", failed.size()), failed);
  if (failed.empty())
    html += fmt::format("<div class=\"block good\"><h3>Nothing failed</h3><p>{} over {}.</p></div>\n",
                        counted(input.findings.size(), "check"),
                        input.part.empty() ? "the whole run" : xml_escaped(input.part));
  html += block("look", "To look at", look);
  html += block("mind", "Bear in mind",
                {"A graded size is not a tested one: cut and try one pair of the ends of the run and of "
                 "every doubtful size before cutting in quantity.",
                 "Cutting dies have sharp edges and cutting presses crush: keep guards and two-hand controls "
                 "in place; local codes and the machine's own "
                 "manual count for more than this page.",
                 "Safety footwear is approved by whoever is licensed to do so, never by a table.",
                 "Drawings on this page are not to scale; print patterns with \"lastwright plot\" and check "
                 "the 100 mm square."});
  return html;
}

std::string checks_html(const std::vector<StyleFinding>& findings) {
  std::string html;
  for (const CheckGroup& group : groups_of(findings)) {
    const StyleFinding& worst = *group.findings.front();
    const bool judged = worst.limit.has_value();
    html += fmt::format(
        "<details{}><summary><span class=\"name\">{}</span> <span class=\"tag {}\">{}</span> <span "
        "class=\"brief\">{} of them, worst {}{}</span></summary>\n",
        group.failed > 0 ? " open" : "", xml_escaped(group.check),
        group.failed > 0 ? "bad"
        : judged         ? "good"
                         : "",
        group.failed > 0 ? fmt::format("{} failed", group.failed)
        : judged         ? "passed"
                         : "reported",
        group.findings.size(), xml_escaped(value_of(worst)),
        worst.where.empty() ? "" : " at " + xml_escaped(to_text(worst.where)));
    if (const std::string note = common_note(group); !note.empty())
      html += "<p class=\"source\">" + xml_escaped(note) + "</p>\n";
    html += html_table(table_of(group), {.classes = "found"});
    const std::size_t printed = std::max(kPrinted, group.failed);
    if (group.findings.size() > printed)
      html += fmt::format(
          "<p class=\"source on-paper\">Printed: the worst {} of {}; the page on the screen has all.</p>\n",
          printed, group.findings.size());
    html += "</details>\n";
  }
  return html;
}

}  // namespace lastwright
