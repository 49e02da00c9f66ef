// Topology and triangulation as plain data.
#include <BRepTools_WireExplorer.hxx>
#include <Geom_Curve.hxx>
#include <Poly_PolygonOnTriangulation.hxx>
#include <Poly_Triangulation.hxx>
#include <algorithm>
#include <map>

#include "geometry/solid/kernel/impl.hpp"
#include "geometry/solid/refit.hpp"

namespace lastwright {

namespace {

Vec3 plain(const gp_Pnt& p) {
  return {p.X(), p.Y(), p.Z()};
}

template <class Array>
std::vector<double> flat_knots(const Array& sequence) {
  return {sequence.begin(), sequence.end()};
}

bool is_clamped(const KnotVector& k) {
  const std::size_t p = static_cast<std::size_t>(k.degree);
  return k.knots.size() > 2 * p + 1 && k.knots.front() == k.knots[p] &&
         k.knots.back() == k.knots[k.knots.size() - 1 - p];
}

struct Direction {
  int degree = 0;
  bool periodic = false;
  double start = 0.0;
  double period = 0.0;
  std::vector<double> knots;
  std::vector<int> multiplicities;
  std::vector<double> sequence;  // as the kernel flattens it
};

Direction direction_of(const Geom_BSplineSurface& s, bool along_u) {
  Direction d;
  d.degree = along_u ? s.UDegree() : s.VDegree();
  d.periodic = along_u ? s.IsUPeriodic() : s.IsVPeriodic();
  const int count = along_u ? s.NbUKnots() : s.NbVKnots();
  for (int i = 1; i <= count; ++i) {
    d.knots.push_back(along_u ? s.UKnot(i) : s.VKnot(i));
    d.multiplicities.push_back(along_u ? s.UMultiplicity(i) : s.VMultiplicity(i));
  }
  d.start = d.knots.front();
  d.period = d.knots.back() - d.knots.front();
  d.sequence = flat_knots(along_u ? s.UKnotSequence() : s.VKnotSequence());
  return d;
}

// The knots of the direction cut open at its start, where that is possible without moving a pole: clamped
// already, or periodic with a seam of full multiplicity (circles), which only needs its first pole once more
// at the end.
bool open_knots(const Direction& d, KnotVector& knots) {
  knots.degree = d.degree;
  knots.knots = d.sequence;
  if (!d.periodic) return is_clamped(knots);
  if (d.multiplicities.front() != d.degree) return false;
  knots.knots.assign(static_cast<std::size_t>(d.degree) + 1, d.knots.front());
  for (std::size_t i = 1; i + 1 < d.knots.size(); ++i) {
    knots.knots.insert(knots.knots.end(), static_cast<std::size_t>(d.multiplicities[i]), d.knots[i]);
  }
  knots.knots.insert(knots.knots.end(), static_cast<std::size_t>(d.degree) + 1, d.knots.back());
  return true;
}

// Anything else is refitted on the part the face uses, to a ten-thousandth of a millimetre.
BSplineSurface refitted(const Geom_BSplineSurface& s, double u0, double u1, double v0, double v1) {
  const auto exact = [&](double u, double v) { return plain(s.Value(u, v)); };
  Breaks u;
  Breaks v;
  for (int i = 0; i <= 8; ++i) {
    u.at.push_back(u0 + (u1 - u0) * i / 8.0);
    v.at.push_back(v0 + (v1 - v0) * i / 8.0);
    u.multiplicity.push_back(1);
    v.multiplicity.push_back(1);
  }
  return fit_surface(exact, {u, v}, 1e-4);
}

Result<BSplineSurface> surface_of(const TopoDS_Face& face, std::vector<std::string>& notes) {
  const Handle(Geom_BSplineSurface) spline = Handle(Geom_BSplineSurface)::DownCast(BRep_Tool::Surface(face));
  if (spline.IsNull())
    return Problem{Trouble::kUnsupported, "a face has a surface that is no B-spline", {}, {}, {}};
  const Direction u = direction_of(*spline, true);
  const Direction v = direction_of(*spline, false);
  double u0 = 0;
  double u1 = 0;
  double v0 = 0;
  double v1 = 0;
  BRepTools::UVBounds(face, u0, u1, v0, v1);
  const auto straddles = [](const Direction& d, double low, double high) {
    return d.periodic && (low < d.start - 1e-9 || high > d.start + d.period + 1e-9);
  };
  BSplineSurface s;
  if (straddles(u, u0, u1) || straddles(v, v0, v1) || !open_knots(u, s.u) || !open_knots(v, s.v)) {
    notes.emplace_back("a periodic face was refitted within 0.0001 mm, to be cut open at its seam");
    return refitted(*spline, u0, u1, v0, v1);
  }
  const bool rational = spline->IsURational() || spline->IsVRational();
  for (int i = 0; i < s.u.count(); ++i) {
    for (int j = 0; j < s.v.count(); ++j) {
      const int row = i % spline->NbUPoles() + 1;
      const int column = j % spline->NbVPoles() + 1;
      s.poles.push_back(plain(spline->Pole(row, column)));
      if (rational) s.weights.push_back(spline->Weight(row, column));
    }
  }
  return s;
}

BodyEdge edge_of(const TopoDS_Edge& edge) {
  BodyEdge result;
  double from = 0;
  double to = 1;
  const Handle(Geom_Curve) curve = BRep_Tool::Curve(edge, from, to);
  result.from = from;
  result.to = to;
  const Handle(Geom_BSplineCurve) spline = Handle(Geom_BSplineCurve)::DownCast(curve);
  if (!spline.IsNull() && !spline->IsPeriodic()) {
    BSplineCurve3 c;
    c.knots.degree = spline->Degree();
    c.knots.knots = flat_knots(spline->KnotSequence());
    for (int i = 1; i <= spline->NbPoles(); ++i) {
      c.poles.push_back(plain(spline->Pole(i)));
      if (spline->IsRational()) c.weights.push_back(spline->Weight(i));
    }
    if (is_clamped(c.knots)) {
      result.curve = std::move(c);
      return result;
    }
  }
  // Anything else (periodic, a line, a circle) is refitted on its own clamped
  // knots: the kernel's way of cutting a periodic curve open breaks on curves
  // of high multiplicity. 1e-6 mm is a tenth of the kernel's own tolerance.
  Breaks breaks;
  for (int i = 0; i <= 8; ++i) {
    breaks.at.push_back(from + (to - from) * i / 8.0);
    breaks.multiplicity.push_back(1);
  }
  result.curve = fit_curve([&](double t) { return plain(curve->Value(t)); }, breaks, 1e-6).curve;
  return result;
}

// Collects faces, edges and the triangulation of one shape.
class Collector {
 public:
  explicit Collector(const TopoDS_Shape& shape) {
    TopExp::MapShapes(shape, TopAbs_FACE, faces_);
    TopExp::MapShapes(shape, TopAbs_VERTEX, vertices_);
    TopTools_IndexedMapOfShape all;
    TopExp::MapShapes(shape, TopAbs_EDGE, all);
    for (int i = 1; i <= all.Extent(); ++i) {
      if (!BRep_Tool::Degenerated(TopoDS::Edge(all(i)))) edges_.Add(all(i));
    }
  }

