#include "grading/checks/features/said_check.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>
#include <set>
#include <utility>

#include "geometry/counted.hpp"
#include "geometry/tolerance.hpp"
#include "grading/checks/features/said_words.hpp"
#include "grading/checks/girths/growth_check.hpp"
#include "grading/grade/girth_line.hpp"
#include "grading/sizes/stated_run.hpp"
#include "grading/style/forme_lookup.hpp"
#include "grading/style/style.hpp"

namespace lastwright {

namespace {

std::vector<Size> sizes_of(const SizeRun& run) {
  std::vector<Size> sizes = stated_sizes(run);
  sizes.push_back(run.base.size);
  return sizes;
}
std::vector<Width> widths_of(const SizeRun& run) {
  std::vector<Width> widths = stated_widths(run);
  widths.push_back(run.base.width);
  return widths;
}

std::optional<Vec2> net_corner(const PreparedPiece& piece, const std::string& corner) {
  if (piece.bound.spec.drawn != Drawn::kCut) return std::nullopt;
  for (std::size_t e = 0; e < piece.bound.edges.size(); ++e) {
    if (piece.bound.edges[e].spec.from != corner) continue;
    const OpenArcPath path = shaped_path(piece.shape.edges[e], piece.shape.base);
    if (path.size() > 0) return path.vertices.front().at;
  }
  return std::nullopt;
}

class SaidChecker {
 public:
  SaidChecker(const StyleSpec& style, const StyleGrade& grade, const MeasureTable& table)
      : style_(style), grade_(grade), table_(table) {}

  std::vector<StyleFinding> find() {
    for (const PreparedPiece& piece : grade_.pieces) texts(piece.bound);
    for (std::size_t f = 0; f < grade_.formes.size(); ++f) points(f);
    for (const PreparedPiece& piece : grade_.pieces) elsewhere(piece);
    sizes();
    formes_of_two_sizes();
    widths();
    return std::move(all_);
  }

 private:
  void texts(const BoundPiece& piece) {
    std::set<std::string> told;
    for (const BoundText& text : piece.texts) {
      if (told.insert(text.text).second) drawn_text(piece.spec, text.text);
    }
    for (const FeatureSpec& feature : piece.spec.features) {
      const auto* text = std::get_if<TextWork>(&feature.work);
      if (text == nullptr) continue;
      if (text->text.find("{size}") == std::string::npos || text->text.find("{width}") == std::string::npos) {
        if (told.insert(text->text).second) drawn_text(piece.spec, text->text);
      }
      if (text->text.find("{size}") != std::string::npos && serves_several(piece.spec)) {
        all_.push_back(doubtful_finding(
            "text and size", piece.spec.name + ": " + feature.name, tied_sizes(piece.spec), "sizes",
            fmt::format(
                "of the run share their outlines on this piece, and \"{}\" says another size on each: "
                "a piece that is cut for one may go into a shoe of the next, and its text be wrong",
                text->text)));
      }
    }
  }

  [[nodiscard]] double tied_sizes(const PieceSpec& piece) const {
    double count = 0.0;
    for (const Size& size : grade_.run.sizes) {
      count += std::any_of(piece.sizes_tied.begin(), piece.sizes_tied.end(), [&](const SizeTie& tie) {
        return grade_.run.named.at(tie.from) <= size.position && size.position <= grade_.run.named.at(tie.to);
      });
    }
    return count;
  }
  [[nodiscard]] bool serves_several(const PieceSpec& piece) const { return tied_sizes(piece) > 1.0; }

