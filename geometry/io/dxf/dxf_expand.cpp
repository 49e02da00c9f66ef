#include "geometry/io/dxf/dxf_expand.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "geometry/io/dxf/dxf_place_path.hpp"
#include "geometry/io/dxf/dxf_tags.hpp"
#include "geometry/io/dxf/dxf_text.hpp"
#include "geometry/io/paper/plane_affine.hpp"
#include "geometry/tolerance.hpp"

namespace lastwright {
namespace {

// Where the entities being expanded come from.
struct Context {
  PlaneAffine map;
  std::string layer;  // what layer "0" stands for inside a block; "" in the model space
  std::string block;  // the outermost block
  std::size_t insert = 0;
  int depth = 0;
};

class Expander {
 public:
  Expander(Drawing& drawing, const DxfSections& sections, const DxfLimits& limits)
      : drawing_(drawing), sections_(sections), limits_(limits) {
    for (const auto& [key, block] : sections.blocks) in_blocks_ += block.entities.size();
  }

  void expand(const std::vector<DxfEntity>& entities, const Context& context) {
    for (const DxfEntity& entity : entities) {
      if (problem_) return;
      from_ = entity.from;
      from_.block = context.block;
      from_.insert = context.insert;
      if (!context.layer.empty() && from_.layer == "0") from_.layer = context.layer;
      context_ = &context;
      if (!spend(entity)) return;
      const std::size_t left_out = drawing_.left_out.size();
      const std::string layer = from_.layer;
      std::visit([this](const auto& shape) { place(shape); }, entity.shape);
      if (drawing_.left_out.size() > left_out || std::holds_alternative<DxfInsert>(entity.shape)) continue;
      if (sections_.hidden_layers.contains(layer)) ++on_hidden_[layer];
      if (*entity.unread != 0) ++in_part_[{entity.unread, layer}];
    }
  }

  // What was read otherwise than the drawing shows it.
  void note_what_differs() {
    for (const auto& [layer, count] : on_hidden_)
      note(fmt::format("the layer {} is {} in the drawing; what is on it was read all the same ({} entit{})",
                       layer, sections_.hidden_layers.at(layer), count, count == 1 ? "y" : "ies"));
    for (const auto& [what, count] : in_part_)
      note(fmt::format(
          "{} entit{} on the layer {} with a {}, which is not read: {}", count, count == 1 ? "y" : "ies",
          what.second, what.first,
          std::string_view(what.first) == "width" ? "the line in its middle counts" : "its outline counts"));
    for (const auto& [what, count] : scaled_)
      note(fmt::format("the block {} is inserted at {:g} times its size{}{}", what.first, what.second[0],
                       what.second[0] == what.second[1]
                           ? ""
                           : fmt::format(" along its x axis and {:g} times along y", what.second[1]),
                       count > 1 ? fmt::format(", {} times", count) : ""));
    if (more_notes_ > 0) drawing_.notes.push_back(fmt::format("and {} more such notes", more_notes_));
  }

  void report_unused_blocks() {
    for (const auto& [key, block] : sections_.blocks) {
      const bool internal = key.starts_with('*') || key.starts_with('_') || key.starts_with('$');
      if (internal || block.entities.empty() || inserted_.contains(key)) continue;
      from_ = {"BLOCK", "", block.name, 0, "", block.entities.front().from.line};
      leave_out(fmt::format("nothing inserts this block; it holds {} entities", block.entities.size()));
    }
  }

  std::optional<Problem> take_problem() { return std::move(problem_); }

 private:
  void fail(Trouble trouble, std::string message) {
    if (problem_) return;
    problem_ = dxf_problem(trouble, std::move(message));
    problem_->place.line = from_.line;
    problem_->place.named.emplace_back("entity", from_.entity);
    if (!from_.layer.empty()) problem_->place.named.emplace_back("layer", from_.layer);
    if (!from_.block.empty()) problem_->place.named.emplace_back("block", from_.block);
  }

  // Everything that is expanded costs an entity and, by its size, vertices: so that neither counts nor
  // nesting can make a small file large.
  bool spend(const DxfEntity& entity) {
    constexpr std::size_t kTextBytesAVertex = 32;
    std::size_t size = (from_.layer.size() + from_.block.size()) / kTextBytesAVertex;
    if (const auto* polyline = std::get_if<DxfPolyline>(&entity.shape)) size += polyline->vertices.size();
    if (const auto* spline = std::get_if<Spline>(&entity.shape)) size += spline->poles().size();
    if (const auto* text = std::get_if<DxfText>(&entity.shape)) size += text->text.size() / kTextBytesAVertex;
    vertices_ += size;
    if (!count() || (context_->depth > 0 && !count_copy())) return false;
    if (vertices_ > limits_.vertices) {
      fail(Trouble::kBudget, fmt::format("the drawing expands to more than {} vertices", limits_.vertices));
    }
    return !problem_;
  }

