// Names for the pieces of a first style.
#pragma once

#include <string>

namespace lastwright {

// "QUARTER_OUTSIDE" -> "quarter outside": a name a person would write, of 60 bytes at most, or "".
std::string plain_name(const std::string& block);

// Whether a text says which part of a shoe it stands on: "VAMP", "quarter lining 37".
bool names_a_part(const std::string& text);

// "37", "37/3", "CUT 2 PAIRS", "2 x", "GRAIN": no names.
bool says_how_to_cut(const std::string& text);

// Whether nobody gave this name: "A1", "*U12", "BLOCK_3", "A$C45F2".
bool made_by_program(const std::string& name);

// Whether all words of one name are in the other, whatever stands between them and whatever numbers there
// are: "QUARTER-OUTSIDE" and "quarter outside", "quarter 37" and "quarter outside". What a compound begins or
// ends with it says too: "strap" says no more than "backstrap".
bool says_no_more(const std::string& one, const std::string& other);

// "insole left" -> "insole": which foot is drawn is no part of a name, for the piece is cut for both.
std::string without_foot(const std::string& name);

}  // namespace lastwright
