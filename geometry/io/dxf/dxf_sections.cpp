#include "geometry/io/dxf/dxf_sections.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "geometry/io/dxf/dxf_decode.hpp"
#include "geometry/io/dxf/dxf_read.hpp"

namespace lastwright {
namespace {

class SectionReader {
 public:
  SectionReader(DxfTags tags, const DxfReadOptions& options) : tags_(std::move(tags)), options_(options) {
    reading_.repair = options.repair;
    reading_.largest_coordinate = options.limits.coordinate;
  }

  Result<DxfSections> read() {
    const bool whole = read_file();
    if (!whole && !(ended_early_ && options_.repair)) return *problem_;
    if (!whole)
      out_.repairs.push_back(
          "the end of the file is missing; everything that is complete before it was read");
    if (!saw_entities_) return dxf_problem(Trouble::kSyntax, "the drawing has no ENTITIES section");
    return std::move(out_);
  }

 private:
  // Each of these is false after a failure, which is then in problem_.
  bool read_file();
  bool read_header();
  bool read_tables();
  bool read_blocks();
  bool read_block();
  bool read_entities(std::string_view end, std::vector<DxfEntity>& into);
  bool read_entity(const DxfTag& start, std::vector<DxfEntity>& into);
  bool read_polyline(const DxfTag& start, DxfFields& head, DxfEntity& entity);
  bool read_attributes(const DxfTag& insert, std::vector<DxfEntity>& into);
  bool collect(std::vector<DxfTag>& tags);
  bool next(DxfTag& tag);
  bool skip_section();

  bool fail(long place, Trouble trouble, std::string message) {
    problem_ = dxf_problem(trouble, std::move(message));
    problem_->place = tags_.place_of(place);
    return false;
  }
  bool fail(const DxfFields& fields, const DxfTag& start, const DrawnFrom& from);
  DrawnFrom origin(const DxfTag& start, DxfFields& fields);
  std::string layer_name(const DxfTag& tag);
  static const char* part_not_read(std::string_view type, DxfFields& fields);

