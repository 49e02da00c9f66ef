#include "grading/redraw/marks_compare.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include "geometry/check/hausdorff.hpp"
#include "geometry/curve/arc_path.hpp"

namespace lastwright {

namespace {

// What a die makes besides its outline.
struct DieMark {
  Vec2 at;
  double size = 0.0;
  std::string kind;
  const ClosedArcPath* outline = nullptr;  // of a cut-out or a slot
  std::optional<Vec2> mouth = {};          // of a nick: where it starts, however deep it is
};

std::vector<DieMark> die_marks_of(const GradedPiece& piece) {
  std::vector<DieMark> marks;
  for (const GradedHole& hole : piece.holes)
    marks.push_back({hole.centre, hole.radius, hole.radius > 0.0 ? "hole" : "prick"});
  for (const GradedLine& line : piece.lines) {
    if (line.operation != Operation::kNick || line.path.vertices.empty()) continue;
    marks.push_back({0.5 * (line.path.vertices.front().at + line.path.vertices.back().at),
                     distance(line.path.vertices.front().at, line.path.vertices.back().at), "nick", nullptr,
                     line.path.vertices.front().at});
  }
  for (const ClosedArcPath& cut_out : piece.cut_outs)
    marks.push_back(
        {bounds(cut_out).centre(), std::sqrt(std::abs(signed_area(cut_out))), "cut-out", &cut_out});
  return marks;
}

// Two-sided, of the lines themselves.
double lines_apart(const ClosedArcPath& was, const ClosedArcPath& now, const Placement& laid) {
  const MeasuredOutline one = MeasuredOutline(was).placed(laid.turn, laid.shift);
  const MeasuredOutline other(now);
  return std::max(hausdorff(one, other).value, hausdorff(other, one).value);
}

class MarksCompare {
 public:
  MarksCompare(const GradedPiece& was, const GradedPiece& now, const Placement& laid, double tolerance)
      : was_(die_marks_of(was)), now_(die_marks_of(now)), laid_(laid), tolerance_(tolerance) {}

  std::string run() {
    std::vector<bool> taken(now_.size(), false);
    std::vector<const DieMark*> left;
    for (const DieMark& mark : was_) {
      double nearest = tolerance_;
      std::optional<std::size_t> best;
      for (std::size_t i = 0; i < now_.size(); ++i) {
        if (taken[i] || !may_be(mark, now_[i])) continue;
        const double off = apart(mark, now_[i]);
        if (off > nearest) continue;
        nearest = off;
        best = i;
      }
      if (best) {
        taken[*best] = true;
      } else {
        left.push_back(&mark);
      }
    }
    std::vector<const DieMark*> others;
    for (std::size_t i = 0; i < now_.size(); ++i) {
      if (!taken[i]) others.push_back(&now_[i]);
    }
    if (!left.empty())
      return left.front()->outline ? reshaped(*left.front(), others) : became(*left.front(), others);
    return others.empty() ? std::string() : fmt::format("a {} is new", others.front()->kind);
  }

 private:
  [[nodiscard]] double middles_apart(const DieMark& was, const DieMark& now) const {
    return distance(placed(was.at, laid_), now.at);
  }

  // Cut-outs by their lines alone: a box that lies elsewhere belongs to another line.
  [[nodiscard]] bool may_be(const DieMark& was, const DieMark& now) const {
    if (was.kind != now.kind) return false;
    if (was.outline == nullptr) return std::abs(was.size - now.size) <= tolerance_;
    const double reach = std::hypot(bounds(*was.outline).width(), bounds(*was.outline).height());
    return middles_apart(was, now) <= reach + 2.0 * tolerance_;
  }
  [[nodiscard]] double apart(const DieMark& was, const DieMark& now) const {
    return was.outline ? lines_apart(*was.outline, *now.outline, laid_) : middles_apart(was, now);
  }

  // What a mark without a twin has become: of another size where it was, moved, or gone. `left`: those of the
  // other that have no twin either.
  [[nodiscard]] std::string became(const DieMark& mark, const std::vector<const DieMark*>& left) const {
    constexpr double kThere = 3.0;  // mm: what lies this near was put in its place
    const DieMark* there = nullptr;
    const DieMark* like = nullptr;
    // A nick that is made deeper is where it was, though its middle is not.
    const auto off = [&](const DieMark& one) {
      return mark.mouth && one.mouth ? distance(*one.mouth, placed(*mark.mouth, laid_))
                                     : middles_apart(mark, one);
    };
    for (const DieMark* one : left) {
      if (one->kind != mark.kind) continue;
      if (there == nullptr || off(*one) < off(*there)) there = one;
      if (std::abs(one->size - mark.size) > tolerance_) continue;
      if (like == nullptr || middles_apart(mark, *one) < middles_apart(mark, *like)) like = one;
    }
    const auto size_of = [](const DieMark& one) {
      return one.kind == "nick" ? fmt::format("{:.3f} mm long", one.size)
                                : fmt::format("{:.3f} mm wide", 2.0 * one.size);
    };
    if (there != nullptr && there != like && off(*there) <= kThere)
      return fmt::format("a {} is {}, and was {}", mark.kind, size_of(*there), size_of(mark));
    if (like == nullptr) return fmt::format("a {} is gone", mark.kind);
    if (middles_apart(mark, *like) > tolerance_)
      return fmt::format("a {} is {:.3f} mm off", mark.kind, middles_apart(mark, *like));
    return fmt::format("a {} is turned", mark.kind);
  }

