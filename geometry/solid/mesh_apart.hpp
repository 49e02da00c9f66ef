// A mesh made ready for a file of single precision.
#pragma once

#include "geometry/result.hpp"
#include "geometry/solid/stl.hpp"

namespace lastwright {

// Readers join corners that fall on one place in single precision, and where such joined corners had other
// corners between them the skin tears. Of a mesh that closes by its corners' numbers each of those is put the
// least way beside the others that the file can tell, some hundred-thousandths of a millimetre; numbers,
// order and triangles stay. Any other mesh is given back as it is. `millimetres`: what one unit of the file
// is.
PlainMesh apart_in_file(PlainMesh mesh, double millimetres);

// Whether a mesh file that was just written is read back as a closed skin that looks outward; refuses one
// that is not, with what is open and where.
Status closes_again(std::string_view bytes, double millimetres);

}  // namespace lastwright
