#include "grading/checks/seams/seam_report.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <set>
#include <tuple>
#include <utility>

#include "geometry/parallel.hpp"
#include "geometry/tolerance.hpp"
#include "grading/checks/seams/edges_together.hpp"

namespace lastwright {

namespace {

SeamEnd end_of_seam(Radians one, Radians other, bool side_by_side) {
  const double turn =
      side_by_side ? one.value() + other.value() - std::numbers::pi : one.value() - other.value();
  return {one, other, Radians(turn)};
}

using Numbers = std::pair<int, int>;  // of a nick of the first piece and of the other's

// Where the other side's nicks come to lie on the first: its ease, spread evenly over the seam, taken out.
std::vector<NickInSeam> nicks_there(const EdgeInSeam& one, const EdgeInSeam& other, double ease) {
  std::vector<NickInSeam> there = other.nicks;
  const double stretch = one.length / (one.length + ease);
  for (NickInSeam& nick : there) nick.along *= stretch;
  return there;
}

std::size_t nearest(const std::vector<NickInSeam>& nicks, double to) {
  const auto found =
      std::min_element(nicks.begin(), nicks.end(), [&](const NickInSeam& a, const NickInSeam& b) {
        return std::abs(a.along - to) < std::abs(b.along - to);
      });
  return static_cast<std::size_t>(found - nicks.begin());
}

// Nicks that are each other's nearest.
std::vector<Numbers> near_pairs(const std::vector<NickInSeam>& here, const std::vector<NickInSeam>& there) {
  std::vector<Numbers> pairs;
  for (std::size_t i = 0; i < here.size() && !there.empty(); ++i) {
    const std::size_t k = nearest(there, here[i].along);
    if (nearest(here, there[k].along) != i || std::abs(there[k].along - here[i].along) > kNickReach) continue;
    pairs.emplace_back(here[i].number, there[k].number);
  }
  return pairs;
}

const NickInSeam* find_nick(const std::vector<NickInSeam>& nicks, int number) {
  const auto found =
      std::find_if(nicks.begin(), nicks.end(), [&](const NickInSeam& nick) { return nick.number == number; });
  return found == nicks.end() ? nullptr : &*found;
}

class SeamMeasurer {
 public:
  SeamMeasurer(const SeamSpec& seam, SideOfSeam one, SideOfSeam other, const StyleGrade& grade,
               const StyleLooks& looks)
      : seam_(seam), one_(one), other_(other), grade_(grade), looks_(looks) {}

  [[nodiscard]] const SideOfSeam& one() const { return one_; }
  [[nodiscard]] const SideOfSeam& other() const { return other_; }

  // How the edges lie in the sample, and which of their nicks are sewn on each other at first sight.
  Status lay() {
    const std::size_t base = grade_.base_cell();
    const EdgeInSeam* const one = edge_of(one_, base);
    const EdgeInSeam* other = edge_of(other_, base);
    if (!one || !other) return lost(base);
    lay(*one, *other);
    std::optional<EdgeInSeam> turned;
    if (against_) other = &turned.emplace(reversed(*other));
    here_ = one->nicks;
    there_ = nicks_there(*one, *other, seam_.ease.value());
    pairs_ = near_pairs(here_, there_);
    return Done{};
  }

  using Sewn = std::set<std::tuple<std::size_t, std::size_t, int>>;  // piece, edge, number of a nick
  void add_sewn(Sewn& sewn) const {
    for (const auto& [here, there] : pairs_) {
      sewn.emplace(one_.piece, one_.edge, here);
      sewn.emplace(other_.piece, other_.edge, there);
    }
  }

  // Of what is sewn on nothing: as many on either side belong together in their order, others are alone.
  void settle(const Sewn& sewn) {
    const auto left = [&](const std::vector<NickInSeam>& nicks, const SideOfSeam& side) {
      std::vector<NickInSeam> unsewn;
      for (const NickInSeam& nick : nicks) {
        if (sewn.count({side.piece, side.edge, nick.number}) == 0) unsewn.push_back(nick);
      }
      return unsewn;
    };
    const std::vector<NickInSeam> here = left(here_, one_);
    const std::vector<NickInSeam> there = left(there_, other_);
    if (here.size() == there.size()) {
      for (std::size_t i = 0; i < here.size(); ++i) pairs_.emplace_back(here[i].number, there[i].number);
      return;
    }
    add_lone(here, seam_.one, one_, there_);
    add_lone(there, seam_.other, other_, here_);
  }

  Result<SeamReport> run() {
    const std::size_t cells = grade_.cells.size();
    const std::size_t base = grade_.base_cell();
    SeamReport report = std::move(report_);
    for (std::size_t k = 0; k < cells; ++k) {
      Result<SeamCell> cell = measure(k, report.side_by_side);
      if (!cell) return cell.problem();
      report.nicks_lost += pairs_.size() - cell->nicks.size();
      report.cells.push_back(std::move(*cell));
    }
    for (SeamCell& cell : report.cells) cell.beyond = cell.difference - report.cells[base].difference;
    return report;
  }

 private:
  [[nodiscard]] const EdgeInSeam* edge_of(const SideOfSeam& side, std::size_t cell) const {
    for (const SeamEdgeLook& sewn : looks_[side.piece][cell].sewn) {
      if (sewn.edge == side.edge) return sewn.found ? &*sewn.found : nullptr;
    }
    return nullptr;
  }

