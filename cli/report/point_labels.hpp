// Where the names of points stand on a picture: beside their points, off the points, off each other and off
// lines, as far as there is room. On paper: millimetres, y down.
#pragma once

#include <string>
#include <vector>

#include "geometry/box2.hpp"

namespace lastwright {

struct PointLabel {
  Vec2 point;
  std::string text;
  Vec2 base = {};      // left end of the base line
  Box2 box = {};       // of the text
  bool apart = false;  // not beside its point: a leader tells whose it is
  Vec2 elbow = {};     // end of the leader, at the text
};

class PointLabels {
 public:
  // Of the font, as SVG has it.
  explicit PointLabels(double font_size) : size_(font_size) {}
  // What lies beyond it, the paper, is off the picture.
  void keep_within(const Box2& box) { within_ = box; }
  // Never covered where there is room.
  void keep_off(const Box2& box) { taken_.push_back(box); }
  // Crossed sooner than a text or a point, but not where there is room.
  void keep_off(Vec2 a, Vec2 b) { lines_.push_back({a, b}); }
  void add(Vec2 point, std::string text) { labels_.push_back({point, std::move(text)}); }

  // All of them, in the order in which they were added.
  std::vector<PointLabel> place();

 private:
  struct Line {
    Vec2 a, b;
  };
  [[nodiscard]] double cost(const Box2& box) const;
  [[nodiscard]] double leader_cost(Vec2 from, Vec2 to) const;

  double size_;
  std::vector<Box2> taken_;
  Box2 within_{{-1e9, -1e9}, {1e9, 1e9}};
  std::vector<Box2> texts_;  // those of them that are labels
  std::vector<Line> lines_;
  std::vector<PointLabel> labels_;
};

// The leader, if any, and the text, as SVG; the leader of the class "leader", the text of the class "small".
std::string label_svg(const PointLabel& label);

}  // namespace lastwright
