#include "cli/redraw/redraw_text.hpp"

#include <fmt/format.h>

#include "geometry/counted.hpp"
#include "geometry/with_kind.hpp"
#include "grading/json/json_layout.hpp"
#include "grading/json/json_value.hpp"

namespace lastwright {

namespace {

const char* words_for(FoundHow how) {
  switch (how) {
    case FoundHow::kSame:
      return "as drawn";
    case FoundHow::kOnLine:
      return "on the line as before";
    case FoundHow::kMoved:
      return "followed";
    case FoundHow::kSlid:
      return "slid to the same share of its line";
    case FoundHow::kStated:
      return "by what it is stated by";
  }
  return "followed";
}

}  // namespace

std::string redraw_text(const std::string& style, const Redraw& redraw) {
  std::string text = fmt::format("{}: {} redrawn\n", style, counted(redraw.pieces.size(), "piece"));
  std::size_t rounding = 0;
  for (const MovedPlace& one : redraw.moved) {
    const double off = distance(one.was, one.now);
    if (off <= kSameDrawn) {
      ++rounding;
      continue;
    }
    text += fmt::format("  {}: ({:.3f}, {:.3f}) is now ({:.3f}, {:.3f}), {:.3f} mm: {}\n", one.what,
                        one.was.x, one.was.y, one.now.x, one.now.y, off, words_for(one.how));
  }
  if (rounding > 0)
    text += fmt::format("  {} moved by no more than {:g} mm, and {} followed\n", counted(rounding, "place"),
                        kSameDrawn, rounding == 1 ? "is" : "are");
  for (const RedrawnPiece& piece : redraw.pieces) {
    for (const RedrawnEdge& edge : piece.edges)
      text += fmt::format("  {}, {}: lies up to {:.3f} mm from the old outline, at ({:.3f}, {:.3f})\n",
                          piece.name, with_kind("edge", edge.name), edge.most, edge.at.x, edge.at.y);
  }
  if (redraw.moved.empty() && redraw.problems.empty()) text += "  every corner is where it was\n";
  for (const std::string& told : redraw.told) text += "  " + told + "\n";
  if (!redraw.problems.empty())
    text += "  NOT EVERYTHING IS FOUND AGAIN, and no style is written: see the problems\n";
  return text;
}

std::string redraw_json(const Redraw& redraw) {
  Json out = Json::object();
  out["found"] = redraw.problems.empty();
  out["moved"] = Json::array();
  for (const MovedPlace& one : redraw.moved) {
    out["moved"].push_back({{"what", one.what},
                            {"pointer", one.pointer},
                            {"how", words_for(one.how)},
                            {"was", place_json(one.was)},
                            {"now", place_json(one.now)},
                            {"distance", number_json(distance(one.was, one.now))}});
  }
  out["edges"] = Json::array();
  for (const RedrawnPiece& piece : redraw.pieces) {
    for (const RedrawnEdge& edge : piece.edges)
      out["edges"].push_back({{"piece", piece.name},
                              {"edge", edge.name},
                              {"most", number_json(edge.most)},
                              {"at", place_json(edge.at)}});
  }
  out["told"] = redraw.told;
  out["problems"] = Json::array();
  for (const Problem& problem : redraw.problems)
    out["problems"].push_back({{"pointer", problem.place.pointer}, {"says", to_text(problem)}});
  return laid_out(out) + "\n";
}

}  // namespace lastwright