  // Which way the other edge runs, and whether the pieces lie side by side or on each other.
  void lay(const EdgeInSeam& one, const EdgeInSeam& other) {
    const auto gap = [](const OpenArcPath& a, const OpenArcPath& b) {
      return std::max(distance(a.vertices.front().at, b.vertices.front().at),
                      distance(a.vertices.back().at, b.vertices.back().at));
    };
    const double along = gap(one.path, other.path);
    against_ = !(along < tolerance::kCornerSnap.value() && along < gap(one.path, reversed(other.path)));
    report_.against = against_;
    report_.side_by_side = against_ || seam_.mirrored;
    const double off = apart(one.path, other.path);
    together_ = off <= kTogether;
    report_.drawn_together = together_;
    if (grade_.pieces[one_.piece].forme != grade_.pieces[other_.piece].forme) return;
    report_.drawn_apart = off;
    report_.ends_meet = std::min(along, gap(one.path, reversed(other.path))) < tolerance::kCornerSnap.value();
    report_.together_over = together_ ? one.length : length_on(one.path, other.path);
  }

  void add_lone(const std::vector<NickInSeam>& nicks, const SeamSide& named, const SideOfSeam& side,
                const std::vector<NickInSeam>& others) {
    for (const NickInSeam& nick : nicks) {
      LoneNick lone{named.piece, named.edge, name_of(nick, grade_.pieces[side.piece].bound.spec),
                    nick.number, nick.along, {}};
      if (!others.empty()) lone.nearest = std::abs(others[nearest(others, nick.along)].along - nick.along);
      report_.lone.push_back(std::move(lone));
    }
  }

  [[nodiscard]] Result<SeamCell> measure(std::size_t k, bool side_by_side) const {
    const EdgeInSeam* const one = edge_of(one_, k);
    const EdgeInSeam* other = edge_of(other_, k);
    if (!one || !other) return lost(k);
    std::optional<EdgeInSeam> turned;
    if (against_) other = &turned.emplace(reversed(*other));
    SeamCell cell;
    cell.one = one->length;
    cell.other = other->length;
    cell.difference = other->length - one->length - seam_.ease.value();
    cell.first = end_of_seam(one->angle_at_start, other->angle_at_start, side_by_side);
    cell.last = end_of_seam(one->angle_at_end, other->angle_at_end, side_by_side);
    if (together_) cell.apart = apart(one->path, other->path);
    const std::vector<NickInSeam> there = nicks_there(*one, *other, seam_.ease.value());
    for (const auto& [first, second] : pairs_) {
      const NickInSeam* const a = find_nick(one->nicks, first);
      const NickInSeam* const b = find_nick(there, second);
      if (a && b) cell.nicks.push_back({a->along, b->along});
    }
    std::sort(cell.nicks.begin(), cell.nicks.end(),
              [](const SeamNick& p, const SeamNick& q) { return p.one < q.one; });
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
  SideOfSeam one_;
  SideOfSeam other_;
  const StyleGrade& grade_;
  const StyleLooks& looks_;
  bool against_ = true;
  bool together_ = false;
  SeamReport report_;
  std::vector<NickInSeam> here_;  // of the sample
  std::vector<NickInSeam> there_;
  std::vector<Numbers> pairs_;
};

}  // namespace

std::optional<SideOfSeam> side_of_seam(const StyleGrade& grade, const SeamSide& side) {
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const BoundPiece& piece = grade.pieces[p].bound;
    if (piece.spec.name != side.piece) continue;
    for (std::size_t e = 0; e < piece.edges.size(); ++e) {
      if (piece.edges[e].spec.name == side.edge) return SideOfSeam{p, e};
    }
  }
  return std::nullopt;
}

std::string seam_subject(const SeamSpec& seam) {
  const std::string pieces = seam.one.piece + " to " + seam.other.piece;
  return seam.name.starts_with(pieces) ? seam.name : seam.name + " (" + pieces + ")";
}

Result<std::vector<SeamReport>> seam_reports(const StyleSpec& style, const StyleGrade& grade,
                                             const StyleLooks& looks, unsigned threads) {
  std::vector<SeamMeasurer> seams;
  SeamMeasurer::Sewn sewn;
  for (const SeamSpec& seam : style.seams) {
    const std::optional<SideOfSeam> one = side_of_seam(grade, seam.one);
    const std::optional<SideOfSeam> other = side_of_seam(grade, seam.other);
    invariant(one && other, "a seam's edges are there");
    seams.emplace_back(seam, *one, *other, grade, looks);
    if (Status laid = seams.back().lay(); !laid) return laid.problem();
    seams.back().add_sewn(sewn);
  }
  std::vector<SeamReport> reports(style.seams.size());
  const Status done = run_jobs(reports.size(), threads, [&](std::size_t s) -> Status {
    seams[s].settle(sewn);
    Result<SeamReport> report = seams[s].run();
    if (!report) return report.problem();
    report->seam = s;
    for (const std::size_t p : {seams[s].one().piece, seams[s].other().piece}) {
      if (!grade.pieces[p].bound.spec.sizes_tied.empty())
        report->tied.push_back(grade.pieces[p].bound.spec.name);
    }
    reports[s] = *std::move(report);
    return Done{};
  });
  if (!done) return done.problem();
  std::set<std::tuple<std::string, std::string, int>> told;
  for (SeamReport& report : reports) {
    std::erase_if(report.lone,
                  [&](const LoneNick& one) { return !told.emplace(one.piece, one.edge, one.number).second; });
  }
  return reports;
}

}  // namespace lastwright