  void drawn_text(const PieceSpec& piece, const std::string& text) {
    const SizeRun& run = grade_.run;
    SaidSize said = said_size(text, run);
    const bool plain = !said.size.empty();
    if (!plain) said = said_alone(text, run, {style_.name, piece.name});
    if (said.size.empty() && said.width.empty()) return;
    const auto says = [&](const SizeWidth& at) {
      return (said.size.empty() || same_label(at.size.label, said.size)) &&
             (said.width.empty() || at.width.label == said.width);
    };
    std::size_t others = 0;
    for (std::size_t k = 0; k < grade_.run_cells(); ++k) others += says(grade_.cells[k]) ? 0 : 1;
    const bool base = says(run.base);
    if (others == 0 && base) return;
    std::string note = fmt::format("\"{}\" ", text);
    if (others > 0)
      note += fmt::format(
          "{} in so many other sizes and widths{}: leave it out (a drawn one: on a layer that "
          "is ignored) "
          "and state a text that says \"{{size}} {{width}}\"",
          text.find('{') == std::string::npos ? "is made as it is"
          : said.size.empty()                 ? "says width " + said.width
                                              : "says size " + said.size,
          serves_several(piece) ? ", on a piece that serves several" : "");
    if (!base)
      note += fmt::format("{}the base is stated as {} {}: check the base, or the drawing",
                          others > 0 ? "; " : "says a size, and ", run.base.size.label, run.base.width.label);
    all_.push_back(doubtful_finding("text and size", piece.name, static_cast<double>(others), "places",
                                    std::move(note)));
  }

  // One name for two places.
  void points(std::size_t forme) {
    constexpr double kNear = 15.0;  // mm; farther off it is another place of the same name
    for (const NamedPoint& point : grade_.formes[forme].map.forme().points) {
      double nearest = std::numeric_limits<double>::infinity();
      const PieceSpec* of = nullptr;
      Vec2 at;
      for (const PreparedPiece& piece : grade_.pieces) {
        if (piece.forme != forme) continue;
        for (const CornerSpec& corner : piece.bound.spec.corners) {
          const Vec2* place = std::get_if<Vec2>(&corner.at);
          const bool same = corner.name == point.name;
          if (!same) continue;
          Vec2 here = place != nullptr ? *place : point.at;
          // On a piece drawn cut the corner of the finished edge lies off the one that is stated.
          if (const std::optional<Vec2> net = net_corner(piece, corner.name);
              net && distance(*net, point.at) < distance(here, point.at))
            here = *net;
          const double off = distance(here, point.at);
          if (off >= nearest) continue;
          nearest = off;
          of = &piece.bound.spec;
          at = here;
        }
      }
      if (of == nullptr || nearest <= tolerance::kCornerSnap.value() || nearest > kNear) continue;
      all_.push_back(doubtful_finding(
          "point by name", grade_.formes[forme].map.forme().name + ": " + point.name, nearest, "mm",
          fmt::format("is how far the point, at ({:.2f}, {:.2f}), lies from the corner of its name on {}, at "
                      "({:.2f}, {:.2f}): correct one of them, or give them two names",
                      point.at.x, point.at.y, of->name, at.x, at.y)));
    }
  }

  // A piece whose corners lie to each other as the points of their names do, and all of them elsewhere.
  void elsewhere(const PreparedPiece& piece) {
    constexpr double kAlike = 0.5;  // mm, between two of them
    constexpr double kOff = 15.0;   // mm; nearer, the corner is told by its name
    const PieceSpec& spec = piece.bound.spec;
    if (spec.drawn == lastwright::Drawn::kCut || (spec.lies && !spec.lies->as_drawn)) return;
    std::vector<std::pair<Vec2, Vec2>> places;  // of the corner, and of the point
    for (const CornerSpec& corner : spec.corners) {
      const Vec2* at = std::get_if<Vec2>(&corner.at);
      for (const NamedPoint& point : grade_.formes[piece.forme].map.forme().points) {
        if (at != nullptr && point.name == corner.name) places.emplace_back(*at, point.at);
      }
    }
    double least = std::numeric_limits<double>::infinity();
    for (std::size_t i = 0; i < places.size(); ++i) {
      least = std::min(least, distance(places[i].first, places[i].second));
      for (std::size_t k = 0; k < i; ++k) {
        const double here = distance(places[i].first, places[k].first);
        const double there = distance(places[i].second, places[k].second);
        if (std::abs(here - there) > kAlike || there <= kOff) return;
      }
    }
    if (places.size() < 2 || least <= kOff) return;
    all_.push_back(doubtful_finding(
        "drawn elsewhere", spec.name, least, "mm",
        fmt::format(
            "at least is how far its {} lie from the points of their names on the forme {}, and they are "
            "as far from each other as those: is the piece drawn elsewhere? State where it \"lies\"",
            counted(places.size(), "corner"), grade_.formes[piece.forme].map.forme().name)));
  }

