#include "cli/report/report_lasts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "cli/report/html_table.hpp"
#include "geometry/counted.hpp"
#include "geometry/files/read_file.hpp"
#include "geometry/io/paper/svg_canvas.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostBytes = std::size_t{64} << 20;
constexpr double kMade = 0.02;  // mm: a last is made to what the style asks; its grade keeps to 0.01
constexpr std::size_t kMostNamed = 8;
constexpr const char* kViews[] = {"side", "plan", "ball girth", "waist girth", "instep girth"};
constexpr std::size_t kViewCount = std::size(kViews);

struct Extent {
  long low_x = 0, high_x = 0, low_y = 0, high_y = 0;
  void add(long x, long y) {
    low_x = std::min(low_x, x);
    high_x = std::max(high_x, x);
    low_y = std::min(low_y, y);
    high_y = std::max(high_y, y);
  }
};

// Path data as outlines.json has it: places and lines in whole units. Nothing where it is anything else.
std::optional<Extent> extent_of(std::string_view data) {
  constexpr long kFar = 1'000'000;
  Extent extent;
  char command = 0;
  long x = 0;
  long y = 0;
  const auto number = [&](long& value) {
    while (!data.empty() && data.front() == ' ') data.remove_prefix(1);
    const auto read = std::from_chars(data.data(), data.data() + data.size(), value);
    if (read.ec != std::errc() || std::abs(value) > kFar) return false;
    data.remove_prefix(static_cast<std::size_t>(read.ptr - data.data()));
    return true;
  };
  while (!data.empty()) {
    if (data.front() == 'M' || data.front() == 'l') {
      if (command == 0 && data.front() != 'M') return std::nullopt;
      command = data.front();
      data.remove_prefix(1);
    }
    long dx = 0;
    long dy = 0;
    if (command == 0 || !number(dx) || !number(dy)) return std::nullopt;
    x = command == 'M' ? dx : x + dx;
    y = command == 'M' ? dy : y + dy;
    if (std::abs(x) > kFar || std::abs(y) > kFar) return std::nullopt;
    extent.add(x, y);
  }
  return extent;
}

struct ShownMeasure {
  std::string name;
  double made = 0.0;
  std::optional<double> asked;  // by the style as it is now
};

struct ShownLast {
  SizeWidth at;
  std::vector<ShownMeasure> measures;
  std::array<std::string, kViewCount> views;  // path data
};

std::string text_of(const Json& of, const char* key) {
  const auto at = of.is_object() ? of.find(key) : of.end();
  return at != of.end() && at->is_string() ? at->get<std::string>() : "";
}
const Json& list_of(const Json& of, const char* key) {
  static const Json kNone = Json::array();
  const auto at = of.is_object() ? of.find(key) : of.end();
  return at != of.end() && at->is_array() ? *at : kNone;
}

class SetReader {
 public:
  SetReader(std::string folder, const LoadedStyle& style) : folder_(std::move(folder)), style_(style) {}

  Result<ReportLasts> read() {
    if (Status lasts = read_lasts(); !lasts) return lasts.problem();
    if (Status outlines = read_outlines(); !outlines) return outlines.problem();
    missing();
    out_.html = section();
    out_.data = data();
    return std::move(out_);
  }

 private:
  Result<JsonDocument> document(const char* name) {
    const std::string file = folder_ + "/" + name;
    const Result<std::string> text = read_file(file, kMostBytes);
    if (!text) return text.problem();
    out_.files.push_back(file);
    return parse_json(*text, file,
                      {.bytes = kMostBytes, .depth = 16, .values = 5'000'000, .key_bytes = 1024});
  }

  std::optional<SizeWidth> place_of(const Json& row) const {
    const std::string size = text_of(row, "size");
    const std::string width = text_of(row, "width");
    for (const Size& one : style_.run.sizes) {
      for (const Width& other : style_.run.widths) {
        if (one.label == size && other.label == width) return SizeWidth{one, other};
      }
    }
    return std::nullopt;
  }