  DxfTags tags_;
  const DxfReadOptions& options_;
  DxfReading reading_;
  DxfSections out_;
  std::vector<DxfTag> entity_tags_;
  std::vector<DxfTag> vertex_tags_;
  std::size_t entities_ = 0;
  std::size_t vertices_ = 0;
  bool saw_entities_ = false;
  bool ended_early_ = false;
  std::optional<Problem> problem_;
};

bool SectionReader::next(DxfTag& tag) {
  if (tags_.next(tag)) return true;
  if (tags_.problem()) {
    ended_early_ = tags_.cut_off();
    problem_ = tags_.problem();
    return false;
  }
  ended_early_ = true;
  return fail(tags_.here(), Trouble::kSyntax, "the file is cut off: its end (0, EOF) is missing");
}

bool SectionReader::read_file() {
  DxfTag tag;
  while (next(tag)) {
    if (tag.is(0, "EOF")) {
      return tags_.only_padding_left() ||
             fail(tags_.here(), Trouble::kSyntax, "there is more after the end of the drawing (0, EOF)");
    }
    if (!tag.is(0, "SECTION")) {
      return fail(tag.place, Trouble::kSyntax,
                  fmt::format("a section should start here, not {}", in_quotes(tag.word())));
    }
    if (!next(tag)) return false;
    if (tag.code != 2) return fail(tag.place, Trouble::kSyntax, "a section has no name (group code 2)");
    const std::string_view name = tag.word();
    if (name == "HEADER") {
      if (saw_entities_ || !out_.blocks.empty()) {
        return fail(tag.place, Trouble::kSyntax, "the HEADER section comes after what it describes");
      }
      if (!read_header()) return false;
    } else if (name == "TABLES") {
      if (!read_tables()) return false;
    } else if (name == "BLOCKS") {
      if (!read_blocks()) return false;
    } else if (name == "ENTITIES") {
      if (saw_entities_) return fail(tag.place, Trouble::kSyntax, "a second ENTITIES section");
      saw_entities_ = true;
      if (!read_entities("ENDSEC", out_.model_space)) return false;
    } else if (!skip_section()) {
      return false;
    }
  }
  return false;
}

bool SectionReader::skip_section() {
  DxfTag tag;
  while (next(tag)) {
    if (tag.code != 0) continue;
    if (tag.word() == "ENDSEC") return true;
    if (tag.word() == "SECTION" || tag.word() == "EOF") {
      return fail(tag.place, Trouble::kSyntax, "the section before has no end (0, ENDSEC)");
    }
  }
  return false;
}

bool SectionReader::read_header() {
  DxfTag tag;
  std::string_view variable;
  while (next(tag)) {
    if (tag.code == 0) {
      tags_.put_back(tag);
      reading_.encoding.utf8 = out_.version >= "AC1021";
      return skip_section();
    }
    if (tag.code == 9) {
      variable = tag.word();
    } else if (variable == "$ACADVER" && tag.code == 1) {
      constexpr std::size_t kVersionLength = 6;
      out_.version = tag.word().substr(0, kVersionLength);
    } else if (variable == "$DWGCODEPAGE" && tag.code == 3) {
      reading_.encoding.code_page = tag.word().substr(0, 32);
    } else if (variable == "$INSUNITS" && tag.code == 70) {
      const Result<std::int64_t> units = whole_of(tag);
      if (!units) return fail(tag.place, Trouble::kSyntax, "$INSUNITS: " + units.problem().message);
      out_.insertion_units = *units;
    }
  }
  return false;
}

// Of the tables only the layers that are hidden matter, and nothing depends on them but a note: what is odd
// in them is passed over.
bool SectionReader::read_tables() {
  constexpr std::int64_t kFrozen = 1;
  DxfTag tag;
  bool in_layer = false;
  std::string layer;
  while (next(tag)) {
    if (tag.code == 0) {
      in_layer = tag.word() == "LAYER";
      layer.clear();
      if (tag.word() == "ENDSEC") return true;
      if (tag.word() == "SECTION" || tag.word() == "EOF")
        return fail(tag.place, Trouble::kSyntax, "the section before has no end (0, ENDSEC)");
    } else if (in_layer && tag.code == 2) {
      layer = layer_name(tag);
    } else if (in_layer && !layer.empty() && (tag.code == 70 || tag.code == 62)) {
      const Result<std::int64_t> value = whole_of(tag);
      if (!value) continue;
      if (tag.code == 70 && (*value & kFrozen) != 0) out_.hidden_layers[layer] = "frozen";
      if (tag.code == 62 && *value < 0) out_.hidden_layers.try_emplace(layer, "switched off");
    }
  }
  return false;
}

// As DxfFields gives the layer of an entity.
std::string SectionReader::layer_name(const DxfTag& tag) {
  const std::vector<DxfTag> one{tag};
  DxfFields fields(one, reading_);
  return fields.name(tag.code);
}

bool SectionReader::read_blocks() {
  DxfTag tag;
  while (next(tag)) {
    if (tag.is(0, "ENDSEC")) return true;
    if (!tag.is(0, "BLOCK")) {
      return fail(tag.place, Trouble::kSyntax,
                  fmt::format("a block should start here, not {}", in_quotes(tag.word())));
    }
    if (!read_block()) return false;
  }
  return false;
}

bool SectionReader::read_block() {
  const long place = tags_.here();
  if (!collect(entity_tags_)) return false;
  DxfFields fields(entity_tags_, reading_);
  DxfBlock block;
  block.name = fields.name(2);
  if (fields.has(10)) block.base = fields.point(10, "the base point");
  constexpr std::int64_t kExternal = 4 | 8;
  block.external = (fields.whole(70, 0) & kExternal) != 0;
  if (block.name.empty()) fields.fail(Trouble::kSyntax, "a block has no name (group code 2)");
  if (fields.failure()) {
    return fail(fields.failure_place() > 0 ? fields.failure_place() : place, fields.failure()->trouble,
                "BLOCK: " + fields.failure()->message);
  }
  if (!read_entities("ENDBLK", block.entities)) return false;
  if (!collect(entity_tags_)) return false;  // ENDBLK's own tags
  const std::string key = block_key(block.name);
  constexpr std::string_view kModelSpace = "*model_space";
  if (key == kModelSpace || key == "$model_space") {
    out_.model_space.insert(out_.model_space.end(), std::make_move_iterator(block.entities.begin()),
                            std::make_move_iterator(block.entities.end()));
    return true;
  }
  if (!out_.blocks.emplace(key, std::move(block)).second) {
    return fail(place, Trouble::kSyntax, fmt::format("a second block with the name {}", in_quotes(key)));
  }
  return true;
}

bool SectionReader::read_entities(std::string_view end, std::vector<DxfEntity>& into) {
  DxfTag tag;
  while (next(tag)) {
    if (tag.code != 0)
      return fail(tag.place, Trouble::kSyntax, fmt::format("group code {} outside an entity", tag.code));
    const std::string_view type = tag.word();
    if (type == end) return true;
    if (type == "ENDSEC" || type == "SECTION" || type == "EOF" || type == "ENDBLK" || type == "BLOCK" ||
        type == "VERTEX" || type == "SEQEND" || type.empty()) {
      return fail(tag.place, Trouble::kSyntax, fmt::format("{} is out of place here", in_quotes(type)));
    }
    if (!read_entity(tag, into)) return false;
  }
  return false;
}

// The tags up to the next entity that decoding can need: extended data, application groups and embedded
// objects are passed over, because they use the same codes for other things.
bool SectionReader::collect(std::vector<DxfTag>& tags) {
  constexpr int kExtendedData = 1000;
  constexpr int kApplicationGroup = 102;
  constexpr int kEmbeddedObject = 101;
  tags.clear();
  DxfTag tag;
  bool in_group = false;
  bool rest_is_foreign = false;
  while (next(tag)) {
    if (tag.code == 0) {
      tags_.put_back(tag);
      return true;
    }
    if (tag.code == kApplicationGroup) {
      in_group = tag.word().starts_with('{');
      continue;
    }
    rest_is_foreign |= tag.code >= kExtendedData || tag.code == kEmbeddedObject;
    if (in_group || rest_is_foreign) continue;
    constexpr std::size_t kTagsAVertex = 4;
    if (tags.size() >= kTagsAVertex * options_.limits.vertices + 1000) {
      return fail(tag.place, Trouble::kBudget,
                  "one entity holds more values than the budget of vertices allows");
    }
    tags.push_back(tag);
  }
  return false;
}

DrawnFrom SectionReader::origin(const DxfTag& start, DxfFields& fields) {
  DrawnFrom from;
  from.entity = start.word().substr(0, 64);
  from.layer = fields.has(8) ? fields.name(8) : "0";
  from.handle = in_quotes(fields.raw(5).substr(0, 32));
  from.handle = from.handle.substr(1, from.handle.size() - 2);
  from.line = start.place;
  return from;
}

bool SectionReader::fail(const DxfFields& fields, const DxfTag& start, const DrawnFrom& from) {
  const long place = fields.failure_place();
  const long value_line = place + (tags_.binary() ? 0 : 1);  // the value stands one line below its code
  fail(place > 0 ? value_line : start.place, fields.failure()->trouble, fields.failure()->message);
  problem_->place.named.emplace_back("entity", from.entity);
  if (!from.layer.empty()) problem_->place.named.emplace_back("layer", from.layer);
  return false;
}

bool SectionReader::read_entity(const DxfTag& start, std::vector<DxfEntity>& into) {
  if (++entities_ > options_.limits.entities) {
    return fail(start.place, Trouble::kBudget,
                fmt::format("more than {} entities", options_.limits.entities));
  }
  DxfEntity entity;
  const std::string_view type = start.word();
  if (!collect(entity_tags_)) {
    if (ended_early_ && options_.repair) {
      entity.from.entity = type.substr(0, 64);
      entity.from.line = start.place;
      entity.shape = DxfUnread{"cut off by the end of the file"};
      into.push_back(std::move(entity));
    }
    return false;
  }
  DxfFields fields(entity_tags_, reading_);
  entity.from = origin(start, fields);
  if (type == "POLYLINE") {
    if (!read_polyline(start, fields, entity)) {
      if (ended_early_ && options_.repair) {
        entity.shape = DxfUnread{"cut off by the end of the file"};
        into.push_back(std::move(entity));
      }
      return false;
    }
  } else {
    entity.shape = decode_shape(type, fields);
  }
  entity.unread = part_not_read(type, fields);
  const bool has_attributes = type == "INSERT" && fields.whole(66, 0) == 1;
  if (fields.whole(67, 0) == 1) entity.shape = DxfUnread{"in the paper space"};
  if (fields.whole(60, 0) == 1) entity.shape = DxfUnread{kMarkedInvisible};
  if (fields.failure()) return fail(fields, start, entity.from);
  for (const std::string& repair : fields.repairs()) {
    out_.repairs.push_back(fmt::format("{} at {}: {}", entity.from.entity, start.place, repair));
  }
  into.push_back(std::move(entity));
  return !has_attributes || read_attributes(start, into);
}

const char* SectionReader::part_not_read(std::string_view type, DxfFields& fields) {
  const bool polyline = type == "LWPOLYLINE" || type == "POLYLINE";
  for (const DxfTag& tag : fields.tags()) {
    const bool width = polyline && (tag.code == 43 || tag.code == 40 || tag.code == 41);
    if (!width && tag.code != 39) continue;
    const Result<double> value = real_of(tag);
    if (value && *value != 0.0) return width ? "width" : "thickness";
  }
  return "";
}

bool SectionReader::read_polyline(const DxfTag& start, DxfFields& head, DxfEntity& entity) {
  DxfPolylineDecoder decoder(head);
  DxfTag tag;
  while (next(tag)) {
    if (tag.is(0, "SEQEND")) {
      entity.shape = decoder.finish(head);
      return collect(vertex_tags_);
    }
    if (!tag.is(0, "VERTEX")) {
      return fail(tag.place, Trouble::kSyntax,
                  fmt::format("the POLYLINE of {} has no end (0, SEQEND): {} follows", start.place,
                              in_quotes(tag.word())));
    }
    if (++vertices_ > options_.limits.vertices) {
      return fail(tag.place, Trouble::kBudget,
                  fmt::format("more than {} vertices", options_.limits.vertices));
    }
    if (!collect(vertex_tags_)) return false;
    DxfFields vertex(vertex_tags_, reading_);
    decoder.add_vertex(vertex);
    if (vertex.failure()) return fail(vertex, tag, entity.from);
  }
  return false;
}

bool SectionReader::read_attributes(const DxfTag& insert, std::vector<DxfEntity>& into) {
  DxfTag tag;
  while (next(tag)) {
    if (tag.is(0, "SEQEND")) return collect(vertex_tags_);
    if (!tag.is(0, "ATTRIB")) {
      return fail(tag.place, Trouble::kSyntax,
                  fmt::format("the attributes of the INSERT of {} have no end (0, SEQEND)", insert.place));
    }
    if (!read_entity(tag, into)) return false;
  }
  return false;
}

}  // namespace

std::string block_key(std::string_view name) {
  std::string key(name);
  std::transform(key.begin(), key.end(), key.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return key;
}

Result<DxfSections> read_sections(std::string_view bytes, const DxfReadOptions& options) {
  if (bytes.size() > options.limits.bytes) {
    Problem problem = dxf_problem(Trouble::kBudget, "the file is larger than a drawing may be, in bytes");
    problem.value = static_cast<double>(bytes.size());
    problem.limit = static_cast<double>(options.limits.bytes);
    return problem;
  }
  Result<DxfTags> tags = DxfTags::open(bytes);
  if (!tags) return tags.problem();
  return SectionReader(std::move(tags).value(), options).read();
}

}  // namespace lastwright
