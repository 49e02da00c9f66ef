#include "grading/planning/works_fit.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "grading/json/json_text.hpp"
#include "grading/planning/labels.hpp"
#include "grading/planning/material_notes.hpp"
#include "grading/planning/supply_units.hpp"
#include "grading/planning/works_supplies.hpp"
#include "grading/sizes/step_named.hpp"
#include "grading/sizes/suggest.hpp"

namespace lastwright {

namespace {

Problem at_place(const WorksSpec& works, std::string pointer, Problem problem) {
  problem.place.file = works.file;
  problem.place.pointer = std::move(pointer);
  return problem;
}

bool has_supply(const WorksSpec& works, const std::string& name) {
  return std::any_of(works.supplies.begin(), works.supplies.end(),
                     [&](const SupplySpec& one) { return one.name == name; });
}

bool makes_all(const SizeRun& run, const std::vector<CaseContent>& content) {
  return std::all_of(content.begin(), content.end(), [&](const CaseContent& one) {
    const auto size = step_named(run.sizes, one.size);
    const auto width = step_named(run.widths, one.width);
    return size != run.sizes.end() && width != run.widths.end() &&
           run.makes(static_cast<std::size_t>(size - run.sizes.begin()),
                     static_cast<std::size_t>(width - run.widths.begin()));
  });
}

std::set<std::string> materials_of(const std::vector<const StyleSpec*>& styles) {
  std::set<std::string> materials;
  for (const StyleSpec* const style : styles) {
    for (const PieceSpec& piece : style->pieces) materials.insert(piece.material);
  }
  return materials;
}

void tell_unasked(const WorksSpec& works, const std::vector<const StyleSpec*>& styles,
                  std::vector<Problem>& told) {
  const std::set<std::string> all = materials_of(styles);
  const std::vector<std::string> materials(all.begin(), all.end());
  for (const SupplySpec* const supply : unasked_supplies(works, materials))
    told.push_back(
        at_place(works, pointer_to("/supplies", supply->name), bad_value(unasked_words(*supply, materials))));
}

// A price is of what one more pair takes, and that is what goes by the pair; of what goes by the case the
// cost itself says that it is left out.
void tell_prices(const WorksSpec& works, std::vector<Problem>& told) {
  for (const SupplySpec& supply : works.supplies) {
    if (!supply.price || supply.per_pair || supply.per_case) continue;
    told.push_back(at_place(
        works, pointer_to("/supplies", supply.name) + "/price",
        bad_value(fmt::format("{:g} is in no figure: the cost of one more pair counts with what is taken by "
                              "the pair (\"per_pair\")",
                              *supply.price))));
  }
}

void tell_suppliers(const WorksSpec& works, std::vector<Problem>& told) {
  std::set<std::string> named;
  for (const SupplySpec& supply : works.supplies) named.insert(supply.supplier);
  for (const std::string& supplier : works.suppliers) {
    if (named.count(supplier) == 0)
      told.push_back(at_place(works, pointer_to("/suppliers", supplier),
                              bad_value("no supply comes from there: its lead time is in no date")));
  }
  for (const SupplySpec& supply : works.supplies) {
    const auto& all = works.suppliers;
    if (supply.supplier.empty() || std::find(all.begin(), all.end(), supply.supplier) != all.end()) continue;
    if (const std::optional<std::string> near = nearest_name(supply.supplier, all))
      told.push_back(at_place(works, pointer_to("/supplies", supply.name) + "/supplier",
                              bad_value(fmt::format("\"suppliers\" has no \"{}\"; did you mean \"{}\"?",
                                                    supply.supplier, *near))));
  }
}

void tell_no_hide(const WorksSpec& works, const std::vector<const StyleSpec*>& styles,
                  std::vector<Problem>& told) {
  const auto look = [&](const char* key, const std::string& piece) {
    if (const std::string words = no_hide_words(works, styles, piece); !words.empty())
      told.push_back(at_place(works, pointer_to(key, piece), bad_value("of no use: " + words)));
  };
  for (const auto& [piece, words] : works.zones) look("/zones", piece);
  for (const auto& [piece, rule] : works.cutting) look("/cutting", piece);
}

void tell_assortments(const WorksSpec& works, const OrderedRuns& runs, std::vector<Problem>& told) {
  for (const auto& [name, content] : works.assortments) {
    const bool made = std::any_of(runs.begin(), runs.end(),
                                  [&](const auto& run) { return makes_all(run.second, content); });
    if (made) continue;
    std::vector<std::string> none;  // that no style is made in
    for (const CaseContent& one : content) {
      if (std::none_of(runs.begin(), runs.end(),
                       [&](const auto& run) { return makes_all(run.second, {one}); }))
        none.push_back(one.size + " " + one.width);
    }
    told.push_back(at_place(
        works, pointer_to("/assortments", name),
        bad_value(none.empty() ? std::string("no style is made in all of its sizes and widths: none can be "
                                             "ordered by it")
                               : fmt::format("no style is made in {}: none can be ordered by it",
                                             fmt::join(none, ", ")))));
  }
}

}  // namespace

std::vector<Problem> unknown_pieces(const WorksSpec& works, const std::vector<std::string>& known) {
  std::vector<Problem> problems;
  const auto look = [&](const std::string& at, const std::string& piece) {
    if (std::find(known.begin(), known.end(), piece) != known.end()) return;
    problems.push_back(at_place(works, at,
                                bad_value(fmt::format("no style of the works has a piece \"{}\"{}", piece,
                                                      suggestion(piece, known)))));
  };
  for (const auto& [piece, words] : works.zones) look("/zones", piece);
  for (const auto& [piece, rule] : works.cutting) look("/cutting", piece);
  const auto look_at_parts = [&](const std::string& at, const LabelSpec& labels) {
    for (const auto& [part, pieces] : labels.parts) {
      for (const std::string& piece : pieces) look(at + "/parts/" + part, piece);
    }
  };
  look_at_parts("/labels", works.labels);
  for (const auto& [style, labels] : works.labels.by_style)
    look_at_parts("/labels/by_style/" + style, labels);
  return problems;
}

std::vector<const SupplySpec*> unasked_supplies(const WorksSpec& works,
                                                const std::vector<std::string>& materials) {
  std::set<std::string> asked(materials.begin(), materials.end());
  for (const SupplySpec& supply : works.supplies) {
    for (const auto& [part, quantity] : supply.of) asked.insert(part);
  }
  for (const auto& [name, material] : works.materials) asked.insert(name);
  std::vector<const SupplySpec*> unasked;
  for (const SupplySpec& supply : works.supplies) {
    if (!supply.per_pair && !supply.per_case && supply.needed.empty() && asked.count(supply.name) == 0)
      unasked.push_back(&supply);
  }
  return unasked;
}

std::string unasked_words(const SupplySpec& supply, const std::vector<std::string>& materials) {
  const std::optional<std::string> near = nearest_name(supply.name, materials);
  return fmt::format(
      "nothing asks for it: no material has this name{}, no other supply is made of it, and it is not needed "
      "by the pair, the case or the period",
      near ? " (did you mean \"" + *near + "\"?)" : "");
}

std::vector<Problem> works_misfits(const WorksSpec& works, const std::vector<const StyleSpec*>& styles) {
  std::vector<std::string> pieces;
  for (const StyleSpec* const style : styles) {
    for (const PieceSpec& piece : style->pieces) pieces.push_back(piece.name);
  }
  const std::set<std::string> of_pieces = materials_of(styles);
  std::vector<Problem> problems = unknown_pieces(works, pieces);
  const auto refuse = [&](const SupplySpec& supply, const char* key, const Status& judged) {
    if (!judged)
      problems.push_back(at_place(works, pointer_to("/supplies", supply.name) + key, judged.problem()));
  };
  for (const SupplySpec& supply : works.supplies) {
    if (works.materials.count(supply.name) > 0 || of_pieces.count(supply.name) == 0) continue;
    refuse(supply, "/unit", unit_fits(supply, nullptr));
    refuse(supply, "/multiple", multiple_fits(supply, nullptr));
    refuse(supply, "/price", price_counts(supply));
  }
  const std::vector<std::string> materials(of_pieces.begin(), of_pieces.end());
  for (const SupplySpec* const supply : unasked_supplies(works, materials)) {
    const std::optional<std::string> near = nearest_name(supply->name, materials);
    if (!near || has_supply(works, *near)) continue;
    refuse(*supply, "",
           bad_value(fmt::format(
               "supply \"{}\": no material has this name, and \"{}\" has no supply: are they one?",
               supply->name, *near)));
  }
  return problems;
}

Status marking_fits(const WorksSpec& works, const std::string& style, const std::string& scale,
                    const ReferenceTables& tables) {
  const LabelSpec spec = works.labels.of(style);
  if (spec.marking_table.empty()) return Done{};
  const auto own = works.labels.by_style.find(style);
  const bool of_style = own != works.labels.by_style.end() && !own->second.marking_table.empty();
  const std::string at =
      (of_style ? pointer_to("/labels/by_style", style) : std::string("/labels")) + "/marking";
  const Result<MarkingTable> table = tables.find_marking(spec.marking_table);
  if (!table) return at_place(works, at + "/table", table.problem());
  if (const Result<std::string> has = marking_of(*table, spec.marking_column, ""); !has)
    return at_place(works, at + "/column", has.problem());
  const std::string column = column_of_scale(*table, scale);
  if (column.empty() || column == spec.marking_column) return Done{};
  return at_place(
      works, at + "/column",
      bad_value(fmt::format("labels of {}: its sizes are of the scale {}, which is the column \"{}\" of "
                            "{}, not \"{}\": name that in \"marking\"",
                            style, scale, column, spec.marking_table, spec.marking_column)));
}

std::string no_hide_words(const WorksSpec& works, const std::vector<const StyleSpec*>& styles,
                          const std::string& piece) {
  std::string words;
  for (const StyleSpec* const style : styles) {
    for (const PieceSpec& one : style->pieces) {
      if (one.name != piece) continue;
      const BoughtAs bought = material_spec(works, one.material).bought_as;
      if (bought == BoughtAs::kHides) return "";
      words = fmt::format("{} is bought as {} and laid on no hide", one.material, name_of(bought));
    }
  }
  return words;
}

std::vector<Problem> idle_words(const WorksSpec& works, const std::vector<const StyleSpec*>& styles,
                                const OrderedRuns& runs) {
  std::vector<Problem> told;
  tell_unasked(works, styles, told);
  tell_prices(works, told);
  tell_suppliers(works, told);
  tell_no_hide(works, styles, told);
  tell_assortments(works, runs, told);
  return told;
}

}  // namespace lastwright
