#include "cli/planning/load_hide.hpp"

#include <fmt/format.h>

#include "geometry/files/read_file.hpp"
#include "grading/jobs/load_style.hpp"

namespace lastwright {

namespace {

// Drawings of patterns have their unit by another option than a hide, or a hide by none.
Problem with_own_option(Problem problem, const std::string& option) {
  constexpr std::string_view kOption = "--units";
  const std::size_t at = problem.message.find(kOption);
  if (at == std::string::npos) return problem;
  if (!option.empty()) {
    problem.message.replace(at, kOption.size(), option);
  } else if (const std::size_t advice = problem.message.rfind(';', at); advice != std::string::npos) {
    problem.message = problem.message.substr(0, advice) + "; save it again with its unit stated";
  }
  return problem;
}

}  // namespace

Result<HideDrawing> load_hide(const std::string& file, std::optional<DrawingUnit> unit,
                              const std::string& unit_option) {
  const Result<std::string> bytes = read_file(file);
  if (!bytes) return bytes.problem();
  const Result<Drawing> drawing = read_dxf(*bytes, {.file_name = file, .unit = unit, .limits = {}});
  if (!drawing) return with_own_option(drawing.problem(), unit_option);
  constexpr Millimetres kGap{0.5};  // between the ends of traced lines
  Result<HideDrawing> hide = hide_of(*drawing, kGap);
  if (!hide) return hide.problem().place.file.empty() ? hide.problem().in_file(file) : hide.problem();
  if (unit && drawing->file_unit_in_mm > 0.0 && drawing->file_unit_in_mm != drawing->unit_in_mm)
    hide->doubts.push_back(
        fmt::format("{} says that a unit of the drawing is {:g} mm, and the drawing itself that it is {:g} "
                    "mm: the option is followed",
                    unit_option, drawing->unit_in_mm, drawing->file_unit_in_mm));
  return hide;
}

Result<std::map<std::string, HideDrawing>> measure_hides(WorksSpec& works, std::vector<std::string>& inputs) {
  std::map<std::string, HideDrawing> hides;
  for (auto& [name, material] : works.materials) {
    if (!material.hide || material.hide->outline.empty()) continue;
    const std::string file = file_beside(works.file, material.hide->outline);
    inputs.push_back(file);
    Result<HideDrawing> hide = load_hide(file);
    if (!hide) return hide.problem().in("material", name);
    material.hide->area = hide->usable();
    material.hide->perimeter = hide->bounded_by;
    material.hide->holes = hide->holes_within;
    material.hide->hole_area = hide->hole_area;
    hides[name] = *std::move(hide);
  }
  return hides;
}

}  // namespace lastwright
