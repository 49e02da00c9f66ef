// The names of all landmarks of a last, as its file and every output have them.
#pragma once

#include <array>

namespace lastwright {

inline constexpr std::array<const char*, 22> kLandmarkNames{
    "ankle top",      "heel feather", "heel point",    "heel top",     "instep bottom", "instep inside",
    "instep outside", "instep top",   "seat inside",   "seat middle",  "seat outside",  "toe bottom",
    "toe feather",    "toe point",    "toe top",       "tread inside", "tread middle",  "tread outside",
    "waist bottom",   "waist inside", "waist outside", "waist top"};

}  // namespace lastwright
