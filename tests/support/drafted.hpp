// Drafts of invented drawings, and what is looked for in them. Each is a draft that came through.
#pragma once

#include <algorithm>
#include <catch2/catch.hpp>
#include <string>
#include <utility>
#include <vector>

#include "geometry/io/dxf/dxf_read.hpp"
#include "grading/draft/draft.hpp"
#include "tests/support/invented_court.hpp"

namespace lastwright::test {

// Of the invented court in Paris points, three widths, its upper as given; `marks` are entities more.
inline Draft court_draft(const SheetPlace& place, std::vector<DrawnPiece> upper,
                         const std::string& layer = "1", const std::string& marks = "",
                         const std::string& size = "36") {
  std::vector<DraftDrawing> drawings;
  for (const auto& [key, pieces] :
       {std::pair<std::string, std::vector<DrawnPiece>>{"upper", std::move(upper)},
        {"bottom", court_bottom()},
        {"straps", court_straps()}}) {
    Result<Drawing> drawing = read_dxf(court_drawing(pieces, place, layer, key == "upper" ? marks : ""), {});
    REQUIRE(drawing);
    drawings.push_back({*std::move(drawing), key, key + ".dxf"});
  }
  DraftOptions options;
  options.first.name = "court";
  options.basis.scale = "paris-point";
  options.basis.size = size;
  options.basis.widths = {"2", "3", "4"};
  options.kind = *shoe_kind({"court", "strap"});
  Result<Draft> draft = draft_style(std::move(drawings), options, {});
  if (!draft) UNSCOPED_INFO(to_text(draft.problem()));
  REQUIRE(draft);
  return *std::move(draft);
}

// Of one drawing, of a kind of shoe that nothing is known of.
inline Draft draft_of(const std::string& text, bool lay = false, double fair = 0.0) {
  Result<Drawing> drawing = read_dxf(text, {});
  REQUIRE(drawing);
  std::vector<DraftDrawing> drawings;
  drawings.push_back({*std::move(drawing), "sheet", "sheet.dxf"});
  DraftOptions options;
  options.first.name = "sheet";
  options.kind = *shoe_kind({});
  options.lay = lay;
  if (fair > 0.0) options.first.fair = FairSpec{Millimetres(fair)};
  Result<Draft> draft = draft_style(std::move(drawings), options, {});
  REQUIRE(draft);
  return *std::move(draft);
}

inline bool proposes(const Draft& draft, const std::string& words) {
  return std::any_of(draft.style.proposed.begin(), draft.style.proposed.end(),
                     [&](const Proposed& one) { return one.what.find(words) != std::string::npos; });
}

inline const PieceSpec& drafted_piece(const Draft& draft, const std::string& name) {
  return *std::find_if(draft.style.pieces.begin(), draft.style.pieces.end(),
                       [&](const PieceSpec& one) { return one.name == name; });
}

// A drawing of these pieces, each in a block of its own.
inline std::string blocks_of(const std::vector<std::pair<DrawnPiece, SheetPlace>>& pieces) {
  std::string blocks;
  std::string inserts;
  for (const auto& [piece, place] : pieces) {
    blocks += block_of(piece, place);
    inserts += tags("0 INSERT|8 0|2 " + piece.name + "|10 0|20 0");
  }
  return section("HEADER", tags("9 $ACADVER|1 AC1015|9 $INSUNITS|70 4")) + section("BLOCKS", blocks) +
         section("ENTITIES", inserts) + "0\nEOF\n";
}

}  // namespace lastwright::test
