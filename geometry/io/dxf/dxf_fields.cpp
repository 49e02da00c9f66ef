#include "geometry/io/dxf/dxf_fields.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "geometry/tolerance.hpp"

namespace lastwright {

const DxfTag* DxfFields::find(int code) const {
  if (!present_.test(slot(code))) return nullptr;
  const auto found =
      std::find_if(tags_.begin(), tags_.end(), [code](const DxfTag& tag) { return tag.code == code; });
  return found == tags_.end() ? nullptr : &*found;
}

void DxfFields::fail(Trouble trouble, std::string message, long place) {
  if (failure_) return;
  failure_ = dxf_problem(trouble, std::move(message));
  failure_place_ = place;
}

double DxfFields::real(const DxfTag& tag) {
  const Result<double> value = real_of(tag);
  if (value) return *value;
  fail(value.problem().trouble, value.problem().message, tag.place);
  return 0.0;
}

std::int64_t DxfFields::whole(const DxfTag& tag) {
  const Result<std::int64_t> value = whole_of(tag);
  if (value) return *value;
  fail(value.problem().trouble, value.problem().message, tag.place);
  return 0;
}

double DxfFields::coordinate(const DxfTag& tag) {
  const double value = real(tag);
  if (std::abs(value) > reading_.largest_coordinate) {
    fail(Trouble::kBadValue,
         fmt::format("a coordinate beyond {:g} drawing units", reading_.largest_coordinate), tag.place);
    return 0.0;
  }
  return value;
}

double DxfFields::real(int code, double otherwise) {
  const DxfTag* const tag = find(code);
  return tag ? real(*tag) : otherwise;
}

std::int64_t DxfFields::whole(int code, std::int64_t otherwise) {
  const DxfTag* const tag = find(code);
  return tag ? whole(*tag) : otherwise;
}

Vec2 DxfFields::point(int code, const char* what) {
  const DxfTag* const x = find(code);
  const DxfTag* const y = find(code + 10);
  if (!x || !y) {
    fail(Trouble::kSyntax, fmt::format("{} is missing (group codes {} and {})", what, code, code + 10));
    return {};
  }
  return {coordinate(*x), coordinate(*y)};
}

double DxfFields::need(int code, const char* what) {
  const DxfTag* const tag = find(code);
  if (tag) return coordinate(*tag);
  fail(Trouble::kSyntax, fmt::format("{} is missing (group code {})", what, code));
  return 0.0;
}

std::string_view DxfFields::raw(int code) const {
  const DxfTag* const tag = find(code);
  return tag ? tag->text : std::string_view{};
}

std::string DxfFields::name(int code) {
  const DxfTag* const tag = find(code);
  if (!tag) return {};
  constexpr std::size_t kLongestName = 255;  // the format's own limit
  if (tag->word().size() > kLongestName) {
    fail(Trouble::kBudget, fmt::format("a name longer than {} bytes", kLongestName), tag->place);
    return {};
  }
  Result<std::string> text = decode_dxf_text(tag->word(), reading_.encoding, OddBytes::kRefuse);
  if (text) return std::move(text).value();
  fail(text.problem().trouble, text.problem().message, tag->place);
  return {};
}

double DxfFields::facing() {
  const double x = real(210, 0.0);
  const double y = real(220, 0.0);
  const double z = real(230, 1.0);
  constexpr double kUpright = 1e-9;  // of the direction's length: below the last digit of any file
  if (z != 0.0 && std::hypot(x, y) <= kUpright * std::abs(z)) return z > 0.0 ? 1.0 : -1.0;
  fail(Trouble::kUnsupported,
       fmt::format("it is drawn in a tilted plane (extrusion {:g}, {:g}, {:g}); only plane drawings are read",
                   x, y, z));
  return 1.0;
}

void DxfFields::must_be_flat(double lowest, double highest) {
  if (highest - lowest <= tolerance::kSamePoint.value()) return;
  fail(Trouble::kUnsupported,
       fmt::format("it is not flat: its heights (Z) run from {:.6g} to {:.6g}; only plane drawings are read",
                   lowest, highest));
}

}  // namespace lastwright
