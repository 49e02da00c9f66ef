#include "grading/checks/seam_report.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "geometry/parallel.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {

namespace {

SeamEnd end_of_seam(Radians one, Radians other, bool side_by_side) {
  const double turn =
      side_by_side ? one.value() + other.value() - std::numbers::pi : one.value() - other.value();
  return {one, other, Radians(turn)};
}

std::size_t nearest(const std::vector<double>& places, double to) {
  const auto found = std::min_element(
      places.begin(), places.end(), [&](double a, double b) { return std::abs(a - to) < std::abs(b - to); });
  return static_cast<std::size_t>(found - places.begin());
}

// Nicks that are each other's nearest.
void match_nicks(const SewnEdge& one, const SewnEdge& other, double ease, SeamCell& cell) {
  std::vector<double> there = other.nicks;
  const double stretch = one.length / (one.length + ease);  // the ease is spread evenly over the seam
  for (double& nick : there) nick *= stretch;
  std::size_t paired = 0;
  for (std::size_t i = 0; i < one.nicks.size() && !there.empty(); ++i) {
    const std::size_t k = nearest(there, one.nicks[i]);
    if (nearest(one.nicks, there[k]) != i || std::abs(there[k] - one.nicks[i]) > kNickReach) continue;
    cell.nicks.push_back({one.nicks[i], there[k]});
    ++paired;
  }
  cell.nicks_alone = one.nicks.size() + there.size() - 2 * paired;
}

double farthest(const OpenArcPath& one, const OpenArcPath& other) {
  double worst = distance_to(other, one.vertices.back().at);
  for (std::size_t i = 0; i < one.size(); ++i) {
    worst = std::max(
        {worst, distance_to(other, one.segment(i).a), distance_to(other, one.segment(i).point_at(0.5))});
  }
  return worst;
}

double apart(const OpenArcPath& one, const OpenArcPath& other) {
  return std::max(farthest(one, other), farthest(other, one));
}

struct Side {
  std::size_t piece = 0;
  std::size_t edge = 0;
};

std::optional<Side> find_side(const StyleGrade& grade, const SeamSide& side) {
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const BoundPiece& piece = grade.pieces[p].bound;
    if (piece.spec.name != side.piece) continue;
    for (std::size_t e = 0; e < piece.edges.size(); ++e) {
      if (piece.edges[e].spec.name == side.edge) return Side{p, e};
    }
  }
  return std::nullopt;
}

class SeamMeasurer {
 public:
  SeamMeasurer(const SeamSpec& seam, Side one, Side other, const StyleGrade& grade, const StyleLooks& looks)
      : seam_(seam), one_(one), other_(other), grade_(grade), looks_(looks) {}

  Result<SeamReport> run(std::size_t cells) {
    SeamReport report;
    const std::size_t base = cells - 1;
    const SewnEdge* const one = edge_of(one_, base);
    const SewnEdge* const other = edge_of(other_, base);
    if (!one || !other) return lost(base);
    lay(*one, *other, report);
    for (std::size_t k = 0; k < cells; ++k) {
      Result<SeamCell> cell = measure(k, report.side_by_side);
      if (!cell) return cell.problem();
      report.cells.push_back(std::move(*cell));
    }
    for (SeamCell& cell : report.cells) cell.beyond = cell.difference - report.cells[base].difference;
    return report;
  }

 private:
  [[nodiscard]] const SewnEdge* edge_of(const Side& side, std::size_t cell) const {
    for (const SewnLook& sewn : looks_[side.piece][cell].sewn) {
      if (sewn.edge == side.edge) return sewn.found ? &*sewn.found : nullptr;
    }
    return nullptr;
  }

  // Which way the other edge runs, and whether the pieces lie side by side or on each other.
  void lay(const SewnEdge& one, const SewnEdge& other, SeamReport& report) {
    const auto gap = [](const OpenArcPath& a, const OpenArcPath& b) {
      return std::max(distance(a.vertices.front().at, b.vertices.front().at),
                      distance(a.vertices.back().at, b.vertices.back().at));
    };
    const double along = gap(one.path, other.path);
    against_ = !(along < tolerance::kCornerSnap.value() && along < gap(one.path, reversed(other.path)));
    report.side_by_side = against_ || seam_.mirrored;
    together_ = apart(one.path, other.path) <= 2.0 * tolerance::kMapped.value();
    report.drawn_together = together_;
  }

  [[nodiscard]] Result<SeamCell> measure(std::size_t k, bool side_by_side) const {
    const SewnEdge* const one = edge_of(one_, k);
    const SewnEdge* other = edge_of(other_, k);
    if (!one || !other) return lost(k);
    std::optional<SewnEdge> turned;
    if (against_) other = &turned.emplace(reversed(*other));
    SeamCell cell;
    cell.one = one->length;
    cell.other = other->length;
    cell.difference = other->length - one->length - seam_.ease.value();
    cell.first = end_of_seam(one->angle_at_start, other->angle_at_start, side_by_side);
    cell.last = end_of_seam(one->angle_at_end, other->angle_at_end, side_by_side);
    if (together_) cell.apart = apart(one->path, other->path);
    match_nicks(*one, *other, seam_.ease.value(), cell);
    return cell;
  }

  [[nodiscard]] Problem lost(std::size_t k) const {
    const SizeWidth& at = grade_.cells[k];
    return Problem{Trouble::kGeometry, "nothing is left of the net line of one of its edges", {}, {}, {}}
        .in("width", at.width.label)
        .in("size", at.size.label)
        .in("seam", seam_.name);
  }

  const SeamSpec& seam_;
  Side one_;
  Side other_;
  const StyleGrade& grade_;
  const StyleLooks& looks_;
  bool against_ = true;
  bool together_ = false;
};

}  // namespace

std::string seam_subject(const SeamSpec& seam) {
  const std::string pieces = seam.one.piece + " to " + seam.other.piece;
  return seam.name.starts_with(pieces) ? seam.name : seam.name + " (" + pieces + ")";
}

Result<std::vector<SeamReport>> seam_reports(const StyleSpec& style, const StyleGrade& grade,
                                             const StyleLooks& looks, unsigned threads) {
  std::vector<SeamReport> reports(style.seams.size());
  const Status done = run_jobs(reports.size(), threads, [&](std::size_t s) -> Status {
    const std::optional<Side> one = find_side(grade, style.seams[s].one);
    const std::optional<Side> other = find_side(grade, style.seams[s].other);
    invariant(one && other, "a seam's edges are there");
    Result<SeamReport> report =
        SeamMeasurer(style.seams[s], *one, *other, grade, looks).run(grade.cells.size());
    if (!report) return report.problem();
    report->seam = s;
    for (const std::size_t p : {one->piece, other->piece}) {
      if (!grade.pieces[p].bound.spec.sizes_tied.empty())
        report->tied.push_back(grade.pieces[p].bound.spec.name);
    }
    reports[s] = *std::move(report);
    return Done{};
  });
  if (!done) return done.problem();
  return reports;
}

}  // namespace lastwright
