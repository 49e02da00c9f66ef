#include "geometry/io/dxf/dxf_read.hpp"

#include <fmt/format.h>

#include "geometry/io/dxf/dxf_expand.hpp"
#include "geometry/io/dxf/dxf_sections.hpp"
#include "geometry/io/dxf/dxf_tags.hpp"
#include "geometry/units.hpp"

namespace lastwright {
namespace {

// $INSUNITS, as numbered in the published DXF reference: the lengths a pattern could be drawn in.
std::optional<double> millimetres_of_insunits(std::int64_t number) {
  switch (number) {
    case 1:
      return kMillimetresPerInch;
    case 2:
      return 12.0 * kMillimetresPerInch;
    case 4:
      return 1.0;
    case 5:
      return 10.0;
    case 6:
      return 1000.0;
    case 9:
      return kMillimetresPerInch / 1000.0;
    case 10:
      return 36.0 * kMillimetresPerInch;
    case 13:
      return 0.001;
    case 14:
      return 100.0;
    default:
      return std::nullopt;
  }
}

Status choose_unit(Drawing& drawing, const DxfSections& sections, const DxfReadOptions& options) {
  const std::int64_t number = sections.insertion_units.value_or(0);
  const auto unit = millimetres_of_insunits(number);
  drawing.file_unit_in_mm = unit.value_or(0.0);
  if (options.unit) {
    drawing.unit_in_mm = millimetres_per(*options.unit);
    return Done{};
  }
  if (unit) {
    drawing.unit_in_mm = *unit;
    drawing.unit_from_file = true;
    return Done{};
  }
  if (options.unit_may_default) return Done{};
  return dxf_problem(
      Trouble::kBadValue,
      number == 0 ? std::string("the drawing does not state its unit ($INSUNITS); give it with --units")
                  : fmt::format("the drawing's unit ($INSUNITS {}) is not one that patterns are drawn in; "
                                "give the unit with --units",
                                number));
}

}  // namespace

std::optional<DrawingUnit> unit_named(std::string_view name) {
  if (name == "mm") return DrawingUnit::kMillimetre;
  if (name == "cm") return DrawingUnit::kCentimetre;
  if (name == "in") return DrawingUnit::kInch;
  return std::nullopt;
}

double millimetres_per(DrawingUnit unit) {
  switch (unit) {
    case DrawingUnit::kMillimetre:
      return 1.0;
    case DrawingUnit::kCentimetre:
      return 10.0;
    case DrawingUnit::kMetre:
      return 1000.0;
    case DrawingUnit::kInch:
      return kMillimetresPerInch;
    case DrawingUnit::kFoot:
      return 12.0 * kMillimetresPerInch;
  }
  invariant(false, "a drawing unit outside its enumeration");
  return 1.0;
}

Result<Drawing> read_dxf(std::string_view bytes, const DxfReadOptions& options) {
  Result<DxfSections> sections = read_sections(bytes, options);
  if (!sections) return sections.problem().in_file(options.file_name);
  Drawing drawing;
  drawing.file = options.file_name;
  drawing.version = sections->version;
  drawing.repairs = sections->repairs;
  if (const Status unit = choose_unit(drawing, *sections, options); !unit) {
    return unit.problem().in_file(options.file_name);
  }
  if (const Status done = expand_into(drawing, *sections, drawing.unit_in_mm, options.limits); !done) {
    return done.problem().in_file(options.file_name);
  }
  return drawing;
}

}  // namespace lastwright
