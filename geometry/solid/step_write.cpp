#include "geometry/solid/step_write.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>

namespace lastwright {

namespace {

std::string ascii(const std::string& text) {
  std::string out;
  for (char c : text) {
    if (c == '\'')
      out += "''";
    else if (c == '\\')
      out += "\\\\";
    else
      out += (c >= 32 && c < 127) ? c : '?';
  }
  return out;
}

class StepWriter {
 public:
  explicit StepWriter(const Body& body) : body_(body) { text_.reserve(1u << 20); }

  std::string write(const StepHeader& header) {
    text_ += "ISO-10303-21;\nHEADER;\n";
    text_ += fmt::format("FILE_DESCRIPTION(('{}'),'2;1');\n", ascii(header.description));
    // A fixed time: the same last gives the same bytes.
    text_ +=
        fmt::format("FILE_NAME('{}','1970-01-01T00:00:00',(''),(''),'','','');\n", ascii(header.product));
    text_ += "FILE_SCHEMA(('AUTOMOTIVE_DESIGN { 1 0 10303 214 1 1 1 1 }'));\nENDSEC;\nDATA;\n";
    const int context = frame(ascii(header.product));
    const int solid = write_solid();
    const int origin = line("CARTESIAN_POINT('',(0.,0.,0.))");
    const int up = line("DIRECTION('',(0.,0.,1.))");
    const int ahead = line("DIRECTION('',(1.,0.,0.))");
    const int placement = line(fmt::format("AXIS2_PLACEMENT_3D('',#{},#{},#{})", origin, up, ahead));
    const int shape =
        line(fmt::format("ADVANCED_BREP_SHAPE_REPRESENTATION('',(#{},#{}),#{})", placement, solid, context));
    line(fmt::format("SHAPE_DEFINITION_REPRESENTATION(#{},#{})", definition_, shape));
    text_ += "ENDSEC;\nEND-ISO-10303-21;\n";
    return std::move(text_);
  }

 private:
  int line(const std::string& entity) {
    text_ += fmt::format("#{}={};\n", ++last_, entity);
    return last_;
  }
  int begin(const char* entity) {
    text_ += fmt::format("#{}={}", ++last_, entity);
    return last_;
  }

  int frame(const std::string& product) {
    const int app = line("APPLICATION_CONTEXT('core data for automotive mechanical design processes')");
    line(fmt::format("APPLICATION_PROTOCOL_DEFINITION('international standard','automotive_design',2000,#{})",
                     app));
    const int context = line(fmt::format("PRODUCT_CONTEXT('',#{},'mechanical')", app));
    const int item = line(fmt::format("PRODUCT('{}','{}','',(#{}))", product, product, context));
    line(fmt::format("PRODUCT_RELATED_PRODUCT_CATEGORY('part',$,(#{}))", item));
    const int version = line(fmt::format("PRODUCT_DEFINITION_FORMATION('','',#{})", item));
    const int stage = line(fmt::format("PRODUCT_DEFINITION_CONTEXT('part definition',#{},'design')", app));
    const int design = line(fmt::format("PRODUCT_DEFINITION('design','',#{},#{})", version, stage));
    definition_ = line(fmt::format("PRODUCT_DEFINITION_SHAPE('','',#{})", design));
    const int mm = line("(LENGTH_UNIT()NAMED_UNIT(*)SI_UNIT(.MILLI.,.METRE.))");
    const int rad = line("(NAMED_UNIT(*)PLANE_ANGLE_UNIT()SI_UNIT($,.RADIAN.))");
    const int sr = line("(NAMED_UNIT(*)SI_UNIT($,.STERADIAN.)SOLID_ANGLE_UNIT())");
    const int off =
        line(fmt::format("UNCERTAINTY_MEASURE_WITH_UNIT(LENGTH_MEASURE(0.005),#{},'distance_accuracy_value','"
                         "largest gap at an edge')",
                         mm));
    return line(
        fmt::format("(GEOMETRIC_REPRESENTATION_CONTEXT(3)GLOBAL_UNCERTAINTY_ASSIGNED_CONTEXT((#{}))"
                    "GLOBAL_UNIT_ASSIGNED_CONTEXT((#{},#{},#{}))REPRESENTATION_CONTEXT('',''))",
                    off, mm, rad, sr));
  }

  int write_solid() {
    for (const Vec3& p : body_.vertices) {
      const int at = point(p);
      vertices_.push_back(line(fmt::format("VERTEX_POINT('',#{})", at)));
    }
    for (const BodyEdge& e : body_.edges) {
      const int c = curve(e.curve);
      edges_.push_back(
          line(fmt::format("EDGE_CURVE('',#{},#{},#{},.T.)", vertices_[static_cast<std::size_t>(e.start)],
                           vertices_[static_cast<std::size_t>(e.end)], c)));
    }
    std::string faces;
    for (const BodyFace& f : body_.faces) faces += fmt::format("{}#{}", faces.empty() ? "" : ",", face(f));
    const int shell = line(fmt::format("CLOSED_SHELL('',({}))", faces));
    return line(fmt::format("MANIFOLD_SOLID_BREP('',#{})", shell));
  }

