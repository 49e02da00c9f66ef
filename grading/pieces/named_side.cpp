#include "grading/pieces/named_side.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "grading/pieces/piece_words.hpp"

namespace lastwright {

namespace {

NamedSide side_by(const std::string& words, const char* inside, const char* outside) {
  const bool in = has_word(words, inside);
  const bool out = has_word(words, outside);
  if (in == out) return NamedSide::kNone;
  return in ? NamedSide::kInside : NamedSide::kOutside;
}

std::string with_word(std::string words, const std::string& word, const std::string& instead) {
  const std::size_t at = words.find(" " + word + " ");
  return words.replace(at + 1, word.size(), instead);
}

}  // namespace

NamedSide side_named(const std::string& name) {
  const std::string words = plain_words(name);
  const NamedSide plain = side_by(words, "inside", "outside");
  const NamedSide learned = side_by(words, "medial", "lateral");
  if (plain == NamedSide::kNone || learned == plain) return learned;
  return learned == NamedSide::kNone ? plain : NamedSide::kNone;
}

NamedSide side_of_piece(const std::string& name, const std::vector<std::string>& all) {
  if (words_of(name).part == PartOfShoe::kBottom) return NamedSide::kNone;
  if (const NamedSide side = side_named(name); side != NamedSide::kNone) return side;
  const std::string words = plain_words(name);
  const NamedSide side = side_by(words, "inner", "outer");
  if (side == NamedSide::kNone) return side;
  const bool inner = side == NamedSide::kInside;
  const std::string other = with_word(words, inner ? "inner" : "outer", inner ? "outer" : "inner");
  const bool there =
      std::any_of(all.begin(), all.end(), [&](const std::string& one) { return plain_words(one) == other; });
  return there ? side : NamedSide::kNone;
}

GoodSide good_side(const PieceSpec& piece) {
  const std::string stated = plain_words(piece.layer);
  const PieceWords words = words_of(piece.name);
  const std::string name = plain_words(piece.name);
  const auto lining = [](const std::string& text) {
    return has_word(text, "lining") || has_word(text, "linings");
  };
  const auto upper = [](const std::string& text) {
    return has_word(text, "upper") || has_word(text, "uppers");
  };
  // A facing lies on the upper of one shoe and in the lining of another: its layer says which.
  if (lining(stated)) return words.stiff ? GoodSide::kUnknown : GoodSide::kToFoot;
  if (upper(stated)) return lining(name) || words.stiff ? GoodSide::kUnknown : GoodSide::kOut;
  if (!piece.layer.empty()) return GoodSide::kUnknown;  // between the two, or called otherwise
  if (lining(name)) return GoodSide::kToFoot;
  return words.layer == "uppers" ? GoodSide::kOut : GoodSide::kUnknown;
}

void AboveFeather::add(std::span<const Vec2> places, bool lasted) {
  Places& to = lasted ? lasted_ : others_;
  for (const Vec2 place : places) to.sum = to.sum + place;
  to.count += places.size();
}

int AboveFeather::turn(Vec2 along) const {
  constexpr double kLeast = 5.0;   // mm: a strip along the feather has no side
  constexpr double kAcross = 0.5;  // of the way up: 30 degrees off the way from heel to toe
  if (lasted_.count == 0 || others_.count == 0) return 0;
  const Vec2 up = (1.0 / static_cast<double>(others_.count)) * others_.sum -
                  (1.0 / static_cast<double>(lasted_.count)) * lasted_.sum;
  const double across = cross(along, up);
  if (norm(up) < kLeast || std::abs(across) < kAcross * norm(up)) return 0;
  return across > 0.0 ? 1 : -1;
}

std::string foot_shown(NamedSide side, GoodSide good, int turn) {
  if (side == NamedSide::kNone || good == GoodSide::kUnknown || turn == 0) return "";
  const bool right = ((side == NamedSide::kOutside) == (good == GoodSide::kOut)) == (turn > 0);
  return right ? "right" : "left";
}

}  // namespace lastwright
