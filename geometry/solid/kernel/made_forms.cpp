#include "geometry/solid/kernel/made_forms.hpp"

#include <BRepAdaptor_Curve.hxx>
#include <BRepAlgoAPI_Common.hxx>
#include <BRepAlgoAPI_Cut.hxx>
#include <BRepAlgoAPI_Fuse.hxx>
#include <BRepAlgoAPI_Section.hxx>
#include <BRepBuilderAPI_GTransform.hxx>
#include <BRepBuilderAPI_MakeFace.hxx>
#include <BRepBuilderAPI_MakePolygon.hxx>
#include <BRepBuilderAPI_Transform.hxx>
#include <BRepFilletAPI_MakeFillet.hxx>
#include <BRepGProp.hxx>
#include <BRepPrimAPI_MakeBox.hxx>
#include <BRepPrimAPI_MakeCone.hxx>
#include <BRepPrimAPI_MakeCylinder.hxx>
#include <BRepPrimAPI_MakePrism.hxx>
#include <BRepPrimAPI_MakeSphere.hxx>
#include <BRep_Builder.hxx>
#include <GCPnts_TangentialDeflection.hxx>
#include <GProp_GProps.hxx>
#include <IGESControl_Writer.hxx>
#include <Interface_Static.hxx>
#include <STEPControl_Writer.hxx>
#include <StepData_Protocol.hxx>
#include <StepData_StepModel.hxx>
#include <StepData_StepWriter.hxx>
#include <TopoDS_Compound.hxx>
#include <gp_GTrsf.hxx>
#include <gp_Pln.hxx>
#include <sstream>

#include "geometry/solid/kernel/impl.hpp"

