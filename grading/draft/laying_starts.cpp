#include "grading/draft/laying_starts.hpp"

#include <algorithm>
#include <utility>

#include "grading/draft/piece_groups.hpp"
#include "grading/draft/standing_upper.hpp"

namespace lastwright {

namespace {

using PieceGroups = std::vector<std::vector<std::size_t>>;

constexpr std::size_t kMostTried = 8;  // each lays all pieces

bool no_upper(const DraftPiece& piece) {
  const PartOfShoe part = piece.words.part;
  return part == PartOfShoe::kBottom || part == PartOfShoe::kOwn ||
         (part == PartOfShoe::kUnknown && sole_shaped(piece));
}

// Most pieces first, of equals the largest in area.
void rank_groups(const std::vector<DraftPiece>& pieces, PieceGroups& groups) {
  const auto rank = [&](const std::vector<std::size_t>& group) {
    double area = 0.0;
    for (const std::size_t i : group) area += pieces[i].area;
    return std::pair(group.size(), area);
  };
  std::stable_sort(groups.begin(), groups.end(),
                   [&](const auto& a, const auto& b) { return rank(a) > rank(b); });
}

// Best first, without soles and what has a forme of its own.
PieceGroups upper_groups(const std::vector<DraftPiece>& pieces) {
  PieceGroups groups = piece_groups(pieces);
  std::erase_if(groups, [&](const std::vector<std::size_t>& group) {
    return std::any_of(group.begin(), group.end(), [&](std::size_t i) { return no_upper(pieces[i]); });
  });
  rank_groups(pieces, groups);
  return groups;
}

// An edge of one runs along the other's outline, and does not merely cross it.
bool runs_along(const DraftPiece& one, const DraftPiece& other) {
  constexpr std::ptrdiff_t kLeastSamples = 4;  // of an edge; lines that cross have two places in common
  const double within = same_within(one, other);
  if (!one.box.grown(within).overlaps(other.box)) return false;
  return std::any_of(one.edges.begin(), one.edges.end(), [&](const DraftEdge& edge) {
    return std::count_if(edge.samples.begin(), edge.samples.end(),
                         [&](Vec2 p) { return on_outline(other, p, within); }) >= kLeastSamples;
  });
}

// The parts of a group that lie along each other.
PieceGroups parts_of(const std::vector<DraftPiece>& pieces, std::vector<std::size_t> group) {
  PieceGroups parts;
  while (!group.empty()) {
    std::vector<std::size_t> part{group.front()};
    group.erase(group.begin());
    for (std::size_t n = 0; n < part.size(); ++n) {
      const DraftPiece& here = pieces[part[n]];
      for (auto other = group.begin(); other != group.end();) {
        const DraftPiece& there = pieces[*other];
        if (!runs_along(here, there) && !runs_along(there, here)) {
          ++other;
          continue;
        }
        part.push_back(*other);
        other = group.erase(other);
      }
    }
    std::sort(part.begin(), part.end());
    parts.push_back(std::move(part));
  }
  return parts;
}

LayingStart from_group(const PieceGroups& groups, std::size_t main) {
  LayingStart start{groups[main], {}};
  for (std::size_t i = 0; i < groups.size(); ++i) {
    if (i != main && groups[i].size() == 1) start.apart.insert(groups[i].front());
  }
  return start;
}

}  // namespace

LayingStart first_start(const std::vector<DraftPiece>& pieces) {
  const PieceGroups groups = upper_groups(pieces);
  return groups.empty() ? LayingStart{} : from_group(groups, 0);
}

std::vector<LayingStart> other_starts(const std::vector<DraftPiece>& pieces, const LayingStart& first) {
  std::vector<LayingStart> starts;
  PieceGroups parts;
  for (const std::vector<std::size_t>& group : upper_groups(pieces)) {
    for (std::vector<std::size_t>& part : parts_of(pieces, group)) parts.push_back(std::move(part));
  }
  rank_groups(pieces, parts);
  for (std::size_t i = 0; i < parts.size() && starts.size() < kMostTried; ++i) {
    if (parts[i] != first.lying) starts.push_back(from_group(parts, i));
  }
  return starts;
}

bool stands(const std::vector<DraftPiece>& pieces, const LayingStart& start) {
  for (const std::vector<std::size_t>& group : piece_groups(pieces)) {
    if (std::find(group.begin(), group.end(), start.lying.front()) != group.end())
      return standing_upper(pieces, group, std::nullopt).has_value();
  }
  return false;
}

}  // namespace lastwright
