#include "cli/tables/xlsx_read.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <chrono>
#include <cmath>
#include <map>
#include <optional>
#include <set>

#include "geometry/files/unzip.hpp"
#include "geometry/files/xml_read.hpp"

namespace lastwright {
namespace {

constexpr std::size_t kMostText = std::size_t{64} << 20;  // in the cells of a workbook, bytes
constexpr std::size_t kMostCells = 2'000'000;
constexpr std::size_t kMostSheetColumns = 16'384;  // of the format
constexpr std::size_t kMostTabs = 200;

std::optional<std::size_t> whole(std::string_view text) {
  std::size_t value = 0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
  if (text.empty() || read.ec != std::errc() || read.ptr != text.data() + text.size()) return std::nullopt;
  return value;
}

std::string trimmed_text(std::string text) {
  const char* blanks = " \t\r\n";
  text.erase(text.find_last_not_of(blanks) + 1);
  text.erase(0, text.find_first_not_of(blanks));
  return text;
}

// As a person would write the number: 246.1, not the 246.09999999999999 of the file.
std::string plain_number(const std::string& text) {
  double value = 0.0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
  if (read.ec != std::errc() || read.ptr != text.data() + text.size()) return text;
  return fmt::format("{:.15g}", value);
}

// Whole numbers of which the last digits are lost.
bool too_long(const std::string& number) {
  double value = 0.0;
  const auto read = std::from_chars(number.data(), number.data() + number.size(), value);
  return read.ec == std::errc() && read.ptr == number.data() + number.size() && std::abs(value) >= 1e15;
}

// Whether a number format shows dates or times: it has letters of theirs outside quotes and brackets
// (ECMA-376 part 1, 18.8.31).
bool shows_date(std::string_view format) {
  char until = 0;
  for (std::size_t i = 0; i < format.size(); ++i) {
    const char c = format[i];
    if (until != 0) {
      if (c == until) until = 0;
    } else if (c == '"') {
      until = '"';
    } else if (c == '[') {
      until = ']';
    } else if (c == '\\' || c == '_' || c == '*') {
      ++i;
    } else if (std::string_view("dDmMyYhHsS").find(c) != std::string_view::npos) {
      return true;
    }
  }
  return false;
}

// Formats that the program knows by number alone: 14 to 22 and 45 to 47 are dates and times (18.8.30).
bool is_date_format(std::size_t number, const std::map<std::size_t, bool>& own) {
  if (const auto found = own.find(number); found != own.end()) return found->second;
  return (number >= 14 && number <= 22) || (number >= 45 && number <= 47);
}

constexpr const char* kIsDate =
    "is a date: spreadsheets make one of what looks like it; set the cell to text and write it anew";

// "2026-11-29" of a day counted from 30 December 1899, or from 1 January 1904; with its time where it has one
// (18.17.4). As it is where it is no such day.
std::string date_of(const std::string& text, bool from_1904) {
  double serial = 0.0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), serial);
  // Days below 61 are counted as if 1900 had been a leap year; 2958465 is the end of the year 9999.
  if (read.ec != std::errc() || serial < (from_1904 ? 0.0 : 61.0) || serial > 2958465.0) return text;
  const double whole_days = std::floor(serial);
  const std::chrono::sys_days day =
      std::chrono::sys_days{from_1904 ? std::chrono::year{1904} / 1 / 1 : std::chrono::year{1899} / 12 / 30} +
      std::chrono::days(static_cast<int>(whole_days));
  const std::chrono::year_month_day date(day);
  std::string shown = fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()),
                                  static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
  const int minutes = static_cast<int>(std::lround((serial - whole_days) * 1440.0));
  if (minutes > 0 && minutes < 1440) shown += fmt::format(" {:02}:{:02}", minutes / 60, minutes % 60);
  return shown;
}

class WorkbookReader {
 public:
  explicit WorkbookReader(ZipArchive archive) : archive_(std::move(archive)) {}

  Result<std::vector<WorkbookTab>> read() {
    if (Status styles = read_styles(); !styles) return styles.problem();
    if (Status strings = read_strings(); !strings) return strings.problem();
    const auto places = places_of_tabs();  // and from when it counts days
    if (!places) return places.problem();
    std::vector<WorkbookTab> tabs;
    for (const auto& [name, place] : *places) {
      Result<WorkbookTab> tab = read_tab(name, place);
      if (!tab) return tab.problem();
      tabs.push_back(*std::move(tab));
    }
    return tabs;
  }

 private:
  using Places = std::vector<std::pair<std::string, std::string>>;  // name and file of each tab

  Status document(const std::string& file, const XmlHandler& handler) {
    const Result<std::string> text = archive_.unpacked(file);
    if (!text) return text.problem();
    return read_xml(*text, file + " in the workbook", handler);
  }

