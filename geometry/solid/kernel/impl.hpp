// What a KernelShape holds, and how the kernel's exceptions leave this folder. Only for the files beside it.
#pragma once

#include <fmt/format.h>

#include "geometry/solid/kernel/kernel.hpp"
#include "geometry/solid/kernel/precompiled.hpp"

namespace lastwright {

struct KernelShape::Impl {
  TopoDS_Shape shape;
  std::vector<std::string> notes;
};

// Runs `work`, which returns a Result; an exception of the
// kernel becomes a Problem that names what was being done.
template <class Work>
auto guarded(const char* doing, const Work& work) -> decltype(work()) {
  try {
    return work();
  } catch (const Standard_Failure& failure) {
    const char* said = failure.GetMessageString();
    return Problem{Trouble::kGeometry,
                   fmt::format("the solid kernel gave up while {}{}{}", doing, said && *said ? ": " : "",
                               said ? said : ""),
                   {},
                   {},
                   {}};
  }
}

// The one solid that a file's shapes make: loose faces sewn, parts that meet joined, small ones left out.
Result<KernelShape> one_solid(const TopoDS_Shape& all);

// The kernel talks on standard output unless told otherwise; its global settings are made once.
void quieten_kernel();

}  // namespace lastwright
