#include "grading/planning/labels.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "grading/sizes/small_letters.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

// The amounts of each kind; a text instead where one is not known.
struct Amounts {
  std::map<std::string, double> by_kind;
  std::string fault;
};

Amounts amounts_of(const std::string& style, const std::vector<std::string>& pieces, bool by_volume,
                   const Needs& needs, const WorksSpec& works) {
  Amounts amounts;
  std::map<std::string, double> area;  // by material
  std::set<std::string> without;       // pieces that state none
  for (const PieceNeed& need : needs.pieces) {
    if (need.style == style && std::find(pieces.begin(), pieces.end(), need.piece) != pieces.end()) {
      area[need.material] += need.net * need.pieces;
      if (need.material.empty()) without.insert(need.piece);
    }
  }
  for (const auto& [name, surface] : area) {
    const auto found = works.materials.find(name);
    if (found == works.materials.end() || found->second.kind.empty()) {
      amounts.fault = name.empty() ? fmt::format("no material is stated for {}", fmt::join(without, ", "))
                                   : fmt::format("the works file does not say what kind {} is", name);
      return amounts;
    }
    // Of one material alone its thickness does not matter.
    if (by_volume && area.size() > 1 && !found->second.thickness) {
      amounts.fault = fmt::format("outer soles go by volume, and the thickness of {} is not given", name);
      return amounts;
    }
    amounts.by_kind[found->second.kind] +=
        surface * (by_volume ? found->second.thickness.value_or(1.0) : 1.0);
  }
  return amounts;
}

}  // namespace

StyleLabel label_of_style(const OrderedStyle& style, const Needs& needs, const WorksSpec& works) {
  StyleLabel label;
  label.style = style.name;
  const LabelSpec labels = works.labels.of(style.name);
  for (const char* part : {"upper", "lining and sock", "outer sole"}) {
    const auto stated = labels.parts.find(part);
    if (stated == labels.parts.end()) {
      label.missing.push_back(fmt::format("{}: the works file names no pieces of it", part));
      continue;
    }
    const Amounts amounts =
        amounts_of(style.name, stated->second, std::string(part) == "outer sole", needs, works);
    if (!amounts.fault.empty() || amounts.by_kind.empty()) {
      label.missing.push_back(
          fmt::format("{}: {}", part, amounts.fault.empty() ? "nothing is cut for it" : amounts.fault));
      continue;
    }
    PartContent content{part, {}, {amounts.by_kind.begin(), amounts.by_kind.end()}, {}};
    double sum = 0.0;
    for (const auto& [kind, amount] : content.shares) sum += amount;
    for (auto& [kind, amount] : content.shares) amount /= sum;
    std::stable_sort(content.shares.begin(), content.shares.end(),
                     [](const auto& one, const auto& other) { return one.second > other.second; });
    constexpr double kAlone = 0.8;  // the directive names one material alone from 80 % on
    content.named = {content.shares.front().first};
    if (content.shares.front().second < kAlone) content.named.push_back(content.shares[1].first);
    content.says = fmt::format("{} of {}", part, fmt::join(content.named, " and "));
    label.parts.push_back(std::move(content));
  }
  return label;
}

namespace {

// The sizes of the table's own scale stand before its columns, as another column would.
std::string own_title(const MarkingTable& table) {
  return table.scale.starts_with("mondopoint") ? "Mondopoint" : "";
}

}  // namespace

Result<std::string> marking_of(const MarkingTable& table, const std::string& column,
                               const std::string& size) {
  const std::string own = own_title(table);
  const bool by_own = !own.empty() && column == own;
  const auto found = std::find(table.columns.begin(), table.columns.end(), column);
  if (found == table.columns.end() && !by_own) {
    std::vector<std::string> known = table.columns;
    if (!own.empty()) known.insert(known.begin(), own);
    return bad_value(fmt::format("the marking table {} has no column \"{}\"{}", table.key, column,
                                 suggestion(column, known)));
  }
  const auto at = static_cast<std::size_t>(found - table.columns.begin());  // behind the last: its own sizes
  for (const MarkingTable::Row& row : table.rows) {
    if (!by_own && at >= row.labels.size()) continue;
    if (!same_label(by_own ? row.size : row.labels[at], size)) continue;
    std::string text = row.size + " mm";
    for (std::size_t c = 0; c < table.columns.size() && c < row.labels.size(); ++c) {
      if (c != at && !row.labels[c].empty()) text += fmt::format(", {} {}", table.columns[c], row.labels[c]);
    }
    return text;
  }
  return std::string();
}

std::string column_of_scale(const MarkingTable& table, const std::string& scale) {
  std::string found;
  if (scale.starts_with("mondopoint")) return own_title(table);
  for (const std::string& column : table.columns) {
    std::string key = small_letters(column);
    std::replace(key.begin(), key.end(), ' ', '-');
    if (key == "european") key = "paris-point";
    if ((scale == key || scale.starts_with(key + "-")) && column.size() > found.size()) found = column;
  }
  return found;
}

}  // namespace lastwright
