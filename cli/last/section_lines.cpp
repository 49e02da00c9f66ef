#include "cli/last/section_lines.hpp"

#include <algorithm>
#include <utility>

namespace lastwright {

namespace {

constexpr double kGap = 0.5;  // mm: faces end so near each other along a seam that the plane follows

using DrawnLine = std::vector<Vec3>;

// The other line, ends turned as needed, that begins nearest to where this one ends; its end where none does.
std::vector<DrawnLine>::iterator next_of(std::vector<DrawnLine>& lines, Vec3 end) {
  auto best = lines.end();
  double nearest = kGap;
  for (auto it = lines.begin(); it != lines.end(); ++it) {
    const double off = std::min(distance(it->front(), end), distance(it->back(), end));
    if (off > nearest) continue;
    nearest = off;
    best = it;
  }
  if (best != lines.end() && distance(best->back(), end) < distance(best->front(), end))
    std::reverse(best->begin(), best->end());
  return best;
}

std::vector<DrawnLine> joined(std::vector<DrawnLine> pieces) {
  std::vector<DrawnLine> lines;
  while (!pieces.empty()) {
    DrawnLine line = std::move(pieces.back());
    pieces.pop_back();
    for (int turned = 0; turned < 2; ++turned) {
      for (auto next = next_of(pieces, line.back()); next != pieces.end();
           next = next_of(pieces, line.back())) {
        line.insert(line.end(), next->begin(), next->end());
        pieces.erase(next);
      }
      std::reverse(line.begin(), line.end());
    }
    if (line.size() > 3 && line.front() != line.back() && distance(line.front(), line.back()) < kGap)
      line.push_back(line.front());
    lines.push_back(std::move(line));
  }
  return lines;
}

}  // namespace

std::vector<std::vector<Vec3>> section_lines(const Section& section,
                                             const std::function<bool(Vec3, Vec3)>& seen) {
  std::vector<std::vector<std::size_t>> at(section.points.size());
  std::vector<bool> used(section.stretches.size(), false);
  for (std::size_t i = 0; i < section.stretches.size(); ++i) {
    const std::size_t a = section.stretches[i].point[0];
    const std::size_t b = section.stretches[i].point[2];
    used[i] = seen && !seen(section.points[a].p, section.points[b].p);
    at[a].push_back(i);
    at[b].push_back(i);
  }
  std::vector<DrawnLine> pieces;
  for (std::size_t first = 0; first < section.stretches.size(); ++first) {
    if (used[first]) continue;
    used[first] = true;
    const auto& points = section.stretches[first].point;
    std::vector<std::size_t> chain(points.begin(), points.end());
    for (int turned = 0; turned < 2; ++turned) {
      for (bool grown = true; grown;) {
        grown = false;
        for (const std::size_t i : at[chain.back()]) {
          if (used[i]) continue;
          used[i] = true;
          const auto& p = section.stretches[i].point;
          const bool forward = p[0] == chain.back();
          chain.push_back(p[1]);
          chain.push_back(forward ? p[2] : p[0]);
          grown = true;
          break;
        }
      }
      std::reverse(chain.begin(), chain.end());
    }
    DrawnLine piece;
    for (const std::size_t i : chain) {
      if (piece.empty() || section.points[i].p != piece.back()) piece.push_back(section.points[i].p);
    }
    pieces.push_back(std::move(piece));
  }
  return joined(std::move(pieces));
}

}  // namespace lastwright
