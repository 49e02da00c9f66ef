// Writes what the library makes of a style into a folder, for a comparison with what the program wrote:
//   same_bytes style.json FOLDER
// Drawings by piece, size and width; girths as text. Also asks for what cannot be had. With a
// third word, a style that loads and cannot be graded: of it the faults alone.
#include <cstdio>
#include <fstream>
#include <lastwright/lastwright.hpp>

namespace lw = lastwright::library;

namespace {

bool put(const std::string& file, const std::string& bytes) {
  std::ofstream out(file, std::ios::binary);
  out << bytes;
  return out.good();
}

// Every refusal has a kind, a sentence and the place that the program names.
template <class T>
bool refused(const lw::Outcome<T>& outcome, const char* kind, const char* word) {
  if (outcome) return false;
  const lw::Fault& fault = outcome.faults().front();
  std::printf("refused: %s\n", fault.text.c_str());
  // All that stands in the line stands in a member.
  std::string parts = fault.message + fault.file + ":" + std::to_string(fault.line) + fault.pointer;
  for (const auto& [what, name] : fault.named) parts += what + name;
  return fault.kind == kind && fault.text.find(word) != std::string::npos &&
         parts.find(word) != std::string::npos && fault.text.find("--") == std::string::npos;
}

// Figures that the message leaves to the members, and the file that the program names.
int refusal(const char* file) {
  const auto style = lw::Style::load(file);
  if (!style) return 3;
  const auto graded = style->grade();
  if (graded) return 4;
  for (const lw::Fault& fault : graded.faults()) {
    std::printf("%s\n", fault.text.c_str());
    const bool found = fault.text.find("found ") != std::string::npos;
    const bool limit = fault.text.find("limit ") != std::string::npos;
    if (fault.file != file || fault.kind != "grade") return 5;
    if (found != fault.value.has_value() || limit != fault.limit.has_value()) return 6;
  }
  return 0;
}

}  // namespace

int main(int count, char** words) {
  if (count == 4) return refusal(words[3]);
  if (count != 3) return 2;
  const std::string folder = words[2];
  const auto style = lw::Style::load(words[1]);
  if (!style) return std::fprintf(stderr, "%s\n", style.faults().front().text.c_str()), 3;
  const auto graded = style->grade(1);
  if (!graded) return std::fprintf(stderr, "%s\n", graded.faults().front().text.c_str()), 3;
  for (const std::string& piece : graded->pieces()) {
    for (const std::string& size : {graded->sizes().front(), graded->sizes().back()}) {
      const std::string width = graded->widths().back();
      const auto dxf = graded->dxf(piece, size, width);
      const auto outline = graded->outline(piece, size, width);
      if (!dxf || !outline || outline->piece != piece || outline->cut.size() < 3) return 4;
      if (!put(folder + "/" + piece + " " + size + " " + width + ".dxf", *dxf)) return 5;
    }
  }
  std::string girths;
  for (const lw::MeasureValue& one : style->girths())
    girths += one.measure + ";" + one.size + ";" + one.width + ";" + std::to_string(one.millimetres) + "\n";
  if (!put(folder + "/girths.txt", girths)) return 5;
  const auto findings = graded->findings();
  if (!findings || !lw::passed(*findings)) return 6;
  bool sound = refused(graded->outline("no such piece", "8", "F"), "bad value", "no such piece");
  sound = refused(graded->outline("vamp", "99", "F"), "bad value", "99") && sound;
  sound = refused(graded->dxf("vamp", "8", "f"), "bad value", "\"f\"") && sound;
  sound = graded->outline("vamp", "8.0", "F").ok() && graded->outline("vamp", "8 1/2", "F").ok() && sound;
  sound = refused(lw::Style::load(folder + "/none.json"), "not found", "none.json") && sound;
  sound = put(folder + "/bad.json", "{\"style\": 1,") && sound;
  sound = refused(lw::Style::load(folder + "/bad.json"), "syntax", "bad.json:1") && sound;
  return sound ? 0 : 7;
}
