#include "cli/report/findings_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

namespace lastwright {

namespace {

// A hundredth of the least limit that anything is judged by, and more digits where the limit itself is finer.
std::string shown(const StyleFinding& f) {
  const bool measured = f.unit == "mm" || f.unit == "degrees" || f.unit == "%" || f.unit == "area ratio";
  const bool counted = !measured && f.worst == std::round(f.worst);
  if (counted || f.unit == "faults" || f.unit == "parts" || f.unit == "pieces" || f.unit == "not kept")
    return fmt::format("{:g} {}", f.worst, f.unit);
  constexpr double kFine = 0.05;  // a limit below this is read against more than three decimals
  const int decimals = f.limit && std::abs(*f.limit) > 0.0 && std::abs(*f.limit) < kFine ? 5 : 3;
  const double unit = std::pow(10.0, -decimals);
  const double rounded = std::round(f.worst / unit) * unit + 0.0;  // no "-0.000"
  return fmt::format("{:.{}f} {}", rounded, decimals, f.unit);
}

std::string line(const StyleFinding& f, const std::string& subject) {
  const char* verdict = f.limit ? "ok  " : "    ";
  if (f.doubtful) verdict = "LOOK";
  if (!f.passed) verdict = "FAIL";
  std::string text = fmt::format("  {} {:<16} {:<44} {:>18}", verdict, f.check, subject, shown(f));
  // What is counted has none but 0.
  if (f.limit && (f.unit == "mm" || f.unit == "times" || f.unit == "degrees"))
    text += fmt::format("  ({} {:g})", f.least ? "at least" : "limit", *f.limit);
  if (f.limit && f.unit == "area ratio") text += fmt::format("  (must stay above {:g})", *f.limit);
  if (!f.where.empty()) text += "  at " + to_text(f.where);
  const bool tells = f.check == "base share" || f.check == "margin growth" || f.check == "sole rim" ||
                     (f.check == "girth share" && !f.limit) || (f.check == "allowance" && f.worst > 0.0) ||
                     f.note.rfind("not proved", 0) == 0;
  if (!f.passed || f.doubtful || tells) text += "\n       " + f.note;
  return text + "\n";
}

bool worse(const StyleFinding& a, const StyleFinding& b) {
  if (a.passed != b.passed) return !a.passed;
  if (a.doubtful != b.doubtful) return a.doubtful;
  return a.check == "fold-over" || a.least ? a.worst < b.worst : a.worst > b.worst;
}

}  // namespace

std::string findings_text(const std::vector<StyleFinding>& findings, bool all) {
  std::string text;
  if (all) {
    for (const StyleFinding& f : findings) text += line(f, f.subject);
    return text;
  }
  std::vector<std::string> order;
  std::map<std::string, std::vector<const StyleFinding*>> by_check;
  for (const StyleFinding& f : findings) {
    if (by_check[f.check].empty()) order.push_back(f.check);
    by_check[f.check].push_back(&f);
  }
  for (const std::string& check : order) {
    const auto& group = by_check[check];
    const StyleFinding& worst =
        **std::min_element(group.begin(), group.end(), [](auto* a, auto* b) { return worse(*a, *b); });
    text += line(worst, fmt::format("{}{}", group.size() > 1 ? fmt::format("{}, worst: ", group.size()) : "",
                                    worst.subject));
    for (const StyleFinding* f : group) {
      if ((!f->passed || f->doubtful) && f != &worst) text += line(*f, f->subject);
    }
  }
  return text;
}

bool all_passed(const std::vector<StyleFinding>& findings) {
  return std::all_of(findings.begin(), findings.end(), [](const StyleFinding& f) { return f.passed; });
}

}  // namespace lastwright
