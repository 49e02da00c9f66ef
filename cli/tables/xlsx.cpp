#include "cli/tables/xlsx.hpp"

#include <fmt/format.h>
#include <sys/mman.h>
#include <unistd.h>
#include <xlsxwriter.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <map>
#include <string_view>

#include "cli/files/safe_name.hpp"
#include "geometry/files/file_system.hpp"
#include "geometry/io/utf8.hpp"

namespace lastwright {

namespace {

constexpr std::size_t kMostRows = 1048575;  // of the format, less the header
constexpr std::size_t kMostColumns = 16384;
constexpr time_t kFixedDate =
    946684800;  // 2000-01-01: a workbook wants a date, and the clock would change the bytes

Problem too_large(std::string message, double value, double limit) {
  return {Trouble::kBudget, std::move(message), {}, value, limit};
}

time_t workbook_date() {
  const char* epoch = std::getenv("SOURCE_DATE_EPOCH");
  if (epoch == nullptr) return kFixedDate;
  long long seconds = 0;
  const std::string_view text = epoch;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), seconds);
  const bool good =
      read.ec == std::errc() && read.ptr == text.data() + text.size() && seconds > 0 && seconds < 4102444800;
  return good ? static_cast<time_t>(seconds) : kFixedDate;
}

// What the file format's XML can hold.
std::string clean(std::string_view text) {
  std::string good;
  for (std::size_t at = 0; at < text.size();) {
    const Utf8Character c = next_character(text, at);
    const bool kept = c.valid && (is_printable(c.code) || c.code == '\n' || c.code == '\t');
    good += kept ? text.substr(at, c.bytes) : std::string_view("\xEF\xBF\xBD");
    at += c.bytes;
  }
  return good;
}

// Tabs: at most 31 characters, some of which are forbidden, and no two alike.
class TabNames {
 public:
  std::string claim(std::string_view text) {
    const std::string wanted = clean(text);
    for (int count = 1;; ++count) {
      const std::string suffix = count == 1 ? "" : fmt::format(" ({})", count);
      std::string name = shortened(wanted, 31 - suffix.size()) + suffix;
      if (++taken_[folded(name)] == 1) return name;
    }
  }

 private:
  static std::string shortened(std::string_view text, std::size_t most) {
    std::string name;
    std::size_t characters = 0;
    for (std::size_t at = 0; at < text.size() && characters < most; ++characters) {
      const Utf8Character c = next_character(text, at);
      const bool forbidden =
          c.code < 0x80 &&
          std::string_view("[]:*?/\\'\n\t").find(static_cast<char>(c.code)) != std::string_view::npos;
      name += forbidden ? "_" : std::string(text.substr(at, c.bytes));
      at += c.bytes;
    }
    return name.empty() ? "table" : name;
  }
  std::map<std::string, int> taken_;
};

// A workbook that is closed when it goes, whatever happened to it.
class Workbook {
 public:
  explicit Workbook(const std::string& path) : book_(workbook_new(path.c_str())) {}
  Workbook(const Workbook&) = delete;
  Workbook& operator=(const Workbook&) = delete;
  ~Workbook() {
    if (book_ != nullptr) workbook_close(book_);
  }
  [[nodiscard]] lxw_workbook* get() const { return book_; }
  lxw_error close() {
    lxw_workbook* book = book_;
    book_ = nullptr;
    return workbook_close(book);
  }

 private:
  lxw_workbook* book_;
};

class Formats {
 public:
  explicit Formats(lxw_workbook* book) : book_(book) {
    header_ = workbook_add_format(book);
    format_set_bold(header_);
    format_set_bottom(header_, LXW_BORDER_THIN);
    format_set_text_wrap(header_);
    format_set_align(header_, LXW_ALIGN_VERTICAL_TOP);
  }
  [[nodiscard]] lxw_format* header() const { return header_; }
  // decimals -1: a text.
  lxw_format* of(Emphasis emphasis, int decimals) {
    lxw_format*& format = made_[{emphasis, decimals}];
    if (format != nullptr) return format;
    format = workbook_add_format(book_);
    if (decimals >= 0) {
      format_set_num_format(
          format,
          decimals == 0 ? "0" : ("0." + std::string(static_cast<std::size_t>(decimals), '0')).c_str());
    }
    // Fills from the palette of geometry/io/drawing_style.hpp,
    // lightened; bad is bold too, for those who see no colour.
    if (emphasis == Emphasis::kHeading) format_set_bold(format);
    if (emphasis == Emphasis::kGood) format_set_bg_color(format, 0xCCECE3);
    if (emphasis == Emphasis::kBad) {
      format_set_bg_color(format, 0xF7DFCC);
      format_set_bold(format);
    }
    return format;
  }

