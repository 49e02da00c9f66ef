#include "geometry/io/drawing_style.hpp"

namespace lastwright {

namespace {

using namespace palette;

constexpr std::array<LineStyle, kOperationCount> kStyles = {{
    {"cut", "cut line", kBlack, 0.50, {}},
    {"cut-out", "cut-outs", kGreen, 0.35, {}},
    {"hole", "punched holes", kBlue, 0.30, {}},
    {"nick", "nicks", kVermilion, 0.45, {}},
    {"prick", "pricks", kPurple, 0.25, {}},
    {"stitch", "stitch lines", kGreen, 0.30, {2.0, 1.2}},
    {"skive", "skive bands", kPurple, 0.30, {5.0, 1.2}},
    {"lap-guide", "lap guides", kOrange, 0.30, {4.0, 1.0, 0.8, 1.0}},
    {"net-line", "net line", kSkyBlue, 0.22, {}},
    {"fold", "fold line", kBlack, 0.30, {9.0, 1.5, 1.5, 1.5}},
    {"grain", "grain", kGrey, 0.40, {}},
    {"guide", "guide lines", kGrey, 0.20, {0.8, 1.2}},
    {"text", "text", kBlack, 0.18, {}},
}};

}  // namespace

const LineStyle& style_of(Operation operation) {
  return kStyles[static_cast<std::size_t>(operation)];
}

std::array<Operation, kOperationCount> all_operations() {
  std::array<Operation, kOperationCount> all{};
  for (std::size_t i = 0; i < all.size(); ++i) all[i] = static_cast<Operation>(i);
  return all;
}

}  // namespace lastwright
