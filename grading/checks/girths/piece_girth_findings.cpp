// What is said of the girths that pieces lay round the last.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "grading/checks/girths/piece_girth.hpp"
#include "grading/checks/style_checks.hpp"

namespace lastwright {

namespace {

// "shell: ball line open from 0.0 to 12.3 of 55.9 mm"
std::string told(const PieceGirth& girth) {
  std::string text;
  for (const OpenStretch& one : girth.open) {
    text += fmt::format("{}{} open from {:.1f} to {:.1f} of {:.1f} mm", text.empty() ? "" : ", ",
                        girth.lines[one.part], one.at.from, one.at.to, one.line);
  }
  return text;
}

// Pieces that are tied by whole sizes lie beside the grade by what the style asks for, as at seams: other
// sizes are told, and only the sample is judged.
void judge_sample_alone(const PieceGirth& girth, const StyleGrade& grade, bool open, StyleFinding& finding) {
  const double sample = open ? 0.0 : std::abs(girth.cells.back().off());
  finding.passed = sample <= *finding.limit;
  if (!finding.passed) {
    finding.worst = sample;
    finding.where = grade.cells[grade.base_cell()];
    return;
  }
  finding.check += ", tied piece";
  finding.limit.reset();
  finding.note += "; reported only, because sizes are tied on";
  for (const std::string& piece : girth.tied) finding.note += " " + piece;
}

// The girth counts to the end of its line; the pieces go on.
StyleFinding told_beyond(const PieceGirth& girth, const BeyondLine& beyond) {
  StyleFinding finding{"beyond girth line",
                       girth.lines[beyond.part] + ", " + (beyond.at_start ? "start" : "end"),
                       beyond.by,
                       {},
                       "mm",
                       {},
                       true,
                       ""};
  finding.doubtful = beyond.by > kLeastOpening;
  if (!beyond.beside.empty()) {
    finding.subject += ": " + beyond.piece;
    finding.note = fmt::format(
        "{} runs on past the {} of the line, and {} ends there: what lies beyond counts in no girth. Is one "
        "of them drawn too wide?",
        beyond.piece, beyond.at_start ? "start" : "end", beyond.beside);
    return finding;
  }
  finding.note = fmt::format(
      "every piece runs on past the {} of the line, {} the least: what lies there counts in no girth. Should "
      "the line end at its edge?",
      beyond.at_start ? "start" : "end", beyond.piece);
  return finding;
}

void add_beyond(const PieceGirth& girth, std::vector<StyleFinding>& findings) {
  for (const BeyondLine& one : girth.beyond) {
    StyleFinding beyond = told_beyond(girth, one);
    // A line of several girths, or of several layers, is told once.
    const bool told = std::any_of(findings.begin(), findings.end(), [&](const StyleFinding& known) {
      return known.check == beyond.check && known.subject == beyond.subject && known.note == beyond.note;
    });
    if (!told) findings.push_back(std::move(beyond));
  }
}

// A style of soles or straps alone lays no girth: there is nothing to add up.
StyleFinding told_bare(const PieceGirth& girth) {
  return {"girth in pieces",
          girth.measure + (girth.layer.empty() ? "" : ", " + girth.layer),
          girth.cells.back().covered,
          {},
          "mm",
          {},
          true,
          fmt::format("not proved: no piece lies on the forme of {}, so the pieces of this style do not make "
                      "up the {:.3f} mm of the base size",
                      girth.bare, girth.cells.back().asked)};
}

// Whether the layer closes any girth: then it has to close them all.
bool closes_one(const std::string& layer, const std::vector<PieceGirth>& all) {
  return std::any_of(all.begin(), all.end(), [&](const PieceGirth& other) {
    return other.layer == layer && !other.absent && other.open.empty() && other.bare.empty();
  });
}

// A strap over another girth owes nothing to this one.
StyleFinding told_absent(const PieceGirth& girth) {
  return {"girth in pieces",
          girth.measure + ", " + girth.layer,
          0.0,
          {},
          "mm",
          {},
          true,
          "not proved: no piece of the layer lies on the lines of this girth, and it closes no other"};
}

}  // namespace

std::vector<StyleFinding> check_piece_girths(const StyleGrade& grade,
                                             const Result<std::vector<PieceGirth>>& girths,
                                             const StyleCheckOptions& options) {
  std::vector<StyleFinding> findings;
  if (!girths) {
    findings.push_back({"girth in pieces", "all", 1.0, 0.0, "faults", {}, false, to_text(girths.problem())});
    return findings;
  }
  for (const PieceGirth& girth : *girths) {
    if (!girth.bare.empty()) {
      findings.push_back(told_bare(girth));
      add_beyond(girth, findings);
      continue;
    }
    if (girth.absent && !closes_one(girth.layer, *girths)) {
      findings.push_back(told_absent(girth));
      continue;
    }
    const bool open = !girth.open.empty() && std::all_of(girth.open.begin(), girth.open.end(),
                                                         [](const OpenStretch& one) { return one.opening; });
    const PieceGirthCell& sample = girth.cells.back();
    const auto beyond_own = [&](const PieceGirthCell& cell) { return open ? cell.opened : cell.off(); };
    StyleFinding finding{open ? "open girth" : "girth in pieces",
                         girth.measure + (girth.layer.empty() ? "" : ", " + girth.layer),
                         0.0,
                         open ? options.open_girth.value() : options.piece_girth.value(),
                         "mm",
                         {},
                         true,
                         ""};
    for (std::size_t k = 0; k < girth.cells.size(); ++k) {
      const PieceGirthCell& cell = girth.cells[k];
      if (k > 0 && std::abs(beyond_own(cell)) <= std::abs(finding.worst)) continue;
      finding.worst = beyond_own(cell);
      finding.where = grade.cells[k];
      finding.note = open ? fmt::format("the pieces come to {:.3f} of the {:.3f} mm of its lines",
                                        cell.covered, cell.lines)
                          : fmt::format("the pieces come to {:.3f} mm where the last asks for {:.3f} mm",
                                        cell.covered, cell.asked);
    }
    if (open) {
      finding.note += fmt::format(", in the base size to {:.3f} of {:.3f} mm; {}", sample.covered,
                                  sample.lines, told(girth));
      finding.doubtful = true;
    } else if (!girth.open.empty()) {
      finding.note += "; " + told(girth);
    }
    if (!open && std::abs(sample.lines - sample.asked) > *finding.limit)
      finding.note += fmt::format(
          "; its lines themselves come to {:.3f} mm in the base size, {:.3f} mm {} than the base: correct "
          "the base or the points of the lines, or say of a line that it is meant to be so, by \"extra\"",
          sample.lines, std::abs(sample.lines - sample.asked), sample.lines > sample.asked ? "more" : "less");
    if (girth.extra != 0.0) finding.note += fmt::format(", {:.3f} mm extra with it", girth.extra);
    finding.worst = std::abs(finding.worst);
    if (girth.tied.empty()) {
      finding.passed = finding.worst <= *finding.limit;
    } else {
      judge_sample_alone(girth, grade, open, finding);
    }
    findings.push_back(std::move(finding));
    add_beyond(girth, findings);
  }
  return findings;
}

}  // namespace lastwright
