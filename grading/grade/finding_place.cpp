#include "grading/grade/finding_place.hpp"

#include <fmt/format.h>

#include <charconv>
#include <string_view>

#include "grading/grade/finding.hpp"

namespace lastwright {

namespace {

// The longest of the names that stands after `lead` at the front of the text and is a whole part of it; takes
// both off.
template <class Names, class NameOf>
std::string take_name(std::string_view& text, std::string_view lead, const Names& names,
                      const NameOf& name_of) {
  if (!text.starts_with(lead)) return "";
  const std::string_view rest = text.substr(lead.size());
  std::string_view longest;
  for (const auto& one : names) {
    const std::string_view name = name_of(one);
    if (name.size() <= longest.size() || !rest.starts_with(name)) continue;
    const std::string_view after = rest.substr(name.size());
    if (after.empty() || after.starts_with(", ")) longest = name;
  }
  if (!longest.empty()) text = rest.substr(longest.size());
  return std::string(longest);
}

std::optional<double> take_coordinate(std::string_view& text) {
  double value = 0.0;
  const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (fault != std::errc()) return {};
  text.remove_prefix(static_cast<std::size_t>(end - text.data()));
  return value;
}

bool take(std::string_view& text, std::string_view lead) {
  if (!text.starts_with(lead)) return false;
  text.remove_prefix(lead.size());
  return true;
}

}  // namespace

std::string where_on(const SizeWidth& at, const std::string& piece, Vec2 point) {
  return fmt::format("{}, of {}, at ({:.1f}, {:.1f})", where(at), piece, point.x, point.y);
}

FindingPlace place_of(const std::string& where, const SizeRun& run, const std::vector<std::string>& pieces) {
  const auto label = [](const auto& one) -> std::string_view { return one.label; };
  const auto itself = [](const std::string& one) -> std::string_view { return one; };
  FindingPlace place;
  std::string_view text = where;
  place.size = take_name(text, "size ", run.sizes, label);
  if (!place.size.empty()) place.width = take_name(text, ", width ", run.widths, label);
  if (!place.width.empty()) place.piece = take_name(text, ", of ", pieces, itself);
  if (place.piece.empty() || !take(text, ", at (")) return place;
  const std::optional<double> x = take_coordinate(text);
  if (!x || !take(text, ", ")) return place;
  const std::optional<double> y = take_coordinate(text);
  if (y && take(text, ")")) place.point = Vec2{*x, *y};
  return place;
}

}  // namespace lastwright
