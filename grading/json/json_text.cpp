#include "grading/json/json_text.hpp"

#include <fmt/format.h>

#include <charconv>
#include <iterator>
#include <optional>
#include <unordered_set>
#include <vector>

#include "geometry/io/dxf/dxf_file_kind.hpp"

namespace lastwright {

namespace {

// What the parser has read so far; shared by the copies of the iterator it makes.
struct Cursor {
  long line = 1;
  char last = '\0';
};

// Hands the text to the parser byte by byte and counts lines.
class CountingIterator {
 public:
  using iterator_category = std::input_iterator_tag;
  using value_type = char;
  using difference_type = std::ptrdiff_t;
  using pointer = const char*;
  using reference = const char&;

  CountingIterator(const char* at, Cursor* cursor) : at_(at), cursor_(cursor) {}
  reference operator*() const { return *at_; }
  CountingIterator& operator++() {
    cursor_->last = *at_;
    if (*at_ == '\n') ++cursor_->line;
    ++at_;
    return *this;
  }
  CountingIterator operator++(int) {
    CountingIterator before = *this;
    ++*this;
    return before;
  }
  bool operator==(const CountingIterator& other) const { return at_ == other.at_; }

 private:
  const char* at_;
  Cursor* cursor_;
};

// Builds the document from the parser's events, refusing what parse_json promises to refuse.
class DocumentBuilder {
 public:
  DocumentBuilder(JsonDocument& document, const JsonLimits& limits, const Cursor& cursor,
                  std::size_t text_size)
      : document_(document), limits_(limits), cursor_(cursor), text_size_(text_size) {}

  std::optional<Problem> problem;

  bool null() { return add(nullptr, cursor_.line); }
  bool boolean(bool value) { return add(value, cursor_.line); }
  bool number_integer(Json::number_integer_t value) { return add(value, number_line()); }
  bool number_unsigned(Json::number_unsigned_t value) { return add(value, number_line()); }
  bool number_float(Json::number_float_t value, const std::string&) { return add(value, number_line()); }
  bool string(std::string& value) { return add(std::move(value), cursor_.line); }
  bool binary(Json::binary_t&) { return false; }  // JSON text has none

  bool start_object(std::size_t) { return open(Json::object()); }
  bool start_array(std::size_t) { return open(Json::array()); }
  bool end_object() { return close(); }
  bool end_array() { return close(); }

  bool key(std::string& name) {
    Level& level = levels_.back();
    if (name.size() > limits_.key_bytes) {
      return refuse(Trouble::kBudget, fmt::format("a key of {} bytes is longer than the {} that are read",
                                                  name.size(), limits_.key_bytes));
    }
    if (!level.keys.insert(name).second) {
      level.key = name;
      return refuse(Trouble::kBadValue, fmt::format("the key {} is given twice", shown(Json(name))));
    }
    level.key = std::move(name);
    return true;
  }

  bool parse_error(std::size_t position, const std::string& last_token, const Json::exception& error) {
    constexpr int kNumberOverflow = 406;
    if (error.id == kNumberOverflow) {
      return refuse(Trouble::kBadValue, "a number is too large");
    }
    if (position >= text_size_ && (last_token.empty() || text_size_ == 0)) {
      return refuse(Trouble::kSyntax, "the JSON text ends before it is complete");
    }
    std::string near;
    for (const char c : last_token) near += c >= ' ' && c <= '~' ? c : '?';
    if (near.size() > 40) near = "..." + near.substr(near.size() - 37);
    return refuse(Trouble::kSyntax, fmt::format("this is not JSON: something unexpected at `{}`", near));
  }

 private:
  struct Level {
    Json* container = nullptr;
    std::string key;  // of the member being read
    std::unordered_set<std::string> keys;
  };

  // A number is only seen to end once the byte after it is read.
  [[nodiscard]] long number_line() const { return cursor_.line - (cursor_.last == '\n' ? 1 : 0); }

  [[nodiscard]] std::string pointer() const {
    std::string text;
    for (const Level& level : levels_) {
      if (level.container->is_array()) {
        // The list of the innermost level has not got its next
        // value yet; the outer ones hold what is being read.
        text = pointer_to(text, level.container->size() - (&level == &levels_.back() ? 0 : 1));
      } else if (!level.keys.empty()) {
        text = pointer_to(text, level.key);
      }
    }
    return text;
  }

  bool refuse(Trouble trouble, std::string message) {
    Problem found;
    found.trouble = trouble;
    found.message = std::move(message);
    found.place.file = document_.file;
    found.place.line = cursor_.line;
    if (trouble != Trouble::kSyntax) found.place.pointer = pointer();
    problem = std::move(found);
    return false;
  }

  Json* place_value(Json value) {
    if (levels_.empty()) {
      document_.root = std::move(value);
      return &document_.root;
    }
    Level& level = levels_.back();
    if (level.container->is_array()) {
      auto& list = level.container->get_ref<Json::array_t&>();
      list.push_back(std::move(value));
      return &list.back();
    }
    // Straight to the end: the map's own insertion would
    // look through all keys, which `keys` has done already.
    auto& members = level.container->get_ref<Json::object_t&>();
    members.Container::push_back({level.key, std::move(value)});
    return &members.back().second;
  }

  bool counted(long line) {
    if (document_.lines.size() >= limits_.values) {
      return refuse(Trouble::kBudget, fmt::format("more than {} values", limits_.values));
    }
    document_.lines.push_back(line);
    return true;
  }

  template <class T>
  bool add(T&& value, long line) {
    if (!counted(line)) return false;
    place_value(Json(std::forward<T>(value)));
    return true;
  }

