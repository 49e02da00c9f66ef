#include "grading/jobs/owned_dies.hpp"

#include <algorithm>
#include <filesystem>
#include <set>

#include "geometry/files/read_file.hpp"
#include "geometry/io/dxf_read.hpp"
#include "grading/dies/die_says.hpp"
#include "grading/dies/ordered_die.hpp"
#include "grading/jobs/die_from_drawing.hpp"
#include "grading/jobs/load_style.hpp"

namespace lastwright {

namespace {

// `limits`: what is left of them for the drawings of one order; each takes its share. `with_texts`: nobody
// else says what the die is.
Result<OwnedDie> read_one(const std::string& file, std::string number, std::string piece, DxfLimits& limits,
                          bool with_texts) {
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
  Result<DrawnDie> drawn = die_from_drawing(*drawing);
  if (!drawn) return drawn.problem();
  OwnedDie die{std::move(number), std::move(piece), std::move(drawn->shape), OwnedFoot::kUnknown};
  die.left_out = std::move(drawn->left_out);
  if (!with_texts) return die;
  std::vector<std::string> texts;
  for (const DrawnText& text : drawing->texts) texts.push_back(text.text);
  take_texts(texts, die);
  return die;
}

}  // namespace

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
