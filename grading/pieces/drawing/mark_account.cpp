#include "grading/pieces/drawing/mark_account.hpp"

#include <algorithm>
#include <set>

#include "geometry/tolerance.hpp"
#include "grading/json/json_text.hpp"
#include "grading/pieces/drawing/drawn_marks.hpp"
#include "grading/sizes/trimmed.hpp"

namespace lastwright {

std::vector<UsedMark> stated_marks(const StyleSpec& style, const std::string& key, const Drawing& drawing) {
  std::vector<UsedMark> marks;
  for (const PointReference& reference : style.references) {
    const Result<JsonDocument> read = parse_json(reference.stated, "");
    if (!read.ok()) continue;
    const Json& stated = read->root;
    if (!stated.is_object() || !stated.contains("mark") || !stated["mark"].is_string()) continue;
    if (stated.value("drawing", key) != key) continue;
    const std::string text = stated["mark"].get<std::string>();
    if (const Result<Vec2> at = mark_named(drawing, text); at.ok()) marks.push_back({text, *at});
  }
  return marks;
}

void count_marks(const std::vector<UsedMark>& marks, const Drawing& drawing, DrawingAccount& account) {
  for (const UsedMark& mark : marks) {
    std::set<long> lines;  // of the file
    const auto there = [&](Vec2 at) { return distance(at, mark.at) <= tolerance::kSamePoint.value(); };
    for (const DrawnPoint& point : drawing.points) {
      if (there(point.at)) lines.insert(point.from.line);
    }
    for (const DrawnCircle& circle : drawing.circles) {
      if (there(circle.centre)) lines.insert(circle.from.line);
    }
    for (const DrawnText& text : drawing.texts) {
      if (trimmed(text.text) == trimmed(mark.text)) lines.insert(text.from.line);
    }
    lines.erase(0);
    std::string piece;
    for (const LeftOutThing& thing : account.left_out) {
      if (piece.empty() && lines.contains(thing.from.line)) piece = thing.piece;
    }
    std::erase_if(account.left_out, [&](const LeftOutThing& thing) {
      if (!lines.contains(thing.from.line)) return false;
      account.used[piece] += thing.entities;
      return true;
    });
  }
}

}  // namespace lastwright
