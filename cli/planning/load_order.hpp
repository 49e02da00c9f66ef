// An order with everything it names: the works file, the styles, each loaded and graded.
#pragma once

#include <map>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cli/report/failed_checks.hpp"
#include "grading/jobs/load_style.hpp"
#include "grading/planning/consumption.hpp"
#include "grading/planning/hide_drawing.hpp"

namespace lastwright {

struct LoadedOrder {
  WorksSpec works;
  Order order;
  std::vector<std::unique_ptr<LoadedStyle>> loaded;  // by style
  std::vector<std::unique_ptr<StyleGrade>> grades;
  std::vector<OrderedStyle> styles;          // as the works file names them; refer to the two above
  std::map<std::string, HideDrawing> hides;  // by material, where the works file gives a drawing of one
  std::vector<std::string> inputs;
  // Of each loaded style, what its checks found; empty where it is not ordered.
  std::vector<std::vector<StyleFinding>> findings;
  FailedStyles failed;  // checks of the styles that are ordered

  // Which of the loaded styles is that file and is ordered; empty: none.
  [[nodiscard]] std::optional<std::size_t> graded_from(const std::string& file) const;
};

struct LoadOrderOptions {
  std::string order;  // CSV or a workbook
  std::string sheet;  // of the workbook; empty: the only one, or the one called order
  std::string works;
  std::string name = {};  // of the order; empty: as its rows or its file call it
  LoadStyleOptions files;
  unsigned threads = 0;
};

// All problems found. Only styles that the order names are graded.
Checked<LoadedOrder> load_order(const LoadOrderOptions& options);

}  // namespace lastwright