 private:
  lxw_workbook* book_;
  lxw_format* header_;
  std::map<std::pair<Emphasis, int>, lxw_format*> made_;
};

// Texts longer than a cell holds are parted at spaces where there are some, so that the parts one behind the
// other are the text. A cell holds kMostInCell units of UTF-16, of which a character outside the basic plane
// takes two.
constexpr std::size_t kMostInCell = 32767;
std::vector<std::string_view> cell_parts(std::string_view text) {
  std::vector<std::string_view> parts;
  std::size_t from = 0;
  std::size_t units = 0;
  std::size_t space = 0;  // behind the last one of this part; 0: none
  for (std::size_t at = 0; at < text.size();) {
    const Utf8Character c = next_character(text, at);
    const std::size_t takes = c.code > 0xFFFF ? 2 : 1;
    if (units + takes > kMostInCell) {
      const std::size_t end = space > from ? space : at;
      parts.push_back(text.substr(from, end - from));
      from = at = end;
      units = 0;
      continue;
    }
    units += takes;
    at += c.bytes;
    if (c.code == ' ') space = at;
  }
  parts.push_back(text.substr(from));
  return parts;
}

Status write_cell(lxw_worksheet* sheet, lxw_row_t row, lxw_col_t column, const TableCell& cell, int decimals,
                  Formats& formats) {
  lxw_error error = LXW_NO_ERROR;
  if (const auto* text = std::get_if<std::string>(&cell.value)) {
    error = worksheet_write_string(sheet, row, column, text->c_str(), formats.of(cell.emphasis, -1));
  } else if (const auto* whole = std::get_if<std::int64_t>(&cell.value)) {
    error =
        worksheet_write_number(sheet, row, column, static_cast<double>(*whole), formats.of(cell.emphasis, 0));
  } else if (const auto* number = std::get_if<double>(&cell.value)) {
    // The whole value: the format shows it rounded, and sums do not add up roundings. What rounds to nothing
    // is nothing: a format would show "-0.00".
    const std::string digits = with_decimals(*number, decimals);
    const double value = digits.find_first_not_of("0.") == std::string::npos ? 0.0 : *number;
    if (!digits.empty())
      error = worksheet_write_number(sheet, row, column, value, formats.of(cell.emphasis, decimals));
  } else if (cell.emphasis != Emphasis::kNone) {
    error = worksheet_write_blank(sheet, row, column, formats.of(cell.emphasis, -1));
  }
  if (error == LXW_NO_ERROR) return Done{};
  return too_large(fmt::format("a cell of the workbook cannot be written: {}", lxw_strerror(error)), 0.0,
                   0.0);
}

// One row of the table, over as many rows of the sheet as its longest text takes: what a cell does not hold
// goes on in the cell below, and the other cells there are empty, so that no number stands twice. Returns the
// next row of the sheet.
Result<lxw_row_t> write_row(lxw_worksheet* sheet, lxw_row_t at, const Table& table,
                            const std::vector<TableCell>& row, Formats& formats) {
  std::size_t taken = 1;
  for (std::size_t c = 0; c < std::min(row.size(), table.columns.size()); ++c) {
    const auto column = static_cast<lxw_col_t>(c);
    const auto* text = std::get_if<std::string>(&row[c].value);
    if (text == nullptr) {
      if (Status status = write_cell(sheet, at, column, row[c], table.columns[c].decimals, formats); !status)
        return status.problem();
      continue;
    }
    const std::string good = clean(*text);
    const std::vector<std::string_view> parts = cell_parts(good);
    for (std::size_t k = 0; k < parts.size(); ++k) {
      if (at + k > kMostRows)
        return too_large("a text of the workbook takes more rows than it holds", static_cast<double>(at + k),
                         static_cast<double>(kMostRows));
      const TableCell part{std::string(parts[k]), row[c].emphasis};
      if (Status status = write_cell(sheet, at + static_cast<lxw_row_t>(k), column, part, 0, formats);
          !status)
        return status.problem();
    }
    taken = std::max(taken, parts.size());
  }
  return at + static_cast<lxw_row_t>(taken);
}

