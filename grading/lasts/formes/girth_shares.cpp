#include "grading/lasts/formes/girth_shares.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {

namespace {

constexpr double kLeastGrowth = 0.1;  // mm: of a tread that grows by less, nothing can be told
constexpr double kShareSlack = 0.05;  // the skin of a hollow bottom is longer than the straight tread

}  // namespace

bool impossible(const GirthShare& share) {
  return share.of_tread && !(*share.of_tread >= -kShareSlack && *share.of_tread <= 1.0 + kShareSlack);
}

std::vector<GirthShare> girth_shares(const std::vector<MeasureDefinition>& definitions,
                                     const std::vector<Measured>& base,
                                     const std::vector<std::vector<Measured>>& run) {
  const auto tread =
      static_cast<std::size_t>(std::find_if(definitions.begin(), definitions.end(),
                                            [](const MeasureDefinition& d) { return d.measure == "tread"; }) -
                               definitions.begin());
  std::vector<GirthShare> shares;
  if (tread == definitions.size()) return shares;
  for (std::size_t i = 0; i < definitions.size(); ++i) {
    const std::string& measure = definitions[i].measure;
    if (measure != "ball girth" && measure != "waist girth" && measure != "instep girth") continue;
    if (definitions[i].method != Method::kPlaneHull || !(base[i].bottom > 0.0)) continue;
    double both = 0.0;
    double treads = 0.0;
    for (const std::vector<Measured>& values : run) {
      const double wider = values[tread].value - base[tread].value;
      both += wider * (values[i].bottom - base[i].bottom);
      treads += wider * wider;
    }
    GirthShare share{measure, base[i].value - base[i].bottom, base[i].bottom, std::nullopt, 0.0};
    if (treads > kLeastGrowth * kLeastGrowth) share.of_tread = both / treads;
    for (const std::vector<Measured>& values : run) {
      const double wider = values[tread].value - base[tread].value;
      share.residual = std::max(
          share.residual, std::abs(values[i].bottom - base[i].bottom - share.of_tread.value_or(0.0) * wider));
    }
    shares.push_back(share);
  }
  return shares;
}

}  // namespace lastwright
