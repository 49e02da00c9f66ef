#include "grading/jobs/owned_dies.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <set>
#include <string_view>

#include "geometry/files/read_file.hpp"
#include "geometry/io/dxf_read.hpp"
#include "geometry/tolerance.hpp"
#include "grading/dies/die_numbers.hpp"
#include "grading/dies/ordered_die.hpp"
#include "grading/jobs/load_style.hpp"

namespace lastwright {

namespace {

Problem die_refused(std::string message, const Drawing& drawing) {
  return bad_value(std::move(message)).in_file(drawing.file);
}

Result<OpenArcPath> arcs_of(const Contour& contour, const Drawing& drawing) {
  OpenArcPath path;
  for (const Curve& curve : contour.raw.curves) {
    const std::optional<ArcSegment> segment = segment_of(curve);
    if (!segment)
      return die_refused(
          "a die is drawn with lines and arcs; layer " + contour.from.layer + " holds a spline", drawing);
    path.vertices.push_back({segment->a, segment->bulge});
  }
  path.vertices.push_back({end_of(contour.raw.curves.back()), 0.0});
  return path;
}

ClosedArcPath closed(OpenArcPath path) {
  path.vertices.pop_back();  // the first vertex again, up to the chain gap
  ClosedArcPath result{std::move(path.vertices)};
  return signed_area(result) < 0.0 ? reversed(result) : result;
}

struct Found {
  std::string layer;
  ClosedArcPath path;
};

// "D0009", "D0009 L", and the end of a stamp: "stamp: Walker / vamp / 8 F / L / D0009".
std::vector<std::string> numbers_shown(const Drawing& drawing) {
  std::vector<std::string> numbers;
  for (const DrawnText& drawn : drawing.texts) {
    std::string_view text = drawn.text;
    while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
    while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
    if (text.starts_with("stamp: ")) {
      const std::size_t last = text.rfind(" / ");
      text.remove_prefix(last == std::string_view::npos ? text.size() : last + 3);
    } else {
      for (const std::string_view hand : {" L R", " L", " R", " M"}) {
        if (!text.ends_with(hand)) continue;
        text.remove_suffix(hand.size());
        break;
      }
    }
    const std::optional<std::string> number = number_in(text);
    if (number && std::find(numbers.begin(), numbers.end(), *number) == numbers.end())
      numbers.push_back(*number);
  }
  return numbers;
}

// What a drawing of this program says of the die's edges: that it has two, or that it is one of a pair.
void take_hands(const Drawing& drawing, OwnedDie& die) {
  for (const DrawnText& drawn : drawing.texts) {
    std::string_view text = drawn.text;
    while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
    die.two_edged = die.two_edged || text.starts_with("cutting edges: two");
    die.of_a_pair = die.of_a_pair || text.starts_with("this drawing: ");
  }
  if (die.two_edged) die.of_a_pair = false;
}

// `limits`: what is left of them for the drawings of one order; each takes its share. `shown`: read the
// numbers that the drawing shows.
Result<OwnedDie> read_one(const std::string& file, std::string number, std::string piece, DxfLimits& limits,
                          bool shown) {
  constexpr std::size_t kMostBytes = std::size_t{64} << 20;
  const Result<std::string> bytes = read_file(file, kMostBytes);
  if (!bytes) return bytes.problem();
  DxfReadOptions options;
  options.file_name = file;
  options.limits = limits;
  options.unit_may_default = true;  // R12 has no place for a unit: dies are drawn in millimetres
  const Result<Drawing> drawing = read_dxf(*bytes, options);
  if (!drawing) return drawing.problem();
  limits.copies -= std::min(limits.copies, drawing->copies);
  Result<DieShape> shape = die_from_drawing(*drawing);
  if (!shape) return shape.problem();
  OwnedDie die{std::move(number), std::move(piece), std::move(*shape), OwnedFoot::kUnknown};
  if (shown) {
    die.shown = numbers_shown(*drawing);
    take_hands(*drawing, die);
  }
  return die;
}

}  // namespace

Result<DieShape> die_from_drawing(const Drawing& drawing) {
  std::vector<Found> contours;
  DieShape shape;
  const ChainedContours chained = chain_contours(drawing, tolerance::kChainGap);
  if (!chained.problems.empty()) return chained.problems.front().in_file(drawing.file);
  for (const Contour& contour : chained.contours) {
    Result<OpenArcPath> path = arcs_of(contour, drawing);
    if (!path) return path.problem();
    const std::string& layer = contour.from.layer;
    if (contour.closed) {
      contours.push_back({layer, closed(std::move(*path))});
    } else if (layer == layer_name(Operation::kNick) || layer == layer_name(Operation::kPrick)) {
      shape.marks.push_back(
          {std::move(*path), layer == layer_name(Operation::kNick) ? Operation::kNick : Operation::kPrick});
    }
  }
  const std::string cut = layer_name(Operation::kCut);
  const bool by_layer =
      std::any_of(contours.begin(), contours.end(), [&](const Found& f) { return f.layer == cut; });
  std::size_t outline = contours.size();
  for (std::size_t k = 0; k < contours.size(); ++k) {
    if (by_layer && contours[k].layer != cut) continue;
    if (by_layer && outline < contours.size())
      return die_refused("a drawing of a die holds one outline, this one more", drawing);
    if (outline == contours.size() || signed_area(contours[k].path) > signed_area(contours[outline].path))
      outline = k;
  }
  if (outline == contours.size()) return die_refused("no closed outline was found", drawing);
  shape.cut.path = contours[outline].path;
  shape.cut.edge.assign(shape.cut.path.size(), 0);
  for (std::size_t k = 0; k < contours.size(); ++k) {
    if (k == outline) continue;
    if (!by_layer || contours[k].layer == layer_name(Operation::kCutOut))
      shape.cut_outs.push_back(contours[k].path);
  }
  for (const DrawnCircle& circle : drawing.circles) {
    if (circle.from.layer == layer_name(Operation::kPrick)) {
      shape.holes.push_back({circle.centre, 0.0, Operation::kPrick});
    } else if (!by_layer || circle.from.layer == layer_name(Operation::kHole) ||
               circle.from.layer == layer_name(Operation::kCutOut)) {
      shape.holes.push_back({circle.centre, circle.radius, Operation::kHole});
    }
  }
  return shape;
}

Result<std::vector<OwnedDie>> read_owned_dies(const std::string& path) {
  namespace fs = std::filesystem;
  std::error_code error;
  fs::path order = path;
  if (fs::is_directory(order, error)) order /= "die-order.json";
  std::vector<OwnedDie> owned;
  DxfLimits limits;
  if (order.extension() != ".json") {
    Result<OwnedDie> one = read_one(path, order.stem().string(), "", limits, true);
    if (!one) return one.problem();
    owned.push_back(std::move(*one));
    return owned;
  }
  constexpr std::size_t kMostBytes = std::size_t{16} << 20;
  const Result<std::string> text = read_file(order.string(), kMostBytes);
  if (!text) return text.problem();
  const Result<std::vector<OrderedDie>> dies = read_die_order(*text, order.string());
  if (!dies) return dies.problem();
  std::set<fs::path> drawings;  // an order gives each die its own; one named often would cost without end
  for (const OrderedDie& die : *dies) {
    const bool drawn = !die.file.empty();
    const std::string& name = drawn ? die.file : die.file_mirrored;
    const fs::path file = fs::path(name).lexically_normal();
    if (!drawings.insert(file).second) {
      return Problem{Trouble::kBadValue, "two dies of the order name the drawing " + name, {}, {}, {}}
          .in_file(order.string());
    }
    if (file.is_absolute() || *file.begin() == "..") {
      return Problem{
          Trouble::kBadValue, "die " + die.number + " names a drawing outside its order: " + name, {}, {}, {}}
          .in_file(order.string());
    }
    Result<OwnedDie> one =
        read_one(file_beside(order.string(), file.string()), die.number, die.piece, limits, false);
    if (!one) return one.problem();
    // The other foot's drawing is the mirror image by the order's own word.
    if (!drawn) one->shape = mirrored(one->shape);
    const bool both = !die.pair || (drawn && !die.file_mirrored.empty());
    one->foot = both ? OwnedFoot::kBoth : drawn ? OwnedFoot::kDrawn : OwnedFoot::kMirrored;
    one->of_a_pair = die.pair;
    one->two_edged = die.two_edged;
    one->single = !die.pair && !die.two_edged;
    one->quantity = die.quantity;
    one->served = die.served;
    one->rule_height = die.rule_height;
    one->height_assumed = die.height_assumed;
    one->bevel = die.bevel;
    one->bevel_assumed = die.bevel_assumed;
    one->making_tolerance = die.making_tolerance;
    one->layers_per_stroke = die.layers_per_stroke;
    one->weight = die.weight;
    one->drawn_as = die.drawn_as;
    one->stamp = die.stamp;
    one->stamp_mirrored = die.stamp_mirrored;
    owned.push_back(std::move(*one));
  }
  return owned;
}

}  // namespace lastwright
