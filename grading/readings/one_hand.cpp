#include "grading/readings/one_hand.hpp"

#include <fmt/format.h>

#include <array>
#include <map>

#include "geometry/counted.hpp"
#include "grading/readings/natural_order.hpp"

namespace lastwright {

std::string one_hand_again(const std::vector<Reading>& readings, const MeasureTable& table) {
  constexpr std::size_t kNamed = 10;
  using Lines = std::array<std::vector<long>, 2>;  // of left and right
  std::map<std::string, std::map<std::size_t, Lines>, NaturalOrder> read;
  for (const Reading& one : readings)
    read[one.id][one.measure][one.foot == Foot::kLeft ? 0 : 1].push_back(one.line);
  std::vector<std::string> lasts;
  for (const auto& [id, measures] : read) {
    for (const std::size_t hand : {0, 1}) {
      std::string of;
      for (const auto& [measure, lines] : measures) {
        if (lines[hand].size() < 2 || !lines[1 - hand].empty()) continue;
        of += fmt::format("{}{} (lines {})", of.empty() ? "" : ", ", table.measures()[measure].name,
                          fmt::join(lines[hand], ", "));
      }
      if (!of.empty())
        lasts.push_back(fmt::format("{} {}: {}", id, name_of(hand == 0 ? Foot::kLeft : Foot::kRight), of));
    }
  }
  return some_of(lasts, kNamed, "; ");
}

}  // namespace lastwright
