#include "grading/dies/die_owned.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numeric>

#include "geometry/counted.hpp"
#include "grading/dies/die_recognised.hpp"
#include "grading/dies/die_starts.hpp"
#include "grading/dies/size_told.hpp"

namespace lastwright {

namespace {

// An owned die on the size and width it is nearest to.
struct Laid {
  DieShape shape;
  std::uint32_t nearest = 0;
  double off = 0.0;  // of the outline, mm
  Placement onto;    // of that size's outline onto the die
  // The greatest share of a tolerance that outline and work use up on a size and width of that outline;
  // infinite where its work is another, none where nobody asked.
  std::optional<double> apart = {};
};

class Piece {
 public:
  Piece(const OwnedPiece& of, std::vector<GradeOutline> grade)
      : of_(of), grade_(std::move(grade)), plain_(of.demands, of.tolerances, of.options) {
    for (const DieShape* shape : of.demands) {
      invariants_.push_back(rigid_invariants(shape->cut.path));
      full_shapes_.push_back(with_size_marks(*shape));
    }
    std::vector<const DieShape*> full;
    for (const DieShape& shape : full_shapes_) full.push_back(&shape);
    full_.emplace(std::move(full), of.tolerances, of.options);
  }

  void add(std::size_t k, PieceCandidates& result) const;

 private:
  // One way to lay the die on the piece, and which foot it cuts if it lies so.
  struct Way {
    std::optional<Laid> die;
    OwnedFoot foot = OwnedFoot::kBoth;
    bool turned = false;
  };
  [[nodiscard]] std::vector<std::function<Way()>> ways(const OwnedDie& owned, double farthest) const;
  std::optional<OwnedMiss> take(std::size_t k, Way way, PieceCandidates& result) const;
  [[nodiscard]] std::string name(std::uint32_t demand) const {
    const SizeWidth& at = of_.input->places.demands[demand];
    return of_.input->style->pieces[of_.piece].name + " " + label_of(at);
  }
  // The demand whose own outline is there.
  [[nodiscard]] std::optional<std::uint32_t> demand_at(std::uint32_t place) const {
    const std::vector<std::uint32_t>& own = of_.input->places.own;
    const auto found = std::find(own.begin(), own.end(), place);
    if (found == own.end()) return std::nullopt;
    return static_cast<std::uint32_t>(found - own.begin());
  }
  [[nodiscard]] std::vector<std::uint32_t> by_likeness(const DieShape& die) const;
  [[nodiscard]] std::optional<Laid> laid(const DieShape& die, double farthest) const;
  [[nodiscard]] std::optional<Laid> laid_anyhow(const DieShape& die, double farthest) const;
  [[nodiscard]] double apart(const Laid& die) const;
  [[nodiscard]] bool nearer(std::optional<Laid>& one, std::optional<Laid>& than) const;
  [[nodiscard]] std::vector<std::uint32_t> of_that_outline(const Laid& die) const;
  [[nodiscard]] std::optional<OwnedMiss> unit_miss(const DieShape& die) const;
  [[nodiscard]] OwnedMiss outline_miss(const DieShape& die) const;
  bool arrange(Laid& die) const;
  [[nodiscard]] OwnedMiss miss_of(const Laid& die, bool size_marks) const;