  bool count() {
    if (++entities_ <= limits_.entities) return true;
    fail(Trouble::kBudget, fmt::format("the drawing expands to more than {} entities", limits_.entities));
    return false;
  }

  bool count_copy() {
    if (++from_blocks_ <= in_blocks_) return true;
    if (++drawing_.copies <= limits_.copies) return true;
    fail(Trouble::kBudget,
         fmt::format("the drawing expands to more than {} copies of what its blocks hold", limits_.copies));
    return false;
  }

  bool within(Vec2 p) {
    if (std::abs(p.x) <= limits_.coordinate && std::abs(p.y) <= limits_.coordinate) return true;
    fail(Trouble::kBadValue, fmt::format("it lies beyond {:g} mm", limits_.coordinate));
    return false;
  }

  void note(std::string text) {
    constexpr std::size_t kMostNotes = 30;  // of what may stand on every layer and in every block
    if (drawing_.notes.size() < kMostNotes) {
      drawing_.notes.push_back(std::move(text));
    } else {
      ++more_notes_;
    }
  }

  void leave_out(std::string reason) {
    ++drawing_.entities_in;
    drawing_.left_out.push_back({from_, std::move(reason)});
  }

  void place(const DxfUnread& unread) { leave_out(unread.reason); }

  // A spline all of whose poles lie in one place.
  static bool is_point(const DrawnPath& path) {
    return std::all_of(path.curves.begin(), path.curves.end(), [&](const Curve& curve) {
      const auto* spline = std::get_if<Spline>(&curve);
      return spline != nullptr && std::all_of(spline->poles().begin(), spline->poles().end(), [&](Vec2 p) {
               return distance(p, spline->poles().front()) <= tolerance::kSamePoint.value();
             });
    });
  }

  void keep(DrawnPath path) {
    if (path.curves.empty() || is_point(path)) {
      leave_out("it has no length");
      return;
    }
    for (const Curve& curve : path.curves) {
      if (!within(start_of(curve)) || !within(end_of(curve))) return;
      if (const auto* spline = std::get_if<Spline>(&curve)) {
        for (const Vec2 pole : spline->poles()) {
          if (!within(pole)) return;
        }
      }
    }
    path.from = from_;
    ++drawing_.entities_in;
    drawing_.paths.push_back(std::move(path));
  }

  void place(const DxfPolyline& polyline) { keep(placed_path(polyline, context_->map)); }
  void place(const Spline& spline) { keep(placed_path(spline, context_->map)); }

  void place(const DxfCircle& circle) {
    if (!context_->map.keeps_circles()) {
      keep(placed_path(circle, context_->map));
      return;
    }
    const Vec2 centre = context_->map.point(circle.centre);
    const double radius = circle.radius * context_->map.scale();
    if (!within(centre) || !within({radius, radius})) return;
    ++drawing_.entities_in;
    drawing_.circles.push_back({centre, radius, from_});
  }

  void place(const DxfPoint& point) {
    const Vec2 at = context_->map.point(point.at);
    if (!within(at)) return;
    ++drawing_.entities_in;
    drawing_.points.push_back({at, from_});
  }

  void place(const DxfText& text) {
    const PlaneAffine& map = context_->map;
    const Vec2 at = map.point(text.at);
    if (!within(at)) return;
    const Vec2 along = map.direction(text.along);
    const double height = text.height * std::abs(map.determinant()) / norm(along);
    ++drawing_.entities_in;
    drawing_.texts.push_back({at, height, Radians(std::atan2(along.y, along.x)), text.text, from_});
  }

  void place(const DxfInsert& insert) {
    const std::string key = block_key(insert.block);
    const auto found = sections_.blocks.find(key);
    if (found == sections_.blocks.end()) {
      leave_out(fmt::format("its block {} is not in the file", in_quotes(insert.block)));
      return;
    }
    const DxfBlock& block = found->second;
    inserted_.insert(key);
    if (block.external) {
      leave_out(fmt::format("its block {} is in another file", in_quotes(insert.block)));
      return;
    }
    if (std::find(open_blocks_.begin(), open_blocks_.end(), &block) != open_blocks_.end()) {
      fail(Trouble::kBadValue, fmt::format("the block {} contains itself", in_quotes(insert.block)));
      return;
    }
    if (context_->depth >= limits_.insert_depth) {
      fail(Trouble::kBudget, fmt::format("blocks are nested more than {} deep", limits_.insert_depth));
      return;
    }
    insert_all(insert, block);
  }

