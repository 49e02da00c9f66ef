// Findings on the seams of a style.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/tolerance.hpp"
#include "grading/checks/seam_report.hpp"
#include "grading/checks/style_checks.hpp"

namespace lastwright {

namespace {

// Edges that run on in one line: digitised smooth curves show kinks of 1 to 3 degrees, real corners are
// above 10.
constexpr Radians kSmoothEnd = tolerance::kCorner;

// To three decimals without a minus sign before nothing.
double without_minus_zero(double millimetres) {
  return std::abs(millimetres) < 0.0005 ? 0.0 : millimetres;
}

// The worst of a figure over the run.
template <class Figure>
StyleFinding worst(std::string check, std::string subject, const SeamReport& report, const StyleGrade& grade,
                   Figure figure) {
  StyleFinding finding{std::move(check), std::move(subject), 0.0, {}, "mm", "", true, ""};
  for (std::size_t k = 0; k < report.cells.size(); ++k) {
    const double value = figure(report.cells[k]);
    if (k > 0 && value <= finding.worst) continue;
    finding.worst = value;
    finding.where = where(grade.cells[k]);
  }
  return finding;
}

StyleFinding judged(StyleFinding finding, double limit) {
  finding.limit = limit;
  finding.passed = finding.worst <= limit;
  return finding;
}

// What the edges do that follow a seam. Where each runs straight on, past the end of the seam, they lie on
// each other there: no corner.
std::string corner_text(double turn) {
  const double full = std::abs(std::remainder(turn, 2.0 * std::numbers::pi));
  if (full > std::numbers::pi - kSmoothEnd.value()) return "both edges run straight on past the seam's end";
  return fmt::format("the edges that follow meet in a corner of {:.1f} degrees", to_degrees(Radians(full)));
}

// Ends whose edges run on in one line in the sample must do so in every size.
std::vector<StyleFinding> ends(const SeamReport& report, const std::string& subject, const StyleGrade& grade,
                               Radians limit) {
  std::vector<StyleFinding> findings;
  for (const auto& [end, name] : {std::pair{&SeamCell::first, "first"}, std::pair{&SeamCell::last, "last"}}) {
    const double sample = (report.cells.back().*end).turn.value();
    const bool smooth = std::abs(sample) <= kSmoothEnd.value();
    StyleFinding finding =
        worst(smooth ? "seam end, smooth" : "seam end, corner", fmt::format("{}, {} end", subject, name),
              report, grade, [&, end = end](const SeamCell& cell) {
                return to_degrees(Radians(std::abs((cell.*end).turn.value() - sample)));
              });
    finding.unit = "degrees";
    finding.note = smooth
                       ? "the edges that follow run on in one line in the sample and turn by this much more"
                       : fmt::format("{} in the sample; changes by this: reported", corner_text(sample));
    findings.push_back(smooth ? judged(finding, to_degrees(limit)) : finding);
  }
  return findings;
}

}  // namespace

std::vector<StyleFinding> check_seams(const StyleSpec& style, const StyleGrade& grade,
                                      const Result<std::vector<SeamReport>>& reports,
                                      const StyleCheckOptions& options) {
  std::vector<StyleFinding> findings;
  if (!reports) {
    findings.push_back({"seam", "all", 1.0, 0.0, "faults", "", false, to_text(reports.problem())});
    return findings;
  }
  const double limit = options.seam_limit.value();
  for (const SeamReport& report : *reports) {
    const SeamSpec& seam = style.seams[report.seam];
    const std::string subject = seam_subject(seam);
    const bool tied = !report.tied.empty();
    const double own = report.cells.back().difference;
    StyleFinding length = worst(tied ? "seam, tied piece" : "seam", subject, report, grade,
                                [](const SeamCell& cell) { return std::abs(cell.beyond); });
    length.note =
        fmt::format("length difference beyond the sample's own of {:.3f} mm", without_minus_zero(own));
    if (tied) {
      length.note += "; reported only, for sizes are tied on";
      for (const std::string& piece : report.tied) length.note += " " + piece;
      length.subject += fmt::format(", tied: {}", report.tied.front());
      findings.push_back(length);
      continue;
    }
    findings.push_back(judged(length, limit));
    for (StyleFinding& end : ends(report, subject, grade, options.seam_turn))
      findings.push_back(std::move(end));
    const bool nicked = std::any_of(report.cells.begin(), report.cells.end(),
                                    [](const SeamCell& cell) { return !cell.nicks.empty(); });
    if (nicked) {
      StyleFinding nicks = worst("seam nicks", subject, report, grade, [](const SeamCell& cell) {
        double off = 0.0;
        for (const SeamNick& nick : cell.nicks) off = std::max(off, std::abs(nick.off()));
        return off;
      });
      nicks.note = "two nicks that are sewn on each other lie this far apart along the seam";
      findings.push_back(judged(nicks, limit));
    }
    if (!report.drawn_together) continue;
    StyleFinding gap =
        worst("coinciding seam", subject, report, grade, [](const SeamCell& cell) { return cell.apart; });
    gap.note = "edges drawn on each other come apart by this";
    findings.push_back(judged(gap, limit));
  }
  return findings;
}

}  // namespace lastwright
