// XML of packaged documents (workbooks, meshes), element by element. A document that declares a type of its
// own, and so could declare entities, is refused: such documents have none.
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "geometry/result.hpp"

namespace lastwright {

struct XmlElement {
  std::string_view name;  // without the prefix of its namespace, as those of the attributes
  std::vector<std::pair<std::string_view, std::string_view>> attributes;
  // Empty where the attribute is not there.
  [[nodiscard]] std::string_view attribute(std::string_view wanted) const;
};

struct XmlHandler {
  std::function<void(const XmlElement&)> begins;
  std::function<void(std::string_view name)> ends;
  std::function<void(std::string_view part)> text;  // may come in parts
};

// `what` names the document in messages, which begin with it.
Status read_xml(std::string_view bytes, const std::string& what, const XmlHandler& handler);

}  // namespace lastwright
