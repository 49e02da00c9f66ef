#include "geometry/files/delimited.hpp"

#include <algorithm>

#include "geometry/files/note_line.hpp"

namespace lastwright {
namespace {

std::string_view without_blank_ends(std::string_view text) {
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t')) text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t')) text.remove_suffix(1);
  return text;
}

bool outside_quotes(std::string_view line, char wanted) {
  bool quoted = false;
  for (const char c : line) {
    if (c == '"') quoted = !quoted;
    if (!quoted && c == wanted) return true;
  }
  return false;
}

}  // namespace

DelimitedText::DelimitedText(std::string_view text) : text_(text) {
  if (text_.starts_with("\xEF\xBB\xBF")) text_.remove_prefix(3);
  find_delimiter();
}

DelimitedText DelimitedText::from_here() const {
  DelimitedText rest = *this;
  rest.header_fields_ = 0;
  if (!named_) rest.find_delimiter();
  return rest;
}

void DelimitedText::find_delimiter() {
  const std::string_view all = text_;
  const long before = line_;
  std::string_view line;
  if (!next_line(line)) return;
  std::string_view bare = line;
  if (bare.size() == 7 && bare.front() == '"' && bare.back() == '"') bare = bare.substr(1, 5);
  if (bare.size() == 5 && bare.starts_with("sep=")) {
    delimiter_ = bare.back();
    named_ = true;
    return;  // the header follows
  }
  for (const char one : {';', '\t', ','}) {
    if (!outside_quotes(line, one)) continue;
    delimiter_ = one;
    break;
  }
  text_ = all;
  line_ = before;
}

bool DelimitedText::next_line(std::string_view& line) {
  while (!text_.empty()) {
    const std::size_t end = std::min(text_.find('\n'), text_.size());
    line = text_.substr(0, end);
    text_.remove_prefix(std::min(end + 1, text_.size()));
    ++line_;
    if (line.ends_with('\r')) line.remove_suffix(1);
    if (without_blank_ends(line).empty()) continue;
    if (header_fields_ > 0 || !line.starts_with('#')) return true;
  }
  return false;
}

bool DelimitedText::next(DelimitedRecord& record) {
  std::string_view line;
  while (next_line(line)) {
    record = split(line);
    if (line.starts_with('#')) {
      if (!may_be_row(record.fields.size(), header_fields_)) continue;
      record.fault = kNoteOrRow;
      return true;
    }
    const bool blank = std::all_of(record.fields.begin(), record.fields.end(),
                                   [](const std::string& field) { return field.empty(); });
    if (blank && record.fault.empty()) continue;  // a row of delimiters alone is a blank one
    if (header_fields_ == 0) header_fields_ = record.fields.size();
    return true;
  }
  return false;
}

DelimitedRecord DelimitedText::split(std::string_view line) const {
  DelimitedRecord record{line_, {}, {}};
  std::size_t at = 0;
  for (;;) {
    std::string field;
    if (at < line.size() && line[at] == '"') {
      ++at;
      bool closed = false;
      while (at < line.size()) {
        if (line[at] != '"') {
          field += line[at++];
        } else if (at + 1 < line.size() && line[at + 1] == '"') {
          field += '"';
          at += 2;
        } else {
          ++at;
          closed = true;
          break;
        }
      }
      if (!closed) record.fault = "a quote does not close in its line";
      if (closed && at < line.size() && line[at] != delimiter_)
        record.fault = "something follows a closing quote";
      at = std::min(line.find(delimiter_, at), line.size());
    } else {
      const std::size_t end = std::min(line.find(delimiter_, at), line.size());
      field = without_blank_ends(line.substr(at, end - at));
      at = end;
    }
    record.fields.push_back(std::move(field));
    if (at >= line.size()) return record;
    ++at;
  }
}

}  // namespace lastwright
