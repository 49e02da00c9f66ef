#include "grading/checks/kept_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "geometry/counted.hpp"
#include "geometry/tolerance.hpp"
#include "grading/checks/style_checks.hpp"

namespace lastwright {

namespace {

Problem lost(std::string what, const std::string& edge, Vec2 at) {
  return Problem{Trouble::kGeometry, fmt::format("{}, at ({:.2f}, {:.2f})", what, at.x, at.y), {}, {}, {}}.in(
      "edge", edge);
}

// Counts faults and keeps the first.
class KeptFaults {
 public:
  KeptFaults(const char* check, std::string subject, std::string note)
      : finding_{check, std::move(subject), 0.0, 0.0, "faults", {}, true, std::move(note), false} {}
  void add(const std::string& what, const FindingPlace& at) {
    if (finding_.worst == 0.0) {
      finding_.note = what;
      finding_.where = at;
    }
    finding_.worst += 1.0;
    finding_.passed = false;
  }
  [[nodiscard]] StyleFinding finding() const { return finding_; }

 private:
  StyleFinding finding_;
};

}  // namespace

std::optional<Problem> corners_lost(const StyleGrade& grade, const MadePiece& made) {
  const PreparedPiece& piece = grade.pieces[made.piece];
  const EdgedOutline& net = made.drawn.net;
  const std::size_t n = net.edge.size();
  const GradedForme& forme = grade.formes[piece.forme];
  const Drivers& drivers = forme.drivers[piece.drawn_as[made.cell]];
  for (std::size_t e = 0; e < piece.bound.edges.size(); ++e) {
    const BoundEdge& edge = piece.bound.edges[e];
    const Vec2 corner = forme.map.graded(start_of(edge.chain.curves().front()), drivers);
    std::size_t starts = 0;
    std::size_t segments = 0;
    Vec2 start{};
    for (std::size_t i = 0; i < n; ++i) {
      if (net.edge[i] != e) continue;
      ++segments;
      if (n > 1 && net.edge[(i + n - 1) % n] == e) continue;
      ++starts;
      start = net.path.vertices[i].at;
    }
    if (segments == 0) return lost("nothing of this edge is left in the net line", edge.spec.name, corner);
    if (starts > 1)
      return lost(fmt::format("this edge is in {} stretches of the net line", starts), edge.spec.name,
                  corner);
    // An outline of one edge starts at its first vertex.
    if (starts == 0) start = net.path.vertices.front().at;
    if (const double off = distance(start, corner); !(off <= 2.0 * tolerance::kMapped.value()))
      return lost(
          fmt::format("the corner {} lies {:.3f} mm from where the grade puts it", edge.spec.from, off),
          edge.spec.name, start);
  }
  for (const CornerSpec& corner : piece.bound.spec.corners) {
    const auto ends = [&](const BoundEdge& edge) { return edge.spec.from == corner.name; };
    if (std::none_of(piece.bound.edges.begin(), piece.bound.edges.end(), ends))
      return Problem{
          Trouble::kGeometry, fmt::format("no edge starts at the corner {}", corner.name), {}, {}, {}};
  }
  return std::nullopt;
}

StyleFinding ties_kept(const StyleGrade& grade) {
  KeptFaults faults("ties kept", "sizes tied", "tied sizes take the outline of the size that is stated");
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const PreparedPiece& piece = grade.pieces[p];
    for (std::size_t k = 0; k < grade.run_cells(); ++k) {
      const SizeWidth& at = grade.cells[k];
      const SizeTie* tied = nullptr;
      for (const SizeTie& tie : piece.bound.spec.sizes_tied) {
        if (grade.run.named.at(tie.from) <= at.size.position &&
            at.size.position <= grade.run.named.at(tie.to))
          tied = &tie;
      }
      const SizeWidth& made = grade.cells[piece.drawn_as[k]];
      const Fraction as = tied != nullptr ? grade.run.named.at(tied->as) : at.size.position;
      const bool here = std::any_of(grade.run.sizes.begin(), grade.run.sizes.end(),
                                    [&](const Size& size) { return size.position == as; });
      if ((made.size.position == as || !here) && made.width.label == at.width.label) continue;
      faults.add(fmt::format("{} is made as size {}, width {}, and stated as size {}", piece.bound.spec.name,
                             made.size.label, made.width.label, tied != nullptr ? tied->as : at.size.label),
                 at);
    }
  }
  return faults.finding();
}

StyleFinding seams_kept(const StyleSpec& style, const StyleGrade& grade,
                        const std::vector<SeamReport>& reports) {
  KeptFaults faults("seams kept", "seams", "every stated seam is measured in every size and width");
  for (std::size_t s = 0; s < style.seams.size(); ++s) {
    const auto found =
        std::find_if(reports.begin(), reports.end(), [&](const SeamReport& one) { return one.seam == s; });
    if (found == reports.end()) {
      faults.add(fmt::format("{} is not measured", seam_subject(style.seams[s])), {});
    } else if (found->cells.size() != grade.cells.size()) {
      faults.add(fmt::format("{} is measured in {} of {} sizes and widths", seam_subject(style.seams[s]),
                             found->cells.size(), grade.cells.size()),
                 {});
    } else if (found->nicks_lost > 0) {
      faults.add(fmt::format("{}: nicks that are sewn on each other in the base size are not both on its "
                             "edges in other sizes ({} times)",
                             seam_subject(style.seams[s]), found->nicks_lost),
                 {});
    }
  }
  return faults.finding();
}

