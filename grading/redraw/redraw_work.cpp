#include "grading/redraw/redraw_work.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>

#include "grading/json/json_value.hpp"

namespace lastwright {

std::string place_text(Vec2 p) {
  const auto plain = [](double x) { return std::abs(x) < 5e-4 ? 0.0 : x; };
  return fmt::format("({:.3f}, {:.3f})", plain(p.x), plain(p.y));
}

void RedrawWork::refuse(const std::string& pointer, std::string message) {
  Problem problem{Trouble::kGeometry, std::move(message), {}, {}, {}};
  const Place at = document->place(pointer);
  problem.place = at;
  problem.place.file = path;
  out.problems.push_back(std::move(problem));
}

void RedrawWork::add(Problem problem) {
  if (problem.place.file.empty()) {
    problem.place.line = document->place(problem.place.pointer).line;
    problem.place.file = path;
  }
  out.problems.push_back(std::move(problem));
}

void RedrawWork::add(std::vector<JsonEdit> more) {
  std::move(more.begin(), more.end(), std::back_inserter(edits));
}

const FormeSpec& RedrawWork::forme_of(const PieceSpec& piece) const {
  return *std::find_if(old.spec.formes.begin(), old.spec.formes.end(),
                       [&](const FormeSpec& one) { return one.name == piece.forme; });
}

std::string RedrawWork::words_of(const std::string& pointer) const {
  for (const FormeSpec& forme : old.spec.formes) {
    for (const NamedPoint& point : forme.points) {
      if (pointer == pointer_to(pointer_to("/formes", forme.name) + "/points", point.name))
        return fmt::format("point {} of the forme {}", point.name, forme.name);
    }
  }
  for (std::size_t i = 0; i < old.spec.pieces.size(); ++i) {
    const std::string at = pointer_to("/pieces", i);
    if (pointer.starts_with(at + "/"))
      return fmt::format("{}, {}", old.spec.pieces[i].name, pointer.substr(at.size() + 1));
  }
  return pointer;
}

bool RedrawWork::put_edits() {
  std::string edited = text;
  for (const JsonEdit& edit : edits) {
    const Result<Splice> splice = splice_of(edited, edit);
    if (!splice) {
      add(splice.problem());
      return false;
    }
    edited = spliced(edited, *splice);
  }
  out.text = std::move(edited);
  return true;
}

}  // namespace lastwright
