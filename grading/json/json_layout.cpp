#include "grading/json/json_layout.hpp"

namespace lastwright {

namespace {

bool is_flat(const Json& value) {
  for (const Json& child : value) {
    if (child.is_structured()) return false;
  }
  return true;
}

void lay_out(const Json& value, std::size_t indent, std::size_t unit, std::string& out) {
  constexpr std::size_t kWidth = 118;
  const std::string inline_text = value.dump();
  const bool simple = is_flat(value) || (value.is_object() && indent > unit);
  if (!value.is_structured() || value.empty() || (simple && indent + inline_text.size() <= kWidth)) {
    out += on_one_line(value);
    return;
  }
  const bool object = value.is_object();
  out += object ? "{\n" : "[\n";
  bool first = true;
  for (const auto& [key, child] : value.items()) {
    if (!first) out += ",\n";
    first = false;
    out.append(indent + unit, ' ');
    if (object) out += Json(key).dump() + ": ";
    lay_out(child, indent + unit, unit, out);
  }
  out += '\n';
  out.append(indent, ' ');
  out += object ? '}' : ']';
}

}  // namespace

std::string on_one_line(const Json& value) {
  if (!value.is_structured()) return value.dump();
  std::string out;
  for (const auto& [key, child] : value.items()) {
    if (!out.empty()) out += ", ";
    if (value.is_object()) out += Json(key).dump() + ": ";
    out += on_one_line(child);
  }
  return value.is_object() ? "{" + out + "}" : "[" + out + "]";
}

std::string laid_out(const Json& value, std::size_t indent, std::size_t unit) {
  std::string out;
  lay_out(value, indent, unit, out);
  return out;
}

}  // namespace lastwright