  Result<Body> collect() {
    for (int i = 1; i <= vertices_.Extent(); ++i) {
      body_.vertices.push_back(plain(BRep_Tool::Pnt(TopoDS::Vertex(vertices_(i)))));
    }
    for (int i = 1; i <= edges_.Extent(); ++i) {
      const TopoDS_Edge edge = TopoDS::Edge(edges_(i).Oriented(TopAbs_FORWARD));
      BodyEdge made = edge_of(edge);
      made.start = vertices_.FindIndex(TopExp::FirstVertex(edge)) - 1;
      made.end = vertices_.FindIndex(TopExp::LastVertex(edge)) - 1;
      body_.edges.push_back(std::move(made));
    }
    for (int i = 1; i <= faces_.Extent(); ++i) {
      const TopoDS_Face& face = TopoDS::Face(faces_(i));
      Result<BSplineSurface> surface = surface_of(face, body_.notes);
      if (!surface) return surface.problem().in("face", std::to_string(i));
      BodyFace made;
      made.surface = std::move(*surface);
      made.outward = face.Orientation() == TopAbs_FORWARD;
      made.loops = loops_of(face);
      body_.faces.push_back(std::move(made));
      if (Status meshed = add_mesh(face, i - 1); !meshed)
        return meshed.problem().in("face", std::to_string(i));
    }
    return std::move(body_);
  }

