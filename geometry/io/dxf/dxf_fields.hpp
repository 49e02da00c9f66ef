// The tags of one entity by group code, with the first failure
// remembered, so that decoding reads as a list of fields.
#pragma once

#include <bitset>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "geometry/io/dxf/dxf_tags.hpp"
#include "geometry/io/dxf/dxf_text.hpp"
#include "geometry/vec2.hpp"

namespace lastwright {

// What decoding needs to know about the file.
struct DxfReading {
  DxfEncoding encoding;
  double largest_coordinate = 1e12;
  bool repair = false;
};

class DxfFields {
 public:
  DxfFields(std::span<const DxfTag> tags, const DxfReading& reading) : tags_(tags), reading_(reading) {
    for (const DxfTag& tag : tags) present_.set(slot(tag.code));
  }

  [[nodiscard]] std::span<const DxfTag> tags() const { return tags_; }
  [[nodiscard]] const DxfReading& reading() const { return reading_; }
  [[nodiscard]] bool has(int code) const { return find(code) != nullptr; }
  // Values of the first tag with this code. A value that cannot be read is a failure and gives `otherwise`.
  double real(int code, double otherwise);
  std::int64_t whole(int code, std::int64_t otherwise);
  // A coordinate pair, x under `code` and y under `code` + 10. A missing one is a failure that names `what`.
  Vec2 point(int code, const char* what);
  // A length that must be there.
  double need(int code, const char* what);
  // A name of at most 255 bytes; "" when missing.
  std::string name(int code);
  std::string_view raw(int code) const;

  // Reads one tag, noting a failure.
  double real(const DxfTag& tag);
  double coordinate(const DxfTag& tag);
  std::int64_t whole(const DxfTag& tag);

  // +1 when the entity's extrusion (210, 220, 230) points up, -1 when it points down; else a failure. Down
  // means that x is counted to the left.
  double facing();
  // A failure unless the heights differ by no more than a drawing's rounding.
  void must_be_flat(double lowest, double highest);

  // Something put right because repair was asked for.
  void repaired(std::string what) { repairs_.push_back(std::move(what)); }
  [[nodiscard]] const std::vector<std::string>& repairs() const { return repairs_; }

  void fail(Trouble trouble, std::string message, long place = 0);
  [[nodiscard]] const std::optional<Problem>& failure() const { return failure_; }
  // Where the failure is, 0 for the entity as a whole.
  [[nodiscard]] long failure_place() const { return failure_place_; }

 private:
  [[nodiscard]] const DxfTag* find(int code) const;
  // Codes run from -5 to 1071; those of a binary file that do not exist share a slot.
  static std::size_t slot(int code) {
    constexpr int kLowest = -5;
    return code >= kLowest && code < static_cast<int>(kSlots) + kLowest - 1
               ? static_cast<std::size_t>(code - kLowest)
               : kSlots - 1;
  }

  static constexpr std::size_t kSlots = 1080;
  std::bitset<kSlots> present_;  // most questions are for codes that are not there
  std::span<const DxfTag> tags_;
  const DxfReading& reading_;
  std::optional<Problem> failure_;
  long failure_place_ = 0;
  std::vector<std::string> repairs_;
};

}  // namespace lastwright
