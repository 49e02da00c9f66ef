// The files of a die order: a drawing a die, the order as XLSX, CSV, JSON and as a page to print.
#pragma once

#include "cli/files/output_set.hpp"
#include "geometry/io/dxf/dxf_write.hpp"
#include "grading/dies/owned/earlier_die.hpp"

namespace lastwright {

// Adds everything to the set. Every drawing is read back and measured before it counts. `earlier`: the dies
// that are there already, handed on; their drawings are copied, as they were read.
Status add_die_files(const DieOrder& order, const DiePlan& plan, const DieRules& rules,
                     const DxfWriteOptions& dxf, unsigned threads, std::vector<EarlierDie> earlier,
                     OutputSet& set);

}  // namespace lastwright
