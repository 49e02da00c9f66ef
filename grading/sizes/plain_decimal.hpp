// Decimals with an exponent, as scripts write them.
#pragma once

#include <string>
#include <string_view>

namespace lastwright {

// "5e-05" and "-2.5E+1" in plain digits, "0.00005" and "-25", which parse_fraction reads; everything else,
// and exponents beyond 40 either way, as it is. Not for labels of sizes and widths, in which a letter is one.
std::string without_exponent(std::string_view text);

}  // namespace lastwright
