#include "geometry/io/cutter_write.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/io/drawable.hpp"
#include "geometry/io/paper/sheet_place.hpp"
#include "geometry/io/paper/svg_canvas.hpp"

namespace lastwright {

namespace {

// One stroke of the tool: down at the first vertex, up at the last; a prick has one vertex.
struct Stroke {
  std::vector<ArcVertex> vertices;
};

struct Worked {
  Operation operation;
  std::vector<Stroke> strokes;
};

bool is_asked(const std::vector<Operation>& asked, Operation operation) {
  return asked.empty() || std::find(asked.begin(), asked.end(), operation) != asked.end();
}

Stroke closed_stroke(const ClosedArcPath& path) {
  Stroke stroke{path.vertices};
  stroke.vertices.push_back({path.vertices.front().at, 0.0});
  return stroke;
}

std::vector<Worked> strokes_of(const Sheet& sheet, const std::vector<Operation>& asked) {
  std::vector<Worked> all;
  for (const Operation operation : cutting_order()) {
    if (!is_asked(asked, operation)) continue;
    Worked worked{operation, {}};
    for (const SheetLine& line : sheet.lines) {
      if (line.operation == operation && line.path.vertices.size() > 1)
        worked.strokes.push_back({line.path.vertices});
    }
    for (const SheetHole& hole : sheet.holes) {
      if (hole.operation != operation) continue;
      const Vec2 out{hole.radius, 0.0};
      if (hole.radius <= 0.0) {
        worked.strokes.push_back({{{hole.centre, 0.0}}});
      } else {
        worked.strokes.push_back(
            {{{hole.centre - out, 1.0}, {hole.centre + out, 1.0}, {hole.centre - out, 0.0}}});
      }
    }
    for (const SheetOutline& outline : sheet.outlines) {
      if (outline.operation == operation && !outline.path.vertices.empty())
        worked.strokes.push_back(closed_stroke(outline.path));
    }
    if (!worked.strokes.empty()) all.push_back(std::move(worked));
  }
  return all;
}

Box2 strokes_box(const std::vector<Worked>& all) {
  Box2 box;
  for (const Worked& worked : all) {
    for (const Stroke& stroke : worked.strokes) {
      box.add(stroke.vertices.front().at);
      box.add(bounds(OpenArcPath{stroke.vertices}));
    }
  }
  return box;
}

// Everything that is worked, moved to lie from the origin on.
struct Prepared {
  std::vector<Worked> work;
  CutterText text;
};

Result<Prepared> prepared(const Sheet& sheet, const std::vector<Operation>& asked) {
  Prepared ready;
  ready.work = strokes_of(sheet, asked);
  if (ready.work.empty())
    return bad_value("none of the operations asked for is in the drawing \"" + sheet.title + "\"");
  const Box2 box = strokes_box(ready.work);
  if (!is_drawable(box.low) || !is_drawable(box.high)) {
    return Problem{Trouble::kGeometry, "a drawing reaches farther than can be drawn", {}, {}, {}};
  }
  for (Worked& worked : ready.work) {
    ready.text.strokes += worked.strokes.size();
    for (Stroke& stroke : worked.strokes) {
      for (ArcVertex& vertex : stroke.vertices) vertex.at = vertex.at - box.low;
    }
  }
  ready.text.width = box.width();
  ready.text.height = box.height();
  ready.text.texts = sheet.texts.size();
  return ready;
}

Status check_words(const std::string& words, const char* what) {
  const bool sound =
      !words.empty() && words.size() <= 80 &&
      std::all_of(words.begin(), words.end(), [](char c) { return c >= ' ' && c <= '~' && c != '%'; });
  if (sound) return Done{};
  return Problem{
      Trouble::kUsage,
      fmt::format("the words for {} must be one line of at most 80 plain letters, as \"M3 S1000\"", what),
      {},
      {},
      {}};
}

// An arc that leaves its chord by less than this is written straight: of a flatter one the rounding of its
// ends and its centre could make nearly a whole turn.
constexpr double kFlat = 1e-3;  // mm

// Relative to its start: G2 and G3 want the centre so.
void append_gcode_segment(std::string& text, const ArcSegment& segment, std::string& feed) {
  const auto word = [&](char name, double value) {
    text += fmt::format(" {}", name);
    append_number(text, value);
  };
  const bool straight = 0.5 * std::abs(segment.bulge) * segment.chord() < kFlat;
  text += straight ? "G1" : segment.bulge > 0.0 ? "G3" : "G2";
  word('X', segment.b.x);
  word('Y', segment.b.y);
  if (!straight) {
    const Vec2 centre = segment.centre() - segment.a;
    word('I', centre.x);
    word('J', centre.y);
  }
  text += feed + "\n";
  feed.clear();
}

}  // namespace

const std::vector<Operation>& cutting_order() {
  static const std::vector<Operation> order{Operation::kGrain,   Operation::kFold,     Operation::kGuide,
                                            Operation::kNetLine, Operation::kLapGuide, Operation::kSkive,
                                            Operation::kStitch,  Operation::kPrick,    Operation::kHole,
                                            Operation::kCutOut,  Operation::kNick,     Operation::kCut};
  return order;
}

int pen_of(Operation operation) {
  return static_cast<int>(operation) + 1;
}

Result<CutterText> write_hpgl(const Sheet& sheet, const HpglOptions& options) {
  Result<Prepared> ready = prepared(sheet, options.operations);
  if (!ready) return ready.problem();
  std::string& text = ready->text.bytes;
  text = "IN;\n";
  constexpr std::size_t kPairs = 64;
  const auto pair = [](Vec2 p) {
    return std::pair(std::lround(p.x / kHpglUnit), std::lround(p.y / kHpglUnit));
  };
  for (const Worked& worked : ready->work) {
    text += fmt::format("SP{};\n", pen_of(worked.operation));
    for (const Stroke& stroke : worked.strokes) {
      const OpenArcPath path{stroke.vertices};
      const std::vector<Vec2> points = stroke.vertices.size() == 1
                                           ? std::vector<Vec2>{stroke.vertices.front().at}
                                           : flattened(path, options.chord_error);
      auto last = pair(points.front());
      text += fmt::format("PU{},{};\n", last.first, last.second);
      std::size_t pairs = 0;
      for (std::size_t i = 0; i < points.size(); ++i) {
        const auto next = pair(points[i]);
        // A prick goes down where it stands; elsewhere what rounds to one point is one.
        if (next == last && (i > 0 || points.size() > 1)) continue;
        text += pairs == 0 ? "PD" : ",";
        text += fmt::format("{},{}", next.first, next.second);
        last = next;
        if (++pairs == kPairs) {
          text += ";\n";
          pairs = 0;
        }
      }
      if (pairs > 0) text += ";\n";
    }
  }
  text += "PU0,0;\nSP0;\n";
  return std::move(ready->text);
}

Result<CutterText> write_gcode(const Sheet& sheet, const GcodeOptions& options) {
  for (const auto& [words, what] :
       {std::pair(options.knife_down, "knife down"), std::pair(options.knife_up, "knife up"),
        std::pair(options.end, "the end")}) {
    if (Status sound = check_words(words, what); !sound) return sound.problem();
  }
  Result<Prepared> ready = prepared(sheet, options.operations);
  if (!ready) return ready.problem();
  std::string& text = ready->text.bytes;
  text = "G21\nG90\n" + options.knife_up + "\n";
  std::string feed;
  if (options.feed > 0.0) {
    feed = " F";
    append_number(feed, options.feed);
  }
  for (const Worked& worked : ready->work) {
    text += fmt::format("({})\n", layer_name(worked.operation));
    for (const Stroke& stroke : worked.strokes) {
      text += "G0 X";
      append_number(text, stroke.vertices.front().at.x);
      text += " Y";
      append_number(text, stroke.vertices.front().at.y);
      text += "\n" + options.knife_down + "\n";
      const OpenArcPath path{stroke.vertices};
      for (std::size_t i = 0; i < path.size(); ++i) append_gcode_segment(text, path.segment(i), feed);
      text += options.knife_up + "\n";
    }
  }
  text += options.end + "\n";
  return std::move(ready->text);
}

}  // namespace lastwright