namespace lastwright {

namespace {
KernelShape wrapped(const TopoDS_Shape& shape) {
  auto impl = std::make_shared<KernelShape::Impl>();
  impl->shape = shape;
  return KernelShape(std::move(impl));
}

// The kernel's operations loosen the tolerances of what they are given, which then triangulates otherwise.
TopoDS_Shape own_copy(const KernelShape& shape) {
  BRepBuilderAPI_Copy copy(shape.impl().shape, Standard_True, Standard_False);
  return copy.Shape();
}

Result<KernelShape> cut(const KernelShape& shape, const TopoDS_Shape& tool) {
  return guarded("cutting a hole", [&]() -> Result<KernelShape> {
    BRepAlgoAPI_Cut operation(own_copy(shape), tool);
    TopExp_Explorer solid(operation.Shape(), TopAbs_SOLID);
    if (!solid.More()) return Problem{Trouble::kGeometry, "nothing is left after the cut", {}, {}, {}};
    return wrapped(solid.Current());
  });
}
}  // namespace

Result<std::vector<Vec3>> kernel_section(const KernelShape& shape, const Plane3& plane, double deflection) {
  return guarded("cutting a section", [&]() -> Result<std::vector<Vec3>> {
    const Vec3 o = plane.offset * plane.normal;
    const gp_Pln cutter(gp_Pnt(o.x, o.y, o.z), gp_Dir(plane.normal.x, plane.normal.y, plane.normal.z));
    BRepAlgoAPI_Section section(own_copy(shape), cutter, Standard_False);
    section.Approximation(Standard_True);
    section.Build();
    std::vector<Vec3> points;
    for (TopExp_Explorer it(section.Shape(), TopAbs_EDGE); it.More(); it.Next()) {
      const BRepAdaptor_Curve curve(TopoDS::Edge(it.Current()));
      const GCPnts_TangentialDeflection samples(curve, 0.01, deflection);
      for (int i = 1; i <= samples.NbPoints(); ++i) {
        const gp_Pnt p = samples.Value(i);
        points.push_back({p.X(), p.Y(), p.Z()});
      }
    }
    if (points.empty()) return Problem{Trouble::kGeometry, "the plane misses the solid", {}, {}, {}};
    return points;
  });
}

KernelShape kernel_cylinder(double radius, double height) {
  return wrapped(BRepPrimAPI_MakeCylinder(radius, height).Solid());
}
KernelShape kernel_cone(double bottom_radius, double top_radius, double height) {
  return wrapped(BRepPrimAPI_MakeCone(bottom_radius, top_radius, height).Solid());
}
KernelShape kernel_ellipsoid(double a, double b, double c) {
  gp_GTrsf scale;
  scale.SetValue(1, 1, a);
  scale.SetValue(2, 2, b);
  scale.SetValue(3, 3, c);
  const TopoDS_Solid sphere = BRepPrimAPI_MakeSphere(1.0).Solid();
  return wrapped(BRepBuilderAPI_GTransform(sphere, scale, Standard_True).Shape());
}

Result<KernelShape> kernel_with_hole(const KernelShape& shape, double x, double z, double radius) {
  return cut(shape,
             BRepPrimAPI_MakeCylinder(gp_Ax2(gp_Pnt(x, -200, z), gp_Dir(0, 1, 0)), radius, 400).Solid());
}
Result<KernelShape> kernel_with_slot(const KernelShape& shape, double x, double width, double z) {
  return cut(shape, BRepPrimAPI_MakeBox(gp_Pnt(x, -200, z), gp_Pnt(x + width, 200, z + 300)).Solid());
}
Result<KernelShape> kernel_with_v_cut(const KernelShape& shape, double x, double width, double low,
                                      double high) {
  BRepBuilderAPI_MakePolygon outline(gp_Pnt(x - 0.5 * width, -200, high), gp_Pnt(x + 0.5 * width, -200, high),
                                     gp_Pnt(x, -200, low), Standard_True);
  const TopoDS_Face face = BRepBuilderAPI_MakeFace(outline.Wire()).Face();
  return cut(shape, BRepPrimAPI_MakePrism(face, gp_Vec(0, 400, 0)).Shape());
}

Result<KernelShape> kernel_in_patches(const KernelShape& shape, double x) {
  return guarded("cutting the faces", [&]() -> Result<KernelShape> {
    const TopoDS_Shape whole = own_copy(shape);
    const TopoDS_Shape beyond =
        BRepPrimAPI_MakeBox(gp_Pnt(x, -1000, -1000), gp_Pnt(x + 2000, 1000, 1000)).Solid();
    BRepAlgoAPI_Common front(whole, beyond);
    BRepAlgoAPI_Cut back(whole, beyond);
    BRepAlgoAPI_Fuse both(front.Shape(), back.Shape());
    TopExp_Explorer solid(both.Shape(), TopAbs_SOLID);
    if (!solid.More()) return Problem{Trouble::kGeometry, "the halves did not grow together", {}, {}, {}};
    return wrapped(solid.Current());
  });
}

Result<std::string> kernel_step(const KernelShape& shape, const std::string& unit) {
  quieten_kernel();
  return guarded("writing a STEP file", [&]() -> Result<std::string> {
    STEPControl_Writer writer;
    Interface_Static::SetCVal("write.step.unit", unit.c_str());
    writer.Transfer(shape.impl().shape, STEPControl_AsIs);
    std::ostringstream stream;
    StepData_StepWriter printer(writer.Model());
    printer.SendModel(Handle(StepData_Protocol)::DownCast(writer.Model()->Protocol()));
    if (!printer.Print(stream)) {
      return Problem{Trouble::kInternal, "the kernel could not write the STEP file", {}, {}, {}};
    }
    return stream.str();
  });
}

Result<KernelShape> kernel_with_fillet(const KernelShape& shape, const std::vector<int>& edges,
                                       double radius) {
  return guarded("rounding edges", [&]() -> Result<KernelShape> {
    const TopoDS_Shape whole = own_copy(shape);
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
    const TopoDS_Shape whole = own_copy(shape);
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
