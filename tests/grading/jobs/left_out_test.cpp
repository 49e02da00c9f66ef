// What drawings hold and no piece has, in one line for each drawing.
#include "grading/jobs/left_out.hpp"

#include <catch2/catch.hpp>

#include "tests/support/box_drawing.hpp"

using namespace lastwright;

namespace {

LeftOutThing left_out_thing(std::string layer, std::string piece, std::string reason, std::size_t entities,
                            bool asked = false) {
  LeftOutThing thing;
  thing.from.entity = "LINE";
  thing.from.layer = std::move(layer);
  thing.piece = std::move(piece);
  thing.reason = std::move(reason);
  thing.entities = entities;
  thing.asked = asked;
  return thing;
}

}  // namespace

TEST_CASE("what is left out of a drawing is counted in one line, each kind on a layer once", "[account]") {
  DrawingAccount account;
  account.file = "box.dxf";
  CHECK(left_out_in_short(account).empty());
  account.left_out = {left_out_thing("8", "", "not read", 3), left_out_thing("9", "", "asked for", 5, true),
                      left_out_thing("8", "box", "not read either", 2)};
  CHECK(left_out_in_short(account) ==
        "box.dxf: left out: 5 entities: 5 LINE on the layer 8; lastwright check of the style says where and "
        "why");
  // A contour of several kinds is told as what it is.
  LeftOutThing mixed = left_out_thing("8", "", "a boundary that no piece uses", 4);
  mixed.kinds = {{"LINE", 1}, {"SPLINE", 3}};
  account.left_out.push_back(mixed);
  CHECK_THAT(left_out_in_short(account),
             Catch::Contains("left out: 9 entities: 6 LINE on the layer 8, 3 SPLINE on the layer 8;"));
  account.left_out = {account.left_out[1]};
  CHECK(left_out_in_short(account).empty());
  // The first six kinds and layers by name.
  account.left_out.clear();
  for (const char* const layer : {"1", "2", "3", "4", "5", "6", "7"})
    account.left_out.push_back(left_out_thing(layer, "", "not read", 1));
  CHECK_THAT(left_out_in_short(account),
             Catch::StartsWith("box.dxf: left out: 7 entities: 1 LINE on the layer 1, "));
  CHECK_THAT(left_out_in_short(account),
             Catch::Contains(" 1 LINE on the layer 6 and 1 more; lastwright check of the style says"));
}

TEST_CASE("a boundary of several kinds of entities is left out by all of them", "[account]") {
  Drawing drawing = test::box_drawing();
  drawing.paths.push_back(test::line({500, 0}, {540, 0}, "1"));
  drawing.paths.push_back(test::line({540, 0}, {540, 40}, "1"));
  drawing.paths.push_back(test::line({540, 40}, {500, 0}, "1"));
  for (const std::size_t i : {std::size_t{1}, std::size_t{2}})
    drawing.paths[drawing.paths.size() - i].from.entity = "SPLINE";
  std::string lines;
  for (const std::string& line :
       left_out_lines(test::bound_style(drawing, {test::box_piece()}).accounts.at(0)))
    lines += line + "\n";
  CHECK_THAT(lines, Catch::Contains("left out: 1 LINE, 2 SPLINE on the layer 1: a boundary that no piece"));
}
