#include "grading/dies/die_rules.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace lastwright {

const char* name_of(Bevel bevel) {
  switch (bevel) {
    case Bevel::kWaste:
      return "on the waste";
    case Bevel::kPiece:
      return "on the piece";
    case Bevel::kBoth:
      return "on both sides";
  }
  return "";
}

const PieceRules& DieRules::rules_of(const std::string& piece) const {
  static const PieceRules kNone;
  const auto found = pieces.find(piece);
  return found == pieces.end() ? kNone : found->second;
}

std::optional<int> DieRules::quantity_of(const std::string& piece) const {
  const std::optional<int>& own = rules_of(piece).quantity;
  return own ? own : quantity;
}

std::optional<double> DieRules::making_tolerance_of(const std::string& piece) const {
  const std::optional<double>& own = rules_of(piece).making_tolerance;
  return own ? own : making_tolerance;
}

double DieRules::per_mm_of(const std::string& piece) const {
  return rules_of(piece).per_mm.value_or(rates.per_mm);
}

std::optional<int> DieRules::layers_of(const std::string& piece) const {
  const std::optional<int>& own = rules_of(piece).layers_per_stroke;
  return own ? own : layers_per_stroke;
}

PieceTolerances DieRules::tolerances_of(const PieceSpec& piece) const {
  const auto kind = [&](const std::string& name) {
    const auto found = by_kind.find(name);
    return found == by_kind.end() ? tolerance : found->second;
  };
  PieceTolerances result;
  const PieceRules& own = rules_of(piece.name);
  for (const EdgeSpec& edge : piece.edges) {
    const auto found = own.tolerance.find(edge.name);
    result.edges.push_back(found == own.tolerance.end() ? kind(name_of(edge.treatment)) : found->second);
  }
  if (result.edges.empty()) result.edges.push_back(tolerance);
  result.cut_outs = kind("cut-out");
  result.marks = kind("mark");
  return result;
}

std::string tolerance_words(const DieRules& rules) {
  std::string text = fmt::format("outlines may deviate from their die by {:g} mm", rules.tolerance);
  for (const auto& [kind, tolerance] : rules.by_kind) text += fmt::format(", {} by {:g} mm", kind, tolerance);
  const bool own = std::any_of(rules.pieces.begin(), rules.pieces.end(),
                               [](const auto& piece) { return !piece.second.tolerance.empty(); });
  return text + (own ? "; some edges have a tolerance of their own" : "");
}

std::string scaled_along(const DieRules& rules, double scale) {
  std::string text;
  const auto add = [&](const std::string& what, double tolerance) {
    text += fmt::format("{}{} {:g}", text.empty() ? "" : "; ", what, scale * tolerance);
  };
  for (const auto& [kind, tolerance] : rules.by_kind) add(kind, tolerance);
  for (const auto& [piece, own] : rules.pieces) {
    for (const auto& [edge, tolerance] : own.tolerance) add(piece + ", " + edge, tolerance);
  }
  return text;
}

}  // namespace lastwright
