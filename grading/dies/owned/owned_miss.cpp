// Why a die that is there serves nothing of a piece.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/counted.hpp"
#include "grading/dies/owned/owned_fit.hpp"
#include "grading/dies/plan/die_starts.hpp"
#include "grading/style/drawn_feet.hpp"
#include "grading/style/foot_words.hpp"

namespace lastwright {

// A drawing in another unit than it says, or than it was read in where it says none.
std::optional<OwnedMiss> OwnedFit::unit_miss(const DieShape& die) const {
  struct Slip {
    double larger;  // times what was read
    const char* drawn;
    const char* read;
  };
  const double farthest = *std::max_element(of_.tolerances.edges.begin(), of_.tolerances.edges.end());
  for (const Slip& slip :
       {Slip{25.4, "inches", "millimetres"}, Slip{10.0, "centimetres", "millimetres"},
        Slip{2.54, "inches", "centimetres"}, Slip{1.0 / 25.4, "millimetres", "inches"},
        Slip{0.1, "millimetres", "centimetres"}, Slip{1.0 / 2.54, "centimetres", "inches"}}) {
    DieShape scaled;
    scaled.cut = die.cut;
    for (ArcVertex& vertex : scaled.cut.path.vertices) vertex.at = slip.larger * vertex.at;
    const std::uint32_t likely = by_likeness(scaled).front();
    if (least_deviation(rigid_invariants(scaled.cut.path), invariants_[likely]) > farthest) continue;
    std::optional<LaidDie> laid = laid_anyhow(scaled, farthest);
    if (!laid) laid = laid_anyhow(mirrored(scaled), farthest);
    if (!laid) continue;
    const bool smaller = slip.larger > 1.0;
    return OwnedMiss{laid->off,
                     fmt::format("its outline is {:g} times {} than the {}: drawn in {}, read as "
                                 "{}? State the unit in the drawing",
                                 smaller ? slip.larger : 1.0 / slip.larger, smaller ? "smaller" : "larger",
                                 name(laid->nearest), slip.drawn, slip.read)};
  }
  return std::nullopt;
}

OwnedMiss OwnedFit::outline_miss(const DieShape& die) const {
  if (const std::optional<OwnedMiss> unit = unit_miss(die)) return *unit;
  const std::uint32_t likely = by_likeness(die).front();
  const double least = least_deviation(rigid_invariants(die.cut.path), invariants_[likely]);
  if (least > 5.0)
    return {least,
            fmt::format("its outline deviates from every size and width of the {} by {:.1f} mm or more",
                        of_.input->style->pieces[of_.piece].name, least)};
  double off = fit_outline(die, *of_.demands[likely], 1e300).ratio;
  for (const Radians turn : starting_turns(die, *of_.demands[likely], off))
    off = std::min(off,
                   fit_outline(started(die, *of_.demands[likely], turn), *of_.demands[likely], 1e300).ratio);
  return {off, fmt::format("its outline deviates from the {} by {:.2f} mm", name(likely), off)};
}

OwnedMiss OwnedFit::miss_of(const LaidDie& die, bool size_marks) const {
  const DieShape& wanted = size_marks ? full_shapes_[die.nearest] : *of_.demands[die.nearest];
  if (!alike(die.shape, wanted)) {
    const DieShape& plain = *of_.demands[die.nearest];
    const std::size_t told = plain.size_marks.size();
    const std::string has = work_words(die.shape);
    const std::string wants = work_words(plain);
    return {die.off,
            fmt::format("its outline is that of the {}, but not its work: it has {}; wanted are {}{}{}",
                        name(die.nearest), has, wants,
                        told > 0 ? fmt::format(" and {} that tell {}",
                                               counted(told, "nick or prick", "nicks and pricks"),
                                               told_by(plain.size_marks).words())
                                 : "",
                        has == wants ? ", of other diameters or kinds place by place" : "")};
  }
  const RigidFit fit = (size_marks ? *full_ : plain_).judged(die.shape, die.nearest);
  return {die.off,
          fmt::format("its {} from the {} by {:.0f} % of the tolerance",
                      size_marks ? "outline, work or size marks deviate" : "outline or work deviates",
                      name(die.nearest), 100.0 * fit.ratio)};
}

// A drawing whose text says one foot and whose lines show the other: one of them is wrong, and a die made for
// the wrong foot costs a hide. Nothing where the style does not say which foot the piece is drawn for.
std::optional<OwnedMiss> OwnedFit::other_foot(const OwnedDie& owned, Way& way) const {
  const PieceSpec& spec = of_.input->style->pieces[of_.piece];
  const std::string drawn_foot = drawn_foot_of(*of_.input->style, spec);
  const std::string& said = owned.says.hand;
  if (owned.foot != OwnedFoot::kUnknown || !one_foot(drawn_foot) || (said != "L" && said != "R")) return {};
  const std::string shown = foot_words(drawn_foot, way.foot == OwnedFoot::kMirrored);
  if (shown == said) return {};
  if (!way.die->apart) way.die->apart = apart(*way.die);
  if (std::isinf(*way.die->apart)) return {};
  return OwnedMiss{
      way.die->off,
      fmt::format("its text says {}, but its lines are the {} of the {}: one of them is wrong, so "
                  "it is not used; look at the die, and give a drawing that says what it shows",
                  said, shown, name(way.die->nearest))};
}

}  // namespace lastwright