  // Which styles of cells show numbers as dates.
  Status read_styles() {
    const std::string file = "xl/styles.xml";
    if (!archive_.holds(file)) return Done{};
    std::map<std::size_t, bool> own;
    bool of_cells = false;
    XmlHandler handler;
    handler.begins = [&](const XmlElement& element) {
      if (element.name == "numFmt") {
        if (const auto number = whole(element.attribute("numFmtId")))
          own[*number] = shows_date(element.attribute("formatCode"));
      }
      if (element.name == "cellXfs") of_cells = true;
      if (of_cells && element.name == "xf")
        dates_.push_back(is_date_format(whole(element.attribute("numFmtId")).value_or(0), own));
    };
    handler.ends = [&](std::string_view name) { of_cells = of_cells && name != "cellXfs"; };
    handler.text = [](std::string_view) {};
    return document(file, handler);
  }

  // Texts that cells refer to by their place in this list.
  Status read_strings() {
    const std::string file = "xl/sharedStrings.xml";
    if (!archive_.holds(file)) return Done{};
    bool text = false;
    bool spoken = false;  // how a text is read aloud stands beside it
    XmlHandler handler;
    handler.begins = [&](const XmlElement& element) {
      if (element.name == "si") strings_.emplace_back();
      if (element.name == "rPh") spoken = true;
      text = element.name == "t";
    };
    handler.ends = [&](std::string_view name) {
      if (name == "rPh") spoken = false;
      text = false;
    };
    handler.text = [&](std::string_view part) {
      if (text && !spoken && !strings_.empty()) strings_.back() += part;
    };
    return document(file, handler);
  }

  Result<Places> places_of_tabs() {
    std::map<std::string, std::string, std::less<>> files;  // by the key that the workbook refers to it with
    XmlHandler relations;
    relations.begins = [&](const XmlElement& element) {
      if (element.name != "Relationship") return;
      std::string target(element.attribute("Target"));
      target = target.starts_with('/') ? target.substr(1) : "xl/" + target;
      files[std::string(element.attribute("Id"))] = std::move(target);
    };
    relations.ends = [](std::string_view) {};
    relations.text = [](std::string_view) {};
    if (Status read = document("xl/_rels/workbook.xml.rels", relations); !read) return read.problem();
    Places places;
    XmlHandler sheets = relations;
    sheets.begins = [&](const XmlElement& element) {
      if (element.name == "workbookPr") {
        const std::string_view counts = element.attribute("date1904");
        from_1904_ = counts == "1" || counts == "true";
      }
      if (element.name != "sheet") return;
      // Two attributes are called id once prefixes are gone: sheetId is another, r:id is the one.
      const auto file = files.find(element.attribute("id"));
      if (file != files.end()) places.emplace_back(element.attribute("name"), file->second);
    };
    if (Status read = document("xl/workbook.xml", sheets); !read) return read.problem();
    if (places.empty() || places.size() > kMostTabs) {
      return Problem{Trouble::kBadValue,
                     fmt::format("the workbook has {} tabs; 1 to {} will do", places.size(), kMostTabs),
                     {},
                     {},
                     {}};
    }
    return places;
  }

  // One cell while its elements come.
  struct Open {
    std::size_t column = 0;
    std::string type;
    std::size_t style = 0;
    bool formula = false;
    bool valued = false;
    std::string text;
  };

  void finish(Open& open, WorkbookRow& row) {
    WorkbookCell cell{open.column, {}, {}};
    if (open.type == "s") {
      const auto place = whole(trimmed_text(open.text));
      if (place && *place < strings_.size()) {
        cell.text = strings_[*place];
      } else if (open.valued) {
        cell.fault = "refers to a text that the workbook does not have";
      }
    } else if (open.type == "e") {
      cell.fault = fmt::format("holds the error {}", open.text);
      cell.text = std::move(open.text);
    } else if (open.type == "d") {
      cell.fault = kIsDate;
      cell.date = true;
      cell.text = std::move(open.text);
    } else if (open.type == "b") {
      cell.text = trimmed_text(open.text) == "1" ? "TRUE" : "FALSE";
      cell.fault = "holds TRUE or FALSE, which is neither a text nor a number";
    } else if (open.type == "str" || open.type == "inlineStr") {
      cell.text = std::move(open.text);
    } else {
      cell.text = plain_number(trimmed_text(open.text));
      if (too_long(cell.text))
        cell.fault =
            "is a number of more than 15 digits, of which a spreadsheet keeps no more: set the cell to text "
            "and write it anew";
      if (!cell.text.empty() && open.style < dates_.size() && dates_[open.style]) {
        cell.fault = kIsDate;
        cell.date = true;
        cell.text = date_of(cell.text, from_1904_);
      }
    }
    if (open.formula && cell.text.empty() && cell.fault.empty() && open.type != "str")
      cell.fault = "is a formula whose value was not saved; open and save the workbook in a spreadsheet";
    cell.text = trimmed_text(std::move(cell.text));
    if (cell.text.empty() && cell.fault.empty()) return;
    text_ += cell.text.size() + cell.fault.size();
    ++cells_;
    row.cells.push_back(std::move(cell));
  }

