#include "cli/planning/cut_beds.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <set>

#include "cli/option_problem.hpp"
#include "geometry/io/cutter_write.hpp"

namespace lastwright {

Result<PieceBed> bed_of(const CutBedOptions& options) {
  PieceBed bed;
  const bool both = options.roll > 0.0 && !options.sheet.empty();
  const bool neither = !(options.roll > 0.0) && options.sheet.empty();
  if (both || (neither && !options.works)) {
    return Problem{
        Trouble::kUsage,
        both ? "--roll and --sheet both say what it is cut from: give one"
             : "say what it is cut from: --roll 1400, or --sheet 1500,1000; or, with --pairs, a works "
               "file (--works) that states it for each material",
        {},
        {},
        {}};
  }
  if (neither) return bed;
  if (options.roll > 0.0) {
    bed.width = options.roll;
    return bed;
  }
  double sides[2] = {0.0, 0.0};
  const bool two = options.sheet.size() == 2;
  for (std::size_t k = 0; two && k < 2; ++k) {
    const std::string& word = options.sheet[k];
    const auto [end, error] = std::from_chars(word.data(), word.data() + word.size(), sides[k]);
    if (error != std::errc() || end != word.data() + word.size()) sides[k] = 0.0;
  }
  if (!two || !(sides[0] > 0.0 && sides[0] <= 1e5 && sides[1] > 0.0 && sides[1] <= 1e5))
    return in_option(bad_value("a sheet is its length along the grain and its width in mm, as 1500,1000"),
                     "--sheet");
  bed.length = sides[0];
  bed.width = sides[1];
  return bed;
}

std::map<std::string, PieceBed> beds_of(const WorksSpec& works) {
  std::map<std::string, PieceBed> beds;
  for (const auto& [name, material] : works.materials) {
    if (!material.in_strips()) continue;
    PieceBed bed{*material.width, 0.0, material.grain_across};
    if (material.bought_as == BoughtAs::kSheets) bed.length = *material.length;
    beds[name] = bed;
  }
  return beds;
}

std::set<std::string> ready_cut_of(const WorksSpec& works) {
  std::set<std::string> ready;
  for (const auto& [name, material] : works.materials) {
    if (material.bought_as == BoughtAs::kPieces) ready.insert(name);
  }
  return ready;
}

std::vector<LaidPiece> take_ready_cut(const StyleGrade& grade, const std::set<std::string>& materials,
                                      std::vector<LaidPiece>& pieces) {
  std::vector<LaidPiece> taken;
  std::vector<LaidPiece> left;
  for (const LaidPiece& piece : pieces)
    (materials.count(grade.pieces[piece.piece].bound.spec.material) > 0 ? taken : left).push_back(piece);
  pieces = std::move(left);
  return taken;
}

Status all_have_beds(const StyleGrade& grade, const std::vector<LaidPiece>& pieces,
                     const PieceLayoutOptions& options) {
  if (options.bed.width > 0.0) return Done{};
  std::set<std::string> without;
  for (const LaidPiece& piece : pieces) {
    const std::string& material = grade.pieces[piece.piece].bound.spec.material;
    if (options.beds.count(material) == 0)
      without.insert(material.empty() ? "pieces without a material" : material);
  }
  if (without.empty()) return Done{};
  return Problem{
      Trouble::kUsage,
      fmt::format("the works file gives no roll or sheets for {}: say what these are cut from by --roll "
                  "or --sheet, or leave their pieces out by --pieces",
                  fmt::join(without, ", ")),
      {},
      {},
      {}};
}

std::string within_old_limit(const PieceBed& bed, bool own, double longest, double widest) {
  const double most = std::floor(kHpglOldLimit);
  const double along = bed.length > 0.0 ? std::min(bed.length, most) : most;
  const double across = std::min(bed.width, most);
  if (longest > along || widest > across)
    return "a piece of it is larger than that: write --as dxf or --as gcode";
  // A sheet is stated by its length along the grain.
  return fmt::format(
      "lay its pieces on several sheets (--sheet {:.0f},{:.0f}{}), or write --as dxf or --as gcode",
      std::floor(bed.grain_across ? across : along), std::floor(bed.grain_across ? along : across),
      own                ? " in place of --works"
      : bed.length > 0.0 ? ""
                         : " in place of --roll");
}

const char* kind_of_bed(const PieceBed& bed) {
  return bed.length > 0.0 ? "sheet" : "roll";
}

std::string bed_text(const PieceBed& bed, bool own) {
  const std::string what = bed.length > 0.0 ? fmt::format("of a sheet of {} x {} mm", bed.length, bed.width)
                                            : fmt::format("of a roll {} mm wide", bed.width);
  const char* const from = own ? "works file" : bed.length > 0.0 ? "--sheet" : "--roll";
  return fmt::format("{}{} ({})", what, bed.grain_across ? ", grain across" : "", from);
}

}  // namespace lastwright
