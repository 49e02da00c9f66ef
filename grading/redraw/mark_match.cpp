#include "grading/redraw/mark_match.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/pieces/drawing/drawn_marks.hpp"

namespace lastwright {

namespace {

bool has_near(const std::vector<Vec2>& marks, Vec2 place) {
  return std::any_of(marks.begin(), marks.end(),
                     [&](Vec2 mark) { return distance(mark, place) <= kSameDrawn; });
}

}  // namespace

MarkPairs mark_pairs(const Drawing& was, const Drawing& now) {
  constexpr std::size_t kMostMarks = 4000;
  const auto count = [](const Drawing& drawing) { return drawing.points.size() + drawing.circles.size(); };
  if (count(was) > kMostMarks || count(now) > kMostMarks) return {{}, {}, false};
  return {drawn_marks(was), drawn_marks(now), true};
}

std::optional<CornerFound> find_mark(const MarkPairs& marks, Vec2 place, double reach) {
  if (!has_near(marks.was, place)) return std::nullopt;
  std::vector<Vec2> fresh;
  for (const Vec2 mark : marks.now) {
    if (distance(mark, place) <= kSameDrawn) return CornerFound{FoundHow::kSame, mark, {}};
    if (distance(mark, place) <= reach && !has_near(marks.was, mark)) fresh.push_back(mark);
  }
  if (fresh.empty())
    return CornerFound{
        FoundHow::kSame,
        {},
        fmt::format("the mark that was drawn there is gone, and none is new within {:g} mm", reach)};
  const auto gone = std::count_if(marks.was.begin(), marks.was.end(), [&](Vec2 mark) {
    return distance(mark, fresh.front()) <= reach && !has_near(marks.now, mark);
  });
  if (fresh.size() == 1 && gone == 1) return CornerFound{FoundHow::kMoved, fresh.front(), {}};
  return CornerFound{
      FoundHow::kSame,
      {},
      fmt::format(
          "the mark that was drawn there may be the one at ({:.3f}, {:.3f}) now: that is not the only "
          "mark there that moved",
          fresh.front().x, fresh.front().y)};
}

}  // namespace lastwright
