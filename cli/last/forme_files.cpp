#include "cli/last/forme_files.hpp"
#include "cli/last/printed.hpp"
#include "grading/json/json_value.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>
#include <nlohmann/json.hpp>

namespace lastwright {

namespace {

constexpr double kMarkRadius = 0.5;  // mm of a pricked mark
constexpr double kNameHigh = 2.5;    // mm

std::array<const LastForme*, 4> all_of(const LastFormes& formes) {
  return {&formes.outside, &formes.inside, &formes.mean, &formes.bottom};
}

}  // namespace

Sheet forme_sheet(const LastForme& forme, const std::string& title) {
  Sheet sheet;
  sheet.title = title;
  SheetOutline outline;
  for (const FormeLine& rim : forme.rims) {
    const std::vector<ArcVertex>& v = rim.path.vertices;
    outline.path.vertices.insert(outline.path.vertices.end(), v.begin(), v.end() - 1);
  }
  sheet.outlines.push_back(std::move(outline));
  for (const FormeLine& line : forme.lines) sheet.lines.push_back({line.path, Operation::kGuide});
  for (const FormeNick& nick : forme.nicks) sheet.lines.push_back({nick.path, Operation::kNick});
  for (const FormePoint& point : forme.points) {
    sheet.holes.push_back({point.at, kMarkRadius, Operation::kPrick});
    sheet.texts.push_back({point.at + Vec2{1.5, 1.0}, kNameHigh, {}, point.name, Operation::kText});
  }
  sheet.texts.push_back({{40.0, forme.name == "bottom" ? 0.0 : 25.0}, 4.0, {}, title, Operation::kText});
  return sheet;
}

std::string forme_lines_csv(const std::string& cell, const LastFormes& formes) {
  std::string out;
  for (const LastForme* forme : all_of(formes)) {
    for (const std::vector<FormeLine>* some : {&forme->rims, &forme->lines}) {
      for (const FormeLine& line : *some) {
        out += fmt::format("{},{},{},{:.4f},{:.4f},{:.4f},{}\n", cell, forme->name, line.name, line.on_last,
                           line.flat, printed(line.flat - line.on_last, 4), line.kept ? "yes" : "no");
      }
    }
  }
  return out;
}

std::string forme_points_csv(const std::string& cell, const LastFormes& formes) {
  std::string out;
  for (const LastForme* forme : all_of(formes)) {
    for (const FormePoint& p : forme->points)
      out += fmt::format("{},{},{},{:.4f},{:.4f}\n", cell, forme->name, p.name, printed(p.at.x, 4),
                         printed(p.at.y, 4));
  }
  return out;
}

std::string forme_strain_csv(const std::string& cell, const LastFormes& formes) {
  std::string out;
  for (const LastForme* forme : all_of(formes)) {
    const auto row = [&](const char* zone, const StretchFigures& s) {
      out += fmt::format("{},{},{},{:.2f},{:.2f},{:.2f},{:.1f},{:.1f}\n", cell, forme->name, zone,
                         100.0 * s.middle, 100.0 * s.high, 100.0 * s.worst, s.surface, s.flat);
    };
    row("all", forme->stretch);
    for (const ZoneFigures& zone : forme->zones) row(zone.name.c_str(), zone.stretch);
  }
  return out;
}

std::string forme_sides_csv(const std::string& cell, const LastFormes& formes) {
  std::string out;
  for (const SideGap& gap : formes.apart) out += fmt::format("{},\"{}\",{:.3f}\n", cell, gap.where, gap.most);
  return out;
}

std::string forme_nicks_csv(const std::string& cell, const LastFormes& formes) {
  std::string out;
  for (const LastForme* forme : all_of(formes)) {
    for (const FormeNick& nick : forme->nicks) {
      const Vec2 at = nick.path.vertices.front().at;
      out += fmt::format("{},{},{:.1f},{:.4f},{:.4f},{:.2f}\n", cell, forme->name, nick.along,
                         printed(at.x, 4), printed(at.y, 4), nick.takes_in);
    }
  }
  return out;
}

std::string forme_points_json(const LastFormes& formes) {
  nlohmann::ordered_json out;
  for (const LastForme* forme : all_of(formes)) {
    for (const FormePoint& p : forme->points)
      out[forme->name]["points"][p.name] = {four_decimals(p.at.x), four_decimals(p.at.y)};
  }
  return out.dump(1) + "\n";
}

}  // namespace lastwright
