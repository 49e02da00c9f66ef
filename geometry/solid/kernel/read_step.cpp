#include <BRepAlgoAPI_Fuse.hxx>
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
#include <TopTools_ListOfShape.hxx>
#include <algorithm>
#include <cmath>
#include <mutex>
#include <sstream>

#include "geometry/io/dxf/dxf_file_kind.hpp"
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

struct SolidPart {
  TopoDS_Shape solid;
  double volume = 0.0;
  double diagonal = 0.0;  // of its box
};

std::vector<SolidPart> solids_in(const TopoDS_Shape& all) {
  std::vector<SolidPart> parts;
  for (TopExp_Explorer it(all, TopAbs_SOLID); it.More(); it.Next()) {
    Bnd_Box box;
    BRepBndLib::Add(it.Current(), box, Standard_False);
    parts.push_back({it.Current(), std::abs(volume_of(it.Current())),
                     box.IsVoid() ? 0.0 : std::sqrt(box.SquareExtent())});
  }
  std::stable_sort(parts.begin(), parts.end(),
                   [](const SolidPart& a, const SolidPart& b) { return a.volume > b.volume; });
  return parts;
}

// The parts of a last that is sawn through or hinged, grown together where they meet.
Result<TopoDS_Shape> joined(const std::vector<SolidPart>& parts, std::vector<std::string>& notes) {
  constexpr double kOfOneSize = 0.002;   // of the volume: a mirror image has the same
  constexpr double kOfOneLength = 0.02;  // of the box, which a turn changes
  if (std::abs(parts[0].volume - parts[1].volume) < kOfOneSize * parts[0].volume &&
      std::abs(parts[0].diagonal - parts[1].diagonal) < kOfOneLength * parts[0].diagonal) {
    return Problem{Trouble::kGeometry,
                   "the file holds two solids of one size, such as a pair of lasts: give the file of one",
                   {},
                   {},
                   {}};
  }
  constexpr double kMeet = 0.01;  // mm: as far as the faces of a saw cut may lie apart and count as one
  TopTools_ListOfShape first;
  TopTools_ListOfShape rest;
  first.Append(parts.front().solid);
  for (std::size_t i = 1; i < parts.size(); ++i) rest.Append(parts[i].solid);
  BRepAlgoAPI_Fuse fuse;
  fuse.SetArguments(first);
  fuse.SetTools(rest);
  fuse.SetFuzzyValue(kMeet);
  fuse.Build();
  const std::vector<SolidPart> whole = fuse.IsDone() ? solids_in(fuse.Shape()) : std::vector<SolidPart>{};
  if (whole.size() != 1) {
    return Problem{
        Trouble::kGeometry,
        "the last is in several parts that do not meet; close the gaps of its saw cut or hinge, so "
        "that it is one solid or its parts touch",
        {},
        static_cast<double>(parts.size()),
        1.0};
  }
  notes.push_back(fmt::format("the last is in {} parts that meet; they were joined", parts.size()));
  return whole.front().solid;
}

Result<TopoDS_Shape> solid_of(const TopoDS_Shape& all, std::vector<std::string>& notes) {
  constexpr double kSmall = 0.03;  // of the largest: bolts, hinges, plates
  std::vector<SolidPart> parts = solids_in(all);
  TopoDS_Shape best;
  if (parts.empty()) {
    Result<TopoDS_Shape> made = sewn(all, notes);
    if (!made) return made;
    best = *made;
  } else {
    const double least = kSmall * parts.front().volume;
    const auto small =
        std::find_if(parts.begin(), parts.end(), [&](const SolidPart& p) { return p.volume < least; });
    if (small != parts.end()) {
      notes.push_back(fmt::format("{} small solid{} in the file {} left out", parts.end() - small,
                                  parts.end() - small == 1 ? "" : "s",
                                  parts.end() - small == 1 ? "was" : "were"));
    }
    parts.erase(small, parts.end());
    best = parts.front().solid;
    if (parts.size() > 1) {
      const Result<TopoDS_Shape> one = joined(parts, notes);
      if (!one) return one;
      best = *one;
    }
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
                 "the solid is far larger than a last; are its units right? (mm)",
                 {},
                 size,
                 kLargest};
}

}  // namespace

Result<KernelShape> one_solid(const TopoDS_Shape& all) {
  if (const Status size = of_a_size_to_mesh(all); !size) return size.problem();
  auto impl = std::make_shared<KernelShape::Impl>();
  Result<TopoDS_Shape> solid = solid_of(all, impl->notes);
  if (!solid) return solid.problem();
  impl->shape = *solid;
  return KernelShape(std::move(impl));
}

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
    const TopoDS_Shape all = reader.OneShape();
    if (all.IsNull()) return Problem{Trouble::kBadValue, "the STEP file holds no shape", {}, {}, {}};
    return one_solid(all);
  });
}

}  // namespace lastwright
