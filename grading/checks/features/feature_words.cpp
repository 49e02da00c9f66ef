#include "grading/checks/features/feature_words.hpp"

#include <fmt/format.h>

#include <vector>

namespace lastwright {

namespace {

class FeatureWords {
 public:
  explicit FeatureWords(const CommonEdges& names) : names_(names) {}

  [[nodiscard]] std::optional<std::string> of(const FeatureSpec& feature) const {
    return std::visit([&](const auto& work) { return words(work); }, feature.work);
  }

 private:
  [[nodiscard]] std::optional<std::string> named(const std::vector<std::string>& edges) const {
    if (edges.empty()) return std::nullopt;
    std::string text;
    for (const std::string& edge : edges) {
      const auto found = names_.find(edge);
      if (found == names_.end()) return std::nullopt;
      text += (text.empty() ? "" : ", ") + found->second;
    }
    return text;
  }
  template <class... Values>
  [[nodiscard]] std::optional<std::string> along(const char* kind, const std::vector<std::string>& edges,
                                                 const char* format, const Values&... values) const {
    const std::optional<std::string> where = named(edges);
    if (!where) return std::nullopt;
    return fmt::format("{} along {} ({})", kind, *where, fmt::format(fmt::runtime(format), values...));
  }
  [[nodiscard]] std::optional<std::string> words(const RowWork& row) const {
    const char* kind = row.kind == RowKind::kEyelets       ? "eyelets"
                       : row.kind == RowKind::kPerforation ? "a perforation"
                                                           : "pricks";
    std::string counts = row.spacing.count ? std::to_string(*row.spacing.count) : "";
    for (const CountChange& change : row.spacing.counts)
      counts += fmt::format(", {} from {} to {}", change.count, change.from, change.to);
    return along(kind, row.along.edges, "{} at {:g} mm, margins {:g} and {:g}, pitch {:g}, {:g} mm wide",
                 counts, row.along.inset.value(), row.along.start.value(), row.along.end.value(),
                 row.spacing.pitch.value_or(Millimetres(0.0)).value(),
                 row.unit.empty() ? 0.0 : row.unit.front().diameter.value());
  }
  [[nodiscard]] std::optional<std::string> words(const LineWork& line) const {
    return along(line.kind == LineKind::kStitch ? "a stitch line" : "a lap guide", line.along.edges,
                 "{} at {:g} mm, {:g} mm apart", line.rows, line.along.inset.value(), line.row_gap.value());
  }
  [[nodiscard]] std::optional<std::string> words(const SkiveWork& skive) const {
    return along("a skive", skive.edges, "{:g} mm wide, {:g} mm off", skive.width.value(),
                 skive.depth.value());
  }
  [[nodiscard]] std::optional<std::string> words(const NickWork& nick) const {
    return along("a nick", {nick.edge}, "{:.4g} of it and {:g} mm{}, {} {:g} deep",
                 nick.station.share ? nick.station.share->value() : 0.0, nick.station.distance.value(),
                 nick.station.from_end ? " from its end" : "", name_of(nick.shape.form),
                 nick.shape.depth.value());
  }
  [[nodiscard]] std::optional<std::string> words(const SizeMarksWork& marks) const {
    return along("marks", {marks.edge},
                 "of the code {}, the first at {:.4g} of it and {:g} mm{}, pitch {:g} mm", marks.code,
                 marks.first.share ? marks.first.share->value() : 0.0, marks.first.distance.value(),
                 marks.first.from_end ? " from its end" : "", marks.pitch.value());
  }
  template <class Work>
  [[nodiscard]] static std::optional<std::string> words(const Work& /*at a place of its own*/) {
    return std::nullopt;
  }

  const CommonEdges& names_;
};

}  // namespace

std::optional<std::string> words_of(const FeatureSpec& feature, const CommonEdges& names) {
  return FeatureWords(names).of(feature);
}

}  // namespace lastwright
