// The parts of a DXF file that do not depend on what is drawn: header, tables, blocks, objects.
#pragma once

#include <span>
#include <string>

#include "geometry/box2.hpp"

namespace lastwright {

struct DxfLayer {
  std::string name;
  int colour = 7;  // AutoCAD colour index, the numbering of the format
};

// Everything an R2000 file holds around its entities, made once for a set of layers.
class DxfFrame2000 {
 public:
  explicit DxfFrame2000(std::span<const DxfLayer> layers);

  // Up to the first entity. `entities`: how many handles they will take, from kFirstEntityHandle on.
  void begin(std::string& out, const Box2& extent, std::uint64_t entities) const;
  void end(std::string& out) const;

  static constexpr std::uint64_t kFirstEntityHandle = 0x200;

 private:
  std::string before_extent_;
  std::string after_extent_;
  std::string tail_;
};

// The same for R12.
class DxfFrame12 {
 public:
  explicit DxfFrame12(std::span<const DxfLayer> layers);
  // Up to the place of the block definitions; begin_entities() follows.
  void begin(std::string& out, const Box2& extent) const;
  void begin_entities(std::string& out) const;
  void end(std::string& out) const;

 private:
  std::string before_extent_;
  std::string after_extent_;
};

}  // namespace lastwright
