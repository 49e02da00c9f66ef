// How many dies a style needs at a tolerance, and how many no choice could save; the girths of its base.
//   dies_to_make style.json 0.5
// Exit code: 0; 1 where a check failed; 2 used wrongly; 3 the style cannot be read; 4 no dies can be planned.
#include <cstdio>
#include <cstdlib>
#include <lastwright/lastwright.hpp>

namespace lw = lastwright::library;

int main(int count, char** words) {
  if (count != 3) return std::fprintf(stderr, "dies_to_make STYLE.json MM\n"), 2;
  const auto style = lw::Style::load(words[1]);
  if (!style) {
    for (const lw::Fault& fault : style.faults()) std::fprintf(stderr, "%s\n", fault.text.c_str());
    return 3;
  }
  lw::DieOptions options;
  options.tolerance = std::atof(words[2]);
  const auto order = style->dies(options);
  if (!order) return std::fprintf(stderr, "%s\n", order.faults().front().text.c_str()), 4;
  std::printf("%d dies to make, at least %d%s\n", order->to_make, order->at_least,
              order->proven ? ", proven" : "");
  for (const lw::CheckResult& finding : order->failed)
    std::printf("FAILED: %s, %s\n", finding.check.c_str(), finding.subject.c_str());
  return order->failed.empty() ? 0 : 1;
}
