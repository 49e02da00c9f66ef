#include "grading/checks/hole_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "grading/checks/piece_look.hpp"
#include "grading/checks/seam_report.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

constexpr double kAsWide =
    1.3;  // times: an eyelet's hole is wider in the lining, a hole of another kind more

StyleFinding doubt(const char* check, std::string subject, double worst, std::string where,
                   std::string note) {
  StyleFinding finding{check, std::move(subject), worst, {}, "mm", std::move(where), true, std::move(note)};
  finding.doubtful = true;
  return finding;
}

void add_small(const PieceSpec& piece, const BoundPiece& bound, std::vector<StyleFinding>& all) {
  const auto judge = [&](const std::string& name, double diameter) {
    if (!(diameter > 0.0) || diameter >= kSmallestHole) return;
    all.push_back(doubt("hole size", piece.name + ": " + name, diameter, "",
                        fmt::format("is how wide it is, and no punch is smaller than {:g} mm: check its "
                                    "diameter and its unit; a mark is a \"prick\"",
                                    kSmallestHole)));
  };
  for (const FeatureSpec& feature : piece.features) {
    if (const auto* hole = std::get_if<HoleWork>(&feature.work)) judge(feature.name, hole->diameter.value());
    if (const auto* row = std::get_if<RowWork>(&feature.work)) {
      double least = 0.0;
      for (const UnitHole& one : row->unit) {
        const double wide = one.diameter.value();
        if (wide > 0.0 && (least == 0.0 || wide < least)) least = wide;
      }
      judge(feature.name, least);
    }
    if (const auto* slot = std::get_if<SlotWork>(&feature.work)) judge(feature.name, slot->width.value());
    if (const auto* bar = std::get_if<BuckleBarWork>(&feature.work))
      judge(feature.name, bar->slot_width.value());
  }
  const auto smallest = [](const BoundHole& a, const BoundHole& b) {
    return (a.radius > 0.0 ? a.radius : 1e9) < (b.radius > 0.0 ? b.radius : 1e9);
  };
  const auto least = std::min_element(bound.holes.begin(), bound.holes.end(), smallest);
  if (least != bound.holes.end()) judge("drawn holes", 2.0 * least->radius);
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
  constexpr double kEqual = 0.01;  // mm: equal punches
  const bool named = !one.name.empty() && one.name == other.name;
  const bool like =
      one.name.empty() && other.name.empty() && as_many && std::abs(one.radius - other.radius) <= kEqual;
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
  return std::any_of(style.seams.begin(), style.seams.end(), [&](const SeamSpec& seam) {
    return !seam.mirrored && ((seam.one.piece == one && seam.other.piece == other) ||
                              (seam.one.piece == other && seam.other.piece == one));
  });
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
  for (const PreparedPiece& piece : grade.pieces) add_small(piece.bound.spec, piece.bound, all);
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
      if (!layers && !seam_lays_together(style, one.name, other.name)) continue;
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
      all.push_back(doubt(
          "holes meet", one.name + " and " + other.name, worst, cell == base ? "" : where(grade.cells[cell]),
          fmt::format(
              "a hole of {} at ({:.2f}, {:.2f}) and the nearest of {} miss each other by this: are they "
              "punched through both?",
              one.name, at.x, at.y, other.name)));
    }
  }
  return all;
}

}  // namespace lastwright
