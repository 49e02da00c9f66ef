// The sections of a DXF file: its header, its blocks and its
// model space as decoded entities, INSERTs not yet expanded.
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "geometry/io/dxf/dxf_entity.hpp"
#include "geometry/io/dxf/dxf_read.hpp"

namespace lastwright {

struct DxfBlock {
  std::string name;
  Vec2 base;
  bool external = false;  // an external reference: its content is in another file
  std::vector<DxfEntity> entities;
};

struct DxfSections {
  std::string version;                          // $ACADVER
  std::optional<std::int64_t> insertion_units;  // $INSUNITS
  std::map<std::string, DxfBlock> blocks;       // by lower-case name: DXF names know no case
  std::vector<DxfEntity> model_space;
  std::map<std::string, std::string> hidden_layers;  // by name: "frozen", "switched off"
  std::vector<std::string> repairs;
};

std::string block_key(std::string_view name);

// Refuses a file without an ENTITIES section, without its end, or with a section that does not end.
Result<DxfSections> read_sections(std::string_view bytes, const DxfReadOptions& options);

}  // namespace lastwright