  int face(const BodyFace& f) {
    std::string bounds;
    for (const BodyLoop& loop : f.loops) {
      std::string uses;
      for (const EdgeUse& use : loop.uses) {
        const int oriented =
            line(fmt::format("ORIENTED_EDGE('',*,*,#{},{})", edges_[static_cast<std::size_t>(use.edge)],
                             use.forward ? ".T." : ".F."));
        uses += fmt::format("{}#{}", uses.empty() ? "" : ",", oriented);
      }
      const int closed = line(fmt::format("EDGE_LOOP('',({}))", uses));
      // Loops are kept as they run about the surface's own normal.
      const int bound = line(fmt::format("{}('',#{},{})", loop.outer ? "FACE_OUTER_BOUND" : "FACE_BOUND",
                                         closed, f.outward ? ".T." : ".F."));
      bounds += fmt::format("{}#{}", bounds.empty() ? "" : ",", bound);
    }
    const int on = surface(f.surface);
    return line(fmt::format("ADVANCED_FACE('',({}),#{},{})", bounds, on, f.outward ? ".T." : ".F."));
  }

  void number(double value, bool full) {
    char buffer[64];
    const auto end = full
                         ? std::to_chars(buffer, buffer + sizeof buffer, value)
                         : std::to_chars(buffer, buffer + sizeof buffer, std::round(value * 1e7) / 1e7 + 0.0);
    std::string_view digits(buffer, static_cast<std::size_t>(end.ptr - buffer));
    const std::size_t e = digits.find('e');
    const std::string_view mantissa = digits.substr(0, e);
    text_ += mantissa;
    if (mantissa.find('.') == std::string_view::npos) text_ += '.';
    if (e != std::string_view::npos) {
      text_ += 'E';
      text_ += digits.substr(e + 1);
    }
  }

  int point(Vec3 p) {
    const int id = begin("CARTESIAN_POINT('',(");
    number(p.x, false);
    text_ += ',';
    number(p.y, false);
    text_ += ',';
    number(p.z, false);
    text_ += "));\n";
    return id;
  }

  void references(int first, int count) {
    text_ += '(';
    for (int i = 0; i < count; ++i) {
      if (i > 0) text_ += ',';
      text_ += '#';
      char buffer[16];
      text_.append(buffer, std::to_chars(buffer, buffer + sizeof buffer, first + i).ptr);
    }
    text_ += ')';
  }

  // Multiplicities and distinct knots, as the schema wants them apart.
  void multiplicities(const KnotVector& k) {
    text_ += '(';
    for (std::size_t i = 0; i < k.knots.size();) {
      std::size_t end = i;
      while (end < k.knots.size() && k.knots[end] == k.knots[i]) ++end;
      if (i > 0) text_ += ',';
      text_ += std::to_string(end - i);
      i = end;
    }
    text_ += ')';
  }
  void distinct(const KnotVector& k) {
    text_ += '(';
    for (std::size_t i = 0; i < k.knots.size(); ++i) {
      if (i > 0 && k.knots[i] == k.knots[i - 1]) continue;
      if (i > 0) text_ += ',';
      number(k.knots[i], true);
    }
    text_ += ')';
  }

  int curve(const BSplineCurve3& c) {
    const int first = last_ + 1;
    for (const Vec3& p : c.poles) point(p);
    const int id = begin("B_SPLINE_CURVE_WITH_KNOTS('',");
    text_ += std::to_string(c.knots.degree) + ",";
    references(first, static_cast<int>(c.poles.size()));
    text_ += ",.UNSPECIFIED.,.F.,.F.,";
    multiplicities(c.knots);
    text_ += ',';
    distinct(c.knots);
    text_ += ",.UNSPECIFIED.);\n";
    return id;
  }

  int surface(const BSplineSurface& s) {
    const int first = last_ + 1;
    for (const Vec3& p : s.poles) point(p);
    const int id = begin("B_SPLINE_SURFACE_WITH_KNOTS('',");
    text_ += std::to_string(s.u.degree) + "," + std::to_string(s.v.degree) + ",(";
    for (int i = 0; i < s.u.count(); ++i) {
      if (i > 0) text_ += ',';
      references(first + i * s.v.count(), s.v.count());
    }
    text_ += "),.UNSPECIFIED.,.F.,.F.,.F.,";
    multiplicities(s.u);
    text_ += ',';
    multiplicities(s.v);
    text_ += ',';
    distinct(s.u);
    text_ += ',';
    distinct(s.v);
    text_ += ",.UNSPECIFIED.);\n";
    return id;
  }

  const Body& body_;
  std::string text_;
  int last_ = 0;
  int definition_ = 0;
  std::vector<int> vertices_;
  std::vector<int> edges_;
};

}  // namespace

Result<std::string> write_step(const Body& body, const StepHeader& header) {
  for (std::size_t i = 0; i < body.faces.size(); ++i) {
    const BodyFace& face = body.faces[i];
    if (!face.surface.weights.empty() || face.loops.empty()) {
      return Problem{Trouble::kInternal, "only trimmed faces without weights are written as STEP", {}, {}, {}}
          .in("face", std::to_string(i + 1));
    }
  }
  for (const BodyEdge& edge : body.edges) {
    if (!edge.curve.weights.empty()) {
      return Problem{Trouble::kInternal, "only edges without weights are written as STEP", {}, {}, {}};
    }
  }
  return StepWriter(body).write(header);
}

}  // namespace lastwright
