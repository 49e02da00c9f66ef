#include "grading/dies/plan/die_places.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

namespace lastwright {

namespace {

// The given list with a place half way between each two neighbours.
template <class Step>
std::vector<Step> with_half_way(const std::vector<Step>& steps) {
  std::vector<Step> refined;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (i > 0) {
      const Step& a = steps[i - 1];
      const Step& b = steps[i];
      refined.push_back({(a.position + b.position) * Fraction(1, 2), a.label + "-" + b.label});
    }
    refined.push_back(steps[i]);
  }
  return refined;
}

// Whether the run makes all that lies round a place of
// the refined run: itself, or its two or four neighbours.
bool makes_round(const SizeRun& run, std::size_t size, std::size_t width, std::size_t stride) {
  for (const std::size_t s : {size / stride, (size + stride - 1) / stride}) {
    for (const std::size_t w : {width / stride, (width + stride - 1) / stride}) {
      if (!run.makes(s, w)) return false;
    }
  }
  return true;
}

// Every label that a die of the style may be drawn as, in whichever part of the run its order was for.
template <class Step>
std::vector<std::pair<std::string, Step>> drawn_labels(const std::vector<Step>& steps) {
  std::vector<std::pair<std::string, Step>> all;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    all.emplace_back("", steps[i]);
    for (std::size_t j = i + 1; j < steps.size(); ++j)
      all.emplace_back("between ", with_half_way<Step>({steps[i], steps[j]})[1]);
  }
  return all;
}

// Where in the style's run a die is drawn that its order says was drawn so.
struct DrawnAt {
  SizeWidth at;
  bool between = false;
  bool known_only = true;
};
std::map<std::string, DrawnAt> drawn_places(const SizeRun& run) {
  std::map<std::string, DrawnAt> all;
  for (const auto& [size_between, size] : drawn_labels(run.stated_sizes)) {
    for (const auto& [width_between, width] : drawn_labels(run.stated_widths)) {
      const DrawnAt one{{size, width}, !size_between.empty() || !width_between.empty()};
      all.emplace((one.between ? "between " : "") + label_of(one.at), one);
    }
  }
  return all;
}

template <class Step>
void put_in(std::vector<Step>& steps, const Step& one) {
  const auto at = std::lower_bound(steps.begin(), steps.end(), one,
                                   [](const Step& a, const Step& b) { return a.position < b.position; });
  if (at == steps.end() || at->position != one.position) steps.insert(at, one);
}

template <class Step>
std::size_t place_of(const std::vector<Step>& steps, const Step& one) {
  return static_cast<std::size_t>(
      std::find_if(steps.begin(), steps.end(),
                   [&](const Step& step) { return step.position == one.position; }) -
      steps.begin());
}

// The run with these cells in it, and nothing else that it does not make.
SizeRun with_cells(const SizeRun& run, const std::vector<SizeWidth>& cells) {
  SizeRun wider = run;
  std::set<std::pair<Fraction, Fraction>> made;
  for (const SizeWidth& one : run.cells()) made.insert({one.size.position, one.width.position});
  for (const SizeWidth& one : cells) {
    put_in(wider.sizes, one.size);
    put_in(wider.widths, one.width);
    made.insert({one.size.position, one.width.position});
  }
  wider.made.clear();
  for (const Size& size : wider.sizes) {
    for (const Width& width : wider.widths)
      wider.made.push_back(made.contains({size.position, width.position}));
  }
  if (std::find(wider.made.begin(), wider.made.end(), false) == wider.made.end()) wider.made.clear();
  return wider;
}

}  // namespace

const DiePlaces::Elsewhere* DiePlaces::outside(std::size_t place) const {
  const auto one =
      std::lower_bound(elsewhere.begin(), elsewhere.end(), place,
                       [](const Elsewhere& there, std::size_t wanted) { return there.place < wanted; });
  return one == elsewhere.end() || one->place != place ? nullptr : &*one;
}

bool DiePlaces::known_only(std::size_t place) const {
  const Elsewhere* there = outside(place);
  return there != nullptr && there->known_only;
}

