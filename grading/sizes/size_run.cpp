#include "grading/sizes/size_run.hpp"

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

template <class T>
Result<std::vector<T>> labelled(const std::vector<T>& all, std::span<const std::string> labels,
                                const char* kind) {
  if (labels.empty()) return all;
  std::vector<bool> wanted(all.size(), false);
  for (const std::string& label : labels) {
    const auto found =
        std::find_if(all.begin(), all.end(), [&](const T& one) { return same_label(one.label, label); });
    if (found == all.end()) {
      std::string held;
      for (const T& one : all) held += (held.empty() ? "" : ", ") + one.label;
      return Problem{
          Trouble::kUsage, fmt::format("the run has no {} \"{}\"; it has {}", kind, label, held), {}, {}, {}};
    }
    wanted[static_cast<std::size_t>(found - all.begin())] = true;
  }
  std::vector<T> part;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (wanted[i]) part.push_back(all[i]);
  }
  return part;
}

// Groups of tied sizes hold the size they are made as, and no size twice.
Status check_ties(const PieceSpec& piece, const SizeRun& run, const std::string& at) {
  const auto wrong = [](std::string message, std::string pointer) {
    return Problem{Trouble::kBadValue, std::move(message), {{}, 0, std::move(pointer), {}}, {}, {}};
  };
  for (std::size_t i = 0; i < piece.sizes_tied.size(); ++i) {
    const SizeTie& tie = piece.sizes_tied[i];
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
      const SizeTie& other = piece.sizes_tied[j];
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
    const std::string ties = pointer_to("/pieces", p) + "/sizes_tied";
    for (std::size_t i = 0; i < piece.sizes_tied.size(); ++i) {
      const SizeTie& tie = piece.sizes_tied[i];
      for (const auto& [label, key] :
           {std::pair{&tie.from, "/from"}, std::pair{&tie.to, "/to"}, std::pair{&tie.as, "/as"}}) {
        if (Status known = add(*label, pointer_to(ties, i) + key); !known) return known;
      }
    }
    if (Status sound = check_ties(piece, run, ties); !sound) return sound;
  }
  return Done{};
}

}  // namespace

bool same_label(const std::string& made, const std::string& asked) {
  if (made == asked) return true;
  const Result<Fraction> one = parse_fraction(made);
  const Result<Fraction> other = parse_fraction(asked);
  return one && other && *one == *other;
}

std::vector<SizeWidth> SizeRun::cells() const {
  std::vector<SizeWidth> all;
  all.reserve(count());
  for (const Size& size : sizes) {
    for (const Width& width : widths) all.push_back({size, width});
  }
  return all;
}

Result<SizeRun> SizeRun::part(std::span<const std::string> size_labels,
                              std::span<const std::string> width_labels) const {
  auto some_sizes = labelled(sizes, size_labels, "size");
  if (!some_sizes) return some_sizes.problem();
  auto some_widths = labelled(widths, width_labels, "width");
  if (!some_widths) return some_widths.problem();
  return SizeRun{*std::move(some_sizes), *std::move(some_widths), base, named, stated_sizes, stated_widths};
}

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
