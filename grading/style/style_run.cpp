#include "grading/style/style_run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "grading/json/json_text.hpp"

namespace lastwright {
namespace {

template <class T>
Problem at_pointer(const Result<T>& failed, std::string pointer) {
  Problem problem = failed.problem();
  problem.place.pointer = std::move(pointer);
  return problem;
}

// Where a size of the group is made in a width in which the size it is made as is not.
std::string without_own(const SizeTie& tie, const SizeRun& run) {
  const auto as = std::find_if(run.sizes.begin(), run.sizes.end(),
                               [&](const Size& one) { return one.position == run.named.at(tie.as); });
  for (std::size_t s = 0; s < run.sizes.size(); ++s) {
    if (run.sizes[s].position < run.named.at(tie.from) || run.named.at(tie.to) < run.sizes[s].position)
      continue;
    for (std::size_t w = 0; w < run.widths.size(); ++w) {
      if (!run.makes(s, w) || run.makes(static_cast<std::size_t>(as - run.sizes.begin()), w)) continue;
      return fmt::format("the run does not hold {0} {1}, which {2} {1} is made as", tie.as,
                         run.widths[w].label, run.sizes[s].label);
    }
  }
  return {};
}

// Groups of tied sizes hold the size they are made as, and no size twice.
Status check_ties(const std::vector<SizeTie>& ties, const SizeRun& run, const std::string& piece,
                  const std::string& at) {
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
      return wrong(
          fmt::format("{}: the sizes {} to {} would be made as {}, which is {}; a group is made as a "
                      "size of its own that the run makes",
                      piece, tie.from, tie.to, tie.as, made ? "none of them" : "no size of the run"),
          here + "/as");
    if (const std::string alone = without_own(tie, run); !alone.empty()) return wrong(alone, here + "/as");
    for (std::size_t j = 0; j < i; ++j) {
      const SizeTie& other = ties[j];
      if (run.named.at(other.to) < from || run.named.at(other.from) > to) continue;
      return wrong(fmt::format("the group has sizes in common with group {} of the list", j + 1), here);
    }
  }
  return Done{};
}

struct MadePart {
  std::vector<Size> sizes;
  std::vector<Width> widths;
};

Result<MadePart> made_part(const RunPart& stated, const Scale& scale, const Ladder& ladder,
                           const std::string& at) {
  auto sizes = scale.run(stated.from, stated.to, stated.by);
  if (!sizes) return at_pointer(sizes, at);
  MadePart part{*std::move(sizes), {}};
  if (stated.widths.empty()) {
    return Problem{Trouble::kBadValue, "the run names no width", {{}, 0, at + "/widths", {}}, {}, {}};
  }
  for (std::size_t i = 0; i < stated.widths.size(); ++i) {
    const std::string pointer = pointer_to(at + "/widths", i);
    const Result<Width> width = ladder.width(stated.widths[i]);
    if (!width) return at_pointer(width, pointer);
    for (const Width& before : part.widths) {
      if (before.position == width->position) {
        return Problem{Trouble::kBadValue,
                       fmt::format("the width \"{}\" is named twice", width->label),
                       {{}, 0, pointer, {}},
                       {},
                       {}};
      }
    }
    part.widths.push_back(*width);
  }
  return part;
}

// All parts together: each size and width once, in order.
void join(const std::vector<MadePart>& parts, SizeRun& run) {
  const auto add = [](auto& all, const auto& one) {
    const auto at = std::lower_bound(all.begin(), all.end(), one,
                                     [](const auto& a, const auto& b) { return a.position < b.position; });
    if (at == all.end() || at->position != one.position) all.insert(at, one);
  };
  for (const MadePart& part : parts) {
    for (const Size& size : part.sizes) add(run.sizes, size);
    for (const Width& width : part.widths) add(run.widths, width);
  }
  std::set<std::pair<Fraction, Fraction>> made;
  for (const MadePart& part : parts) {
    for (const Size& size : part.sizes) {
      for (const Width& width : part.widths) made.insert({size.position, width.position});
    }
  }
  if (made.size() == run.sizes.size() * run.widths.size()) return;  // every size in every width
  for (const Size& size : run.sizes) {
    for (const Width& width : run.widths) run.made.push_back(made.count({size.position, width.position}) > 0);
  }
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
      if (Status sound = check_ties(*ties, run, piece.name, at); !sound) return sound;
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
  std::vector<MadePart> parts;
  const RunPart first{style.run_from, style.run_to, style.run_by, style.run_widths};
  for (std::size_t i = 0; i <= style.run_also.size(); ++i) {
    Result<MadePart> part =
        i == 0 ? made_part(first, scale, ladder, "/run")
               : made_part(style.run_also[i - 1], scale, ladder, pointer_to("/run/also", i - 1));
    if (!part) return part.problem();
    parts.push_back(*std::move(part));
  }
  join(parts, run);
  if (const Status named = name_sizes(style, scale, run); !named) return named.problem();
  run.stated_sizes = run.sizes;
  run.stated_widths = run.widths;
  return run;
}

}  // namespace lastwright