  bool open(Json empty) {
    if (levels_.size() >= limits_.depth) {
      return refuse(Trouble::kBudget, fmt::format("nested more than {} deep", limits_.depth));
    }
    if (!counted(cursor_.line)) return false;
    Json* container = place_value(std::move(empty));
    levels_.push_back({container, {}, {}});
    return true;
  }

  bool close() {
    levels_.pop_back();
    return true;
  }

  JsonDocument& document_;
  const JsonLimits& limits_;
  const Cursor& cursor_;
  std::size_t text_size_;
  std::vector<Level> levels_;
};

// Files that are handed over by mistake, named for what they are.
std::optional<std::string_view> other_kind(std::string_view text) {
  if (text.empty()) return std::nullopt;
  if (text.starts_with(kBinaryDxfSentinel)) return "a binary DXF drawing";
  const auto kind = foreign_file_kind(text);
  return kind != "a JSON file" ? kind : std::nullopt;
}

std::size_t values_in(const Json& value) {
  std::size_t count = 1;
  for (const Json& child : value) {
    if (value.is_structured()) count += values_in(child);
  }
  return count;
}

// Splits one step off the front of a pointer and unescapes it.
std::string next_step(std::string_view& pointer) {
  pointer.remove_prefix(1);
  std::string step;
  while (!pointer.empty() && pointer.front() != '/') {
    char c = pointer.front();
    pointer.remove_prefix(1);
    if (c == '~' && !pointer.empty()) {
      c = pointer.front() == '0' ? '~' : '/';
      pointer.remove_prefix(1);
    }
    step += c;
  }
  return step;
}

}  // namespace

Place JsonDocument::place(const std::string& pointer) const {
  const Json* at = &root;
  std::size_t index = 0;
  std::string_view rest = pointer;
  while (!rest.empty() && rest.front() == '/' && at->is_structured()) {
    const std::string step = next_step(rest);
    std::size_t skipped = 1;
    const Json* next = nullptr;
    std::size_t position = 0;
    for (const auto& [key, child] : at->items()) {
      const bool here = at->is_object() ? key == step : std::to_string(position) == step;
      ++position;
      if (here) {
        next = &child;
        break;
      }
      skipped += values_in(child);
    }
    if (next == nullptr) break;
    index += skipped;
    at = next;
  }
  Place place;
  place.file = file;
  place.line = index < lines.size() ? lines[index] : 0;
  place.pointer = pointer;
  return place;
}

Problem JsonDocument::bad(const std::string& pointer, std::string message) const {
  return {Trouble::kBadValue, std::move(message), place(pointer), {}, {}};
}

Result<JsonDocument> parse_json(std::string_view text, std::string file, const JsonLimits& limits) {
  JsonDocument document;
  document.file = std::move(file);
  Problem refused{Trouble::kSyntax, "", {}, {}, {}};
  refused.place.file = document.file;
  if (text.size() > limits.bytes) {
    refused.trouble = Trouble::kBudget;
    refused.message = "the file is larger than any JSON file that is read";
    refused.value = static_cast<double>(text.size());
    refused.limit = static_cast<double>(limits.bytes);
    return refused;
  }
  if (const auto kind = other_kind(text)) {
    refused.message = fmt::format("this is not JSON but {}", *kind);
    return refused;
  }
  Cursor cursor;
  DocumentBuilder builder(document, limits, cursor, text.size());
  const CountingIterator first(text.data(), &cursor);
  const CountingIterator last(text.data() + text.size(), &cursor);
  if (!Json::sax_parse(first, last, &builder) || builder.problem) {
    invariant(builder.problem.has_value(), "a refused JSON text gives a reason");
    return *builder.problem;
  }
  return document;
}

std::string pointer_to(const std::string& parent, std::string_view key) {
  std::string text = parent + "/";
  for (const char c : key) {
    if (c == '~') {
      text += "~0";
    } else if (c == '/') {
      text += "~1";
    } else {
      text += c;
    }
  }
  return text;
}

std::string pointer_to(const std::string& parent, std::size_t index) {
  return fmt::format("{}/{}", parent, index);
}

std::string shown(const Json& value) {
  constexpr std::size_t kLongest = 60;
  switch (value.type()) {
    case Json::value_t::array:
      return fmt::format("a list of {}", value.size());
    case Json::value_t::object:
      return value.empty() ? "an empty object" : "an object";
    case Json::value_t::string: {
      const auto& text = value.get_ref<const std::string&>();
      if (text.size() <= kLongest) return value.dump();
      // Cut between characters, not inside one.
      std::size_t cut = kLongest;
      while (cut > 0 && (static_cast<unsigned char>(text[cut]) & 0xC0U) == 0x80U) --cut;
      return Json(text.substr(0, cut) + "...").dump();
    }
    default:
      return value.dump();
  }
}

std::vector<std::string> steps_of(std::string_view pointer) {
  std::vector<std::string> steps;
  for (std::size_t i = 0; i < pointer.size(); ++i) {
    if (pointer[i] == '/') {
      steps.emplace_back();
      continue;
    }
    if (steps.empty()) steps.emplace_back();
    if (pointer[i] == '~' && i + 1 < pointer.size()) {
      steps.back() += pointer[++i] == '0' ? '~' : '/';
    } else {
      steps.back() += pointer[i];
    }
  }
  return steps;
}

std::optional<std::size_t> index_of(std::string_view step) {
  std::size_t index = 0;
  const auto [end, error] = std::from_chars(step.data(), step.data() + step.size(), index);
  if (error != std::errc() || end != step.data() + step.size()) return std::nullopt;
  return index;
}

}  // namespace lastwright
