// Findings on the seams of a style.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "geometry/tolerance.hpp"
#include "grading/checks/seams/seam_report.hpp"
#include "grading/checks/style_checks.hpp"

namespace lastwright {

namespace {

// Edges that run on in one line: digitised smooth curves
// show kinks of 1 to 3 degrees, real corners are above 10.
constexpr Radians kSmoothEnd = tolerance::kCorner;

// To three decimals without a minus sign before nothing.
double without_minus_zero(double millimetres) {
  constexpr double kNothing = 0.0005;  // half of the last decimal shown
  return std::abs(millimetres) < kNothing ? 0.0 : millimetres;
}

// The worst of a figure over the run.
template <class Figure>
StyleFinding worst(std::string check, std::string subject, const SeamReport& report, const StyleGrade& grade,
                   Figure figure) {
  StyleFinding finding{std::move(check), std::move(subject), 0.0, {}, "mm", {}, true, ""};
  for (std::size_t k = 0; k < report.cells.size(); ++k) {
    const double value = figure(report.cells[k]);
    if (k > 0 && value <= finding.worst) continue;
    finding.worst = value;
    finding.where = grade.cells[k];
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

const BoundPiece* bound_of(const StyleGrade& grade, const std::string& piece) {
  for (const PreparedPiece& one : grade.pieces) {
    if (one.bound.spec.name == piece) return &one.bound;
  }
  return nullptr;
}

// The edge of the side's piece that meets its seam edge at that corner of it.
const EdgeSpec* beside(const StyleGrade& grade, const SeamSide& side, bool at_start, std::string& corner) {
  const BoundPiece* const piece = bound_of(grade, side.piece);
  if (piece == nullptr) return nullptr;
  const std::size_t n = piece->edges.size();
  for (std::size_t e = 0; e < n; ++e) {
    const EdgeSpec& edge = piece->edges[e].spec;
    if (edge.name != side.edge) continue;
    corner = at_start ? edge.from : edge.to;
    return &piece->edges[(e + (at_start ? n - 1 : 1)) % n].spec;
  }
  return nullptr;
}

// Where the edges turn that ran on in one line, and what is to be changed there.
std::string end_remedy(const SeamReport& report, const SeamSpec& seam, const StyleGrade& grade, bool first,
                       double turned) {
  std::string corner;
  std::string corner_there;
  const EdgeSpec* const one = beside(grade, seam.one, first, corner);
  const EdgeSpec* const other = beside(grade, seam.other, first != report.against, corner_there);
  if (one == nullptr || other == nullptr) return {};
  std::string text = fmt::format("; they are {} of {} and {} of {}, at the corner {}: ", one->name,
                                 seam.one.piece, other->name, seam.other.piece, corner);
  const auto named = [](const EdgeSpec& edge, const SeamSide& side) {
    return fmt::format("{} of {}", edge.name, side.piece);
  };
  if (!report.tied.empty()) {
    text += fmt::format("sizes are tied on {}", report.tied.front());
  } else if (one->straight || other->straight) {
    text +=
        fmt::format("{} is drawn as one line between its ends and turns with them: leave out \"straight\"",
                    one->straight ? named(*one, seam.one) : named(*other, seam.other));
  } else if (one->held != other->held) {
    text += fmt::format("{} is held and the other is not: hold both or neither",
                        one->held ? named(*one, seam.one) : named(*other, seam.other));
  } else if (seam.mirrored) {
    text += fmt::format(
        "the two are mirror images and meet square on the seam: give the forme a rule {{\"square\": "
        "[\"{}\"], "
        "\"to\": [two points of the seam's line]}}",
        corner);
  } else if (!report.drawn_together) {
    text +=
        "the pieces are not drawn on each other, so that each end turns with its own surroundings: draw the "
        "edges of the seam on each other";
  } else {
    text += "a rule or a hold turns one of them: let it take hold of both edges, or of neither";
  }
  return text + fmt::format("; or accept it by \"limits\": {{\"seam_turn\": {:g}}}",
                            std::ceil(turned * 10.0) / 10.0);
}

// Ends whose edges run on in one line in the sample must do so in every size.
std::vector<StyleFinding> ends(const SeamReport& report, const SeamSpec& seam, const std::string& subject,
                               const StyleGrade& grade, Radians limit) {
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
    finding.note =
        smooth ? "the edges that follow run on in one line in the base size and turn by this much more"
               : fmt::format("{} in the base size; changes by this: reported", corner_text(sample));
    findings.push_back(smooth ? judged(finding, to_degrees(limit)) : finding);
    if (!findings.back().passed)
      findings.back().note += end_remedy(report, seam, grade, end == &SeamCell::first, finding.worst);
  }
  return findings;
}

// What the mates differ by in the sample, as it is drawn and as the ease says.
StyleFinding sample(const SeamReport& report, const SeamSpec& seam, const StyleCheckOptions& options) {
  const SeamCell& cell = report.cells.back();
  StyleFinding finding{"seam, base", seam_subject(seam), std::abs(cell.difference), {}, "mm", {}, true, ""};
  finding = judged(std::move(finding), options.seams.base.value());
  finding.doubtful = finding.passed && finding.worst > options.seam_limit.value();
  const double more = without_minus_zero(cell.other - cell.one);
  const bool open = !finding.passed || finding.doubtful;  // a remedy for what is sound would unsettle it
  finding.note = fmt::format("{} of {} is drawn {:.2f} mm long and {} of {} {:.2f} mm", seam.one.edge,
                             seam.one.piece, cell.one, seam.other.edge, seam.other.piece, cell.other);
  if (seam.ease == Millimetres(0.0)) {
    finding.note += ", without an ease";
    if (open)
      finding.note += fmt::format(": redraw one of them, or state \"ease\": {:.2f} if that is meant", more);
  } else {
    finding.note +=
        fmt::format(", which is {:.2f} mm more, where \"ease\" states {:g}", more, seam.ease.value());
    if (open) finding.note += ": correct one or the other";
  }
  return finding;
}

// Nicks that are sewn on each other.
StyleFinding nicks_met(const SeamReport& report, const std::string& subject, const StyleGrade& grade,
                       double limit) {
  const auto off = [](const SeamCell& cell) {
    double most = 0.0;
    for (const SeamNick& nick : cell.nicks) most = std::max(most, std::abs(nick.off()));
    return most;
  };
  StyleFinding nicks = judged(worst("seam nicks", subject, report, grade, off), limit);
  nicks.note = "two nicks that are sewn on each other lie this far apart along the seam";
  for (const SeamCell& cell : report.cells) {
    for (const SeamNick& nick : cell.nicks) {
      if (nicks.passed || std::abs(nick.off()) != nicks.worst) continue;
      nicks.note += fmt::format(": at {:.1f} and {:.1f} mm from the seam's first end", nick.one, nick.other);
      return nicks;
    }
  }
  return nicks;
}

StyleFinding lone_nick(const LoneNick& lone, const SeamSpec& seam) {
  StyleFinding finding{
      "nick alone", fmt::format("{}, {}", lone.piece, lone.edge), lone.along, {}, "mm", {}, true, ""};
  finding.doubtful = true;
  finding.note = fmt::format("from the first end of the seam {}, {} has no partner on the other side",
                             seam_subject(seam), lone.name);
  if (lone.nearest) {
    finding.note +=
        fmt::format(": the nearest lies {:.1f} mm along from it, and nicks within {:g} mm are partners",
                    *lone.nearest, kNickReach);
  } else {
    finding.note += ", which has no nick";
  }
  return finding;
}

// What the curves of the two sides may have left the drawn chords by, together.
double faired_by(const StyleSpec& style, const SeamSpec& seam) {
  double sum = 0.0;
  for (const std::string& name : {seam.one.piece, seam.other.piece}) {
    for (const PieceSpec& piece : style.pieces) {
      if (piece.name != name) continue;
      for (const DrawingSpec& drawing : style.drawings) {
        if (drawing.key == piece.source.drawing && drawing.fair) sum += drawing.fair->within.value();
      }
    }
  }
  return sum;
}

// Whether the two are sewn edge to edge, so that their finished edges are one line on the forme that both lie
// on, and neither says where it lies.
bool are_one_line(const SeamSpec& seam, const StyleGrade& grade) {
  if (seam.one.piece == seam.other.piece) return false;
  for (const SeamSide& side : {seam.one, seam.other}) {
    const BoundPiece* const piece = bound_of(grade, side.piece);
    if (piece == nullptr || piece->spec.lies) return false;
    const bool edge_to_edge =
        std::any_of(piece->edges.begin(), piece->edges.end(), [&](const BoundEdge& edge) {
          const Treatment how = edge.spec.treatment;
          return edge.spec.name == side.edge &&
                 (how == Treatment::kClosedSeam || how == Treatment::kOpenSeam || how == Treatment::kBagged);
        });
    if (!edge_to_edge) return false;
  }
  return true;
}

// Edges that are not drawn on each other: whether they coincide is not asked of them.
// `faired`: mm that fairing may have parted them by.
StyleFinding drawn_apart(const SeamReport& report, const SeamSpec& seam, const StyleGrade& grade,
                         double faired) {
  constexpr double kNear = 3.0;   // mm; edges of laps that are meant to lie apart are drawn farther
  constexpr double kShare = 0.2;  // of the edge: what two edges have in common by chance is less
  StyleFinding finding{"seam drawn apart", seam_subject(seam), *report.drawn_apart, {}, "mm", {}, true, ""};
  const double length = report.cells.back().one;
  const bool partly = report.together_over > kShare * length;
  const bool one_line = are_one_line(seam, grade);
  finding.doubtful = finding.worst <= kNear || partly || report.ends_meet || one_line;
  finding.note = "the edges are not drawn on each other: their lengths are compared, and not where they lie";
  if (report.ends_meet && finding.worst <= faired)
    finding.note += fmt::format(
        "; both ends of one lie on those of the other, and the chords of both were faired, which may part "
        "them by up to {:g} mm: fair them closer (\"fair\" of the drawing), or let their runs end alike "
        "(its \"corners\", --corner-angle)",
        faired);
  else if (report.ends_meet)
    finding.note += "; both ends of one lie on those of the other: is one of them curved the wrong way?";
  else if (one_line && !partly)
    finding.note +=
        "; sewn edge to edge, they are one line on their forme: one of the two pieces is drawn away from its "
        "place, and a piece is graded where it lies, or the seam names another edge. Draw one on the other, "
        "or "
        "say in \"lies\" where a piece lies (\"as drawn\" if this is its place)";
  if (partly)
    finding.note +=
        fmt::format("; they lie on each other over {:.1f} of {:.1f} mm", report.together_over, length);
  return finding;
}

// Of the doubtful findings of one check the worst few are to be read at once; the others stand under --all.
void keep_worst(std::vector<StyleFinding>& findings, const char* check) {
  constexpr std::size_t kMost = 3;
  std::vector<StyleFinding*> doubtful;
  for (StyleFinding& one : findings) {
    if (one.check == check && one.doubtful) doubtful.push_back(&one);
  }
  if (doubtful.size() <= kMost) return;
  std::stable_sort(doubtful.begin(), doubtful.end(),
                   [](const StyleFinding* a, const StyleFinding* b) { return a->worst > b->worst; });
  doubtful.front()->note += fmt::format("; {} more like it: see --all", doubtful.size() - kMost);
  for (std::size_t i = kMost; i < doubtful.size(); ++i) doubtful[i]->doubtful = false;
}

}  // namespace

std::vector<StyleFinding> check_seams(const StyleSpec& style, const StyleGrade& grade,
                                      const Result<std::vector<SeamReport>>& reports,
                                      const StyleCheckOptions& options) {
  std::vector<StyleFinding> findings;
  if (!reports) {
    findings.push_back({"seam", "all", 1.0, 0.0, "faults", {}, false, to_text(reports.problem())});
    return findings;
  }
  const double limit = options.seam_limit.value();
  for (const SeamReport& report : *reports) {
    const SeamSpec& seam = style.seams[report.seam];
    const std::string subject = seam_subject(seam);
    const bool tied = !report.tied.empty();
    findings.push_back(sample(report, seam, options));
    for (const LoneNick& lone : report.lone) findings.push_back(lone_nick(lone, seam));
    if (!report.drawn_together && report.drawn_apart)
      findings.push_back(drawn_apart(report, seam, grade, faired_by(style, seam)));
    const double own = report.cells.back().difference;
    StyleFinding length = worst(tied ? "seam, tied piece" : "seam", subject, report, grade,
                                [](const SeamCell& cell) { return std::abs(cell.beyond); });
    length.note =
        fmt::format("length difference beyond the base size's own of {:.3f} mm", without_minus_zero(own));
    if (tied) {
      length.note += "; reported only, because sizes are tied on";
      for (const std::string& piece : report.tied) length.note += " " + piece;
      length.subject += fmt::format(", tied: {}", report.tied.front());
      length.doubtful = length.worst > limit;
      findings.push_back(length);
      continue;
    }
    findings.push_back(judged(length, limit));
    for (StyleFinding& end : ends(report, seam, subject, grade, options.seam_turn))
      findings.push_back(std::move(end));
    const bool nicked = std::any_of(report.cells.begin(), report.cells.end(),
                                    [](const SeamCell& cell) { return !cell.nicks.empty(); });
    if (nicked)
      findings.push_back(
          nicks_met(report, subject, grade, options.seams.nicks.value_or(options.seam_limit).value()));
    if (!report.drawn_together) continue;
    StyleFinding gap =
        worst("seam, shared", subject, report, grade, [](const SeamCell& cell) { return cell.apart; });
    gap.note = "edges drawn on each other come apart by this";
    findings.push_back(judged(gap, limit));
  }
  for (const char* check : {"seam, base", "seam drawn apart", "nick alone"}) keep_worst(findings, check);
  return findings;
}

}  // namespace lastwright
