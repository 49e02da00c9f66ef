#include "geometry/io/paper/shelf_layout.hpp"

#include <algorithm>
#include <numeric>
#include <string>

namespace lastwright {

namespace {

struct Shelf {
  std::size_t sheet;
  double from;   // along
  double depth;  // of its longest box
  double used;   // across
};

}  // namespace

Result<ShelfLayout> lay_in_shelves(const std::vector<ShelfBox>& boxes, const ShelfOptions& options) {
  constexpr double kRounding = 1e-9;
  ShelfLayout layout;
  layout.places.resize(boxes.size());
  std::vector<std::size_t> order(boxes.size());
  std::iota(order.begin(), order.end(), std::size_t{0});
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t one, std::size_t other) { return boxes[one].along > boxes[other].along; });
  std::vector<Shelf> shelves;
  for (const std::size_t i : order) {
    const ShelfBox& box = boxes[i];
    const bool wide = box.across > options.width + kRounding;
    if (wide || (options.length > 0.0 && box.along > options.length + kRounding)) {
      return Problem{Trouble::kBadValue,
                     wide ? "a drawing is wider than the roll or sheet it is laid on"
                          : "a drawing is longer than a sheet",
                     {"", 0, "", {{"drawing", std::to_string(i + 1)}}},
                     wide ? box.across : box.along,
                     wide ? options.width : options.length};
    }
    auto shelf = std::find_if(shelves.begin(), shelves.end(), [&](const Shelf& one) {
      return one.used + options.gap + box.across <= options.width + kRounding &&
             box.along <= one.depth + kRounding;
    });
    if (shelf == shelves.end()) {
      // A new row, on the first sheet that has room behind its last one.
      std::size_t sheet = 0;
      double from = 0.0;
      for (;; ++sheet) {
        if (sheet == layout.lengths.size()) {
          layout.lengths.push_back(0.0);
          from = 0.0;
          break;
        }
        from = layout.lengths[sheet] + options.gap;
        if (options.length <= 0.0 || from + box.along <= options.length + kRounding) break;
      }
      shelves.push_back({sheet, from, box.along, -options.gap});
      layout.lengths[sheet] = from + box.along;
      shelf = shelves.end() - 1;
    }
    layout.places[i] = {shelf->sheet, shelf->used + options.gap, shelf->from};
    shelf->used += options.gap + box.across;
  }
  return layout;
}

}  // namespace lastwright
