// Prints one offset outline for the outside check: offset_probe <outline file> <distance> <mitre|round>.
// First line "ok", then "x y bulge" a line; or "refused" and the reason.
#include <fmt/format.h>

#include <charconv>
#include <cstdio>
#include <cstring>

#include "geometry/offset/offset.hpp"
#include "tests/support/outline_file.hpp"

using namespace lastwright;

int main(int argc, char** argv) {
  if (argc != 4) return 2;
  double distance = 0.0;
  std::from_chars(argv[2], argv[2] + std::strlen(argv[2]), distance);
  OffsetOptions options;
  options.corner = std::strcmp(argv[3], "round") == 0 ? OffsetCorner::kRound : OffsetCorner::kMitre;
  options.fill_pockets = true;
  const Result<OffsetOutline> result = offset(test::read_outline(argv[1]), Millimetres(distance), options);
  if (!result) {
    fmt::print("refused\n{}\n", to_text(result.problem()));
    return 0;
  }
  fmt::print("ok\n");
  for (const ArcVertex& v : result->path.vertices) fmt::print("{} {} {}\n", v.at.x, v.at.y, v.bulge);
  return 0;
}
