#include "geometry/io/paper/pdf_update.hpp"

#include <fmt/format.h>

#include <charconv>
#include <optional>

namespace lastwright {

namespace {

std::optional<std::size_t> number_at(std::string_view text, std::size_t at) {
  if (at > text.size()) return std::nullopt;
  while (at < text.size() && (text[at] == ' ' || text[at] == '\n' || text[at] == '\r')) ++at;
  std::size_t value = 0;
  const auto read = std::from_chars(text.data() + at, text.data() + text.size(), value);
  if (read.ec != std::errc()) return std::nullopt;
  return value;
}

std::optional<std::size_t> number_after(std::string_view text, std::string_view key, std::size_t from) {
  const std::size_t found = text.find(key, from);
  if (found == std::string_view::npos) return std::nullopt;
  return number_at(text, found + key.size());
}

Problem unexpected(const char* what) {
  return {
      Trouble::kInternal, fmt::format("the PDF that was made has no {} where one belongs", what), {}, {}, {}};
}

}  // namespace

Result<std::string> with_catalog_entries(std::string pdf, std::string_view entries) {
  const std::string_view view = pdf;
  const std::size_t last = view.rfind("startxref");
  if (last == std::string_view::npos) return unexpected("startxref");
  const auto table = number_after(view, "startxref", last);
  if (!table || *table >= view.size() || view.substr(*table, 4) != "xref")
    return unexpected("cross-reference table");
  const std::size_t trailer = view.find("trailer", *table);
  if (trailer == std::string_view::npos) return unexpected("trailer");
  const auto size = number_after(view, "/Size", trailer);
  const auto root = number_after(view, "/Root", trailer);
  const auto info = number_after(view, "/Info", trailer);
  if (!size || !root) return unexpected("catalog");

  // One section from object 0; each line of the table is 20 bytes: offset, generation, kind, line end.
  const std::size_t first_line = view.find('\n', view.find('\n', *table) + 1) + 1;
  const auto catalog = number_at(view, first_line + 20 * *root);
  if (!catalog || *catalog >= view.size()) return unexpected("catalog");
  const std::string head = fmt::format("{} 0 obj", *root);
  const std::size_t end = view.find("endobj", *catalog);
  if (view.substr(*catalog, head.size()) != head || end == std::string_view::npos)
    return unexpected("catalog");
  const std::string_view body = view.substr(*catalog, end - *catalog);
  const std::size_t close = body.rfind(">>");
  if (body.find("/Catalog") == std::string_view::npos || close == std::string_view::npos)
    return unexpected("catalog");

  const std::string added =
      fmt::format("{}   {}\n{}endobj\n", body.substr(0, close), entries, body.substr(close));
  if (pdf.back() != '\n') pdf += '\n';
  const std::size_t object_at = pdf.size();
  pdf += added;
  const std::size_t table_at = pdf.size();
  pdf += fmt::format("xref\n{} 1\n{:010} 00000 n \n", *root, object_at);
  pdf += fmt::format("trailer\n<< /Size {}\n   /Root {} 0 R\n", *size, *root);
  if (info) pdf += fmt::format("   /Info {} 0 R\n", *info);
  pdf += fmt::format("   /Prev {}\n>>\nstartxref\n{}\n%%EOF\n", *table, table_at);
  return pdf;
}

}  // namespace lastwright
