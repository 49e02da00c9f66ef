#include "grading/checks/features/hole_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "grading/checks/lasting/layer_check.hpp"
#include "grading/checks/piece_look.hpp"
#include "grading/checks/seams/seam_report.hpp"
#include "grading/style/seam_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kEqualPunch = 0.01;  // mm
constexpr double kAsWide =
    1.3;  // times: an eyelet's hole is wider in the lining, a hole of another kind more

void add_odd_sizes(const PieceSpec& piece, const BoundPiece& bound, std::vector<StyleFinding>& all) {
  const auto judge = [&](const std::string& name, double diameter) {
    if (!(diameter > 0.0) || diameter >= kSmallestHole) return;
    all.push_back(
        doubtful_finding("hole size", piece.name + ": " + name, diameter, "mm",
                         fmt::format("is how wide it is, and no punch is smaller than {:g} mm: check its "
                                     "diameter and its unit; a mark is a \"prick\"",
                                     kSmallestHole)));
  };
  const auto judge_wide = [&](const std::string& name, double diameter) {
    if (diameter <= kLargestHole) return;
    all.push_back(doubtful_finding(
        "hole size", piece.name + ": " + name, diameter, "mm",
        fmt::format("is how wide it is, and eyelets, rivets and hooks take at most {:g} mm as "
                    "a rule: check its diameter and its unit; what is larger is a cut-out",
                    kLargestHole)));
  };
  for (const FeatureSpec& feature : piece.features) {
    if (const auto* hole = std::get_if<HoleWork>(&feature.work)) {
      judge(feature.name, hole->diameter.value());
      judge_wide(feature.name, hole->diameter.value());
    }
    if (const auto* row = std::get_if<RowWork>(&feature.work)) {
      double least = 0.0;
      double most = 0.0;
      for (const UnitHole& one : row->unit) {
        const double wide = one.diameter.value();
        most = std::max(most, wide);
        if (wide > 0.0 && (least == 0.0 || wide < least)) least = wide;
      }
      judge(feature.name, least);
      judge_wide(feature.name, most);
    }
    if (const auto* slot = std::get_if<SlotWork>(&feature.work)) judge(feature.name, slot->width.value());
    if (const auto* bar = std::get_if<BuckleBarWork>(&feature.work))
      judge(feature.name, bar->slot_width.value());
  }
  const auto smallest = [](const BoundHole& a, const BoundHole& b) {
    return (a.radius > 0.0 ? a.radius : 1e9) < (b.radius > 0.0 ? b.radius : 1e9);
  };
  const auto least = std::min_element(bound.holes.begin(), bound.holes.end(), smallest);
  if (least == bound.holes.end()) return;
  judge("drawn holes", 2.0 * least->radius);
  const auto most =
      std::max_element(bound.holes.begin(), bound.holes.end(),
                       [](const BoundHole& a, const BoundHole& b) { return a.radius < b.radius; });
  judge_wide("drawn holes", 2.0 * most->radius);
}

std::optional<std::size_t> nearest_of(const std::vector<SingleHole>& holes, Vec2 to) {
  std::optional<std::size_t> best;
  for (std::size_t i = 0; i < holes.size(); ++i) {
    if (!best || distance(holes[i].at, to) < distance(holes[*best].at, to)) best = i;
  }
  return best;
}

// How far apart two holes may be that are taken to be meant for each other: those of one name, or equally
// wide where each piece has as many, are.
double reach(const SingleHole& one, const SingleHole& other, bool as_many) {
  const bool named = !one.name.empty() && one.name == other.name;
  const bool like =
      one.name.empty() && other.name.empty() && as_many && std::abs(one.radius - other.radius) <= kEqualPunch;
  return named || like ? kNamedReach : kHoleReach;
}

// Holes of two pieces that are each other's nearest in the sample, and alike.
std::vector<std::pair<std::size_t, std::size_t>> pairs_of(const std::vector<SingleHole>& one,
                                                          const std::vector<SingleHole>& other) {
  std::vector<std::pair<std::size_t, std::size_t>> pairs;
  for (std::size_t i = 0; i < one.size(); ++i) {
    const std::optional<std::size_t> k = nearest_of(other, one[i].at);
    if (!k || distance(other[*k].at, one[i].at) > reach(one[i], other[*k], one.size() == other.size()))
      continue;
    if (nearest_of(one, other[*k].at) != i) continue;
    if (one[i].radius > kAsWide * other[*k].radius || other[*k].radius > kAsWide * one[i].radius) continue;
    pairs.emplace_back(i, *k);
  }
  return pairs;
}

// A seam of the two that is not of pieces side by side.
bool seam_lays_together(const StyleSpec& style, const std::string& one, const std::string& other) {
  return std::any_of(style.seams.begin(), style.seams.end(),
                     [&](const SeamSpec& seam) { return !seam.mirrored && seam_joins(seam, one, other); });
}

// The inside's and the outside's copy of one part, as grading/checks/seams/alike_check has them.
bool copies(const StyleGrade& grade, std::size_t p, std::size_t q) {
  constexpr double kMostCommon = 0.6;  // of the larger
  const PieceSpec& one = grade.pieces[p].bound.spec;
  const PieceSpec& other = grade.pieces[q].bound.spec;
  if (one.layer.empty() || one.layer != other.layer || one.fold || other.fold) return false;
  const ClosedArcPath here = grade.drawn_piece(p, grade.base_cell()).net.path;
  const ClosedArcPath there = grade.drawn_piece(q, grade.base_cell()).net.path;
  const double larger = std::max(std::abs(signed_area(here)), std::abs(signed_area(there)));
  return common_area(here, there) >= kMostCommon * larger;
}

