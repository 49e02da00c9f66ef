#include "grading/planning/works_supplies.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <string_view>

#include "grading/json/json_text.hpp"
#include "grading/json/take_key.hpp"
#include "grading/planning/requirements.hpp"
#include "grading/planning/supply_units.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

std::vector<DatedQuantity> dated(const Json& json, const char* key) {
  std::vector<DatedQuantity> all;
  if (const auto found = json.find(key); found != json.end()) {
    for (const Json& item : *found)
      all.push_back({item.at("period").get<int>(), item.at("quantity").get<double>()});
  }
  return all;
}

SupplySpec supply_of(const std::string& name, const Json& json) {
  SupplySpec supply;
  supply.name = name;
  take_key(json, "unit", supply.unit);
  take_key(json, "per_pair", supply.per_pair);
  take_key(json, "per_case", supply.per_case);
  take_key(json, "price", supply.price);
  take_key(json, "styles", supply.styles);
  take_key(json, "supplier", supply.supplier);
  take_key(json, "stock", supply.stock);
  take_key(json, "multiple", supply.multiple);
  take_key(json, "lead", supply.lead);
  take_key(json, "ahead", supply.ahead);
  if (const auto of = json.find("of"); of != json.end()) {
    for (const auto& [part, quantity] : of->items()) supply.of[part] = quantity.get<double>();
  }
  supply.receipts = dated(json, "receipts");
  supply.needed = dated(json, "needed");
  return supply;
}

bool blank_at_an_end(const std::string& name) {
  constexpr std::string_view kBlanks = " \t\r\n";
  constexpr std::string_view kHardBlank = "\u00a0";
  const auto blank = [&](char letter) { return kBlanks.find(letter) != std::string_view::npos; };
  return !name.empty() && (blank(name.front()) || blank(name.back()) || name.starts_with(kHardBlank) ||
                           name.ends_with(kHardBlank));
}

// "Web & Co" is written "Web and Co" too.
std::string with_and(std::string name) {
  for (std::size_t at = 0; (at = name.find('&', at)) != std::string::npos; at += 3)
    name.replace(at, 1, "and");
  return name;
}

class SuppliesJudge {
 public:
  SuppliesJudge(const JsonDocument& document, WorksSpec& works, std::vector<Problem>& problems)
      : document_(document), works_(works), problems_(problems) {
    for (const auto& [name, file] : works.styles) styles_.push_back(name);
    for (const SupplySpec& supply : works.supplies) names_.push_back(supply.name);
    known_.insert(names_.begin(), names_.end());
  }

  void judge_names() {
    for (const std::string& style : styles_) judge_name(pointer_to("/styles", style), style);
    for (const auto& [name, content] : works_.assortments) judge_name(pointer_to("/assortments", name), name);
    for (const std::string& supplier : works_.suppliers)
      judge_name(pointer_to("/suppliers", supplier), supplier);
    for (const SupplySpec& supply : works_.supplies) {
      const std::string at = pointer_to("/supplies", supply.name);
      // Pieces may call their material so.
      if (works_.materials.count(supply.name) == 0) judge_name(at, supply.name);
      judge_name(at + "/supplier", supply.supplier);
    }
  }

  void judge_supplies() {
    bool parts_known = true;
    for (const SupplySpec& supply : works_.supplies) {
      const std::string at = pointer_to("/supplies", supply.name);
      judge_taking(supply, at);
      if (const auto found = works_.materials.find(supply.name); found != works_.materials.end()) {
        refuse(at + "/unit", unit_fits(supply, &found->second));
        refuse(at + "/multiple", multiple_fits(supply, &found->second));
        refuse(at + "/price", price_counts(supply));
      }
      for (const auto& [part, quantity] : supply.of) {
        if (known_.count(part) > 0) continue;
        parts_known = false;
        refuse(pointer_to(at + "/of", part),
               "there is no supply \"" + part + "\"" + suggestion(part, names_));
      }
    }
    if (!parts_known) return;
    if (const Result<std::vector<int>> levels = supply_levels(works_.supplies); !levels)
      refuse(levels.problem().place.pointer, levels.problem().message);
  }

