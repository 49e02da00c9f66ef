#include "grading/redraw/shared_corners.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/redraw/corner_match.hpp"
#include "grading/redraw/redraw_work.hpp"

namespace lastwright {

namespace {

struct MetCorner {
  const BoundPiece* piece;
  std::string name;
  Vec2 was;
  Vec2 now;
};

std::vector<MetCorner> met_corners(const std::vector<BoundPiece>& before,
                                   const std::vector<BoundPiece>& after) {
  std::vector<MetCorner> all;
  for (std::size_t i = 0; i < before.size() && i < after.size(); ++i) {
    for (const BoundEdge& was : before[i].edges) {
      for (const BoundEdge& now : after[i].edges) {
        if (now.spec.from == was.spec.from)
          all.push_back({&before[i], was.spec.from, start_of(was.chain.curves().front()),
                         start_of(now.chain.curves().front())});
      }
    }
  }
  return all;
}

std::string listed_corners(const std::vector<const MetCorner*>& all) {
  std::string text;
  for (std::size_t i = 0; i < all.size(); ++i)
    text += fmt::format("{}{}, corner {}",
                        i == 0                ? ""
                        : i + 1 == all.size() ? " and "
                                              : "; ",
                        all[i]->piece->spec.name, all[i]->name);
  return text;
}

}  // namespace

std::vector<std::string> parted_corners(const std::vector<BoundPiece>& before,
                                        const std::vector<BoundPiece>& after) {
  std::vector<std::string> told;
  const std::vector<MetCorner> all = met_corners(before, after);
  std::vector<bool> taken(all.size(), false);
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (taken[i]) continue;
    // What lay here, by where it lies now.
    std::vector<std::vector<const MetCorner*>> places;
    double apart = 0.0;
    for (std::size_t k = i; k < all.size(); ++k) {
      if (taken[k] || all[k].piece->spec.forme != all[i].piece->spec.forme ||
          distance(all[k].was, all[i].was) > kSameDrawn)
        continue;
      taken[k] = true;
      const auto there = std::find_if(places.begin(), places.end(), [&](const auto& place) {
        return distance(place.front()->now, all[k].now) <=
               kSameDrawn + distance(place.front()->was, all[k].was);
      });
      for (const auto& place : places) apart = std::max(apart, distance(place.front()->now, all[k].now));
      if (there != places.end())
        there->push_back(&all[k]);
      else
        places.push_back({&all[k]});
    }
    if (places.size() < 2) continue;
    std::string text = fmt::format("forme {}: corners that met at {} no longer meet, {:.3f} mm apart now: ",
                                   all[i].piece->spec.forme, place_text(all[i].was), apart);
    for (std::size_t k = 0; k < places.size(); ++k)
      text += fmt::format("{}{} at {}",
                          k == 0                   ? ""
                          : k + 1 == places.size() ? ", and "
                                                   : ", ",
                          listed_corners(places[k]), place_text(places[k].front()->now));
    told.push_back(text + ": draw them to one place, unless they are meant apart");
  }
  return told;
}

}  // namespace lastwright
