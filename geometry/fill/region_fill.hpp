// Many shapes laid in regions one after the other, each as far to the left as it goes: an estimate of what a
// hide or a strip holds, free of overlap, not the most that it can hold.
//
// Each shape in each of its turns has a picture of its free places
// (free_places.hpp). Of the turns the one is taken in which the shape reaches least
// far to the right; like shapes one after the other so come to lie in rows across.
#pragma once

#include <cstdint>
#include <functional>
#include <map>
#include <optional>
#include <tuple>
#include <vector>

#include "geometry/fill/free_places.hpp"

namespace lastwright {

struct FillShape {
  std::vector<Polygon> parts;        // convex, together the shape, round its origin
  std::vector<Radians> turns;        // any one of these
  std::vector<std::size_t> regions;  // wholly inside any one of these
  std::vector<Polygon> kept_out;  // convex, where this shape may not lie: holes, zones that are not its own
  double mates_within = 0.0;      // mm between the origins of mates, where there is room; 0: anywhere
  // What else a place must be; nothing: any will do.
  std::function<bool(std::size_t turn, Vec2 at)> allowed = {};
  // By turn, a box that holds all places which are allowed in it; nothing: none is known. It saves work and
  // changes no place.
  std::vector<Box2> within = {};
};

struct FillItem {
  std::size_t shape = 0;
  std::optional<std::size_t> mate = {};  // an earlier item that it lies near to where there is room
};

struct FillPlace {
  std::size_t region = 0;
  std::size_t turn = 0;
  Vec2 at;
};

struct FillOptions {
  std::size_t cells = 40'000;  // points of each picture
};

struct FillLayout {
  std::vector<std::optional<FillPlace>> places;  // by item; empty: there was no room
  double right = 0.0;                            // the farthest x that any reaches
  std::size_t laid = 0;
};

class RegionFill {
 public:
  RegionFill(const std::vector<FillRegion>& regions, const std::vector<FillShape>& shapes,
             const FillOptions& options)
      : regions_(regions), shapes_(shapes), options_(options) {}

  // The items in that order (their places come back by item). With `all` it ends at the first without room.
  FillLayout lay(const std::vector<FillItem>& items, const std::vector<std::size_t>& order, bool all);

  // How many obstacles the pictures that are kept have to keep clear of.
  [[nodiscard]] std::size_t obstacles() const;
  // In how many pictures a place was looked for.
  [[nodiscard]] std::size_t searches() const { return searches_; }

 private:
  struct Candidate {
    FillPlace place;
    double right = 0.0;
  };
  struct Kept {
    FreePlaces places;
    std::size_t known = 0;  // how many of the laid shapes it knows of
  };
  FreePlaces& free_places(std::size_t shape, std::size_t region, std::size_t turn);
  // Its turns, those whose box begins farthest to the left first; as they are where there are no boxes.
  const std::vector<std::size_t>& from_the_left(std::size_t shape);
  // `times`: how many times as far from the mate as it is to lie.
  std::optional<Candidate> best(std::size_t shape, const std::optional<Vec2>& mate, double times);

  const std::vector<FillRegion>& regions_;
  const std::vector<FillShape>& shapes_;
  FillOptions options_;
  std::vector<std::vector<Polygon>> laid_;
  std::vector<std::vector<std::size_t>> turns_;  // by shape, once it was laid
  std::vector<std::vector<double>> rights_;      // by shape and turn, how far it reaches beyond its place
  std::size_t searches_ = 0;
  std::map<std::tuple<std::size_t, std::size_t, std::size_t>, Kept> kept_;
};

// All items as short to the right as they were found: by area, by length and by width in turn, then `tries`
// exchanges of two in the best order, kept where they are no longer. The same in every run.
FillLayout shortest_fill(const std::vector<FillRegion>& regions, const std::vector<FillShape>& shapes,
                         const std::vector<FillItem>& items, const FillOptions& options, int tries);

// Orders worth trying: items by the area, the length and the width of their shapes, the largest first; mates
// stay one after the other. At most kFillOrders: the same order comes once.
inline constexpr std::size_t kFillOrders = 3;
std::vector<std::vector<std::size_t>> fill_orders(const std::vector<FillShape>& shapes,
                                                  const std::vector<FillItem>& items);

}  // namespace lastwright
