// Lasts as other programs may hand them over, for tests: rounded edges, two parts, IGES.
#include <BRepAlgoAPI_Common.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRep_Builder.hxx>
#include <IGESControl_Writer.hxx>
#include <STEPControl_Writer.hxx>
#include <StepData_Protocol.hxx>
#include <StepData_StepModel.hxx>
#include <StepData_StepWriter.hxx>
#include <TopoDS_Compound.hxx>
#include <sstream>

#include "geometry/solid/kernel/impl.hpp"

namespace lastwright {

namespace {

TopoDS_Shape copied(const KernelShape& shape) {
  BRepBuilderAPI_Copy copy(shape.impl().shape, Standard_True, Standard_False);
  return copy.Shape();
}

}  // namespace

Result<KernelShape> kernel_with_fillet(const KernelShape& shape, const std::vector<int>& edges,
                                       double radius) {
  return guarded("rounding edges", [&]() -> Result<KernelShape> {
    const TopoDS_Shape whole = copied(shape);
    TopTools_IndexedMapOfShape all;
    TopTools_IndexedMapOfShape kept;
    TopExp::MapShapes(whole, TopAbs_EDGE, all);
    for (int i = 1; i <= all.Extent(); ++i) {
      if (!BRep_Tool::Degenerated(TopoDS::Edge(all(i)))) kept.Add(all(i));
    }
    BRepFilletAPI_MakeFillet fillet(whole);
    for (int e : edges) fillet.Add(radius, TopoDS::Edge(kept(e + 1)));
    fillet.Build();
    TopExp_Explorer solid;
    if (fillet.IsDone()) solid.Init(fillet.Shape(), TopAbs_SOLID);
    if (!fillet.IsDone() || !solid.More())
      return Problem{Trouble::kGeometry, "the edges cannot be rounded", {}, {}, {}};
    auto impl = std::make_shared<KernelShape::Impl>();
    impl->shape = solid.Current();
    return KernelShape(std::move(impl));
  });
}

Result<std::string> kernel_step_in_two(const KernelShape& shape, double x, double gap) {
  quieten_kernel();
  return guarded("cutting a solid in two", [&]() -> Result<std::string> {
    const TopoDS_Shape whole = copied(shape);
    BRepAlgoAPI_Common back(
        whole, BRepPrimAPI_MakeBox(gp_Pnt(x - 2000, -1000, -1000), gp_Pnt(x, 1000, 1000)).Solid());
    BRepAlgoAPI_Common front(
        whole, BRepPrimAPI_MakeBox(gp_Pnt(x + gap, -1000, -1000), gp_Pnt(x + 2000, 1000, 1000)).Solid());
    TopoDS_Compound both;
    BRep_Builder builder;
    builder.MakeCompound(both);
    builder.Add(both, back.Shape());
    builder.Add(both, front.Shape());
    STEPControl_Writer writer;
    writer.Transfer(both, STEPControl_AsIs);
    std::ostringstream stream;
    StepData_StepWriter printer(writer.Model());
    printer.SendModel(Handle(StepData_Protocol)::DownCast(writer.Model()->Protocol()));
    if (!printer.Print(stream))
      return Problem{Trouble::kInternal, "the STEP file was not written", {}, {}, {}};
    return stream.str();
  });
}

Result<std::string> kernel_iges(const KernelShape& shape) {
  quieten_kernel();
  return guarded("writing an IGES file", [&]() -> Result<std::string> {
    IGESControl_Writer writer("MM", 0);
    writer.AddShape(shape.impl().shape);
    writer.ComputeModel();
    std::ostringstream stream;
    if (!writer.Write(stream))
      return Problem{Trouble::kInternal, "the IGES file was not written", {}, {}, {}};
    return stream.str();
  });
}

}  // namespace lastwright