 private:
  std::vector<BodyLoop> loops_of(const TopoDS_Face& face) const {
    std::vector<BodyLoop> loops;
    const TopoDS_Face forward = TopoDS::Face(face.Oriented(TopAbs_FORWARD));
    const TopoDS_Wire outer = BRepTools::OuterWire(forward);
    for (TopExp_Explorer it(forward, TopAbs_WIRE); it.More(); it.Next()) {
      BodyLoop loop;
      loop.outer = it.Current().IsSame(outer);
      for (BRepTools_WireExplorer walk(TopoDS::Wire(it.Current()), forward); walk.More(); walk.Next()) {
        const int edge = edges_.FindIndex(walk.Current());
        if (edge > 0) loop.uses.push_back({edge - 1, walk.Current().Orientation() == TopAbs_FORWARD});
      }
      if (!loop.uses.empty()) loops.push_back(std::move(loop));
    }
    return loops;
  }

  // The rim pieces of an edge, made when the first face brings them.
  int rim_start(int edge, const std::vector<double>& parameters) {
    const auto key = std::make_pair(edge, parameters.size());
    if (const auto found = rim_starts_.find(key); found != rim_starts_.end()) return found->second;
    const int start = static_cast<int>(body_.mesh.rims.size());
    for (std::size_t k = 0; k + 1 < parameters.size(); ++k) {
      body_.mesh.rims.push_back({edge, parameters[k], parameters[k + 1]});
    }
    rim_starts_[key] = start;
    return start;
  }

  Status add_mesh(const TopoDS_Face& face, int index) {
    TopLoc_Location location;
    const Handle(Poly_Triangulation) mesh = BRep_Tool::Triangulation(face, location);
    if (mesh.IsNull() || !mesh->HasUVNodes()) {
      return Problem{Trouble::kGeometry, "the kernel could not triangulate the face", {}, {}, {}};
    }
    Mesh& out = body_.mesh;
    const BSplineSurface& surface = body_.faces.back().surface;
    const auto base = static_cast<std::uint32_t>(out.nodes.size());
    for (int i = 1; i <= mesh->NbNodes(); ++i) {
      const gp_Pnt2d uv = mesh->UVNode(i);
      out.nodes.push_back({index, uv.X(), uv.Y(), surface.point(uv.X(), uv.Y())});
    }
    std::map<std::pair<std::uint32_t, std::uint32_t>, int> rims;  // sides on the rim, smaller node first
    for (TopExp_Explorer it(face, TopAbs_EDGE); it.More(); it.Next()) {
      const TopoDS_Edge& edge = TopoDS::Edge(it.Current());
      const int edge_index = edges_.FindIndex(edge) - 1;
      if (edge_index < 0) continue;
      const Handle(Poly_PolygonOnTriangulation) polygon =
          BRep_Tool::PolygonOnTriangulation(edge, mesh, location);
      if (polygon.IsNull() || !polygon->HasParameters()) {
        return Problem{
            Trouble::kGeometry, "the triangulation of the face does not know its edges", {}, {}, {}};
      }
      std::vector<double> parameters;
      for (int k = 1; k <= polygon->NbNodes(); ++k) parameters.push_back(polygon->Parameter(k));
      const int start = rim_start(edge_index, parameters);
      for (int k = 1; k < polygon->NbNodes(); ++k) {
        const auto a = base + static_cast<std::uint32_t>(polygon->Node(k) - 1);
        const auto b = base + static_cast<std::uint32_t>(polygon->Node(k + 1) - 1);
        rims[std::minmax(a, b)] = start + k - 1;
      }
    }
    std::map<std::pair<std::uint32_t, std::uint32_t>, std::uint32_t> sides;
    for (int i = 1; i <= mesh->NbTriangles(); ++i) {
      int n[3];
      mesh->Triangle(i).Get(n[0], n[1], n[2]);
      if (face.Orientation() == TopAbs_REVERSED) std::swap(n[1], n[2]);
      Triangle t;
      t.face = index;
      for (std::size_t k = 0; k < 3; ++k) t.node[k] = base + static_cast<std::uint32_t>(n[k] - 1);
      for (std::size_t k = 0; k < 3; ++k) {
        const auto key = std::minmax(t.node[k], t.node[(k + 1) % 3]);
        const auto [found, is_new] = sides.try_emplace(key, static_cast<std::uint32_t>(out.sides.size()));
        if (is_new) {
          const auto rim = rims.find(key);
          out.sides.push_back({key.first, key.second, rim == rims.end() ? -1 : rim->second});
        }
        t.side[k] = found->second;
      }
      out.triangles.push_back(t);
    }
    return Done{};
  }

