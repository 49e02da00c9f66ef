#include "grading/style/style_run.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/json/json_text.hpp"

namespace lastwright {
namespace {

template <class T>
Problem at_pointer(const Result<T>& failed, std::string pointer) {
  Problem problem = failed.problem();
  problem.place.pointer = std::move(pointer);
  return problem;
}

// Groups of tied sizes hold the size they are made as, and no size twice.
Status check_ties(const std::vector<SizeTie>& ties, const SizeRun& run, const std::string& at) {
  const auto wrong = [](std::string message, std::string pointer) {
    return Problem{Trouble::kBadValue, std::move(message), {{}, 0, std::move(pointer), {}}, {}, {}};
  };
  for (std::size_t i = 0; i < ties.size(); ++i) {
    const SizeTie& tie = ties[i];
    const std::string here = pointer_to(at, i);
    const Fraction from = run.named.at(tie.from);
    const Fraction to = run.named.at(tie.to);
    const Fraction as = run.named.at(tie.as);
    if (from > to) return wrong("the group's smallest size is larger than its largest", here + "/from");
    const bool made =
        std::any_of(run.sizes.begin(), run.sizes.end(), [&](const Size& one) { return one.position == as; });
    if (as < from || as > to || !made)
      return wrong("a group is made as one of its own sizes, and one of the run", here + "/as");
    for (std::size_t j = 0; j < i; ++j) {
      const SizeTie& other = ties[j];
      if (run.named.at(other.to) < from || run.named.at(other.from) > to) continue;
      return wrong(fmt::format("the group has sizes in common with group {} of the list", j + 1), here);
    }
  }
  return Done{};
}

// Looks up the sizes that pieces name.
Status name_sizes(const StyleSpec& style, const Scale& scale, SizeRun& run) {
  const auto add = [&](const std::string& label, const std::string& pointer) -> Status {
    const Result<Size> size = scale.size(label);
    if (!size) return at_pointer(size, pointer);
    run.named[label] = size->position;
    return Done{};
  };
  for (std::size_t p = 0; p < style.pieces.size(); ++p) {
    const PieceSpec& piece = style.pieces[p];
    for (std::size_t e = 0; e < piece.edges.size(); ++e) {
      for (const AllowanceStep& step : piece.edges[e].allowance_from) {
        const std::string at = pointer_to(pointer_to("/pieces", p) + "/edges", e) + "/allowance_from";
        if (Status known = add(step.from, pointer_to(at, step.from)); !known) return known;
      }
    }
    for (const auto& [key, ties] :
         {std::pair{"/sizes_tied", &piece.sizes_tied}, std::pair{"/cut_outs_held", &piece.cut_outs_held}}) {
      const std::string at = pointer_to("/pieces", p) + key;
      for (std::size_t i = 0; i < ties->size(); ++i) {
        const SizeTie& tie = (*ties)[i];
        for (const auto& [label, end] :
             {std::pair{&tie.from, "/from"}, std::pair{&tie.to, "/to"}, std::pair{&tie.as, "/as"}}) {
          if (Status known = add(*label, pointer_to(at, i) + end); !known) return known;
        }
      }
      if (Status sound = check_ties(*ties, run, at); !sound) return sound;
    }
  }
  return Done{};
}

}  // namespace

Result<SizeRun> size_run(const StyleSpec& style, const Scale& scale, const Ladder& ladder) {
  SizeRun run;
  const Result<Size> base_size = scale.size(style.base_size);
  if (!base_size) return at_pointer(base_size, "/base/size");
  const Result<Width> base_width = ladder.width(style.base_width);
  if (!base_width) return at_pointer(base_width, "/base/width");
  run.base = {*base_size, *base_width};
  auto sizes = scale.run(style.run_from, style.run_to, style.run_by);
  if (!sizes) return at_pointer(sizes, "/run");
  run.sizes = *std::move(sizes);
  if (style.run_widths.empty()) {
    return Problem{Trouble::kBadValue, "the run names no width", {{}, 0, "/run/widths", {}}, {}, {}};
  }
  for (std::size_t i = 0; i < style.run_widths.size(); ++i) {
    const std::string pointer = fmt::format("/run/widths/{}", i);
    const Result<Width> width = ladder.width(style.run_widths[i]);
    if (!width) return at_pointer(width, pointer);
    for (const Width& before : run.widths) {
      if (before.position == width->position) {
        return Problem{Trouble::kBadValue,
                       fmt::format("the width \"{}\" is named twice", width->label),
                       {{}, 0, pointer, {}},
                       {},
                       {}};
      }
    }
    run.widths.push_back(*width);
  }
  std::sort(run.widths.begin(), run.widths.end(),
            [](const Width& a, const Width& b) { return a.position < b.position; });
  if (const Status named = name_sizes(style, scale, run); !named) return named.problem();
  run.stated_sizes = run.sizes;
  run.stated_widths = run.widths;
  return run;
}

}  // namespace lastwright
