// The girths of a last as its formes share them.
#pragma once

#include <optional>

#include "grading/lasts/formes/last_formes.hpp"

namespace lastwright {

// A girth's plane, the heights of the skin's points over it, and the exact length on either part of the last.
struct GirthCut {
  std::string name;                            // "ball", "waist", "instep"
  std::array<std::vector<double>, 2> heights;  // of the halves' nodes
  std::vector<double> bottom_heights;
  double upper = 0.0;   // mm round the upper, both sides
  double bottom = 0.0;  // mm across the bottom
};

// Of ball, waist and instep girth: those that were measured as plane sections.
std::vector<GirthCut> girth_cuts(const FormedLast& last, const std::array<std::vector<Vec3>, 2>& halves,
                                 const std::vector<Vec3>& bottom);

}  // namespace lastwright
