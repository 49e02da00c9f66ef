#include "cli/report/findings_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace lastwright {

namespace {

// Small numbers as they are worth reading: 0.0000012 is "0.000001", 12.3 is "12.300".
std::string shown(double value, const std::string& unit) {
  if (unit == "faults" || unit == "parts" || unit == "pieces") return fmt::format("{:g} {}", value, unit);
  return fmt::format("{:.6f} {}", value, unit);
}

std::string line(const StyleFinding& f, const std::string& subject) {
  const char* verdict = f.limit ? "ok  " : "    ";
  if (f.doubtful) verdict = "LOOK";
  if (!f.passed) verdict = "FAIL";
  std::string text =
      fmt::format("  {} {:<16} {:<44} {:>18}", verdict, f.check, subject, shown(f.worst, f.unit));
  if (f.limit && f.unit == "mm") text += fmt::format("  ({} {:g})", f.least ? "at least" : "limit", *f.limit);
  if (f.limit && f.unit == "area ratio") text += fmt::format("  (must stay above {:g})", *f.limit);
  if (!f.where.empty()) text += "  at " + f.where;
  const bool tells = f.check == "base share" || (f.check == "girth share" && !f.limit) ||
                     (f.check == "allowance" && f.worst > 0.0);
  if (!f.passed || f.doubtful || tells) text += "\n       " + f.note;
  return text + "\n";
}

bool worse(const StyleFinding& a, const StyleFinding& b) {
  if (a.passed != b.passed) return !a.passed;
  if (a.doubtful != b.doubtful) return a.doubtful;
  return a.check == "one-to-one" || a.least ? a.worst < b.worst : a.worst > b.worst;
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
