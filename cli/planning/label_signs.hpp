// The signs of Directive 94/11/EC for the parts of a shoe and for what they are made of.
//
// Drawn for this program after what annex I describes: a shoe on which the part is filled; a hide, a hide
// with a lozenge on it, a weave, a lozenge. They are not copies of the figures printed there.
#pragma once

#include <string>
#include <vector>

#include "geometry/io/paper/page_pdf.hpp"

namespace lastwright {

// Into the square of that side whose top left is `at`, y down. Nothing of a part or a kind that has no sign.
std::vector<PageShape> sign_of_part(const std::string& part, Vec2 at, double side);
std::vector<PageShape> sign_of_kind(const std::string& kind, Vec2 at, double side);

}  // namespace lastwright