namespace {

// One kind of what is drawn in a piece beside its outline.
struct MarksOfKind {
  const char* kind;  // one of them
  const char* key;   // in "drawn_marks"
  std::optional<int> stated;
  std::size_t drawn;
};
std::array<MarksOfKind, 4> counted_marks(const BoundPiece& piece) {
  const DrawnMarks stated = piece.spec.drawn_marks.value_or(DrawnMarks{});
  return {{{"hole", "holes", stated.holes, piece.holes.size()},
           {"cut-out", "cut_outs", stated.cut_outs, piece.cut_outs.size()},
           {"nick", "nicks", stated.nicks, piece.nicks.size()},
           {"line", "lines", stated.lines, piece.lines.size() + piece.loops.size()}}};
}

StyleFinding marks_kept_in(const BoundPiece& piece) {
  KeptFaults faults("marks kept", piece.spec.name,
                    "as many holes, cut-outs, nicks and lines are drawn in it as the style states");
  for (const MarksOfKind& one : counted_marks(piece)) {
    if (!one.stated || static_cast<std::size_t>(*one.stated) == one.drawn) continue;
    faults.add(
        fmt::format("the style states {}, and the drawing shows {}: {}, or state \"drawn_marks\" as they are "
                    "now",
                    counted(*one.stated, one.kind), one.drawn,
                    one.drawn < static_cast<std::size_t>(*one.stated) ? "put back what was rubbed out"
                                                                      : "take out what was added by mistake"),
        {});
  }
  return faults.finding();
}

// What is drawn in a piece of kinds of which the style states no number: none where there is nothing such.
std::optional<StyleFinding> marks_uncounted(const BoundPiece& piece) {
  std::string drawn;
  std::string to_state;
  std::size_t kinds = 0;
  for (const MarksOfKind& one : counted_marks(piece)) {
    if (one.stated || one.drawn == 0) continue;
    drawn += (kinds == 0 ? "" : ", ") + counted(one.drawn, one.kind);
    to_state += fmt::format("{}\"{}\": {}", kinds == 0 ? "" : ", ", one.key, one.drawn);
    ++kinds;
  }
  if (kinds == 0) return std::nullopt;
  return doubtful_finding(
      "marks not counted", piece.spec.name, static_cast<double>(kinds), kinds == 1 ? "kind" : "kinds",
      fmt::format("the drawing shows {}, and \"drawn_marks\" of the piece does not say how "
                  "many there are: whether one was rubbed out or added since is not "
                  "known; state {} if it is as it should be",
                  drawn, to_state));
}

}  // namespace

std::vector<StyleFinding> marks_kept(const StyleGrade& grade) {
  std::vector<StyleFinding> all;
  const bool counts = std::any_of(grade.pieces.begin(), grade.pieces.end(), [](const PreparedPiece& piece) {
    return piece.bound.spec.drawn_marks.has_value();
  });
  if (!counts) return all;
  for (const PreparedPiece& piece : grade.pieces) {
    if (piece.bound.spec.drawn_marks) all.push_back(marks_kept_in(piece.bound));
    if (std::optional<StyleFinding> uncounted = marks_uncounted(piece.bound))
      all.push_back(*std::move(uncounted));
  }
  return all;
}

StyleFinding measures_kept(const StyleSpec& style, const StyleGrade& grade, const MeasureTable& table) {
  KeptFaults faults("measures kept", "measures",
                    "every stated measure asks of the formes what the table says");
  for (const MeasureSpec& measure : style.measures) {
    const std::optional<std::size_t> m = table.index(measure.name);
    if (!m) {
      faults.add(fmt::format("the measure {} is not in the table", measure.name), {});
      continue;
    }
    for (std::size_t k = 0; k < grade.cells.size(); ++k) {
      const std::vector<double>& asked = grade.steps[k].increments;
      const double wanted = table.value(*m, grade.cells[k]) - table.value(*m, table.base().at);
      if (*m < asked.size() && std::abs(asked[*m] - wanted) <= tolerance::kMeasureLine.value()) continue;
      faults.add(fmt::format("the formes are asked for {:.4f} mm of {}, and the table says {:.4f}",
                             *m < asked.size() ? asked[*m] : 0.0, measure.name, wanted),
                 grade.cells[k]);
    }
  }
  return faults.finding();
}

std::vector<StyleFinding> check_kept(const StyleSpec& style, const StyleGrade& grade,
                                     const MeasureTable& table, const StyleLooks& looks,
                                     const Result<std::vector<SeamReport>>& reports) {
  std::vector<StyleFinding> all;
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    KeptFaults corners("corners kept", grade.pieces[p].bound.spec.name,
                       "every edge and corner is found again where the grade puts it");
    for (std::size_t k = 0; k < looks[p].size(); ++k) {
      if (looks[p][k].corners_fault) corners.add(to_text(*looks[p][k].corners_fault), grade.cells[k]);
    }
    all.push_back(corners.finding());
  }
  all.push_back(ties_kept(grade));
  if (reports) all.push_back(seams_kept(style, grade, *reports));
  for (const StyleFinding& one : marks_kept(grade)) all.push_back(one);
  all.push_back(measures_kept(style, grade, table));
  return all;
}

}  // namespace lastwright
