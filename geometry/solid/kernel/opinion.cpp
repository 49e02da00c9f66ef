#include <GProp_GProps.hxx>
#include <BRepGProp.hxx>
#include <algorithm>

#include "geometry/solid/kernel/impl.hpp"

namespace lastwright {

Result<KernelOpinion> check(const KernelShape& shape) {
  return guarded("checking the solid", [&]() -> Result<KernelOpinion> {
    const TopoDS_Shape& s = shape.impl().shape;
    KernelOpinion opinion;
    opinion.valid = BRepCheck_Analyzer(s).IsValid();
    opinion.closed = BRep_Tool::IsClosed(TopExp_Explorer(s, TopAbs_SHELL).Current());
    GProp_GProps properties;
    BRepGProp::VolumeProperties(s, properties);
    opinion.volume = properties.Mass();
    for (TopExp_Explorer it(s, TopAbs_EDGE); it.More(); it.Next()) {
      opinion.largest_tolerance =
          std::max(opinion.largest_tolerance, BRep_Tool::Tolerance(TopoDS::Edge(it.Current())));
    }
    return opinion;
  });
}

}  // namespace lastwright
