// Files for a cutting table: what is said of them, and the same as JSON.
#pragma once

#include <string>
#include <vector>

#include "cli/report/failed_checks.hpp"
#include "geometry/io/drawing_style.hpp"
#include "grading/planning/piece_layout.hpp"

namespace lastwright {

struct CutFile {
  std::string name;
  std::string bytes;
  double length = 0.0;
  double width = 0.0;
};

struct CutReport {
  const StyleGrade& grade;
  const std::vector<LaidPiece>& pieces;
  const PieceLayoutOptions& laid;
  const PieceLayout& layout;
  const std::vector<CutFile>& files;
  const std::vector<Operation>& operations;
  const FailedStyles& failed;
  std::string style;
  std::string form;  // "hpgl", "dxf", "gcode"
  double chord = 0.0;
  int pairs = 0;                          // of each size and width; 0: each piece once
  const StyleSpec& spec;                  // says which foot each piece is drawn for
  std::vector<LaidPiece> ready_cut = {};  // asked for, and bought so by the works file: not among the pieces
  std::vector<std::string> feet_told = {};  // what puts in doubt which foot is which
};

std::string cut_text(const CutReport& report);
std::string cut_json(const CutReport& report);

}  // namespace lastwright
