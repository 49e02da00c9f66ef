// Whether a kind of shoe has anything to say in a draft beside its rules for parts on formes of their own.
#pragma once

#include <string>
#include <vector>

#include "grading/draft/shoe_kind.hpp"

namespace lastwright {

// It has a line on a forme of the last that the drawings show: of a boot's shaft, whose back height and width
// are measured on the shell.
bool has_line_on_last(const ShoeKind& kind, const std::string& key, const std::vector<DraftForme>& formes);

// What a kind's pieces with formes of their own are known by, in words.
std::string known_by(const ShoeKind& kind, const std::string& key);

}  // namespace lastwright
