#include "grading/sizes/size_run.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "grading/sizes/step_named.hpp"

namespace lastwright {
namespace {

// Places of what is asked for, in the order of the run.
template <class T>
Result<std::vector<std::size_t>> labelled(const std::vector<T>& all, std::span<const std::string> labels,
                                          const char* kind) {
  std::vector<bool> wanted(all.size(), labels.empty());
  for (const std::string& label : labels) {
    const auto found = step_named(all, label);
    if (found == all.end()) {
      std::string held;
      for (const T& one : all) held += (held.empty() ? "" : ", ") + one.label;
      return Problem{
          Trouble::kUsage, fmt::format("the run has no {} \"{}\"; it has {}", kind, label, held), {}, {}, {}};
    }
    wanted[static_cast<std::size_t>(found - all.begin())] = true;
  }
  std::vector<std::size_t> places;
  for (std::size_t i = 0; i < all.size(); ++i) {
    if (wanted[i]) places.push_back(i);
  }
  return places;
}

Problem not_made(std::string message) {
  return {Trouble::kUsage, std::move(message), {}, {}, {}};
}

}  // namespace

bool same_label(const std::string& made, const std::string& asked) {
  if (made == asked) return true;
  const Result<Fraction> one = parse_fraction(made);
  const Result<Fraction> other = parse_fraction(asked);
  return one && other && *one == *other;
}

bool SizeRun::makes(const SizeWidth& at) const {
  for (std::size_t s = 0; s < sizes.size(); ++s) {
    if (sizes[s].position != at.size.position) continue;
    for (std::size_t w = 0; w < widths.size(); ++w) {
      if (widths[w].position == at.width.position) return makes(s, w);
    }
  }
  return false;
}

bool SizeRun::knows(const SizeWidth& at) const {
  return makes(at) ||
         std::any_of(also.begin(), also.end(), [&](const SizeWidth& one) { return same_cell(one, at); });
}

std::vector<SizeWidth> SizeRun::cells() const {
  std::vector<SizeWidth> all;
  all.reserve(count());
  for (std::size_t s = 0; s < sizes.size(); ++s) {
    for (std::size_t w = 0; w < widths.size(); ++w) {
      if (makes(s, w)) all.push_back({sizes[s], widths[w]});
    }
  }
  return all;
}

std::size_t SizeRun::count() const {
  if (made.empty()) return sizes.size() * widths.size();
  return static_cast<std::size_t>(std::count(made.begin(), made.end(), true));
}

std::optional<std::size_t> SizeRun::cell(std::size_t size, std::size_t width) const {
  const std::size_t place = size * widths.size() + width;
  if (made.empty()) return place;
  if (!made[place]) return {};
  return static_cast<std::size_t>(
      std::count(made.begin(), made.begin() + static_cast<std::ptrdiff_t>(place), true));
}

std::vector<std::size_t> SizeRun::made_widths(std::size_t size) const {
  std::vector<std::size_t> places;
  for (std::size_t w = 0; w < widths.size(); ++w) {
    if (makes(size, w)) places.push_back(w);
  }
  return places;
}

std::vector<std::size_t> SizeRun::made_sizes(std::size_t width) const {
  std::vector<std::size_t> places;
  for (std::size_t s = 0; s < sizes.size(); ++s) {
    if (makes(s, width)) places.push_back(s);
  }
  return places;
}

std::vector<std::pair<std::size_t, std::size_t>> SizeRun::corners() const {
  std::vector<std::pair<std::size_t, std::size_t>> all;
  for (std::size_t s = 0; s < sizes.size(); ++s) {
    const std::vector<std::size_t> across = made_widths(s);
    for (const std::size_t w : across) {
      const std::vector<std::size_t> along = made_sizes(w);
      const bool end_of_size = w == across.front() || w == across.back();
      const bool end_of_width = s == along.front() || s == along.back();
      if (end_of_size && end_of_width) all.emplace_back(s, w);
    }
  }
  return all;
}

std::string SizeRun::widths_of(std::size_t size) const {
  std::string names;
  for (const std::size_t w : made_widths(size)) names += (names.empty() ? "" : ", ") + widths[w].label;
  return names;
}

std::string SizeRun::sizes_of(std::size_t width) const {
  std::string names;
  for (const std::size_t s : made_sizes(width)) names += (names.empty() ? "" : ", ") + sizes[s].label;
  return names;
}

Result<SizeRun> SizeRun::part(std::span<const std::string> size_labels,
                              std::span<const std::string> width_labels) const {
  const auto some_sizes = labelled(sizes, size_labels, "size");
  if (!some_sizes) return some_sizes.problem();
  const auto some_widths = labelled(widths, width_labels, "width");
  if (!some_widths) return some_widths.problem();
  SizeRun some = *this;
  some.sizes.clear();
  some.widths.clear();
  some.made.clear();
  some.also.clear();
  std::vector<std::size_t> rows;
  for (const std::size_t s : *some_sizes) {
    if (std::any_of(some_widths->begin(), some_widths->end(), [&](std::size_t w) { return makes(s, w); })) {
      rows.push_back(s);
    } else if (!size_labels.empty()) {
      return not_made(
          fmt::format("size {} is not made in these widths; it is made in {}", sizes[s].label, widths_of(s)));
    }
  }
  std::vector<std::size_t> columns;
  for (const std::size_t w : *some_widths) {
    if (std::any_of(rows.begin(), rows.end(), [&](std::size_t s) { return makes(s, w); })) {
      columns.push_back(w);
    } else if (!width_labels.empty()) {
      return not_made(
          fmt::format("width {} is not made in these sizes; it is made in {}", widths[w].label, sizes_of(w)));
    }
  }
  for (const std::size_t s : rows) some.sizes.push_back(sizes[s]);
  for (const std::size_t w : columns) some.widths.push_back(widths[w]);
  for (const std::size_t s : rows) {
    for (const std::size_t w : columns) some.made.push_back(makes(s, w));
  }
  if (std::find(some.made.begin(), some.made.end(), false) == some.made.end()) some.made.clear();
  return some;
}

}  // namespace lastwright