  void judge_suppliers() {
    if (works_.suppliers.empty()) return;
    std::vector<std::string> alike;
    for (const std::string& name : works_.suppliers) alike.push_back(with_and(name));
    for (const SupplySpec& supply : works_.supplies) {
      if (supply.lead || supply.supplier.empty()) continue;
      if (std::find(works_.suppliers.begin(), works_.suppliers.end(), supply.supplier) !=
          works_.suppliers.end())
        continue;
      const std::optional<std::string> near = nearest_name(with_and(supply.supplier), alike);
      const std::string meant =
          near ? fmt::format(" (did you mean \"{}\"?)",
                             works_.suppliers[static_cast<std::size_t>(
                                 std::find(alike.begin(), alike.end(), *near) - alike.begin())])
               : suggestion(supply.supplier, works_.suppliers);
      refuse(pointer_to("/supplies", supply.name) + "/supplier",
             fmt::format("\"suppliers\" has no \"{}\"{}, and \"{}\" states no \"lead\" of its own: how long "
                         "it takes to come is not known",
                         supply.supplier, meant, supply.name));
    }
  }

 private:
  void refuse(const std::string& at, std::string message) {
    problems_.push_back(document_.bad(at, std::move(message)));
  }
  void refuse(const std::string& at, const Status& judged) {
    if (!judged) refuse(at, judged.problem().message);
  }

  void judge_name(const std::string& at, const std::string& name) {
    if (blank_at_an_end(name))
      refuse(at, fmt::format("the name \"{}\" begins or ends in a blank: take it off", name));
  }

  // How a part is taken: by the pair or the case, by which styles.
  void judge_taking(const SupplySpec& supply, const std::string& at) {
    const Json& json = document_.root.at("supplies").at(supply.name);
    if (supply.per_pair && supply.per_case)
      refuse(at, fmt::format("\"per_pair\" ({:g}) and \"per_case\" ({:g}) are both stated, and it would be "
                             "ordered for both: leave one out, or make what the case takes a supply of its "
                             "own",
                             *supply.per_pair, *supply.per_case));
    if (!json.contains("styles")) return;
    if (supply.styles.empty())
      refuse(at + "/styles", "names no style: leave \"styles\" out where all take it");
    else if (!supply.per_pair && !supply.per_case)
      refuse(at + "/styles",
             "\"styles\" is in no figure of what is not taken by the pair or the case (\"per_pair\", "
             "\"per_case\"): leave it out");
    for (std::size_t k = 0; k < supply.styles.size(); ++k) {
      if (works_.styles.count(supply.styles[k]) > 0) continue;
      refuse(pointer_to(at + "/styles", k),
             fmt::format("the works file names no style \"{}\"{}", supply.styles[k],
                         suggestion(supply.styles[k], styles_)));
    }
  }

  const JsonDocument& document_;
  const WorksSpec& works_;
  std::vector<Problem>& problems_;
  std::vector<std::string> styles_;
  std::vector<std::string> names_;
  std::set<std::string> known_;
};

// Of each supplier the lead time, for what comes from him and states none.
void take_suppliers(const Json& json, const JsonDocument& document, WorksSpec& works,
                    std::vector<Problem>& problems) {
  std::set<std::string> named;
  std::vector<std::string>
      with_lead;  // of their own: what has none is refused where its supplier is not there
  for (const SupplySpec& supply : works.supplies) {
    if (supply.supplier.empty()) continue;
    named.insert(supply.supplier);
    if (supply.lead) with_lead.push_back(supply.supplier);
  }
  for (const auto& [name, supplier] : json.items()) {
    works.suppliers.push_back(name);
    if (named.count(name) == 0 && nearest_name(name, with_lead))
      problems.push_back(document.bad(pointer_to("/suppliers", name),
                                      "no supply comes from \"" + name + "\"" + suggestion(name, with_lead)));
    for (SupplySpec& supply : works.supplies) {
      if (supply.supplier == name && !supply.lead) supply.lead = supplier.at("lead").get<int>();
    }
  }
}

}  // namespace

Status price_counts(const SupplySpec& supply) {
  if (!supply.price || supply.per_pair) return Done{};
  return bad_value(fmt::format(
      "the price {:g} of supply \"{}\" is in no figure, because a material of pieces has its price "
      "in \"materials\": state it there, with what it is \"per\"",
      *supply.price, supply.name));
}

void take_supplies(const JsonDocument& document, WorksSpec& works, std::vector<Problem>& problems) {
  const Json& root = document.root;
  if (const auto supplies = root.find("supplies"); supplies != root.end()) {
    for (const auto& [name, json] : supplies->items()) works.supplies.push_back(supply_of(name, json));
  }
  if (const auto suppliers = root.find("suppliers"); suppliers != root.end())
    take_suppliers(*suppliers, document, works, problems);
  SuppliesJudge judge(document, works, problems);
  judge.judge_names();
  judge.judge_supplies();
  judge.judge_suppliers();
}

}  // namespace lastwright
