// Whether a works file fits its styles: what cannot be meant, and what may not be. What the file says against
// itself read_works refuses.
#pragma once

#include <string>
#include <vector>

#include "geometry/result.hpp"
#include "grading/measures/reference_tables.hpp"
#include "grading/planning/order.hpp"
#include "grading/planning/works.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

// "zones", "cutting" and the parts of labels of pieces that none of the styles has: of these nothing would
// ever be cut. `known`: the names of all pieces.
std::vector<Problem> unknown_pieces(const WorksSpec& works, const std::vector<std::string>& known);

// What the styles of a works show to be wrong in its file, so that every command that reads both refuses the
// same: pieces that there are not; of a supply that has the name of a material which the file leaves to the
// styles, its unit and its price; and a supply by whose name a material nearly goes that is then without one,
// for its stock and receipts would count for nothing.
std::vector<Problem> works_misfits(const WorksSpec& works, const std::vector<const StyleSpec*>& styles);

// The marking table of a style's labels: refused where there is none of that key, where it has no such column
// and where the column holds sizes of another scale than the style's.
Status marking_fits(const WorksSpec& works, const std::string& style, const std::string& scale,
                    const ReferenceTables& tables);

// Supplies that nothing can ask for where pieces are of these materials.
std::vector<const SupplySpec*> unasked_supplies(const WorksSpec& works,
                                                const std::vector<std::string>& materials);
std::string unasked_words(const SupplySpec& supply, const std::vector<std::string>& materials);

// That none of the styles lays this piece on a hide, so that neither its zone nor its rule for cutting is of
// use; empty: one of them does, or none has it. Materials that the file does not state count as hides.
std::string no_hide_words(const WorksSpec& works, const std::vector<const StyleSpec*>& styles,
                          const std::string& piece);

// What no figure counts with and may be thought to, with its place: supplies that nothing asks for, prices of
// what is not taken by the pair, suppliers from whom nothing comes, zones and rules for cutting of what is
// not laid on hides, assortments that no style is made in.
std::vector<Problem> idle_words(const WorksSpec& works, const std::vector<const StyleSpec*>& styles,
                                const OrderedRuns& runs);

}  // namespace lastwright
