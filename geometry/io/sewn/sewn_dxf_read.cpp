#include <fmt/format.h>

#include <charconv>
#include <map>
#include <utility>

#include "geometry/io/dxf/dxf_read.hpp"
#include "geometry/io/sewn/sewn_dxf.hpp"
#include "geometry/io/sewn/sewn_layers.hpp"

namespace lastwright {
namespace {

// Points and rule texts in the order of the block, which is the order of its lines, notches and drill holes.
struct Point {
  Vec2 at;
  int layer = 0;
};
struct Rule {
  Vec2 at;
  int layer = 0;
  int rule = 0;
};

struct Block {
  SewnPiece piece;
  std::vector<Point> points;
  std::vector<Rule> rules;
  SewnLine* last_line = nullptr;  // the line whose dense curve may follow
  bool has_boundary = false;
};

Problem unexpected(const DrawnFrom& from) {
  return {Trouble::kUnsupported,
          fmt::format("{} on layer {} at line {} is not part of this convention", from.entity, from.layer,
                      from.line),
          {},
          {},
          {}};
}

int layer_number(const DrawnFrom& from) {
  int number = 0;
  const char* const last = from.layer.data() + from.layer.size();
  const auto [end, error] = std::from_chars(from.layer.data(), last, number);
  return error == std::errc{} && end == last ? number : -1;
}

std::vector<Vec2> points_of(const DrawnPath& path) {
  std::vector<Vec2> points;
  for (const Curve& curve : path.curves) points.push_back(start_of(curve));
  if (!path.closed) points.push_back(end_of(path.curves.back()));
  return points;
}

Status take_path(Block& block, const DrawnPath& path) {
  const int layer = layer_number(path.from);
  SewnPiece& piece = block.piece;
  const std::vector<Vec2> points = points_of(path);
  if (layer == sewn::kMirror || layer == sewn::kGrain) {
    (layer == sewn::kMirror ? piece.mirror_line : piece.grain_line) =
        std::pair(points.front(), points.back());
    return Done{};
  }
  if (layer >= 84 && layer <= 87) {
    if (!block.last_line || !block.last_line->dense.empty()) return unexpected(path.from);
    block.last_line->dense = points;
    return Done{};
  }
  SewnLine* line = nullptr;
  switch (layer) {
    case sewn::kBoundary:
      if (block.has_boundary) return unexpected(path.from);
      block.has_boundary = true;
      line = &piece.boundary;
      break;
    case sewn::kInternal:
      line = &piece.internal_lines.emplace_back();
      break;
    case sewn::kCutOut:
      line = &piece.cut_outs.emplace_back();
      break;
    case sewn::kSew:
      line = &piece.sew_lines.emplace_back();
      break;
    default:
      return unexpected(path.from);
  }
  line->closed = path.closed;
  for (const Vec2 p : points) line->points.push_back({p, false, 0});
  block.last_line = line;
  return Done{};
}

Status take_point(Block& block, const DrawnPoint& point) {
  const int layer = layer_number(point.from);
  if (layer != sewn::kTurn && layer != sewn::kCurve && layer != sewn::kNotch && layer != sewn::kDrill) {
    return unexpected(point.from);
  }
  block.points.push_back({point.at, layer});
  return Done{};
}

bool take_label(const std::string& text, const std::string& label, std::string& into) {
  if (!text.starts_with(label) || !into.empty()) return false;
  into = text.substr(label.size());
  return true;
}

Status take_style(SewnStyle& style, std::string& units, const DrawnText& text) {
  const std::pair<const std::string&, std::string*> all[] = {{sewn::kStyleName, &style.name},
                                                             {sewn::kProduct, &style.product},
                                                             {sewn::kAuthor, &style.author},
                                                             {sewn::kCreationDate, &style.date},
                                                             {sewn::kUnits, &units},
                                                             {sewn::kSampleSize, &style.sample_size},
                                                             {sewn::kRuleTable, &style.rule_table}};
  if (layer_number(text.from) != sewn::kText) return unexpected(text.from);
  for (const auto& [name, into] : all) {
    if (take_label(text.text, name, *into)) return Done{};
  }
  return unexpected(text.from);
}

// A size is written with its width.
bool part_width(SewnPiece& piece) {
  const std::string end = " " + piece.width;
  if (!piece.size.ends_with(end)) return false;
  piece.size.resize(piece.size.size() - end.size());
  return true;
}

Status take_text(Block& block, const DrawnText& text) {
  const int layer = layer_number(text.from);
  SewnPiece& piece = block.piece;
  if (layer == sewn::kText) {
    if (take_label(text.text, sewn::kPieceName, piece.piece) ||
        take_label(text.text, sewn::kSize, piece.size) || take_label(text.text, sewn::kWidth, piece.width)) {
      return Done{};
    }
    piece.texts.push_back({text.at, text.height, text.text});
    return Done{};
  }
  int rule = 0;
  const bool numbered =
      text.text.starts_with("# ") &&
      std::from_chars(text.text.data() + 2, text.text.data() + text.text.size(), rule).ec == std::errc{};
  const bool beside_point =
      layer == sewn::kTurn || layer == sewn::kCurve || layer == sewn::kNotch || layer == sewn::kDrill;
  if (!beside_point || !numbered) return unexpected(text.from);
  block.rules.push_back({text.at, layer, rule});
  return Done{};
}

// Gives every line its points' kinds and rules, and the piece its notches and drill holes.
Status apply_points(Block& block) {
  std::size_t next_rule = 0;
  const auto rule_of = [&](const Point& point) {
    if (next_rule == block.rules.size()) return 0;
    const Rule& rule = block.rules[next_rule];
    if (rule.layer != point.layer || rule.at != point.at) return 0;
    ++next_rule;
    return rule.rule;
  };
  std::vector<SewnLine*> lines{&block.piece.boundary};
  for (auto* group : {&block.piece.internal_lines, &block.piece.cut_outs, &block.piece.sew_lines}) {
    for (SewnLine& line : *group) lines.push_back(&line);
  }
  std::size_t next = 0;
  const auto fault = [&](const char* what) {
    Problem problem{Trouble::kUnsupported, what, {}, {}, {}};
    problem.place.named = {
        {"piece", block.piece.piece}, {"size", block.piece.size}, {"width", block.piece.width}};
    return problem;
  };
  for (SewnLine* line : lines) {
    for (SewnPoint& point : line->points) {
      if (next == block.points.size() || block.points[next].at != point.at) {
        return fault("a line's points do not follow each other as its corners do");
      }
      const Point& mark = block.points[next++];
      point.turn = mark.layer == sewn::kTurn;
      point.rule = rule_of(mark);
    }
  }
  for (; next < block.points.size(); ++next) {
    const Point& mark = block.points[next];
    if (mark.layer != sewn::kNotch && mark.layer != sewn::kDrill)
      return fault("a point that belongs to no line");
    (mark.layer == sewn::kNotch ? block.piece.notches : block.piece.drill_holes)
        .push_back({mark.at, rule_of(mark)});
  }
  if (next_rule != block.rules.size()) return fault("a rule number that belongs to no point");
  return Done{};
}

}  // namespace

Result<SewnDrawing> read_sewn_dxf(std::string_view bytes) {
  DxfReadOptions options;
  options.unit = DrawingUnit::kMillimetre;
  // A whole run in one file, and as large as its writer made it: the budget is for files from elsewhere.
  options.limits = {
      .bytes = std::size_t{2} << 30, .entities = 20'000'000, .vertices = 50'000'000, .copies = 20'000'000};
  const Result<Drawing> drawing = read_dxf(bytes, options);
  if (!drawing) return drawing.problem();
  if (!drawing->left_out.empty()) return unexpected(drawing->left_out.front().from);
  if (!drawing->circles.empty()) return unexpected(drawing->circles.front().from);
  std::map<std::size_t, Block> blocks;  // by insertion, in the order of the file
  for (const DrawnPath& path : drawing->paths) {
    if (Status s = take_path(blocks[path.from.insert], path); !s) return s.problem();
  }
  for (const DrawnPoint& point : drawing->points) {
    if (Status s = take_point(blocks[point.from.insert], point); !s) return s.problem();
  }
  SewnDrawing read;
  std::string units;
  for (const DrawnText& text : drawing->texts) {
    if (text.from.insert == 0) {
      if (Status s = take_style(read.style, units, text); !s) return s.problem();
      continue;
    }
    if (Status s = take_text(blocks[text.from.insert], text); !s) return s.problem();
  }
  if (units != sewn::kMetric) {
    return Problem{Trouble::kUnsupported,
                   "the text UNITS says \"" + units + "\": only METRIC, millimetres, is read",
                   {},
                   {},
                   {}};
  }
  for (auto& [insert, block] : blocks) {
    if (insert == 0 || !block.has_boundary) {
      return Problem{Trouble::kUnsupported, "a piece without a block or without a boundary", {}, {}, {}};
    }
    if (Status s = apply_points(block); !s) return s.problem();
    if (!part_width(block.piece)) {
      Problem problem{Trouble::kUnsupported, "a size that does not end with its width", {}, {}, {}};
      problem.place.named = {{"piece", block.piece.piece}, {"size", block.piece.size}};
      return problem;
    }
    read.pieces.push_back(std::move(block.piece));
  }
  return read;
}

}  // namespace lastwright
