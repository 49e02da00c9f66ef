// What the formes of a last are written as: drawings, tables, the picture of their strain.
#pragma once

#include <string>

#include "geometry/io/die_drawing.hpp"
#include "grading/lasts/formes/last_formes.hpp"

namespace lastwright {

// The outline on the layer of cuts, nicks on their own, girth lines and straight marks as guides, each named
// point as a pricked mark with its name.
Sheet forme_sheet(const LastForme& forme, const std::string& title);

// Rows for one last; `cell` is what stands first in each, "8,F".
std::string forme_lines_csv(const std::string& cell, const LastFormes& formes);
std::string forme_points_csv(const std::string& cell, const LastFormes& formes);
std::string forme_strain_csv(const std::string& cell, const LastFormes& formes);
std::string forme_sides_csv(const std::string& cell, const LastFormes& formes);
std::string forme_nicks_csv(const std::string& cell, const LastFormes& formes);
// The head of each table.
inline constexpr const char* kFormeLinesHead =
    "size,width,forme,line,on_last_mm,flat_mm,difference_mm,kept\n";
inline constexpr const char* kFormePointsHead = "size,width,forme,point,x_mm,y_mm\n";
inline constexpr const char* kFormeStrainHead =
    "size,width,forme,zone,half_below_percent,95_below_percent,worst_percent,on_last_mm2,flat_mm2\n";
inline constexpr const char* kFormeSidesHead = "size,width,where,outside_from_inside_mm\n";
inline constexpr const char* kFormeNicksHead = "size,width,forme,from_heel_mm,x_mm,y_mm,takes_in_mm\n";

// The four formes, each triangle coloured by how far it is stretched (red) or squeezed (blue), with the
// figures. Paper in millimetres, formes at their true size.
std::string strain_svg(const LastFormes& formes, const std::string& title);

// The formes' named points as a style's formes take them.
std::string forme_points_json(const LastFormes& formes);

}  // namespace lastwright
