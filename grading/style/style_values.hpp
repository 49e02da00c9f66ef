// Single values of a style file: numbers that may be written as text, names, places.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "geometry/problem.hpp"
#include "geometry/units.hpp"
#include "geometry/vec2.hpp"
#include "grading/json/json_text.hpp"
#include "grading/json/json_value.hpp"
#include "grading/measures/measure.hpp"
#include "grading/sizes/fraction.hpp"

namespace lastwright {

inline constexpr std::size_t kMostStyleProblems = 50;

// Reads out of a document that the schema has passed: only values that are written as text can still be
// wrong. These become problems with their place, and a value that goes on. `at` is the JSON pointer of
// `from`, `pointer` that of the value.
class StyleValues {
 public:
  StyleValues(const JsonDocument& document, std::vector<Problem>& problems)
      : document_(document), problems_(problems) {}

  void refuse(const std::string& pointer, const Problem& problem);
  void not_below_zero(Millimetres limit, const std::string& pointer);

  Fraction fraction_of(const Json& value, const std::string& pointer);
  Fraction fraction(const Json& from, const char* key, const std::string& at, Fraction otherwise);
  std::optional<Quantity> quantity(const Json& from, const char* key, const std::string& at);
  Millimetres length(const Json& value, const std::string& pointer);
  Millimetres millimetres_at(const Json& from, const char* key, const std::string& at, Millimetres otherwise);
  Vec2 shift(const Json& pair, const std::string& at);

  static std::vector<std::string> texts(const Json& list);
  static Vec2 place(const Json& pair);
  static std::optional<std::string> text(const Json& from, const char* key);

  // The value whose name stands in the file; the schema knows the same names.
  template <class Enum, std::size_t n>
  static Enum named(const Json& from, const char* key, const Enum (&all)[n], Enum otherwise) {
    const auto found = from.find(key);
    if (found == from.end()) return otherwise;
    for (const Enum one : all) {
      if (found->get_ref<const std::string&>() == name_of(one)) return one;
    }
    throw InvariantBroken(std::string("the schema lets a name through that the reader does not know, at ") +
                          key);
  }

  [[nodiscard]] const JsonDocument& document() const { return document_; }
  [[nodiscard]] std::vector<Problem>& problems() { return problems_; }

 private:
  Quantity quantity_of(const Json& value, const std::string& pointer);

  const JsonDocument& document_;
  std::vector<Problem>& problems_;
};

}  // namespace lastwright
