// What the pieces of `lastwright cut` are cut from: one roll or sheet for all, or each material its own.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "geometry/result.hpp"
#include "grading/planning/piece_layout.hpp"
#include "grading/planning/works.hpp"

namespace lastwright {

struct CutBedOptions {
  double roll = 0.0;               // mm; 0: not given
  std::vector<std::string> sheet;  // two words, along the grain and across; empty: not given
  bool works = false;              // a works file was given, so neither need be
};

// "1500,1000" as two words. Refuses both and, without a works file, neither; width 0 where neither was given.
Result<PieceBed> bed_of(const CutBedOptions& options);

// Of materials that the works file buys as a roll or as sheets, its width, length and grain.
std::map<std::string, PieceBed> beds_of(const WorksSpec& works);

// The materials that the works file buys ready cut.
std::set<std::string> ready_cut_of(const WorksSpec& works);

// Takes the pieces of these materials out of those to be cut, and gives them back.
std::vector<LaidPiece> take_ready_cut(const StyleGrade& grade, const std::set<std::string>& materials,
                                      std::vector<LaidPiece>& pieces);

// Refuses where pieces are of materials that have no bed of their own, and there is none for all.
Status all_have_beds(const StyleGrade& grade, const std::vector<LaidPiece>& pieces,
                     const PieceLayoutOptions& options);

// What the program has for old machines, of whose limit (kHpglOldLimit) a file lies beyond: sheets on which
// its pieces find room, the largest boxes of them as long and as wide as this, else another form than HP-GL.
std::string within_old_limit(const PieceBed& bed, bool own, double longest, double widest);

const char* kind_of_bed(const PieceBed& bed);  // "roll" or "sheet"
// "of a roll 1400 mm wide, grain across (works file)".
std::string bed_text(const PieceBed& bed, bool own);

}  // namespace lastwright
