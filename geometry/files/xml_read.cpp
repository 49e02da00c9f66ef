#include "geometry/files/xml_read.hpp"

#include <expat.h>
#include <fmt/format.h>

#include <algorithm>
#include <limits>
#include <memory>

namespace lastwright {
namespace {

constexpr int kDeepestElement = 200;

std::string_view without_prefix(std::string_view name) {
  const std::size_t colon = name.find(':');
  return colon == std::string_view::npos ? name : name.substr(colon + 1);
}

struct XmlPass {
  const XmlHandler& handler;
  XML_Parser parser;
  int depth = 0;
  bool refused = false;

  void refuse() {
    refused = true;
    XML_StopParser(parser, XML_FALSE);
  }
};

XmlPass& of(void* user) {
  return *static_cast<XmlPass*>(user);
}

void XMLCALL element_begins(void* user, const XML_Char* name, const XML_Char** attributes) {
  XmlPass& reading = of(user);
  if (++reading.depth > kDeepestElement) return reading.refuse();
  XmlElement element{without_prefix(name), {}};
  for (; *attributes != nullptr; attributes += 2)
    element.attributes.emplace_back(without_prefix(attributes[0]), attributes[1]);
  reading.handler.begins(element);
}

void XMLCALL element_ends(void* user, const XML_Char* name) {
  --of(user).depth;
  of(user).handler.ends(without_prefix(name));
}

void XMLCALL text_comes(void* user, const XML_Char* text, int size) {
  of(user).handler.text({text, static_cast<std::size_t>(size)});
}

void XMLCALL type_begins(void* user, const XML_Char*, const XML_Char*, const XML_Char*, int) {
  of(user).refuse();
}

}  // namespace

std::string_view XmlElement::attribute(std::string_view wanted) const {
  const auto found = std::find_if(attributes.begin(), attributes.end(),
                                  [&](const auto& one) { return one.first == wanted; });
  return found == attributes.end() ? std::string_view() : found->second;
}

Status read_xml(std::string_view bytes, const std::string& what, const XmlHandler& handler) {
  const std::unique_ptr<XML_ParserStruct, decltype(&XML_ParserFree)> parser(XML_ParserCreate(nullptr),
                                                                            &XML_ParserFree);
  const auto broken = [&](const std::string& why) {
    return Problem{Trouble::kSyntax, fmt::format("{} {}", what, why), {}, {}, {}};
  };
  if (!parser || bytes.size() > static_cast<std::size_t>(std::numeric_limits<int>::max()))
    return broken("is too large");
  XmlPass reading{handler, parser.get()};
  XML_SetUserData(parser.get(), &reading);
  XML_SetElementHandler(parser.get(), element_begins, element_ends);
  XML_SetCharacterDataHandler(parser.get(), text_comes);
  XML_SetStartDoctypeDeclHandler(parser.get(), type_begins);
  const XML_Status status = XML_Parse(parser.get(), bytes.data(), static_cast<int>(bytes.size()), XML_TRUE);
  if (reading.refused) return broken("declares a document type or nests too deep");
  if (status == XML_STATUS_OK) return Done{};
  return broken(fmt::format("is broken in line {}: {}",
                            static_cast<unsigned long>(XML_GetCurrentLineNumber(parser.get())),
                            XML_ErrorString(XML_GetErrorCode(parser.get()))));
}

}  // namespace lastwright