bool DiePlaces::between(std::size_t place) const {
  if (const Elsewhere* there = outside(place)) return there->between;
  return std::find(own.begin(), own.end(), static_cast<std::uint32_t>(place)) == own.end();
}

std::string DiePlaces::label(std::size_t place) const {
  return (between(place) ? "between " : "") + label_of(places[place]);
}

std::vector<Size> DiePlaces::whole_sizes() const {
  std::vector<Size> all = refined.stated_sizes;
  for (const SizeWidth& at : demands) put_in(all, at.size);
  return all;
}

std::vector<Width> DiePlaces::whole_widths() const {
  std::vector<Width> all = refined.stated_widths;
  for (const SizeWidth& at : demands) put_in(all, at.width);
  return all;
}

DiePlaces die_places(const SizeRun& run, bool with_between) {
  DiePlaces result;
  result.refined = run;
  if (with_between) {
    result.refined.sizes = with_half_way(run.sizes);
    result.refined.widths = with_half_way(run.widths);
  }
  const std::size_t stride = with_between ? 2 : 1;
  if (!run.whole()) {
    result.refined.made.clear();
    for (std::size_t s = 0; s < result.refined.sizes.size(); ++s) {
      for (std::size_t w = 0; w < result.refined.widths.size(); ++w)
        result.refined.made.push_back(makes_round(run, s, w, stride));
    }
  }
  result.places = result.refined.cells();
  result.demands = run.cells();
  for (std::size_t size = 0; size < run.sizes.size(); ++size) {
    for (const std::size_t width : run.made_widths(size))
      result.own.push_back(static_cast<std::uint32_t>(*result.refined.cell(stride * size, stride * width)));
  }
  return result;
}

DiePlaces die_places_with(const SizeRun& run, bool with_between, const std::vector<OwnedDie>& owned,
                          const SizeRun* whole) {
  DiePlaces result = die_places(run, with_between);
  const auto held = [&](const SizeWidth& at) {
    return std::any_of(result.places.begin(), result.places.end(),
                       [&](const SizeWidth& one) { return same_cell(one, at); });
  };
  std::map<std::string, DrawnAt> drawn;
  std::vector<DrawnAt> more;
  if (whole != nullptr) {
    const DiePlaces all = die_places(*whole, with_between);
    for (std::size_t place = 0; place < all.places.size(); ++place) {
      if (!held(all.places[place])) more.push_back({all.places[place], all.between(place), false});
    }
  }
  for (const OwnedDie& die : owned) {
    if (die.drawn_as.empty()) continue;
    if (drawn.empty()) drawn = drawn_places(run);
    const auto there = drawn.find(die.drawn_as);
    if (there != drawn.end() && !held(there->second.at)) more.push_back(there->second);
  }
  if (more.empty()) return result;
  std::vector<SizeWidth> cells;
  for (const DrawnAt& one : more) cells.push_back(one.at);
  const auto cell_of = [](const SizeRun& in, const SizeWidth& at) {
    return static_cast<std::uint32_t>(*in.cell(place_of(in.sizes, at.size), place_of(in.widths, at.width)));
  };
  result.refined = with_cells(result.refined, cells);
  for (std::size_t d = 0; d < result.own.size(); ++d)
    result.own[d] = cell_of(result.refined, result.demands[d]);
  result.places = result.refined.cells();
  std::map<std::uint32_t, const DrawnAt*> there;  // of one place the first: where dies may be drawn
  for (const DrawnAt& one : more) there.emplace(cell_of(result.refined, one.at), &one);
  for (const auto& [place, one] : there) {
    result.elsewhere.push_back({place, one->between, one->known_only});
    result.places[place] = one->at;  // the part may have a step half way there, of another label
  }
  return result;
}

std::string drawn_elsewhere(const OwnedDie& die, const DiePlaces& places) {
  if (die.drawn_as.empty()) return "";
  for (std::size_t place = 0; place < places.places.size(); ++place) {
    if (!places.known_only(place) && places.label(place) == die.drawn_as) return "";
  }
  return fmt::format(
      " (its order has it drawn as {}, which this order's sizes and widths do not hold: it is "
      "known again only with them)",
      die.drawn_as);
}

}  // namespace lastwright
