// Any bytes as the rules of a die order, for a style of one piece: refused, or rules with sound tolerances.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "geometry/invariant.hpp"
#include "grading/dies/die_rules_json.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace lastwright;
  static const StyleSpec style = [] {
    StyleSpec one;
    one.name = "fuzz";
    PieceSpec piece;
    piece.name = "vamp";
    one.pieces.push_back(piece);
    return one;
  }();
  const std::string_view text(reinterpret_cast<const char*>(data), size);
  const Checked<DieRules> read = read_die_rules(text, "fuzz", style);
  for (const Problem& problem : read.problems()) invariant(!to_text(problem).empty(), "a problem has words");
  if (read.ok()) {
    invariant(std::isfinite(read->tolerance) && read->tolerance > 0.0, "a tolerance is a length");
  }
  DieRules rules;
  if (const Status set = set_tolerance(rules, text.substr(0, 200)); !set) {
    invariant(!to_text(set.problem()).empty(), "a problem has words");
  }
  return 0;
}
