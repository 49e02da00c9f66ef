#include "grading/redraw/redraw_style.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <utility>

#include "geometry/files/read_file.hpp"
#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/json/json_splice.hpp"
#include "grading/json/json_value.hpp"
#include "grading/redraw/piece_twins.hpp"
#include "grading/redraw/redraw_edits.hpp"
#include "grading/redraw/redraw_proof.hpp"
#include "grading/redraw/redraw_work.hpp"
#include "grading/redraw/redrawn_piece.hpp"
#include "grading/redraw/settled_places.hpp"
#include "grading/style/style_json.hpp"

namespace lastwright {

namespace {

class Redrawing {
 public:
  Redrawing(const std::string& path, const RedrawOptions& options) : work_{path, options} {}

  Redraw run() {
    if (!read_old()) return std::move(work_.out);
    for (const auto& [key, file] : work_.options.fresh) take_drawing(key, file);
    if (work_.out.problems.empty()) place_points(work_);
    if (work_.out.problems.empty()) write();
    return std::move(work_.out);
  }

 private:
  bool read_old() {
    const Result<std::string> text = work_.options.text ? Result<std::string>(*work_.options.text)
                                                        : read_file(work_.path, std::size_t{16} << 20);
    if (!text) {
      work_.out.problems.push_back(text.problem());
      return false;
    }
    work_.text = *text;
    std::string was = work_.text;
    for (const auto& [key, file] : work_.options.was) {
      const Result<Splice> splice =
          splice_of(was, {JsonEdit::Kind::kSet, pointer_to("/drawings", key) + "/file",
                          std::filesystem::absolute(file).string()});
      if (splice) was = spliced(was, *splice);
    }
    // A unit is said of the new drawings; of the old ones only where they cannot be read without.
    fresh_unit_ = work_.options.files.unit;
    work_.options.files.unit.reset();
    Checked<LoadedStyle> load = load_style_text(work_.path, was, work_.options.files);
    if (!load.ok() && fresh_unit_) {
      work_.options.files.unit = fresh_unit_;
      load = load_style_text(work_.path, was, work_.options.files);
    }
    if (!load.ok()) {
      work_.out.problems = load.problems();
      return false;
    }
    work_.old = *std::move(load);
    work_.out.inputs = work_.old.inputs;
    work_.document = read_style(work_.text, work_.path).document;
    return true;
  }

  void take_drawing(const std::string& key, const std::string& file) {
    const auto spec = std::find_if(work_.old.spec.drawings.begin(), work_.old.spec.drawings.end(),
                                   [&](const DrawingSpec& one) { return one.key == key; });
    invariant(spec != work_.old.spec.drawings.end(), "the command asked for a drawing that the style has");
    work_.out.inputs.push_back(file);
    DxfReadOptions reading;
    reading.file_name = file;
    reading.limits = work_.options.files.limits;
    reading.unit = fresh_unit_;
    if (fresh_unit_ && !work_.options.files.unit && !unit_named(spec->units))
      work_.edits.push_back({JsonEdit::Kind::kSet, pointer_to("/drawings", key) + "/units",
                             *fresh_unit_ == DrawingUnit::kInch         ? "in"
                             : *fresh_unit_ == DrawingUnit::kCentimetre ? "cm"
                                                                        : "mm"});
    if (const auto unit = unit_named(spec->units)) reading.unit = unit;
    const Result<std::string> bytes = read_file(file, reading.limits.bytes);
    if (!bytes) return work_.out.problems.push_back(bytes.problem());
    Result<Drawing> drawing = read_dxf(*bytes, reading);
    if (!drawing) return work_.out.problems.push_back(drawing.problem().in_file(file));
    TwinnedDrawing twins =
        twin_pieces(work_.old.spec, key, work_.old.drawings.at(key),
                    pattern_drawing(*std::move(drawing), *spec, outline_layers(work_.old.spec, key)),
                    work_.options.corners.reach);
    for (Problem& problem : twins.problems) work_.add(std::move(problem));
    if (twins.sheet.sheet) {
      const DrawingPose& sheet = *twins.sheet.sheet;
      work_.out.told.push_back(
          fmt::format("drawing {}: the sheet lies differently from the old one and is laid back: {}turned by "
                      "{:g} degrees, shifted by {}; {:.0f} percent of its outlines then lie where they were",
                      key, sheet.mirrored ? "mirrored, " : "",
                      std::round(sheet.turn * 1e4) / 1e4 + 0.0,  // which has no sign
                      place_text(sheet.by), 100.0 * twins.sheet.same));
    }
    work_.add(sheet_edits(work_.document->root, key, twins.sheet.sheet));
    for (const std::string& told : twins.told)
      work_.out.told.push_back(fmt::format("drawing {}: {}", key, told));
    for (const PieceTwin& piece : twins.pieces) {
      if (piece.now) take_piece(work_, piece);
    }
    work_.fresh_keys.insert(key);
    work_.marks[key] = mark_pairs(work_.old.drawings.at(key).drawing, twins.drawing.drawing);
    if (!work_.marks[key].compared)
      work_.out.told.push_back(
          fmt::format("drawing {}: it has too many points and circles to find them again", key));
  }

  void write() {
    for (const auto& [pointer, name] : work_.options.names)
      work_.edits.push_back({JsonEdit::Kind::kSet, pointer, name});
    if (!work_.put_edits() || !place_laid(work_)) return;
    prove_redraw({work_.path, work_.options, work_.old, work_.corner_now}, work_.out);
  }

  RedrawWork work_;
  std::optional<DrawingUnit> fresh_unit_;
};

}  // namespace

Redraw redraw_style(const std::string& path, const RedrawOptions& options) {
  return Redrawing(path, options).run();
}

}  // namespace lastwright
