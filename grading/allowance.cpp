#include "grading/allowance.hpp"

#include <algorithm>

#include "geometry/offset/offset.hpp"

namespace lastwright {

namespace {

Result<EdgedOutline> moved_out(const EdgedOutline& from, std::span<const BoundEdge> edges, double sense) {
  std::vector<Millimetres> distances;
  distances.reserve(from.edge.size());
  for (const std::uint16_t e : from.edge) distances.emplace_back(sense * edges[e].spec.allowance.value());
  Result<OffsetOutline> moved = offset(from.path, distances);
  if (!moved) return moved.problem();
  EdgedOutline outline{std::move(moved->path), {}};
  outline.edge.reserve(moved->source.size());
  for (const OffsetSource& source : moved->source) outline.edge.push_back(from.edge[source.segment]);
  return outline;
}

}  // namespace

Status apply_allowances(std::span<const BoundEdge> edges, Drawn drawn, GradedPiece& piece) {
  const bool any = std::any_of(piece.net.edge.begin(), piece.net.edge.end(),
                               [&](std::uint16_t e) { return edges[e].spec.allowance.value() != 0.0; });
  piece.cut = piece.net;
  if (!any) return Done{};
  Result<EdgedOutline> moved = moved_out(piece.net, edges, drawn == Drawn::kNet ? 1.0 : -1.0);
  if (!moved) {
    const auto largest = std::max_element(
        piece.net.edge.begin(), piece.net.edge.end(),
        [&](std::uint16_t a, std::uint16_t b) { return edges[a].spec.allowance < edges[b].spec.allowance; });
    return moved.problem().in("edge", edges[*largest].spec.name).in("piece", piece.piece);
  }
  (drawn == Drawn::kNet ? piece.cut : piece.net) = std::move(*moved);
  return Done{};
}

}  // namespace lastwright