  const OwnedPiece& of_;
  std::vector<GradeOutline> grade_;  // by place
  ServeTable plain_;
  std::vector<DieShape> full_shapes_;
  std::optional<ServeTable> full_;
  std::vector<RigidInvariants> invariants_;
};

std::vector<std::uint32_t> Piece::by_likeness(const DieShape& die) const {
  const RigidInvariants own = rigid_invariants(die.cut.path);
  std::vector<std::uint32_t> order(of_.demands.size());
  std::iota(order.begin(), order.end(), 0u);
  std::stable_sort(order.begin(), order.end(), [&](auto a, auto b) {
    return least_deviation(own, invariants_[a]) < least_deviation(own, invariants_[b]);
  });
  return order;
}

std::optional<Laid> Piece::laid(const DieShape& die, double farthest) const {
  const RigidInvariants own = rigid_invariants(die.cut.path);
  double best = farthest;
  std::optional<Laid> result;
  for (const std::uint32_t demand : by_likeness(die)) {
    if (least_deviation(own, invariants_[demand]) > best) break;
    const RigidFit fit = fit_outline(die, *of_.demands[demand], best);
    if (fit.given_up || fit.ratio > best) continue;
    best = fit.ratio;
    result = Laid{die, demand, fit.ratio, fit.placement};
  }
  if (!result) return result;
  const DieShape& wanted = *of_.demands[result->nearest];
  const MeasuredOutline on =
      MeasuredOutline(wanted.cut.path, wanted.cut.edge).placed(result->onto.turn, result->onto.shift);
  result->shape.cut.edge.clear();
  for (std::size_t i = 0; i < die.cut.path.size(); ++i) {
    result->shape.cut.edge.push_back(on.arcs()[on.nearest(die.cut.path.segment(i).point_at(0.5)).arc].label);
  }
  return result;
}

// Where the outline lies as well in several places, the place where its work does too.
bool Piece::nearer(std::optional<Laid>& one, std::optional<Laid>& than) const {
  if (!one || !than) return one.has_value();
  for (std::optional<Laid>* way : {&one, &than}) {
    if (!(*way)->apart) (*way)->apart = apart(**way);
  }
  if (std::isinf(*one->apart) && std::isinf(*than->apart)) return one->off < than->off - 1e-3;
  return *one->apart < *than->apart - 1e-3;
}

// As it lies, and turned every way in which its outline fits: a drawing from elsewhere lies where somebody
// put it, and an outline that is its own image after a turn does not tell which way up it is.
std::optional<Laid> Piece::laid_anyhow(const DieShape& die, double farthest) const {
  std::optional<Laid> best = laid(die, farthest);
  if (die.cut.path.size() < 2) return best;
  const DieShape& likely = *of_.demands[best ? best->nearest : by_likeness(die).front()];
  for (const Radians turn : starting_turns(die, likely, farthest)) {
    constexpr double kAsItLies = 0.02;  // radians: the fit finds the rest
    constexpr double kExact = 0.02;     // of a tolerance: no other place is nearer by what counts
    if (best && std::abs(turn.value()) < kAsItLies) continue;
    if (best && !best->apart) best->apart = apart(*best);
    if (best && *best->apart <= kExact) break;
    std::optional<Laid> one = laid(started(die, likely, turn), farthest);
    if (nearer(one, best)) best = std::move(one);
  }
  return best;
}

// A drawing in another unit than it says, or than it was read in where it says none.
std::optional<OwnedMiss> Piece::unit_miss(const DieShape& die) const {
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
    std::optional<Laid> laid = laid_anyhow(scaled, farthest);
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

OwnedMiss Piece::outline_miss(const DieShape& die) const {
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

// The nearest first.
std::vector<std::uint32_t> Piece::of_that_outline(const Laid& die) const {
  std::vector<std::uint32_t> order{die.nearest};
  const RigidInvariants own = rigid_invariants(die.shape.cut.path);
  for (std::uint32_t demand = 0; demand < of_.demands.size(); ++demand) {
    if (demand != die.nearest && least_deviation(own, invariants_[demand]) <= die.off + 0.01)
      order.push_back(demand);
  }
  return order;
}

double Piece::apart(const Laid& die) const {
  double least = std::numeric_limits<double>::infinity();
  for (const std::uint32_t demand : of_that_outline(die)) {
    for (const bool size_marks : {false, true}) {
      const DieShape& wanted = size_marks ? full_shapes_[demand] : *of_.demands[demand];
      DieShape shape = die.shape;
      if (!arranged(shape, wanted, die.onto) || !alike(shape, wanted)) continue;
      least = std::min(least, (size_marks ? *full_ : plain_).judged(shape, demand).ratio);
      break;
    }
  }
  return least;
}

// True where the die has size marks. Of several sizes with one outline it may be another than the nearest
// whose marks it has.
bool Piece::arrange(Laid& die) const {
  for (const std::uint32_t demand : of_that_outline(die)) {
    if (arranged(die.shape, *of_.demands[demand], die.onto)) return false;
    if (!arranged(die.shape, full_shapes_[demand], die.onto)) continue;
    die.nearest = demand;
    return true;
  }
  return false;
}

OwnedMiss Piece::miss_of(const Laid& die, bool size_marks) const {
  const DieShape& wanted = size_marks ? full_shapes_[die.nearest] : *of_.demands[die.nearest];
  if (!alike(die.shape, wanted)) {
    const DieShape& plain = *of_.demands[die.nearest];
    const std::size_t told = plain.size_marks.size();
    const std::string has = work_words(die.shape);
    const std::string wants = work_words(plain);
    return {die.off,
            fmt::format("its outline is that of the {}, but not its work: it has {}; wanted are {}{}{}",
                        name(die.nearest), has, wants,
                        told > 0 ? fmt::format(" and {} that tell the size",
                                               counted(told, "nick or prick", "nicks and pricks"))
                                 : "",
                        has == wants ? ", of other diameters or kinds place by place" : "")};
  }
  const RigidFit fit = (size_marks ? *full_ : plain_).judged(die.shape, die.nearest);
  return {die.off,
          fmt::format("its {} from the {} by {:.0f} % of the tolerance",
                      size_marks ? "outline, work or size marks deviate" : "outline or work deviates",
                      name(die.nearest), 100.0 * fit.ratio)};
}

OwnedFoot foot_turned(OwnedFoot foot) {
  return foot == OwnedFoot::kDrawn      ? OwnedFoot::kMirrored
         : foot == OwnedFoot::kMirrored ? OwnedFoot::kDrawn
                                        : foot;
}

// The likelier first. A drawing by itself shows either foot. One of an order shows what the piece was drawn
// as then; where that has been moved or drawn the other way round since, the die is the same piece of steel.
std::vector<std::function<Piece::Way()>> Piece::ways(const OwnedDie& owned, double farthest) const {
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

void Piece::add(std::size_t k, PieceCandidates& result) const {
  const OwnedDie& owned = of_.input->owned[k];
  const double farthest =
      of_.options.up_to * *std::max_element(of_.tolerances.edges.begin(), of_.tolerances.edges.end());
  std::optional<OwnedMiss> miss;
  for (const std::function<Way()>& lay : ways(owned, farthest)) {
    Way way = lay();
    if (!way.die) continue;
    std::optional<OwnedMiss> missed = take(k, std::move(way), result);
    if (!missed) return;
    if (!miss) miss = std::move(missed);
  }
  result.miss[k] = miss ? std::move(miss) : outline_miss(owned.shape);
}

// Why it does not serve lying so, if it does not.
std::optional<OwnedMiss> Piece::take(std::size_t k, Way way, PieceCandidates& result) const {
  const OwnedDie& owned = of_.input->owned[k];
  std::optional<Laid>& die = way.die;
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

}  // namespace

bool same_die(const DieShape& one, const DieShape& other) {
  // Outlines this near differ in area by no more than a band along them: a quick no to most.
  const double band = 2.0 * kSamePair.value() * (length(one.cut.path) + length(other.cut.path));
  if (std::abs(signed_area(one.cut.path) - signed_area(other.cut.path)) > band) return false;
  if (!alike(one, other) ||
      least_deviation(rigid_invariants(one.cut.path), rigid_invariants(other.cut.path)) > kSamePair.value())
    return false;
  const double tolerance = kSamePair.value();
  std::uint16_t edges = 0;
  for (const DieShape* shape : {&one, &other}) {
    for (const std::uint16_t edge : shape->cut.edge) edges = std::max(edges, edge);
  }
  const ServeTable table({&one}, {std::vector<double>(edges + 1u, tolerance), tolerance, tolerance}, {});
  return table.judged(other, 0).ratio <= 1.0;
}

namespace {

// Left and right that were found by themselves become one pair, led by the drawn foot.
void join_pairs(std::size_t places, PieceCandidates& result) {
  const std::size_t owned = result.foot.size();
  for (std::size_t i = 0; i < owned; ++i) {
    if (result.foot[i] != OwnedFoot::kDrawn || result.serves[places + i].empty()) continue;
    for (std::size_t j = 0; j < owned; ++j) {
      if (result.foot[j] != OwnedFoot::kMirrored || result.serves[places + j].empty() ||
          result.size_marked[i] != result.size_marked[j] ||
          !same_die(*result.shapes[places + i], *result.shapes[places + j]))
        continue;
      result.foot[i] = OwnedFoot::kBoth;
      result.partner[i] = j;
      result.serves[places + j].clear();
      break;
    }
  }
}

}  // namespace

Status add_owned(const OwnedPiece& of, PieceCandidates& result) {
  if (of.input->owned.empty()) return Done{};
  const std::string& name = of.input->style->pieces[of.piece].name;
  std::optional<Piece> piece;
  for (std::size_t k = 0; k < of.input->owned.size(); ++k) {
    const OwnedDie& owned = of.input->owned[k];
    if (!owned.piece.empty() && owned.piece != name) continue;
    if (!piece) {
      Result<std::vector<GradeOutline>> grade = grade_outlines(*of.input, of.piece, result);
      if (!grade) return grade.problem();
      piece.emplace(of, std::move(*grade));
    }
    piece->add(k, result);
  }
  join_pairs(of.input->places.places.size(), result);
  return Done{};
}

}  // namespace lastwright
