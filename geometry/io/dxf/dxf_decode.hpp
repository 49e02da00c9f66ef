// One entity's tags to its plane shape. Kinds that are not read come back as DxfUnread with the reason.
#pragma once

#include <string>
#include <vector>

#include "geometry/io/dxf/dxf_entity.hpp"
#include "geometry/io/dxf/dxf_fields.hpp"

namespace lastwright {

using DxfShape = decltype(DxfEntity::shape);

// `type` is the entity's name ("LINE"). Failures are noted in `fields`; then the result means nothing.
// POLYLINE is not decoded here but with its vertices, by decode_polyline.
DxfShape decode_shape(std::string_view type, DxfFields& fields);

// The count that stands under `code` against what was found:
// a difference is a failure, or a repair when asked for.
void check_promise(DxfFields& fields, int code, std::size_t found, const char* what);

DxfShape decode_lwpolyline(DxfFields& fields);
DxfShape decode_spline(DxfFields& fields);
DxfShape decode_ellipse(DxfFields& fields);

// A POLYLINE entity is put together from its own tags and one set of tags a VERTEX.
class DxfPolylineDecoder {
 public:
  explicit DxfPolylineDecoder(DxfFields& head);
  void add_vertex(DxfFields& vertex);
  // After the last vertex; failures go to `head`.
  DxfShape finish(DxfFields& head);

 private:
  DxfPolyline polyline_;
  double facing_ = 1.0;
  bool space_ = false;  // a 3D polyline: heights matter
  bool mesh_ = false;
  double lowest_ = 0.0;
  double highest_ = 0.0;
  bool any_ = false;
};

}  // namespace lastwright
