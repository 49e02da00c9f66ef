#include "grading/dies/owned/die_recognised.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>

#include "geometry/counted.hpp"

namespace lastwright {

namespace {

// Takes the nearest of the left ones for each of `wanted` in turn; `off` is infinite where two cannot be one.
// False where one finds none.
template <class Wanted, class Have, class Off>
bool match(const std::vector<Wanted>& wanted, std::vector<Have>& have, std::vector<Have>& ordered,
           const Off& off) {
  for (const Wanted& one : wanted) {
    double best = std::numeric_limits<double>::infinity();
    std::size_t pick = have.size();
    for (std::size_t i = 0; i < have.size(); ++i) {
      const double d = off(one, have[i]);
      if (d >= best) continue;
      best = d;
      pick = i;
    }
    if (pick == have.size()) return false;
    ordered.push_back(std::move(have[pick]));
    have.erase(have.begin() + static_cast<std::ptrdiff_t>(pick));
  }
  return true;
}

// Work included; which edge is which is not asked, a drawing does not tell.
bool is_outline(DieShape die, DieShape drawn, const Placement& onto) {
  if (!arranged(die, drawn, onto) || !alike(die, drawn)) return false;
  const double same = kSameOutline.value();
  die.cut.edge.assign(die.cut.edge.size(), 0);
  drawn.cut.edge.assign(drawn.cut.edge.size(), 0);
  ServeOptions options;
  options.precision = Millimetres(1e-4);
  return ServeTable({&drawn}, {{same}, same, same}, options).judged(die, 0).ratio <= 1.0;
}

}  // namespace

RigidFit fit_outline(const DieShape& die, const DieShape& wanted, double give_up_above) {
  const std::vector<double> one{1.0};
  const MeasuredOutline still(die.cut.path);
  const MeasuredOutline moving(wanted.cut.path);
  const OutlinePair pair{&moving, &still, one};
  // The bound by which a fit is given up is of the first order, taken where the outlines start: some degrees
  // apart, where a drawing has been turned. Of less than they are apart there it says nothing.
  constexpr double kApartAtFirst = 10.0;  // mm
  RigidFitOptions options;
  options.precision = Millimetres(1e-3);
  options.give_up_above = std::max(give_up_above, kApartAtFirst);
  return fit_rigidly({&pair, 1}, {}, options);
}

bool arranged(DieShape& die, const DieShape& wanted, const Placement& onto) {
  constexpr double kNever = std::numeric_limits<double>::infinity();  // no arrangement fits
  if (die.holes.size() != wanted.holes.size() || die.cut_outs.size() != wanted.cut_outs.size() ||
      die.marks.size() != wanted.marks.size())
    return false;
  DieShape left = die;
  DieShape ordered;
  const bool all =
      match(wanted.holes, left.holes, ordered.holes,
            [&](const GradedHole& w, const GradedHole& h) {
              return w.operation == h.operation ? distance(placed(w.centre, onto), h.centre) : kNever;
            }) &&
      match(wanted.cut_outs, left.cut_outs, ordered.cut_outs,
            [&](const ClosedArcPath& w, const ClosedArcPath& h) {
              return distance(placed(bounds(w).centre(), onto), bounds(h).centre());
            }) &&
      match(wanted.marks, left.marks, ordered.marks, [&](const GradedLine& w, const GradedLine& h) {
        if (w.operation != h.operation || w.path.vertices.empty() || h.path.vertices.empty()) return kNever;
        const Vec2 a = placed(w.path.vertices.front().at, onto);
        const Vec2 b = placed(w.path.vertices.back().at, onto);
        const Vec2 c = h.path.vertices.front().at;
        const Vec2 d = h.path.vertices.back().at;
        return std::min(distance(a, c) + distance(b, d), distance(a, d) + distance(b, c));
      });
  if (!all) return false;
  for (std::size_t i = 0; i < wanted.marks.size(); ++i) {
    OpenArcPath& path = ordered.marks[i].path;
    const Vec2 from = placed(wanted.marks[i].path.vertices.front().at, onto);
    if (distance(from, path.vertices.back().at) < distance(from, path.vertices.front().at))
      path = reversed(path);
  }
  die.holes = std::move(ordered.holes);
  die.cut_outs = std::move(ordered.cut_outs);
  die.marks = std::move(ordered.marks);
  return true;
}

Result<std::vector<GradeOutline>> grade_outlines(const DiePlanInput& input, std::size_t piece,
                                                 const PieceCandidates& candidates) {
  const DiePlaces& places = input.places;
  std::vector<GradeOutline> list;
  for (std::size_t place = 0; place < places.places.size(); ++place) {
    GradeOutline one;
    if (candidates.shapes[place]) {
      one.outline = {*candidates.shapes[place], candidates.edge_lengths[place], candidates.fold_lay[place]};
    } else {
      Result<DieOutline> made = input.outline(piece, place);
      if (!made && places.outside(place) == nullptr) return made.problem();
      one.made = made.ok();
      if (made) one.outline = std::move(*made);
    }
    if (one.made) one.invariants = rigid_invariants(one.outline.shape.cut.path);
    one.label = places.label(place);
    list.push_back(std::move(one));
  }
  return list;
}

std::optional<Recognised> recognise(const std::vector<GradeOutline>& grade, const DieShape& die,
                                    const std::string& drawn_as) {
  const RigidInvariants own = rigid_invariants(die.cut.path);
  std::optional<Recognised> found;
  for (std::uint32_t place = 0; place < grade.size(); ++place) {
    const GradeOutline& there = grade[place];
    if (!there.made || (found && there.label != drawn_as)) continue;
    if (least_deviation(own, there.invariants) > kSameOutline.value()) continue;
    const RigidFit fit = fit_outline(die, there.outline.shape, 2.0 * kSameOutline.value());
    if (fit.given_up || fit.ratio > 2.0 * kSameOutline.value()) continue;
    for (const bool size_marks : {false, true}) {
      if (size_marks && there.outline.shape.size_marks.empty()) continue;
      DieShape drawn = there.outline.shape;
      if (size_marks) drawn = with_size_marks(std::move(drawn));
      drawn.size_marks.clear();
      if (is_outline(die, drawn, fit.placement)) found = Recognised{place, size_marks, std::move(drawn)};
    }
  }
  return found;
}

std::string work_words(const DieShape& shape) {
  std::map<long, std::size_t> holes;  // by diameter
  std::size_t pricks = 0;
  std::size_t nicks = 0;
  for (const GradedHole& hole : shape.holes) {
    if (hole.operation == Operation::kPrick) {
      ++pricks;
    } else {
      ++holes[std::lround(200.0 * hole.radius)];
    }
  }
  for (const GradedLine& mark : shape.marks) ++(mark.operation == Operation::kNick ? nicks : pricks);
  std::string words = holes.empty() ? "no holes" : "";
  for (const auto& [diameter, count] : holes)
    words += fmt::format("{} of {:g} mm", words.empty() ? counted(count, "hole") : fmt::format(", {}", count),
                         static_cast<double>(diameter) / 100.0);
  const auto add = [&](std::size_t count, const char* one, const char* many) {
    words += ", " + (count == 0 ? fmt::format("no {}", many) : counted(count, one, many));
  };
  add(pricks, "prick", "pricks");
  add(shape.cut_outs.size(), "cut-out", "cut-outs");
  add(nicks, "nick", "nicks");
  return words;
}

}  // namespace lastwright
