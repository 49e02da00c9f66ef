#include "grading/jobs/owned_dies.hpp"

#include <algorithm>
#include <filesystem>
#include <memory>
#include <set>

#include "geometry/files/read_file.hpp"
#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/dies/order/die_says.hpp"
#include "grading/dies/order/ordered_die.hpp"
#include "grading/jobs/die_from_drawing.hpp"
#include "grading/jobs/load_style.hpp"

namespace lastwright {

namespace {

// `limits`: what is left of them for the drawings of one order; each takes its share. `with_texts`: nobody
// else says what the die is.
Result<EarlierDie> read_one(const std::string& file, std::string number, std::string piece, DxfLimits& limits,
                            bool with_texts) {
  constexpr std::size_t kMostBytes = std::size_t{64} << 20;
  Result<std::string> bytes = read_file(file, kMostBytes);
  if (!bytes) return bytes.problem();
  DxfReadOptions options;
  options.file_name = file;
  options.limits = limits;
  options.unit_may_default = true;  // R12 has no place for a unit: dies are drawn in millimetres
  const Result<Drawing> drawing = read_dxf(*bytes, options);
  if (!drawing) return drawing.problem();
  limits.copies -= std::min(limits.copies, drawing->copies);
  Result<DrawnDie> drawn = die_from_drawing(*drawing);
  if (!drawn) return drawn.problem();
  OwnedDie die{std::move(number), std::move(piece), std::move(drawn->shape), OwnedFoot::kUnknown};
  die.left_out = std::move(drawn->left_out);
  if (with_texts) {
    std::vector<std::string> texts;
    for (const DrawnText& text : drawing->texts) texts.push_back(text.text);
    take_texts(texts, die);
  }
  EarlierDie one;
  one.name = die.number;
  one.die = std::move(die);
  one.drawing = std::make_shared<const std::string>(*std::move(bytes));
  one.file = std::filesystem::path(file).filename().string();
  return one;
}

// What its order says of it, or one that it was handed on through.
void take_said(const OrderedDie& said, EarlierDie& one) {
  OwnedDie& die = one.die;
  const bool drawn = !said.file.empty();
  // The other foot's drawing is the mirror image by the order's own word.
  if (!drawn) die.shape = mirrored(die.shape);
  one.other_foot = !drawn;
  const bool both =
      !said.pair || (drawn && !said.file_mirrored.empty()) || (said.carried > 0 && said.feet.empty());
  die.foot = both               ? OwnedFoot::kBoth
             : said.carried > 0 ? (said.feet == kOnlyDrawn ? OwnedFoot::kDrawn : OwnedFoot::kMirrored)
             : drawn            ? OwnedFoot::kDrawn
                                : OwnedFoot::kMirrored;
  die.of_a_pair = said.pair;
  die.two_edged = said.two_edged;
  die.single = !said.pair && !said.two_edged;
  die.quantity = said.quantity;
  die.served = said.served;
  die.rule_height = said.rule_height;
  die.height_assumed = said.height_assumed;
  die.bevel = said.bevel;
  die.bevel_assumed = said.bevel_assumed;
  die.making_tolerance = said.making_tolerance;
  die.layers_per_stroke = said.layers_per_stroke;
  die.weight = said.weight;
  die.drawn_as = said.drawn_as;
  die.stamp = said.stamp;
  die.stamp_mirrored = said.stamp_mirrored;
}

}  // namespace

Result<std::vector<EarlierDie>> read_owned_dies(const std::string& path,
                                                std::vector<std::string>& elsewhere) {
  namespace fs = std::filesystem;
  std::error_code error;
  fs::path order = path;
  if (fs::is_directory(order, error)) order /= "die-order.json";
  std::vector<EarlierDie> owned;
  DxfLimits limits;
  if (order.extension() != ".json") {
    Result<EarlierDie> one = read_one(path, order.stem().string(), "", limits, true);
    if (!one) return one.problem();
    owned.push_back(std::move(*one));
    return owned;
  }
  constexpr std::size_t kMostBytes = std::size_t{16} << 20;
  const Result<std::string> text = read_file(order.string(), kMostBytes);
  if (!text) return text.problem();
  const Result<std::vector<OrderedDie>> dies = read_die_order(*text, order.string());
  if (!dies) return dies.problem();
  Result<std::vector<std::string>> missing = dies_elsewhere(*text, order.string());
  if (!missing) return missing.problem();
  elsewhere = *std::move(missing);
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
    Result<EarlierDie> one =
        read_one(file_beside(order.string(), file.string()), die.number, die.piece, limits, die.plain);
    if (!one) return one.problem();
    one->carried = die.carried;
    if (die.plain) {
      one->restamped = die.restamped;
      if (!die.restamped.empty()) one->die.shown = {die.restamped};
    } else {
      take_said(die, *one);
    }
    owned.push_back(std::move(*one));
  }
  return owned;
}

}  // namespace lastwright
