// The foot that a last is made for.
#pragma once

#include <optional>
#include <string_view>

namespace lastwright {

enum class LastFoot { kLeft, kRight };

constexpr const char* name_of(LastFoot foot) {
  return foot == LastFoot::kLeft ? "left" : "right";
}
constexpr LastFoot other_foot(LastFoot foot) {
  return foot == LastFoot::kLeft ? LastFoot::kRight : LastFoot::kLeft;
}
// "left" or "right"; nothing for any other word.
constexpr std::optional<LastFoot> foot_named(std::string_view name) {
  if (name == "left") return LastFoot::kLeft;
  if (name == "right") return LastFoot::kRight;
  return std::nullopt;
}

}  // namespace lastwright
