#include <BRepBndLib.hxx>
#include <BRepBuilderAPI_MakeSolid.hxx>
#include <BRepClass3d_SolidClassifier.hxx>
#include <BRepGProp.hxx>
#include <BRepLib.hxx>
#include <Bnd_Box.hxx>
#include <GProp_GProps.hxx>
#include <Interface_Static.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Message_Printer.hxx>
#include <cmath>
#include <mutex>
#include <sstream>

#include "geometry/io/dxf_file_kind.hpp"
#include "geometry/solid/kernel/impl.hpp"
#include "geometry/solid/step_scan.hpp"

namespace lastwright {

namespace {

double volume_of(const TopoDS_Shape& shape) {
  GProp_GProps properties;
  BRepGProp::VolumeProperties(shape, properties);
  return properties.Mass();
}

int open_edges(const TopoDS_Shape& shape) {
  TopTools_IndexedDataMapOfShapeListOfShape uses;
  TopExp::MapShapesAndAncestors(shape, TopAbs_EDGE, TopAbs_FACE, uses);
  int open = 0;
  for (int i = 1; i <= uses.Extent(); ++i) {
    const TopoDS_Edge& edge = TopoDS::Edge(uses.FindKey(i));
    if (BRep_Tool::Degenerated(edge)) continue;
    if (uses(i).Extent() == 1 && !BRep_Tool::IsClosed(edge, TopoDS::Face(uses(i).First()))) ++open;
  }
  return open;
}

Result<TopoDS_Shape> sewn(const TopoDS_Shape& loose, std::vector<std::string>& notes) {
  // A hundredth of a millimetre joins what an exporter tore apart and is far below anything measured.
  BRepBuilderAPI_Sewing sewing(0.01);
  sewing.Add(loose);
  sewing.Perform();
  TopExp_Explorer shells(sewing.SewedShape(), TopAbs_SHELL);
  if (!shells.More()) {
    return Problem{
        Trouble::kBadValue, "the file holds no solid and no faces that could be sewn into one", {}, {}, {}};
  }
  const TopoDS_Shell& shell = TopoDS::Shell(shells.Current());
  if (const int open = open_edges(shell); open > 0) {
    return Problem{Trouble::kGeometry,
                   "the faces do not close into a last: open edges remain after sewing at 0.01 mm",
                   {},
                   static_cast<double>(open),
                   0.0};
  }
  notes.emplace_back("the file held loose faces; they were sewn into a solid at 0.01 mm");
  BRepBuilderAPI_MakeSolid maker(shell);
  return TopoDS_Shape(maker.Solid());
}

Result<TopoDS_Shape> solid_of(const TopoDS_Shape& all, std::vector<std::string>& notes) {
  TopoDS_Shape best;
  double best_volume = 0.0;
  int solids = 0;
  for (TopExp_Explorer it(all, TopAbs_SOLID); it.More(); it.Next(), ++solids) {
    const double v = std::abs(volume_of(it.Current()));
    if (v > best_volume) {
      best = it.Current();
      best_volume = v;
    }
  }
  if (solids > 1) notes.push_back(fmt::format("the file holds {} solids; the largest was taken", solids));
  if (solids == 0) {
    Result<TopoDS_Shape> made = sewn(all, notes);
    if (!made) return made;
    best = *made;
  }
  if (const int open = open_edges(best); open > 0) {
    return Problem{Trouble::kGeometry,
                   "the solid is not watertight: it has open edges",
                   {},
                   static_cast<double>(open),
                   0.0};
  }
  TopoDS_Solid solid = TopoDS::Solid(best);
  BRepLib::OrientClosedSolid(solid);
  return TopoDS_Shape(solid);
}

// What is no last by far is told before its volume and its triangles, which grow with its size, are reckoned.
Status of_a_size_to_mesh(const TopoDS_Shape& shape) {
  constexpr double kLargest = 2000.0;  // mm, of the box of the poles, which may reach beyond the surfaces
  Bnd_Box box;
  BRepBndLib::Add(shape, box, Standard_False);
  const double size = box.IsVoid() ? 0.0 : std::sqrt(box.SquareExtent());
  if (!box.IsOpen() && size <= kLargest) return Done{};
  return Problem{Trouble::kGeometry,
                 "the form is far larger than a last; are its units right? (mm)",
                 {},
                 size,
                 kLargest};
}

}  // namespace

void quieten_kernel() {
  static std::once_flag once;
  std::call_once(once, [] {
    Message::DefaultMessenger()->RemovePrinters(STANDARD_TYPE(Message_Printer));
    const STEPControl_Reader sets_up_the_static_parameters;
    Interface_Static::SetCVal("xstep.cascade.unit", "MM");
    Interface_Static::SetIVal("read.surfacecurve.mode", 0);
  });
}

const std::vector<std::string>& notes_of(const KernelShape& shape) {
  return shape.impl().notes;
}

Result<KernelShape> read_step(std::string_view bytes) {
  if (bytes.size() > kMaxStepBytes) {
    return Problem{Trouble::kBudget,
                   "the STEP file is larger than this program reads",
                   {},
                   static_cast<double>(bytes.size()),
                   static_cast<double>(kMaxStepBytes)};
  }
  if (const auto kind = foreign_file_kind(bytes); kind && *kind != "a STEP file") {
    return Problem{Trouble::kSyntax, "this is not a STEP file but " + std::string(*kind), {}, {}, {}};
  }
  if (bytes.substr(0, 256).find("ISO-10303-21") == std::string_view::npos) {
    return Problem{
        Trouble::kSyntax, "this is not a STEP file: it does not begin with ISO-10303-21", {}, {}, {}};
  }
  if (bytes.find("END-ISO-10303-21") == std::string_view::npos) {
    return Problem{Trouble::kSyntax, "the STEP file is cut short: END-ISO-10303-21 is missing", {}, {}, {}};
  }
  if (const Status sound = scan_step(bytes); !sound) return sound.problem();
  quieten_kernel();
  return guarded("reading the STEP file", [&]() -> Result<KernelShape> {
    // The reader keeps its own global registers; two at a time ran clean in trials, but nothing promises it.
    static std::mutex one_at_a_time;
    const std::scoped_lock lock(one_at_a_time);
    std::istringstream stream{std::string(bytes)};
    STEPControl_Reader reader;
    if (reader.ReadStream("last", stream) != IFSelect_RetDone) {
      return Problem{Trouble::kSyntax, "the STEP file could not be parsed", {}, {}, {}};
    }
    reader.TransferRoots();
    auto impl = std::make_shared<KernelShape::Impl>();
    const TopoDS_Shape all = reader.OneShape();
    if (all.IsNull()) return Problem{Trouble::kBadValue, "the STEP file holds no shape", {}, {}, {}};
    if (const Status size = of_a_size_to_mesh(all); !size) return size.problem();
    Result<TopoDS_Shape> solid = solid_of(all, impl->notes);
    if (!solid) return solid.problem();
    impl->shape = *solid;
    return KernelShape(std::move(impl));
  });
}

}  // namespace lastwright
