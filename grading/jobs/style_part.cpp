#include "grading/jobs/style_part.hpp"

#include <fmt/format.h>

#include "geometry/counted.hpp"
#include "grading/style/made_as.hpp"

namespace lastwright {

namespace {

template <class List>
std::string labels_in_row(const List& list) {
  std::string text;
  for (const auto& one : list) text += (text.empty() ? "" : ", ") + one.label;
  return text;
}

}  // namespace

Result<std::string> keep_part(LoadedStyle& style, const PartLabels& part) {
  Result<SizeRun> some = style.run.part(part.sizes, part.widths);
  if (!some) return some.problem();
  const std::size_t all = style.run.count();
  style.run = with_made_as(*std::move(some), style.run, style.spec.pieces);
  if (style.run.count() == all) return std::string();
  std::string also;
  for (const SizeWidth& one : style.run.also)
    also += fmt::format("{}{} {}", also.empty() ? "; tied or held pieces are made as in " : ", ",
                        one.size.label, one.width.label);
  return fmt::format("only a part of the style's run: {} {} in {} {}, {} of {}{}",
                     noun_of(style.run.sizes.size(), "size"), labels_in_row(style.run.sizes),
                     noun_of(style.run.widths.size(), "width"), labels_in_row(style.run.widths),
                     style.run.count(), counted(all, "size and width", "sizes and widths"), also);
}

}  // namespace lastwright