  void insert_all(const DxfInsert& insert, const DxfBlock& block) {
    const Context& outer = *context_;
    const DrawnFrom insert_from = from_;
    // Copies that would fall on each other are one. The product
    // may be absurd: it is only ever counted up to the budget.
    const std::int64_t columns = insert.column_step == 0.0 ? 1 : std::max<std::int64_t>(1, insert.columns);
    const std::int64_t rows = insert.row_step == 0.0 ? 1 : std::max<std::int64_t>(1, insert.rows);
    const auto budget = static_cast<std::int64_t>(limits_.copies);
    if (columns > budget || rows > budget / columns) {
      fail(Trouble::kBudget,
           fmt::format("an array of {} by {} insertions (the budget is {} entities)", columns, rows, budget));
      return;
    }
    const Vec2 along = direction_of_degrees(insert.degrees);
    const PlaneAffine facing{{insert.facing, 0.0}, {0.0, 1.0}, {}};
    Context inner;
    inner.depth = outer.depth + 1;
    inner.layer = from_.layer;
    inner.block = outer.depth == 0 ? block.name : outer.block;
    open_blocks_.push_back(&block);
    const std::array<double, 2> scales{std::abs(insert.scale_x), std::abs(insert.scale_y)};
    if (scales != std::array<double, 2>{1.0, 1.0}) ++scaled_[{block.name, scales}];
    for (std::int64_t row = 0; row < rows && !problem_; ++row) {
      for (std::int64_t column = 0; column < columns && !problem_; ++column) {
        const Vec2 step{insert.column_step * static_cast<double>(column),
                        insert.row_step * static_cast<double>(row)};
        PlaneAffine place_block{insert.scale_x * along, insert.scale_y * left_of(along), {}};
        const Vec2 shifted = insert.at + step.x * along + step.y * left_of(along);
        place_block.origin = shifted - place_block.direction(block.base);
        inner.map = outer.map * facing * place_block;
        inner.insert = outer.depth == 0 ? ++inserts_ : outer.insert;
        from_ = insert_from;
        if (!good(inner.map)) return;
        const bool first = row == 0 && column == 0;
        if (!count() || (!first && !count_copy())) return;
        expand(block.entities, inner);
      }
    }
    open_blocks_.pop_back();
    context_ = &outer;
  }

  // Scales multiply through the nesting; what leaves these bounds draws nothing that could be measured.
  bool good(const PlaneAffine& map) {
    constexpr double kLargest = 1e9;  // of a scale: beyond it coordinates have lost their last millimetre
    const double largest = std::max(norm(map.x_axis), norm(map.y_axis));
    const double smallest = std::min(norm(map.x_axis), norm(map.y_axis));
    if (largest <= kLargest && smallest >= 1.0 / kLargest && is_finite(map.origin) &&
        std::abs(map.determinant()) >= smallest * largest / kLargest) {
      return true;
    }
    fail(Trouble::kBadValue,
         fmt::format("it scales its block by {:g} and {:g}", norm(map.x_axis), norm(map.y_axis)));
    return false;
  }

  Drawing& drawing_;
  const DxfSections& sections_;
  const DxfLimits& limits_;
  const Context* context_ = nullptr;
  DrawnFrom from_;
  std::vector<const DxfBlock*> open_blocks_;
  std::set<std::string> inserted_;
  std::map<std::string, std::size_t> on_hidden_;  // entities read, by layer
  std::map<std::pair<std::string, std::string>, std::size_t>
      in_part_;  // what of them was not read, and layer
  std::map<std::pair<std::string, std::array<double, 2>>, std::size_t>
      scaled_;  // insertions, by block and scales
  std::size_t more_notes_ = 0;
  std::size_t inserts_ = 0;
  std::size_t entities_ = 0;
  std::size_t vertices_ = 0;
  std::size_t in_blocks_ = 0;    // entities, as the file holds them
  std::size_t from_blocks_ = 0;  // expanded so far, INSERTs counted too
  std::optional<Problem> problem_;
};

}  // namespace

Status expand_into(Drawing& drawing, const DxfSections& sections, double unit_in_mm,
                   const DxfLimits& limits) {
  Expander expander(drawing, sections, limits);
  Context model_space;
  model_space.map = {{unit_in_mm, 0.0}, {0.0, unit_in_mm}, {}};
  expander.expand(sections.model_space, model_space);
  if (std::optional<Problem> problem = expander.take_problem()) return *problem;
  expander.report_unused_blocks();
  expander.note_what_differs();
  invariant(drawing.entities_in == drawing.used() + drawing.left_out.size(),
            "every entity is used or listed");
  return Done{};
}

}  // namespace lastwright
