// How each operation looks on paper and on a screen: one colour, one line weight, one dash pattern.
//
// The colours are the eight of Okabe and Ito ("Color Universal Design", 2008; reprinted in B. Wong, "Points
// of view: Color blindness", Nature Methods 8, 441, 2011), chosen by their authors to stay apart under every
// common kind of colour blindness; their yellow is left out, which is too light for a thin line on white. No
// two operations share both weight and dashes, so that a grey print still tells them apart.
#pragma once

#include <array>
#include <cstdint>
#include <span>

#include "geometry/io/die_drawing.hpp"

namespace lastwright {

struct Colour {
  std::uint8_t red = 0;
  std::uint8_t green = 0;
  std::uint8_t blue = 0;
  bool operator==(const Colour&) const = default;
};

namespace palette {
inline constexpr Colour kBlack{0, 0, 0};
inline constexpr Colour kOrange{230, 159, 0};
inline constexpr Colour kSkyBlue{86, 180, 233};
inline constexpr Colour kGreen{0, 158, 115};
inline constexpr Colour kBlue{0, 114, 178};
inline constexpr Colour kVermilion{213, 94, 0};
inline constexpr Colour kPurple{204, 121, 167};
inline constexpr Colour kGrey{102, 102, 102};  // not of the palette: for what should step back
inline constexpr Colour kLightGrey{190, 190, 190};
}  // namespace palette

struct LineStyle {
  const char* key;      // id of a group: "cut-out"
  const char* meaning;  // in a legend: "cut-outs"
  Colour colour;
  double width = 0.25;           // millimetres
  std::array<double, 6> dash{};  // on, off, on, ... in millimetres; ends at the first 0; none: solid

  [[nodiscard]] std::span<const double> dashes() const {
    std::size_t count = 0;
    while (count < dash.size() && dash[count] > 0.0) ++count;
    return {dash.data(), count};
  }
};

const LineStyle& style_of(Operation operation);

// In the order of the enumeration.
std::array<Operation, kOperationCount> all_operations();

}  // namespace lastwright