  // The same of a cut-out: the one whose line lies nearest to its own.
  [[nodiscard]] std::string reshaped(const DieMark& mark, const std::vector<const DieMark*>& left) const {
    const DieMark* nearest = nullptr;
    double off = 0.0;
    for (const DieMark* one : left) {
      if (one->kind != mark.kind) continue;
      const double here = apart(mark, *one);
      if (nearest != nullptr && here >= off) continue;
      nearest = one;
      off = here;
    }
    if (nearest == nullptr) return fmt::format("a {} is gone", mark.kind);
    const double was = mark.size * mark.size;
    const double now = nearest->size * nearest->size;
    const Vec2 middle = MeasuredOutline(*mark.outline).placed(laid_.turn, laid_.shift).box().centre();
    const Placement on_middle{laid_.turn, laid_.shift + (nearest->at - middle)};
    if (lines_apart(*mark.outline, *nearest->outline, on_middle) <= tolerance_)
      return fmt::format("a {} is {:.3f} mm off", mark.kind, off);
    if (std::abs(nearest->size - mark.size) > kSameCut)
      return fmt::format("a {} deviates by {:.3f} mm: it is {:.2f} mm2 in area, and was {:.2f}", mark.kind,
                         off, now, was);
    return fmt::format("a {} deviates by {:.3f} mm: it is of another shape or turned", mark.kind, off);
  }

  std::vector<DieMark> was_;
  std::vector<DieMark> now_;
  const Placement& laid_;
  double tolerance_;
};

bool same_line(const OpenArcPath& one, const OpenArcPath& other) {
  if (one.size() == 0 || other.size() == 0) return one.size() == other.size();
  const auto near = [](Vec2 a, Vec2 b) { return distance(a, b) <= kSameCut; };
  const Vec2 from = one.vertices.front().at;
  const Vec2 to = one.vertices.back().at;
  const bool closed = near(from, to);
  const Vec2 start = other.vertices.front().at;
  const Vec2 end = other.vertices.back().at;
  // A closed line may start anywhere, an open one at either end.
  if (closed ? !near(start, end)
             : !(near(from, start) && near(to, end)) && !(near(from, end) && near(to, start)))
    return false;
  constexpr std::array<double, 1> kLimit{kSameCut};
  HausdorffOptions options;
  options.limits = kLimit;
  return hausdorff(MeasuredOutline(one), MeasuredOutline(other), options).value <= kSameCut;
}

}  // namespace

std::string marks_differ(const GradedPiece& was, const GradedPiece& now, const Placement& laid,
                         double tolerance) {
  return MarksCompare(was, now, laid, tolerance).run();
}

std::string drawn_differ(const GradedPiece& was, const GradedPiece& now) {
  if (std::string marks = marks_differ(was, now, {}, kSameCut); !marks.empty()) return marks;
  const auto word_of = [](Operation operation) {
    return operation == Operation::kGrain      ? "the grain line"
           : operation == Operation::kStitch   ? "a stitch line"
           : operation == Operation::kSkive    ? "a skive"
           : operation == Operation::kLapGuide ? "a lap guide"
           : operation == Operation::kFold     ? "the fold line"
           : operation == Operation::kNetLine  ? "the net line"
                                               : "a line";
  };
  std::vector<bool> taken(now.lines.size(), false);
  for (const GradedLine& line : was.lines) {
    std::size_t i = 0;
    while (i < now.lines.size() &&
           (taken[i] || now.lines[i].operation != line.operation || !same_line(line.path, now.lines[i].path)))
      ++i;
    if (i == now.lines.size()) {
      const auto count = [&](const GradedPiece& piece) {
        return std::count_if(piece.lines.begin(), piece.lines.end(),
                             [&](const GradedLine& one) { return one.operation == line.operation; });
      };
      return fmt::format("{} {}", word_of(line.operation),
                         count(now) < count(was) ? "is gone" : "lies differently");
    }
    taken[i] = true;
  }
  if (const auto added = std::find(taken.begin(), taken.end(), false); added != taken.end())
    return fmt::format("{} is new",
                       word_of(now.lines[static_cast<std::size_t>(added - taken.begin())].operation));
  if (was.texts.size() != now.texts.size())
    return was.texts.size() > now.texts.size() ? "a text is gone" : "a text is new";
  for (std::size_t i = 0; i < was.texts.size(); ++i) {
    const SheetText& one = was.texts[i];
    const SheetText& other = now.texts[i];
    if (one.text != other.text) return fmt::format("a text says {}, where it said {}", other.text, one.text);
    if (distance(one.at, other.at) > kSameCut || std::abs(one.height - other.height) > kSameCut ||
        std::abs(one.angle.value() - other.angle.value()) > 1e-6)
      return fmt::format("the text {} stands differently", one.text);
  }
  return {};
}

}  // namespace lastwright
