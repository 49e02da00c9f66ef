#include "cli/files/order_folder.hpp"

#include <filesystem>

#include "cli/files/earlier_set.hpp"
#include "cli/planning/works_doubts.hpp"

namespace lastwright {

namespace {

constexpr const char* kOrderFile = "die-order.json";

bool looked_at(const std::string& name, OrderFiles files) {
  return files == OrderFiles::kAll || name == kOrderFile ||
         (files == OrderFiles::kDrawings && name.ends_with(".dxf"));
}

}  // namespace

OrderFolder look_at_order(const std::string& order, OrderFiles files) {
  namespace fs = std::filesystem;
  OrderFolder result;
  std::error_code error;
  const bool is_folder = fs::is_directory(order, error);
  const fs::path folder = is_folder ? fs::path(order) : fs::path(order).parent_path();
  if (!is_folder && fs::path(order).filename() != kOrderFile) {
    result.unknown =
        "the die order lies apart from its folder; whether it is the one that was written is not known";
    return result;
  }
  const std::string where = folder.empty() ? "." : folder.string();
  result.folder = where;
  if (!fs::exists(fs::path(where) / kManifestName, error)) {
    result.unknown =
        std::string(kManifestName) +
        " of the die order is missing; whether its files are those that were written is not known";
    return result;
  }
  const Result<EarlierSet> set = EarlierSet::open(where);
  if (!set) {
    result.faults.push_back({kManifestName, to_text(set.problem())});
    return result;
  }
  if (!set->has(kOrderFile)) result.faults.push_back({kOrderFile, "the order's manifest does not list it"});
  for (const std::string& name : set->names()) {
    if (!fs::exists(where + "/" + name, error)) {
      result.faults.push_back({name, "the file is missing, though the order's manifest lists it"});
    } else if (looked_at(name, files)) {
      if (const Result<std::string> bytes = set->read(name); !bytes)
        result.faults.push_back({name, bytes.problem().message});
    }
  }
  return result;
}

Status order_as_written(const std::string& order, OrderFiles files) {
  const OrderFolder found = look_at_order(order, files);
  if (!found.faults.empty())
    return bad_value(found.faults.front().what).in_file(found.folder + "/" + found.faults.front().name);
  if (!found.unknown.empty()) print_doubts({order + ": " + found.unknown});
  return Done{};
}

}  // namespace lastwright