  Result<WorkbookTab> read_tab(const std::string& name, const std::string& file) {
    WorkbookTab tab{name, {}};
    WorkbookRow row;
    Open open;
    bool value = false;
    bool inside = false;
    std::string fault;
    XmlHandler handler;
    handler.begins = [&](const XmlElement& element) {
      if (element.name == "row") {
        const auto number = whole(element.attribute("r"));
        row = {number ? static_cast<long>(std::min<std::size_t>(*number, 1U << 30U)) : row.number + 1, {}};
        open.column = kMostSheetColumns;  // none yet
      } else if (element.name == "c") {
        const auto column = column_of(element.attribute("r"));
        const std::size_t next = open.column == kMostSheetColumns ? 0 : open.column + 1;
        open = {column.value_or(next),
                std::string(element.attribute("t")),
                whole(element.attribute("s")).value_or(0),
                false,
                false,
                {}};
        if (open.column < next || open.column >= kMostSheetColumns)
          fault = fmt::format("the cells of row {} are not in order", row.number);
        inside = true;
      } else if (inside && element.name == "f") {
        open.formula = true;
      } else if (inside && (element.name == "v" || element.name == "t")) {
        value = true;
        open.valued = true;
      } else if (element.name == "rPh") {
        inside = false;
      }
    };
    handler.ends = [&](std::string_view ended) {
      value = false;
      if (ended == "rPh") inside = true;
      if (ended == "c" && inside) {
        inside = false;
        if (!beyond_budget()) finish(open, row);
      }
      if (ended == "row" && !row.cells.empty()) {
        if (!tab.rows.empty() && row.number <= tab.rows.back().number)
          fault = fmt::format("the rows about row {} are not in order", row.number);
        const long number = row.number;
        tab.rows.push_back(std::move(row));
        row = {number, {}};
      }
    };
    handler.text = [&](std::string_view part) {
      if (value && inside) open.text += part;
    };
    if (Status read = document(file, handler); !read) return read.problem();
    if (beyond_budget()) {
      return Problem{Trouble::kBudget,
                     fmt::format("the workbook has more than {} cells or {} MB of text in them", kMostCells,
                                 kMostText >> 20U),
                     {},
                     {},
                     {}};
    }
    if (!fault.empty())
      return Problem{Trouble::kSyntax, fmt::format("tab \"{}\": {}", name, fault), {}, {}, {}};
    return tab;
  }

  [[nodiscard]] bool beyond_budget() const { return text_ > kMostText || cells_ > kMostCells; }

  // 0 of "A12", 27 of "AB3".
  static std::optional<std::size_t> column_of(std::string_view reference) {
    std::size_t column = 0;
    std::size_t letters = 0;
    for (const char c : reference) {
      if (c < 'A' || c > 'Z' || letters == 3) break;
      column = 26 * column + static_cast<std::size_t>(c - 'A') + 1;
      ++letters;
    }
    if (letters == 0) return std::nullopt;
    return column - 1;
  }

  ZipArchive archive_;
  std::vector<bool> dates_;  // by style of cells
  bool from_1904_ = false;
  std::vector<std::string> strings_;
  std::size_t text_ = 0;  // bytes in cells so far
  std::size_t cells_ = 0;
};

}  // namespace

std::string column_letters(std::size_t column) {
  std::string letters;
  for (std::size_t rest = column + 1; rest > 0; rest = (rest - 1) / 26)
    letters.insert(letters.begin(), static_cast<char>('A' + (rest - 1) % 26));
  return letters;
}

Result<std::vector<WorkbookTab>> read_xlsx(std::string_view bytes) {
  Result<ZipArchive> archive = ZipArchive::open(bytes);
  if (!archive) return archive.problem();
  if (!archive->holds("xl/workbook.xml")) {
    const char* kind = archive->holds("xl/workbook.bin")     ? "a binary workbook; save it as XLSX or CSV"
                       : archive->holds("content.xml")       ? "an OpenDocument file; save it as XLSX or CSV"
                       : archive->holds("word/document.xml") ? "a text document"
                                                             : "a ZIP archive that holds no workbook";
    return Problem{Trouble::kSyntax, fmt::format("this is {}", kind), {}, {}, {}};
  }
  return WorkbookReader(*std::move(archive)).read();
}

}  // namespace lastwright
