#include "geometry/io/dxf/dxf_file_kind.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace lastwright {
namespace {

using namespace std::string_view_literals;

struct Signature {
  std::string_view start;
  std::string_view kind;
};

// File signatures as published by the owners of the formats.
constexpr std::array kSignatures{
    Signature{"AutoCAD DXB"sv, "a DXB drawing; save it as DXF"},
    Signature{"AC10"sv, "a DWG drawing; save it as DXF"},
    Signature{"AC1.\x32"sv, "a DWG drawing; save it as DXF"},
    Signature{"AC2.1"sv, "a DWG drawing; save it as DXF"},
    Signature{"MC0.0"sv, "a DWG drawing; save it as DXF"},
    Signature{"%PDF-"sv, "a PDF document"},
    Signature{"%!PS"sv, "a PostScript document"},
    Signature{"\x1f\x8b"sv, "a gzip archive; unpack it first"},
    Signature{"PK\x03\x04"sv, "a ZIP archive (or an office document); unpack it first"},
    Signature{"PK\x05\x06"sv, "an empty ZIP archive"},
    Signature{"7z\xbc\xaf\x27\x1c"sv, "a 7z archive; unpack it first"},
    Signature{"Rar!\x1a\x07"sv, "a RAR archive; unpack it first"},
    Signature{"\xfd"
              "7zXZ\0"sv,
              "an xz archive; unpack it first"},
    Signature{"BZh"sv, "a bzip2 archive; unpack it first"},
    Signature{"\x28\xb5\x2f\xfd"sv, "a zstd archive; unpack it first"},
    Signature{"\xff\xfe"sv, "UTF-16 text; save it as UTF-8"},
    Signature{"\xfe\xff"sv, "UTF-16 text; save it as UTF-8"},
    Signature{"0\0"sv, "UTF-16 text; save it as UTF-8"},
    Signature{"\0 "sv, "UTF-16 text; save it as UTF-8"},
    Signature{"\0\x30"sv, "UTF-16 text; save it as UTF-8"},
    Signature{"\x89PNG"sv, "a PNG picture"},
    Signature{"\xff\xd8\xff"sv, "a JPEG picture"},
    Signature{"GIF8"sv, "a GIF picture"},
    Signature{"BM"sv, "a BMP picture"},
    Signature{"II*\0"sv, "a TIFF picture"},
    Signature{"MM\0*"sv, "a TIFF picture"},
    Signature{"\xd0\xcf\x11\xe0"sv, "an old office document"},
    Signature{"\x7f"
              "ELF"sv,
              "a program"},
    Signature{"MZ"sv, "a program"},
};

// Text formats are told by their first word, in any case.
constexpr std::array kFirstWords{
    Signature{"iso-10303-21"sv, "a STEP file"},
    Signature{"<!doctype"sv, "an HTML page"},
    Signature{"<html"sv, "an HTML page"},
    Signature{"<svg"sv, "an SVG picture"},
    Signature{"<?xml"sv, "an XML file"},
    Signature{"{\\rtf"sv, "an RTF document"},
    Signature{"{"sv, "a JSON file"},
    Signature{"solid"sv, "an STL model"},
    Signature{"in;"sv, "a plotter file"},
    Signature{"#!"sv, "a script"},
};

bool starts_with_word(std::string_view text, std::string_view word) {
  return text.size() >= word.size() && std::equal(word.begin(), word.end(), text.begin(), [](char w, char t) {
           return w == static_cast<char>(std::tolower(static_cast<unsigned char>(t)));
         });
}

}  // namespace

std::optional<std::string_view> foreign_file_kind(std::string_view bytes) {
  if (bytes.starts_with(kBinaryDxfSentinel)) return std::nullopt;
  for (const Signature& s : kSignatures) {
    if (bytes.starts_with(s.start)) return s.kind;
  }
  if (bytes.starts_with("\xef\xbb\xbf")) bytes.remove_prefix(3);
  const std::size_t first = bytes.find_first_not_of(" \t\r\n"sv);
  if (first == std::string_view::npos) {
    return bytes.empty() ? "an empty file"sv : "a file of blanks"sv;
  }
  bytes.remove_prefix(first);
  for (const Signature& s : kFirstWords) {
    if (starts_with_word(bytes, s.start)) return s.kind;
  }
  if (bytes.substr(0, 64).find_first_not_of('\0') == std::string_view::npos) return "a file of zero bytes"sv;
  return std::nullopt;
}

}  // namespace lastwright