  Status read_lasts() {
    const Result<JsonDocument> read = document("lasts.json");
    if (!read) return read.problem();
    const Json& root = read->root;
    if (!root.is_object() || !root.contains("lasts") || !root.contains("bases"))
      return read->bad("", "this is not what lastwright last grade writes: there are no lasts");
    if (text_of(root, "style") != style_.spec.name)
      return read->bad("/style", fmt::format("the lasts are of the style \"{}\", not of \"{}\"",
                                             text_of(root, "style"), style_.spec.name));
    std::size_t beside = 0;
    const Json& rows = list_of(root, "lasts");
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const std::string at = pointer_to("/lasts", i);
      const std::optional<SizeWidth> place = place_of(rows[i]);
      if (!place || !style_.run.makes(*place)) {
        ++beside;
        continue;
      }
      if (!lasts_.emplace(label_of(*place), ShownLast{*place, measures_of(rows[i], *place), {}}).second)
        return read->bad(at, fmt::format("the last {} stands here twice", label_of(*place)));
      const auto beyond = rows[i].find("beyond_base");
      if (beyond != rows[i].end() && *beyond == true) far_.push_back(label_of(*place));
    }
    for (const Json& one : list_of(root, "refused"))
      out_.failed.push_back("a last was refused: " + (one.is_string() ? one.get<std::string>() : one.dump()));
    if (beside > 0)
      out_.look.push_back(
          fmt::format("{} of the set {} of sizes and widths that the style does not make: not shown",
                      counted(beside, "last"), beside == 1 ? "is" : "are"));
    told();
    return Done{};
  }

  std::vector<ShownMeasure> measures_of(const Json& row, const SizeWidth& at) {
    std::vector<ShownMeasure> out;
    const auto& asked = style_.measures.measures();
    for (const Json& one : list_of(row, "measures")) {
      const auto value = one.is_object() ? one.find("mm") : one.end();
      if (value == one.end() || !value->is_number() || !std::isfinite(value->get<double>())) continue;
      ShownMeasure measure{text_of(one, "measure"), value->get<double>(), {}};
      const auto known =
          std::find_if(asked.begin(), asked.end(), [&](const Measure& m) { return m.name == measure.name; });
      // Where the table takes it by another definition there is nothing to compare.
      const bool compared = one.contains("asked_mm");
      if (known != asked.end() && compared)
        measure.asked = style_.measures.exact(static_cast<std::size_t>(known - asked.begin()), at).value();
      const auto driven = one.find("driven");
      if (measure.asked && driven != one.end() && *driven == true &&
          std::abs(measure.made - *measure.asked) > kMade)
        off_[measure.name].push_back({label_of(at), measure.made - *measure.asked});
      out.push_back(std::move(measure));
    }
    return out;
  }

  void told() {
    for (const auto& [measure, places] : off_) {
      const auto worst = std::max_element(places.begin(), places.end(), [](const auto& a, const auto& b) {
        return std::abs(a.second) < std::abs(b.second);
      });
      out_.failed.push_back(
          fmt::format("{} of {} was made to another {} than the style asks, by up to {:+.2f} mm ({}): grade "
                      "the lasts anew",
                      places.size(), counted(lasts_.size(), "last"), measure, worst->second, worst->first));
    }
    if (!far_.empty())
      out_.look.push_back(fmt::format("{} far from the base it was graded from ({}): have it tried first",
                                      far_.size() == 1 ? "a last is" : counted(far_.size(), "last") + " are",
                                      some_of(far_, kMostNamed)));
  }

  void missing() {
    std::vector<std::string> without;
    for (const Size& size : style_.run.sizes) {
      for (const Width& width : style_.run.widths) {
        const SizeWidth at{size, width};
        if (style_.run.makes(at) && !lasts_.contains(label_of(at))) without.push_back(label_of(at));
      }
    }
    if (!without.empty())
      out_.look.push_back(fmt::format("{} no last in {}: {}",
                                      counted(without.size(), "size and width has", "sizes and widths have"),
                                      folder_, some_of(without, kMostNamed)));
  }

  Status read_outlines() {
    const Result<JsonDocument> read = document("outlines.json");
    if (!read) return read.problem();
    const auto units = read->root.is_object() ? read->root.find("units_per_mm") : read->root.end();
    if (units == read->root.end() || *units != 10)
      return read->bad("", "these are not the outlines of graded lasts in tenths of a millimetre");
    const Json& rows = list_of(read->root, "lasts");
    for (std::size_t i = 0; i < rows.size(); ++i) {
      const std::optional<SizeWidth> place = place_of(rows[i]);
      const auto last = place ? lasts_.find(label_of(*place)) : lasts_.end();
      if (last == lasts_.end()) continue;
      const auto views = rows[i].find("views");
      for (std::size_t v = 0; v < kViewCount && views != rows[i].end(); ++v) {
        std::string data = text_of(*views, kViews[v]);
        const std::optional<Extent> extent = extent_of(data);
        if (!extent)
          return read->bad(pointer_to("/lasts", i) + "/views",
                           fmt::format("the view \"{}\" is no outline", kViews[v]));
        extents_[v].add(extent->low_x, extent->low_y);
        extents_[v].add(extent->high_x, extent->high_y);
        last->second.views[v] = std::move(data);
      }
    }
    for (const auto& [name, last] : lasts_) {
      if (last.views[0].empty())
        return read->bad("/lasts", fmt::format("there is no outline of the last {}", name));
    }
    return Done{};
  }

  struct Layout {
    std::array<std::pair<long, long>, kViewCount> at;  // where each view's own origin lies
    long wide = 0;
    long high = 0;
  };

  // Side view above the plan, the sections beside them on one ground.
  [[nodiscard]] Layout layout() const {
    constexpr long kGap = 150;
    constexpr long kTitle = 140;  // room above each view for its name
    Layout out;
    const auto left = std::min(extents_[0].low_x, extents_[1].low_x);
    const auto right = std::max(extents_[0].high_x, extents_[1].high_x);
    out.at[0] = {-left, kTitle - extents_[0].low_y};
    const long below = out.at[0].second + extents_[0].high_y + kGap;
    out.at[1] = {-left, below + kTitle - extents_[1].low_y};
    out.high = out.at[1].second + extents_[1].high_y + 20;
    long x = right - left + kGap;
    for (std::size_t v = 2; v < kViewCount; ++v) {
      const Extent& extent = extents_[v];
      out.at[v] = {x - extent.low_x, kTitle - extents_[2].low_y};
      for (std::size_t other = 3; other < kViewCount; ++other)
        out.at[v].second = std::max(out.at[v].second, kTitle - extents_[other].low_y);
      x += extent.high_x - extent.low_x + kGap;
    }
    out.wide = x - kGap + 20;
    return out;
  }

  [[nodiscard]] std::string picture() const {
    const Layout layout = this->layout();
    const SizeWidth& base = style_.measures.base().at;
    std::string html = fmt::format(
        "<svg class=\"lasts\" viewBox=\"-20 0 {} {}\" role=\"img\" aria-label=\"Side view, plan and girth "
        "sections of "
        "the lasts\">\n",
        layout.wide + 20, layout.high);
    for (std::size_t v = 0; v < kViewCount; ++v) {
      const bool section = v >= 2;
      html += fmt::format("<text x=\"{}\" y=\"90\"{}>{}</text>\n", layout.at[v].first,
                          section ? " text-anchor=\"middle\"" : "",
                          v == 0   ? "side"
                          : v == 1 ? ""
                                   : kViews[v]);
    }
    html += fmt::format("<text x=\"{}\" y=\"{}\">plan</text>\n", layout.at[1].first,
                        layout.at[1].second + extents_[1].low_y - 30);
    // The base comes last and lies above the others.
    for (const bool base_too : {false, true}) {
      for (const Size& size : style_.run.sizes) {
        for (const Width& width : style_.run.widths) {
          const auto last = lasts_.find(label_of(SizeWidth{size, width}));
          const bool is_base = size.position == base.size.position && width.position == base.width.position;
          if (last == lasts_.end() || is_base != base_too) continue;
          html += lines_of(last->first, last->second, layout, base);
        }
      }
    }
    return html + "</svg>\n";
  }

  static std::string lines_of(const std::string& name, const ShownLast& last, const Layout& layout,
                              const SizeWidth& base) {
    const bool of_width = last.at.width.position == base.width.position;
    const bool of_size = last.at.size.position == base.size.position;
    const bool smaller = last.at.size.position < base.size.position ||
                         (of_size && last.at.width.position < base.width.position);
    std::string html = fmt::format("<g data-last=\"{}\" class=\"{}\"{}>", xml_escaped(name),
                                   of_width && of_size ? "base"
                                   : smaller           ? "smaller"
                                                       : "larger",
                                   of_width ? "" : " hidden");
    for (std::size_t v = 0; v < kViewCount; ++v) {
      if (last.views[v].empty()) continue;
      html += fmt::format("<path transform=\"translate({} {})\" d=\"{}\"/>", layout.at[v].first,
                          layout.at[v].second, last.views[v]);
    }
    return html + "</g>\n";
  }

  // Every last a row, as far as the first of them has measures.
  [[nodiscard]] Table table() const {
    Table table;
    table.name = "measures of the lasts, mm";
    table.columns.push_back({"size and width"});
    for (const ShownMeasure& measure : lasts_.begin()->second.measures)
      table.columns.push_back({measure.name});
    for (const Size& size : style_.run.sizes) {
      for (const Width& width : style_.run.widths) {
        const auto last = lasts_.find(label_of(SizeWidth{size, width}));
        if (last == lasts_.end()) continue;
        std::vector<TableCell> row{{last->first}};
        for (const ShownMeasure& measure : last->second.measures) {
          if (row.size() >= table.columns.size()) break;
          const bool off =
              measure.asked && off_.contains(measure.name) && std::abs(measure.made - *measure.asked) > kMade;
          row.push_back({fmt::format("{:.1f}", measure.made), off ? Emphasis::kBad : Emphasis::kNone});
        }
        table.rows.push_back(std::move(row));
      }
    }
    return table;
  }

  [[nodiscard]] std::string section() const {
    if (lasts_.empty()) return "<p>None of these lasts is of a size and width that the style makes.</p>\n";
    return fmt::format(
               "<p class=\"source\">{} from {}, as lastwright last grade made them; the base is the thick "
               "line. "
               "Unless one is chosen, the sizes of the base width.</p>\n"
               "<div class=\"row\" id=\"last-bar\" hidden><fieldset id=\"last-size\" "
               "class=\"chips\"><legend>Size</legend>"
               "</fieldset><fieldset id=\"last-width\" "
               "class=\"chips\"><legend>Width</legend></fieldset></div>\n",
               counted(lasts_.size(), "last"), xml_escaped(folder_)) +
           "<figure class=\"wide\" tabindex=\"0\">" + picture() +
           "<figcaption id=\"last-title\" aria-live=\"polite\"></figcaption></figure>\n<div "
           "id=\"last-readout\"></div>\n<details><summary><span class=\"name\">Measures of every last</span> "
           "<span "
           "class=\"brief\">in millimetres</span></summary>\n" +
           html_table(table(), {.figures = true}) + "</details>\n";
  }

  [[nodiscard]] std::string data() const {
    Json out = {{"base", label_of(style_.measures.base().at)}, {"lasts", Json::object()}};
    const auto rounded = [](double value) { return std::round(value * 100.0) / 100.0; };
    for (const auto& [name, last] : lasts_) {
      Json rows = Json::array();
      for (const ShownMeasure& measure : last.measures)
        rows.push_back(
            {measure.name, rounded(measure.made), measure.asked ? Json(rounded(*measure.asked)) : Json()});
      out["lasts"][name] = std::move(rows);
    }
    return out.dump(-1, ' ', false, Json::error_handler_t::replace);
  }

  std::string folder_;
  const LoadedStyle& style_;
  ReportLasts out_;
  std::map<std::string, ShownLast> lasts_;  // by size and width
  std::map<std::string, std::vector<std::pair<std::string, double>>> off_;
  std::vector<std::string> far_;
  std::array<Extent, kViewCount> extents_;
};

}  // namespace

Result<ReportLasts> report_lasts(const std::string& folder, const LoadedStyle& style) {
  return SetReader(folder, style).read();
}

}  // namespace lastwright