  // What one measure is drawn as.
  struct Drawn {
    std::size_t measure = 0;
    double length = 0.0;
  };
  [[nodiscard]] std::vector<Drawn> drawn_measures() const {
    std::vector<Drawn> all;
    const auto length_of = [&](const std::string& forme, const std::string& name) {
      for (const GradedForme& one : grade_.formes) {
        if (one.map.forme().name != forme) continue;
        const std::size_t base = grade_.base_cell();
        for (const LineReading& line : one.map.readings(grade_.steps[base], one.drivers[base])) {
          if (line.line == name) return line.base;
        }
      }
      return std::numeric_limits<double>::quiet_NaN();
    };
    for (const FormeSpec& forme : style_.formes) {
      for (const Rule& rule : forme.rules) {
        const MeasureLine* line = rule_line(rule);
        if (line == nullptr || line->extra || line->carries.size() != 1 ||
            line->carries.front().second != Fraction(1))
          continue;
        const auto measure = table_.index(line->carries.front().first);
        if (measure && !style_.measures[*measure].from_scale)
          all.push_back({*measure, length_of(forme.name, line->name)});
      }
    }
    for (const GirthSpec& girth : style_.girths) {
      double sum = 0.0;
      for (const GirthPart& part : girth.parts) sum += part.times.value() * length_of(part.forme, part.line);
      if (const auto measure = table_.index(girth.measure)) all.push_back({*measure, sum});
    }
    std::erase_if(all, [](const Drawn& one) { return !std::isfinite(one.length); });
    return all;
  }

  // The lines that set a length of the last and carry one whole measure.
  [[nodiscard]] std::vector<std::pair<std::string, Drawn>> drawn_lengths() const {
    std::vector<std::pair<std::string, Drawn>> all;
    for (const GradedForme& forme : grade_.formes) {
      const FormeSpec& spec = forme.map.forme();
      const std::size_t base = grade_.base_cell();
      const MeasureLine* line = find_line(spec, spec.length_line);
      if (line == nullptr || line->extra || line->carries.size() != 1 ||
          line->carries.front().second != Fraction(1) || !of_the_last(style_, spec))
        continue;
      const auto measure = table_.index(line->carries.front().first);
      for (const LineReading& reading : forme.map.readings(grade_.steps[base], forme.drivers[base])) {
        if (measure && reading.line == line->name)
          all.emplace_back(spec.name + ": " + line->name, Drawn{*measure, reading.base});
      }
    }
    return all;
  }

  // A length drawn as that of another size to the last digit, where none is drawn as the base's.
  void sizes() {
    constexpr double kExact = 0.02;  // mm; nearer than lengths fall by chance
    const std::vector<std::pair<std::string, Drawn>> drawn = drawn_lengths();
    const SizeWidth base = grade_.run.base;
    const auto fits = [&](const Drawn& one, const Size& size) {
      return std::abs(one.length - table_.value(one.measure, {size, base.width})) <= kExact;
    };
    if (std::any_of(drawn.begin(), drawn.end(), [&](const auto& one) { return fits(one.second, base.size); }))
      return;
    for (const auto& [name, one] : drawn) {
      for (const Size& size : sizes_of(grade_.run)) {
        if (!fits(one, size)) continue;
        const double here = table_.value(one.measure, base);
        all_.push_back(doubtful_finding(
            "base size", "size " + base.size.label, std::abs(one.length - here), "mm",
            fmt::format(
                "{} is drawn {:.2f} mm, {:.2f} in size {} and {:.2f} in size {}, and no length is drawn "
                "as the base size has it. Is the base size right?",
                name, one.length, here, base.size.label, table_.value(one.measure, {size, base.width}),
                size.label)));
        return;
      }
    }
  }

