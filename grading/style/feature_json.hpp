// Features in the style file: JSON in and out. grading/style/style.schema.json documents every key.
#pragma once

#include <string>
#include <vector>

#include "geometry/result.hpp"
#include "grading/json/json_forward.hpp"
#include "grading/style/feature_spec.hpp"

namespace lastwright {

// Reads features out of a document that the schema has passed. What can still be wrong goes to `problems`:
// numbers written as text, and keys that contradict each other or that another key leaves without effect.
class FeatureReader {
 public:
  FeatureReader(const JsonDocument& document, std::vector<Problem>& problems)
      : document_(document), problems_(problems) {}

  // `at` is the JSON pointer of `from`.
  FeatureSpec feature(const Json& from, const std::string& at);
  void limits(const Json& from, const std::string& at, FeatureLimits& limits);

 private:
  Millimetres length(const Json& from, const char* key, const std::string& at, Millimetres otherwise = {});
  void refuse(const std::string& pointer, const std::string& message);
  Vec2 shift(const Json& pair, const std::string& at);
  EdgeStation station(const Json& from, const std::string& at);
  FeaturePlace place(const Json& from, const std::string& at);
  CourseSpec course(const Json& from, const std::string& at);
  RowSpacing spacing(const Json& from, const std::string& at);
  RowWork row(RowKind kind, const Json& from, const std::string& at);
  NickShape nick_shape(const Json& from, const std::string& at);
  FeatureWork work(const std::string& kind, const Json& from, const std::string& at);

  const JsonDocument& document_;
  std::vector<Problem>& problems_;
};

MarkCode read_code(const std::string& name, const Json& from);

// Reads back the same; defaults are left out.
Json feature_json(const FeatureSpec& spec);
Json code_json(const MarkCode& code);
Json feature_limits_json(const FeatureLimits& limits);

}  // namespace lastwright
