#include "grading/dies/owned/die_owned.hpp"

#include <algorithm>
#include <cmath>

#include "grading/dies/order/die_stamps.hpp"
#include "grading/dies/order/size_told.hpp"
#include "grading/dies/owned/owned_fit.hpp"
#include "grading/dies/owned/owned_pairs.hpp"

namespace lastwright {

namespace {

OwnedFoot foot_turned(OwnedFoot foot) {
  return foot == OwnedFoot::kDrawn      ? OwnedFoot::kMirrored
         : foot == OwnedFoot::kMirrored ? OwnedFoot::kDrawn
                                        : foot;
}

}  // namespace

// The likelier first. A drawing by itself shows either foot. One of an order shows what the piece was drawn
// as then; where that has been moved or drawn the other way round since, the die is the same piece of steel.
std::vector<std::function<OwnedFit::Way()>> OwnedFit::ways(const OwnedDie& owned, double farthest) const {
  const auto as_drawn = [this, &owned, farthest] { return laid_anyhow(owned.shape, farthest); };
  const auto turned = [this, &owned, farthest] { return laid_anyhow(mirrored(owned.shape), farthest); };
  if (owned.foot == OwnedFoot::kUnknown) {
    Way drawn{as_drawn(), OwnedFoot::kDrawn};
    Way other{turned(), OwnedFoot::kMirrored};
    if (nearer(other.die, drawn.die)) std::swap(drawn, other);
    return {[drawn] { return drawn; }, [other] { return other; }};
  }
  return {[as_drawn, &owned] {
            return Way{as_drawn(), owned.foot};
          },
          [turned, &owned] {
            return Way{turned(), foot_turned(owned.foot), true};
          }};
}

void OwnedFit::add(std::size_t k, PieceCandidates& result) const {
  const OwnedDie& owned = of_.input->owned[k];
  const double farthest =
      of_.options.up_to * *std::max_element(of_.tolerances.edges.begin(), of_.tolerances.edges.end());
  std::optional<OwnedMiss> miss;
  for (const std::function<Way()>& lay : ways(owned, farthest)) {
    Way way = lay();
    if (!way.die) continue;
    std::optional<OwnedMiss> missed = other_foot(owned, way);
    if (!missed) missed = take(k, std::move(way), result);
    if (!missed) return;
    if (!miss) miss = std::move(missed);
  }
  result.miss[k] = miss ? std::move(miss) : outline_miss(owned.shape);
}

std::string OwnedFit::alike_to(const OwnedDie& owned) const {
  const double farthest = *std::max_element(of_.tolerances.edges.begin(), of_.tolerances.edges.end());
  for (const std::function<Way()>& lay : ways(owned, farthest)) {
    Way way = lay();
    if (!way.die) continue;
    if (!way.die->apart) way.die->apart = apart(*way.die);
    if (*way.die->apart <= 1.0) return label_of(of_.input->places.demands[way.die->nearest]);
  }
  return "";
}

// Why it does not serve lying so, if it does not.
std::optional<OwnedMiss> OwnedFit::take(std::size_t k, Way way, PieceCandidates& result) const {
  const OwnedDie& owned = of_.input->owned[k];
  std::optional<LaidDie>& die = way.die;
  std::optional<Recognised> known = recognise(grade_, die->shape, owned.drawn_as);
  if (known) die->shape = std::move(known->shape);
  const bool size_marks = known ? known->size_marks : arrange(*die);
  const bool may_tie = of_.input->rules->rules_of(of_.input->style->pieces[of_.piece].name)
                           .ties.value_or(of_.input->rules->ties);
  std::vector<Serves> serves;
  if (known && !size_marks && (may_tie || demand_at(known->place))) {
    serves = result.serves[known->place];
  } else {
    ServeCount count;
    const std::optional<std::uint32_t> itself = known ? demand_at(known->place) : std::nullopt;
    serves = (size_marks ? *full_ : plain_).served_by(die->shape, itself, count);
    result.count += count;
  }
  if (size_marks) {  // marks may lie as near as a tolerance to those of another size
    const SizeTold told =
        told_at(*of_.input, of_.piece,
                known ? of_.input->places.places[known->place] : of_.input->places.demands[die->nearest]);
    std::erase_if(serves, [&](const Serves& one) {
      return told_at(*of_.input, of_.piece, of_.input->places.demands[one.demand]) != told;
    });
  }
  if (serves.empty()) return miss_of(*die, size_marks);
  if (!may_tie)
    serves = {
        *std::min_element(serves.begin(), serves.end(), [](auto& a, auto& b) { return a.ratio < b.ratio; })};
  const std::vector<std::uint32_t> stamped = owned.foot == OwnedFoot::kUnknown
                                                 ? borne_demands(owned.served, of_.input->places)
                                                 : std::vector<std::uint32_t>{};
  // Sizes outside a part of the run are not graded, but an outline of another is not theirs.
  const bool told = !stamped.empty() ||
                    (!owned.says.sizes.empty() && !owned.served.empty() && known && demand_at(known->place));
  result.stamped_apart[k] =
      told && std::none_of(serves.begin(), serves.end(), [&](const Serves& one) {
        return one.ratio <= 1.0 && std::binary_search(stamped.begin(), stamped.end(), one.demand);
      });
  const std::size_t places = of_.input->places.places.size();
  if (known) {
    result.place[k] = known->place;
    result.edge_lengths[places + k] = grade_[known->place].outline.edge_lengths;
    result.fold_lay[places + k] = grade_[known->place].outline.fold_lay;
  } else {  // its net line is not known: its edges are longer than the nearest size's by as much as they are
            // cut
    const std::uint32_t place = of_.input->places.own[die->nearest];
    const std::size_t edges = result.edge_lengths[place].size();
    const std::vector<double> cut = edge_lengths(die->shape.cut, edges);
    const std::vector<double> nearest_cut = edge_lengths(of_.demands[die->nearest]->cut, edges);
    std::vector<double> lengths = result.edge_lengths[place];
    for (std::size_t e = 0; e < edges; ++e) lengths[e] += cut[e] - nearest_cut[e];
    result.edge_lengths[places + k] = std::move(lengths);
    if (result.fold_lay[place])
      result.fold_lay[places + k] = Radians(result.fold_lay[place]->value() - die->onto.turn.value());
  }
  result.nearest[k] = die->nearest;
  result.foot[k] = way.foot;
  result.turned[k] = way.turned;
  result.size_marked[k] = size_marks;
  result.serves[places + k] = std::move(serves);
  result.shapes[places + k] = std::move(die->shape);
  return std::nullopt;
}

namespace {

bool has_piece(const StyleSpec& style, const std::string& name) {
  return std::any_of(style.pieces.begin(), style.pieces.end(),
                     [&](const PieceSpec& one) { return one.name == name; });
}

}  // namespace

Status add_owned(const OwnedPiece& of, PieceCandidates& result) {
  if (of.input->owned.empty()) return Done{};
  const std::string& name = of.input->style->pieces[of.piece].name;
  std::optional<OwnedFit> piece;
  for (std::size_t k = 0; k < of.input->owned.size(); ++k) {
    const OwnedDie& owned = of.input->owned[k];
    const bool renamed = !owned.piece.empty() && !has_piece(*of.input->style, owned.piece);
    if (!owned.piece.empty() && owned.piece != name && !renamed) continue;
    if (!piece) {
      Result<std::vector<GradeOutline>> grade = grade_outlines(*of.input, of.piece, result);
      if (!grade) return grade.problem();
      piece.emplace(of, std::move(*grade));
    }
    if (renamed) {
      result.alike[k] = piece->alike_to(owned);
    } else {
      piece->add(k, result);
    }
  }
  join_pairs(of.input->places.places.size(), result);
  return Done{};
}

}  // namespace lastwright