Status write_table(lxw_workbook* book, const Table& table, Formats& formats, TabNames& names) {
  if (table.rows.size() > kMostRows) {
    return too_large(fmt::format("table \"{}\" has more rows than a workbook holds", clean(table.name)),
                     static_cast<double>(table.rows.size()), static_cast<double>(kMostRows));
  }
  if (table.columns.size() > kMostColumns) {
    return too_large(fmt::format("table \"{}\" has more columns than a workbook holds", clean(table.name)),
                     static_cast<double>(table.columns.size()), static_cast<double>(kMostColumns));
  }
  lxw_worksheet* sheet = workbook_add_worksheet(book, names.claim(table.name).c_str());
  if (sheet == nullptr)
    return Problem{Trouble::kInternal, "the workbook cannot take another sheet", {}, {}, {}};
  for (std::size_t c = 0; c < table.columns.size(); ++c) {
    const auto column = static_cast<lxw_col_t>(c);
    worksheet_set_column(sheet, column, column, table.columns[c].width, nullptr);
    if (const lxw_error error =
            worksheet_write_string(sheet, 0, column, clean(table.columns[c].title).c_str(), formats.header());
        error != LXW_NO_ERROR)
      return too_large(fmt::format("a heading of table \"{}\" cannot be written: {}", clean(table.name),
                                   lxw_strerror(error)),
                       static_cast<double>(table.columns[c].title.size()), kMostInCell);
  }
  worksheet_freeze_panes(sheet, 1, static_cast<lxw_col_t>(std::max(0, table.fixed_columns)));
  worksheet_repeat_rows(sheet, 0, 0);
  worksheet_set_landscape(sheet);
  worksheet_set_paper(sheet, 9);  // A4
  worksheet_fit_to_pages(sheet, 1, 0);
  lxw_row_t next = 1;
  for (const std::vector<TableCell>& row : table.rows) {
    const Result<lxw_row_t> after = write_row(sheet, next, table, row, formats);
    if (!after) return after.problem().in("table", clean(table.name));
    next = *after;
  }
  if (table.filter && !table.columns.empty()) {
    worksheet_autofilter(sheet, 0, 0, next - 1, static_cast<lxw_col_t>(table.columns.size() - 1));
  }
  return Done{};
}

Result<std::string> bytes_of(int file) {
  std::string bytes;
  char part[1 << 16];
  while (true) {
    const ssize_t count = ::pread(file, part, sizeof part, static_cast<off_t>(bytes.size()));
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) return file_problem("read the workbook back", "", errno);
    if (count == 0) return bytes;
    bytes.append(part, static_cast<std::size_t>(count));
  }
}

}  // namespace

Result<std::string> to_xlsx(const std::vector<Table>& tables, const std::string& title) {
  if (tables.empty()) return Problem{Trouble::kInternal, "a workbook without tables", {}, {}, {}};
  // The library writes to a path; this one is memory.
  const OpenFile memory(real_file_system(), ::memfd_create("workbook", MFD_CLOEXEC));
  if (!memory) return file_problem("make room for the workbook", "", errno);
  Workbook book(fmt::format("/proc/self/fd/{}", memory.number()));
  if (book.get() == nullptr) return Problem{Trouble::kInternal, "the workbook cannot be begun", {}, {}, {}};
  const std::string safe_title = clean(title);
  lxw_doc_properties properties{};
  properties.title = const_cast<char*>(safe_title.c_str());  // only read
  properties.created = workbook_date();
  workbook_set_properties(book.get(), &properties);
  Formats formats(book.get());
  TabNames names;
  for (const Table& table : tables) {
    if (Status status = write_table(book.get(), table, formats, names); !status) return status.problem();
  }
  if (const lxw_error error = book.close(); error != LXW_NO_ERROR) {
    return Problem{
        Trouble::kFileSystem,
        fmt::format("the workbook cannot be put together: {}; free some space for temporary files, or raise "
                    "the limit on the size of files (see ulimit -f)",
                    lxw_strerror(error)),
        {},
        {},
        {}};
  }
  return bytes_of(memory.number());
}

}  // namespace lastwright