  // What a forme's length has of its own beyond what it carries may differ by less than a size from the
  // others' of the last: an upper and a bottom are of one base size.
  void formes_of_two_sizes() {
    struct Own {
      const FormeSpec* forme = nullptr;
      double extra = 0.0;
    };
    std::vector<Own> all;
    double step = 0.0;
    const std::vector<Size> sizes = sizes_of(grade_.run);
    const auto [low, high] = std::minmax_element(
        sizes.begin(), sizes.end(), [](const Size& a, const Size& b) { return a.position < b.position; });
    if (low == high) return;
    for (const GradedForme& forme : grade_.formes) {
      const FormeSpec& spec = forme.map.forme();
      const MeasureLine* line = find_line(spec, spec.length_line);
      if (line == nullptr || line->carries.size() != 1 || line->carries.front().second != Fraction(1) ||
          !of_the_last(style_, spec))
        continue;
      const auto measure = table_.index(line->carries.front().first);
      if (!measure || !style_.measures[*measure].from_scale) continue;
      const Width width = grade_.run.base.width;
      step = (table_.value(*measure, {*high, width}) - table_.value(*measure, {*low, width})) /
             (high->position - low->position).value();
      all.push_back({&spec, line->extra.value_or(Millimetres(0.0)).value()});
    }
    const auto [least, most] = std::minmax_element(
        all.begin(), all.end(), [](const Own& a, const Own& b) { return a.extra < b.extra; });
    if (all.size() < 2 || !(step > 0.0) || most->extra - least->extra < step) return;
    all_.push_back(doubtful_finding(
        "base size", most->forme->name + ": " + most->forme->length_line, most->extra - least->extra, "mm",
        fmt::format(
            "is how much more its \"extra\" says than that of {} of the {} ({:.2f} and {:.2f} mm), and "
            "a size is {:.2f} mm: the two are drawn {:.1f} sizes apart, and graded so. Are both drawn "
            "in the base size?",
            least->forme->length_line, least->forme->name, most->extra, least->extra, step,
            (most->extra - least->extra) / step)));
  }

  void widths() {
    constexpr double kLeastStep = 1.0;  // mm between two widths: less is how finely things are drawn
    constexpr double kOfStep = 0.25;    // of it: so near to another width, and so far from the base
    constexpr double kAlone = 0.1;      // of it, where one figure alone says so
    const std::vector<Drawn> drawn = drawn_measures();
    const SizeWidth base = grade_.run.base;
    for (const Width& width : widths_of(grade_.run)) {
      if (width.label == base.width.label) continue;
      std::size_t fits = 0;
      bool against = false;
      double nearest = std::numeric_limits<double>::infinity();
      double off = 0.0;
      std::string figures;
      for (const Drawn& one : drawn) {
        const double here = table_.value(one.measure, base);
        const double there = table_.value(one.measure, {base.size, width});
        const double step = std::abs(there - here);
        if (step < kLeastStep) continue;
        const double missed = std::abs(one.length - there);
        if (missed > kOfStep * step) {
          against = true;
          continue;
        }
        ++fits;
        nearest = std::min(nearest, missed / step);
        off = std::max(off, std::abs(one.length - here));
        figures += fmt::format("{}{} is drawn {:.2f} mm, {:.2f} in width {} and {:.2f} in width {}",
                               figures.empty() ? "" : "; ", table_.measures()[one.measure].name, one.length,
                               here, base.width.label, there, width.label);
      }
      if (against || fits == 0 || (fits == 1 && nearest > kAlone)) continue;
      all_.push_back(
          doubtful_finding("base width", "width " + base.width.label, off, "mm",
                           fmt::format("the drawing fits width {} of size {} better: {}. Is the base width "
                                       "right?",
                                       width.label, base.size.label, figures)));
    }
  }

  const StyleSpec& style_;
  const StyleGrade& grade_;
  const MeasureTable& table_;
  std::vector<StyleFinding> all_;
};

}  // namespace

std::vector<StyleFinding> check_said(const StyleSpec& style, const StyleGrade& grade,
                                     const MeasureTable& table) {
  return SaidChecker(style, grade, table).find();
}

}  // namespace lastwright
