// Faces parted along a line: a narrow ring of a sheet stands on the line, square to the surface, and the
// faces are cut where they meet it.
#include <BRepAlgoAPI_Splitter.hxx>
#include <BRepBuilderAPI_MakeEdge.hxx>
#include <BRepBuilderAPI_MakeSolid.hxx>
#include <BRepFill.hxx>
#include <BRepLib.hxx>
#include <GeomAPI_Interpolate.hxx>
#include <TColgp_HArray1OfPnt.hxx>
#include <TopTools_ListOfShape.hxx>

#include "geometry/solid/kernel/impl.hpp"

namespace lastwright {

namespace {

// A closed curve through the line's points, each moved by `by` across.
TopoDS_Edge rim_of(const std::vector<Vec3>& line, const std::vector<Vec3>& across, double by) {
  const Handle(TColgp_HArray1OfPnt) points = new TColgp_HArray1OfPnt(1, static_cast<int>(line.size()));
  for (std::size_t i = 0; i < line.size(); ++i) {
    const Vec3 p = line[i] + by * across[i];
    points->SetValue(static_cast<int>(i) + 1, gp_Pnt(p.x, p.y, p.z));
  }
  GeomAPI_Interpolate curve(points, Standard_True, 1e-6);
  curve.Perform();
  return BRepBuilderAPI_MakeEdge(curve.Curve()).Edge();
}

int faces_of(const TopoDS_Shape& shape) {
  TopTools_IndexedMapOfShape faces;
  TopExp::MapShapes(shape, TopAbs_FACE, faces);
  return faces.Extent();
}

}  // namespace

Result<KernelShape> parted_along(const KernelShape& shape, const std::vector<Vec3>& line,
                                 const std::vector<Vec3>& across, double high, std::string note) {
  const TopoDS_Shape& whole = shape.impl().shape;
  return guarded("parting the faces", [&]() -> Result<KernelShape> {
    const auto refused = [](const char* why) {
      return Problem{
          Trouble::kGeometry, fmt::format("the faces do not part along the line: {}", why), {}, {}, {}};
    };
    BRepBuilderAPI_Copy copy(whole, Standard_True, Standard_False);
    TopTools_ListOfShape solid;
    TopTools_ListOfShape sheet;
    solid.Append(TopExp_Explorer(copy.Shape(), TopAbs_SHELL).Current());
    sheet.Append(BRepFill::Face(rim_of(line, across, -high), rim_of(line, across, high)));
    BRepAlgoAPI_Splitter splitter;
    splitter.SetArguments(solid);
    splitter.SetTools(sheet);
    splitter.Build();
    if (!splitter.IsDone() || splitter.HasErrors()) return refused("the kernel cannot cut them");
    TopExp_Explorer shells(splitter.Shape(), TopAbs_SHELL);
    if (!shells.More()) return refused("nothing closed is left");
    const TopoDS_Shell shell = TopoDS::Shell(shells.Current());
    if (faces_of(shell) <= faces_of(whole)) return refused("no face was cut");
    TopoDS_Solid made = BRepBuilderAPI_MakeSolid(shell).Solid();
    BRepLib::OrientClosedSolid(made);
    if (!BRepCheck_Analyzer(made).IsValid() && BRepCheck_Analyzer(whole).IsValid())
      return refused("what comes out is not valid");
    auto impl = std::make_shared<KernelShape::Impl>();
    impl->shape = made;
    impl->notes = shape.impl().notes;
    impl->notes.push_back(std::move(note));
    return KernelShape(std::move(impl));
  });
}

}  // namespace lastwright
