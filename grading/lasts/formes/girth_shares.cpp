#include "grading/lasts/formes/girth_shares.hpp"

#include <algorithm>
#include <cmath>

namespace lastwright {

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
    if (!(treads > 0.0)) continue;
    GirthShare share{measure, base[i].value - base[i].bottom, base[i].bottom, both / treads, 0.0};
    for (const std::vector<Measured>& values : run) {
      const double wider = values[tread].value - base[tread].value;
      share.residual =
          std::max(share.residual, std::abs(values[i].bottom - base[i].bottom - share.of_tread * wider));
    }
    shares.push_back(share);
  }
  return shares;
}

}  // namespace lastwright
