#include "cli/planning/label_signs.hpp"

namespace lastwright {

namespace {

using SignPoints = std::vector<Vec2>;  // in a square of ten, y up

// A smooth closed line through the points: each span a
// cubic whose tangents are those of its neighbours' chords.
SignPoints smooth_sign(const SignPoints& through) {
  constexpr int kSteps = 6;
  SignPoints line;
  const std::size_t count = through.size();
  for (std::size_t i = 0; i < count; ++i) {
    const Vec2 before = through[(i + count - 1) % count];
    const Vec2 from = through[i];
    const Vec2 to = through[(i + 1) % count];
    const Vec2 after = through[(i + 2) % count];
    for (int k = 0; k < kSteps; ++k) {
      const double t = static_cast<double>(k) / kSteps;
      const double rest = 1.0 - t;
      const Vec2 out = from + (1.0 / 6.0) * (to - before);
      const Vec2 in = to - (1.0 / 6.0) * (after - from);
      line.push_back(rest * rest * rest * from + 3.0 * rest * rest * t * out + 3.0 * rest * t * t * in +
                     t * t * t * to);
    }
  }
  return line;
}

const SignPoints& shoe_upper() {
  static const SignPoints line = smooth_sign({{0.3, 2.4},
                                              {0.5, 3.4},
                                              {1.6, 4.2},
                                              {3.2, 4.7},
                                              {4.5, 5.7},
                                              {5.4, 7.4},
                                              {5.9, 7.3},
                                              {7.2, 6.5},
                                              {8.6, 6.7},
                                              {9.3, 7.3},
                                              {9.6, 6.2},
                                              {9.4, 4.2},
                                              {9.6, 2.4},
                                              {5.0, 2.3}});
  return line;
}
const SignPoints& shoe_inside() {
  static const SignPoints line = smooth_sign({{1.4, 3.1},
                                              {2.2, 3.5},
                                              {3.7, 4.0},
                                              {5.1, 5.2},
                                              {5.8, 6.3},
                                              {7.2, 5.6},
                                              {8.6, 5.8},
                                              {8.5, 4.2},
                                              {8.5, 3.1},
                                              {5.0, 3.0}});
  return line;
}
const SignPoints& shoe_sole() {
  static const SignPoints line{{0.2, 2.2}, {9.7, 2.2}, {9.7, 0.6}, {7.2, 0.6}, {6.9, 1.3}, {0.5, 1.3}};
  return line;
}
SignPoints sign_of_hide() {
  const SignPoints right{{5.6, 9.8}, {6.2, 8.4}, {8.7, 9.2}, {9.3, 8.4}, {7.8, 6.9}, {8.1, 5.2},
                         {7.9, 3.6}, {9.6, 1.7}, {8.8, 0.8}, {6.8, 2.0}, {5.5, 1.7}, {5.0, 0.1}};
  SignPoints all = right;
  for (std::size_t i = right.size() - 1; i-- > 0;) all.push_back({10.0 - right[i].x, right[i].y});
  return smooth_sign(all);
}
SignPoints lozenge(double wide, double high) {
  return {{5.0 - wide, 5.0}, {5.0, 5.0 - high}, {5.0 + wide, 5.0}, {5.0, 5.0 + high}};
}

PageShape on_page(const SignPoints& points, bool filled, Vec2 at, double side) {
  PageShape shape{{}, filled};
  for (const Vec2 p : points) shape.points.push_back(at + (side / 10.0) * Vec2{p.x, 10.0 - p.y});
  return shape;
}

}  // namespace

std::vector<PageShape> sign_of_part(const std::string& part, Vec2 at, double side) {
  const auto put = [&](const SignPoints& points, bool filled) { return on_page(points, filled, at, side); };
  if (part == "upper") return {put(shoe_upper(), true), put(shoe_sole(), false)};
  if (part == "lining and sock")
    return {put(shoe_upper(), false), put(shoe_inside(), true), put(shoe_sole(), false)};
  if (part == "outer sole") return {put(shoe_upper(), false), put(shoe_sole(), true)};
  return {};
}

std::vector<PageShape> sign_of_kind(const std::string& kind, Vec2 at, double side) {
  const auto put = [&](const SignPoints& points, bool filled) { return on_page(points, filled, at, side); };
  if (kind == "leather") return {put(sign_of_hide(), false)};
  if (kind == "coated leather") return {put(sign_of_hide(), false), put(lozenge(1.7, 2.2), false)};
  if (kind == "other materials") return {put(lozenge(4.6, 4.6), false)};
  std::vector<PageShape> weave;
  if (kind != "textile") return weave;
  // Bands over and under by turns.
  constexpr int kBands = 3;
  constexpr double kBand = 10.0 / kBands;
  for (int row = 0; row < kBands; ++row) {
    for (int column = 0; column < kBands; ++column) {
      const bool across = (row + column) % 2 == 0;
      const double thin = 0.2 * kBand;
      const Vec2 low{column * kBand + (across ? 0.0 : thin), row * kBand + (across ? thin : 0.0)};
      const Vec2 high{(column + 1) * kBand - (across ? 0.0 : thin),
                      (row + 1) * kBand - (across ? thin : 0.0)};
      weave.push_back(put({low, {high.x, low.y}, high, {low.x, high.y}}, false));
    }
  }
  return weave;
}

}  // namespace lastwright