  TopTools_IndexedMapOfShape faces_, edges_, vertices_;
  std::map<std::pair<int, std::size_t>, int> rim_starts_;
  Body body_;
};

bool all_splines(const TopoDS_Shape& shape) {
  for (TopExp_Explorer it(shape, TopAbs_FACE); it.More(); it.Next()) {
    if (Handle(Geom_BSplineSurface)::DownCast(BRep_Tool::Surface(TopoDS::Face(it.Current()))).IsNull())
      return false;
  }
  return true;
}

// Of the kernel's two triangulations Delabella takes a third of the other's time on a last and gives as many
// triangles. Named, for the kernel would take what an environment variable says.
void triangulate(const TopoDS_Shape& shape, double deflection, IMeshTools_MeshAlgoType algorithm) {
  BRepTools::Clean(shape);
  IMeshTools_Parameters parameters;
  parameters.Deflection = deflection;
  parameters.Angle = 0.3;
  parameters.MeshAlgo = algorithm;
  BRepMesh_IncrementalMesh(shape, parameters);
}

}  // namespace

Result<Body> to_body(const KernelShape& shape, double deflection) {
  quieten_kernel();
  return guarded("triangulating the solid", [&]() -> Result<Body> {
    TopoDS_Shape work = shape.impl().shape;
    if (!all_splines(work)) {
      BRepBuilderAPI_NurbsConvert convert(work, Standard_True);
      work = convert.Shape();
    }
    // The kernel keeps polygons of edges with the shape: on a copy, what was meshed before changes nothing.
    BRepBuilderAPI_Copy copy(work, Standard_False, Standard_False);
    work = copy.Shape();
    triangulate(work, deflection, IMeshTools_MeshAlgoType_Delabella);
    Result<Body> body = Collector(work).collect();
    if (!body) {  // the older way is slower, and has seen more solids
      triangulate(work, deflection, IMeshTools_MeshAlgoType_Watson);
      body = Collector(work).collect();
    }
    if (!body) return body;
    body->notes.insert(body->notes.begin(), shape.impl().notes.begin(), shape.impl().notes.end());
    if (volume(body->mesh) < 0.0) {
      for (BodyFace& face : body->faces) face.outward = !face.outward;
      for (Triangle& t : body->mesh.triangles) {
        std::swap(t.node[1], t.node[2]);
        std::swap(t.side[0], t.side[2]);
      }
      body->notes.emplace_back("the solid was inside out; its faces were reversed");
    }
    return body;
  });
}

}  // namespace lastwright
