#include "grading/dies/order/size_told.hpp"

#include <algorithm>
#include <variant>

#include "grading/dies/plan/tie_serve.hpp"
#include "grading/sizes/step_named.hpp"

namespace lastwright {

namespace {

template <class Step>
std::vector<int> marks_at(const MarkCode& code, const std::vector<Step>& run, const Fraction& position) {
  for (const auto& [label, marks] : code.marks) {
    if (position_named(run, label) == position) return marks;
  }
  return {};
}

const Serves* how_served(const PieceCandidates& candidates, std::size_t c, std::uint32_t demand) {
  for (const Serves& serves : candidates.serves[c]) {
    if (serves.demand == demand) return &serves;
  }
  return nullptr;
}

}  // namespace

SizeTold told_at(const DiePlanInput& input, std::size_t piece, const SizeWidth& at) {
  SizeTold told;
  for (const FeatureSpec& feature : input.style->pieces[piece].features) {
    const auto* marks = std::get_if<SizeMarksWork>(&feature.work);
    if (marks == nullptr) continue;
    for (const MarkCode& code : input.style->codes) {
      if (code.name != marks->code) continue;
      told.push_back(code.of == CodeOf::kSize
                         ? marks_at(code, input.places.whole_sizes(), at.size.position)
                         : marks_at(code, input.places.whole_widths(), at.width.position));
    }
  }
  return told;
}

bool told_alike(const DiePlanInput& input, std::size_t piece, const std::vector<std::uint32_t>& demands) {
  if (demands.size() < 2) return true;
  const SizeTold told = told_at(input, piece, input.places.demands[demands.front()]);
  return !told.empty() && std::all_of(demands.begin(), demands.end(), [&](std::uint32_t d) {
    return told_at(input, piece, input.places.demands[d]) == told;
  });
}

bool bears_size_marks(const DiePlanInput& input, std::size_t piece, const PieceCandidates& candidates,
                      std::size_t c, const std::vector<std::uint32_t>& serves) {
  if (c >= input.places.places.size() || candidates.shapes[c]->size_marks.empty()) return false;
  if (serves.size() == 1 && input.places.own[serves.front()] == c) return true;
  const SizeTold told = told_at(input, piece, input.places.places[c]);
  if (told.empty() || !told_alike(input, piece, serves) ||
      told_at(input, piece, input.places.demands[serves.front()]) != told)
    return false;
  const PieceTolerances tolerances = input.rules->tolerances_of(input.style->pieces[piece]);
  const DieShape die = with_size_marks(*candidates.shapes[c]);
  return std::all_of(serves.begin(), serves.end(), [&](std::uint32_t d) {
    if (input.places.own[d] == c) return true;
    const DieShape wanted = with_size_marks(*candidates.shapes[input.places.own[d]]);
    const Serves* how = how_served(candidates, c, d);
    return how != nullptr && alike(die, wanted) &&
           ServeTable({&wanted}, tolerances, {}).measured(die, 0, how->placement).ratio <= 1.0;
  });
}

}  // namespace lastwright
