// Every outline of a style: piece, size, width, and how many lines and arcs its cut line has.
//   all_outlines style.json
// Exit code: 0; 1 where a check failed; 2 used wrongly; 3 the style cannot be read; 4 it cannot be graded. On
// standard error also what passed and has to be looked at.
#include <cstdio>
#include <lastwright/lastwright.hpp>

int main(int count, char** words) {
  if (count != 2) return std::fprintf(stderr, "all_outlines STYLE.json\n"), 2;
  const auto style = lastwright::library::Style::load(words[1]);
  if (!style) return std::fprintf(stderr, "%s\n", style.faults().front().text.c_str()), 3;
  const auto graded = style->grade();
  if (!graded) return std::fprintf(stderr, "%s\n", graded.faults().front().text.c_str()), 4;
  const auto outlines = graded->outlines();
  if (!outlines) return std::fprintf(stderr, "%s\n", outlines.faults().front().text.c_str()), 4;
  for (const auto& one : *outlines)
    std::printf("%s,%s,%s,%zu\n", one.piece.c_str(), one.size.c_str(), one.width.c_str(), one.cut.size());
  const auto findings = graded->findings();
  if (!findings) return std::fprintf(stderr, "%s\n", findings.faults().front().text.c_str()), 4;
  for (const auto& one : to_look_at(*findings))
    std::fprintf(stderr, "look: %s, %s: %s\n", one.check.c_str(), one.subject.c_str(), one.note.c_str());
  return passed(*findings) ? 0 : 1;
}