struct HolesOf {
  std::size_t piece = 0;
  const std::vector<SingleHole>* holes = nullptr;
  std::vector<std::size_t> paired;
};

// Holes over the other piece without their like there, though holes of their width have it.
void add_alone(const StyleGrade& grade, const HolesOf& one, std::size_t other,
               std::vector<StyleFinding>& all) {
  const std::vector<SingleHole>& holes = *one.holes;
  std::size_t alone = 0;
  Vec2 at;
  std::optional<ClosedArcPath> under;
  for (std::size_t i = 0; i < holes.size(); ++i) {
    if (std::find(one.paired.begin(), one.paired.end(), i) != one.paired.end()) continue;
    const bool like = std::any_of(one.paired.begin(), one.paired.end(), [&](std::size_t k) {
      return std::abs(holes[k].radius - holes[i].radius) <= kEqualPunch;
    });
    if (!like) continue;
    if (!under) under = grade.drawn_piece(other, grade.base_cell()).net.path;
    if (!contains(*under, holes[i].at)) continue;
    if (alone++ == 0) at = holes[i].at;
  }
  if (alone == 0) return;
  all.push_back(doubtful_finding(
      "hole alone",
      fmt::format("{} over {}", grade.pieces[one.piece].bound.spec.name, grade.pieces[other].bound.spec.name),
      static_cast<double>(alone), alone == 1 ? "hole" : "holes",
      fmt::format("without its like on the other piece, at ({:.2f}, {:.2f}), where {} as wide {}: is one "
                  "left out, or is there one too many?",
                  at.x, at.y, one.paired.size(), one.paired.size() == 1 ? "has it" : "have it")));
}

void add_alone(const StyleGrade& grade, std::size_t p, const std::vector<SingleHole>& here, std::size_t q,
               const std::vector<SingleHole>& there, std::vector<StyleFinding>& all) {
  HolesOf one{p, &here, {}};
  HolesOf other{q, &there, {}};
  for (const auto& [i, k] : pairs_of(here, there)) {
    one.paired.push_back(i);
    other.paired.push_back(k);
  }
  if (one.paired.empty()) return;
  add_alone(grade, one, q, all);
  add_alone(grade, other, p, all);
}

}  // namespace

std::vector<SingleHole> single_holes(const PieceSpec& piece, const GradedPiece& drawn,
                                     const std::vector<PlacedFeature>& features) {
  std::vector<SingleHole> holes;
  for (std::size_t f = 0; f < features.size() && f < piece.features.size(); ++f) {
    if (!std::holds_alternative<HoleWork>(piece.features[f].work)) continue;
    for (const GradedHole& hole : features[f].holes)
      holes.push_back({hole.centre, hole.radius, piece.features[f].name});
  }
  for (const GradedHole& hole : drawn.holes) {
    if (hole.radius > 0.0) holes.push_back({hole.centre, hole.radius, {}});
  }
  return holes;
}

std::vector<StyleFinding> check_holes(const StyleSpec& style, const StyleGrade& grade,
                                      const std::vector<std::vector<PieceLook>>& looks) {
  constexpr std::size_t kMostHoles = 300;  // of a piece: where there are more they are an ornament
  std::vector<StyleFinding> all;
  const std::size_t base = grade.base_cell();
  for (const PreparedPiece& piece : grade.pieces) add_odd_sizes(piece.bound.spec, piece.bound, all);
  for (std::size_t p = 0; p < grade.pieces.size(); ++p) {
    const PieceSpec& one = grade.pieces[p].bound.spec;
    const std::vector<SingleHole>& here = looks[p][base].single_holes;
    if (here.empty() || here.size() > kMostHoles) continue;
    for (std::size_t q = p + 1; q < grade.pieces.size(); ++q) {
      const PieceSpec& other = grade.pieces[q].bound.spec;
      const std::vector<SingleHole>& there = looks[q][base].single_holes;
      if (there.empty() || there.size() > kMostHoles || grade.pieces[p].forme != grade.pieces[q].forme)
        continue;
      const bool layers = !one.layer.empty() && !other.layer.empty() && one.layer != other.layer;
      const bool together = layers || seam_lays_together(style, one.name, other.name);
      if (!together && !copies(grade, p, q)) continue;
      add_alone(grade, p, here, q, there, all);
      if (!together) continue;
      double worst = style.seam_limits.holes.value();
      std::size_t cell = looks[p].size();
      Vec2 at;
      for (const auto& [i, k] : pairs_of(here, there)) {
        for (std::size_t c = looks[p].size(); c-- > 0;) {
          const std::vector<SingleHole>& mine = looks[p][c].single_holes;
          const std::vector<SingleHole>& its = looks[q][c].single_holes;
          if (mine.size() != here.size() || its.size() != there.size()) continue;  // told where they are made
          const double off = distance(mine[i].at, its[k].at);
          if (off <= worst + 1e-6) continue;
          worst = off;
          cell = c;
          at = mine[i].at;
        }
      }
      if (cell == looks[p].size()) continue;
      StyleFinding finding = doubtful_finding(
          "holes meet", one.name + " and " + other.name, worst, "mm",
          fmt::format(
              "a hole of {} at ({:.2f}, {:.2f}) and the nearest of {} miss each other by this: are they "
              "punched through both?",
              one.name, at.x, at.y, other.name));
      if (cell != base) finding.where = grade.cells[cell];
      all.push_back(std::move(finding));
    }
  }
  return all;
}

}  // namespace lastwright
