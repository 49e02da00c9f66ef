#include "grading/json/json_splice.hpp"

#include <fmt/format.h>

#include <charconv>
#include <optional>
#include <utility>
#include <vector>

#include "geometry/invariant.hpp"
#include "grading/json/json_layout.hpp"

namespace lastwright {

namespace {

struct Span {
  std::size_t begin = 0;
  std::size_t end = 0;
};

struct Member {
  Span key;  // of an object only
  Span value;
  [[nodiscard]] std::size_t begin(bool object) const { return object ? key.begin : value.begin; }
};

struct Container {
  bool object = false;
  Span whole;
  std::vector<Member> members;
};

// Walks sound JSON text. No value is built: only where things stand is of interest.
class Walker {
 public:
  explicit Walker(std::string_view text) : text_(text) {}

  std::size_t after_space(std::size_t at) const {
    while (at < text_.size() &&
           (text_[at] == ' ' || text_[at] == '\n' || text_[at] == '\r' || text_[at] == '\t'))
      ++at;
    return at;
  }

  // `at`: the first byte of a value. One past its last.
  std::size_t after_value(std::size_t at) const {
    if (text_[at] == '"') return after_text(at);
    std::size_t depth = 0;
    for (; at < text_.size(); ++at) {
      const char c = text_[at];
      if (c == '"') {
        at = after_text(at) - 1;
      } else if (c == '{' || c == '[') {
        ++depth;
      } else if (c == '}' || c == ']') {
        if (depth == 0) return at;  // a bare word before its container's end
        if (--depth == 0) return at + 1;
      } else if (depth == 0 && (c == ',' || c == ' ' || c == '\n' || c == '\r' || c == '\t')) {
        return at;
      }
    }
    return at;
  }

  // `at`: its bracket.
  Container container(std::size_t at) const {
    Container out;
    out.object = text_[at] == '{';
    out.whole.begin = at++;
    for (at = after_space(at); text_[at] != '}' && text_[at] != ']'; at = after_space(at)) {
      Member member;
      if (out.object) {
        member.key = {at, after_text(at)};
        at = after_space(after_space(member.key.end) + 1);  // past the colon
      }
      member.value = {at, after_value(at)};
      at = after_space(member.value.end);
      if (text_[at] == ',') ++at;
      out.members.push_back(member);
    }
    out.whole.end = at + 1;
    return out;
  }

  // Spaces at the start of the line of `at`.
  std::size_t indent_at(std::size_t at) const {
    const std::size_t newline = at == 0 ? std::string_view::npos : text_.rfind('\n', at - 1);
    const std::size_t start = newline == std::string_view::npos ? 0 : newline + 1;
    std::size_t end = start;
    while (end < text_.size() && (text_[end] == ' ' || text_[end] == '\t')) ++end;
    return end - start;
  }

  std::string_view part(Span span) const { return text_.substr(span.begin, span.end - span.begin); }
  std::string_view part(std::size_t begin, std::size_t end) const { return text_.substr(begin, end - begin); }

 private:
  std::size_t after_text(std::size_t at) const {
    for (++at; text_[at] != '"'; ++at) {
      if (text_[at] == '\\') ++at;
    }
    return at + 1;
  }

  std::string_view text_;
};

class Splicer {
 public:
  Splicer(std::string_view text, const JsonEdit& edit) : text_(text), walk_(text), edit_(edit) {}

  Result<Splice> run() {
    if (!edit_.pointer.empty() && edit_.pointer.front() != '/') return refused("this is not a JSON pointer");
    std::vector<std::string> steps = steps_of(edit_.pointer);
    const std::size_t root = walk_.after_space(0);
    if (steps.empty()) {
      if (edit_.kind != JsonEdit::Kind::kSet) return refused("the whole document can only be set");
      return replaced({root, walk_.after_value(root)}, laid_out(edit_.value, 0, 1));
    }
    const std::string last = std::move(steps.back());
    steps.pop_back();
    std::size_t at = root;
    for (const std::string& step : steps) {
      if (text_[at] != '{' && text_[at] != '[') return refused("there is nothing at this pointer");
      const Container in = walk_.container(at);
      const std::optional<std::size_t> member = find(in, step);
      if (!member) return refused("there is nothing at this pointer");
      at = in.members[*member].value.begin;
    }
    if (text_[at] != '{' && text_[at] != '[') return refused("there is nothing at this pointer");
    in_ = walk_.container(at);
    return change(last);
  }

 private:
  Problem refused(std::string why) const {
    Problem problem = bad_value(std::move(why));
    problem.place.pointer = edit_.pointer;
    return problem;
  }

  std::optional<std::size_t> find(const Container& in, const std::string& step) const {
    if (!in.object) {
      const std::optional<std::size_t> index = index_of(step);
      return index && *index < in.members.size() ? index : std::nullopt;
    }
    for (std::size_t i = 0; i < in.members.size(); ++i) {
      if (Json::parse(walk_.part(in.members[i].key)).get_ref<const std::string&>() == step) return i;
    }
    return std::nullopt;
  }

  Splice replaced(Span span, std::string put) const {
    return {span.begin, std::string(walk_.part(span)), std::move(put)};
  }

  Result<Splice> change(const std::string& last) {
    const std::optional<std::size_t> there = find(in_, last);
    switch (edit_.kind) {
      case JsonEdit::Kind::kSet:
        if (there) return set(in_.members[*there]);
        if (!in_.object) return refused("the list has no such place");
        return inserted(in_.members.size(), Json(last).dump() + ": ");
      case JsonEdit::Kind::kInsert: {
        if (in_.object) return refused("only a list has places to insert at");
        const std::optional<std::size_t> index = last == "-" ? in_.members.size() : index_of(last);
        if (!index || *index > in_.members.size()) return refused("the list has no such place");
        return inserted(*index, "");
      }
      case JsonEdit::Kind::kRemove:
        if (!there) return refused("there is nothing at this pointer");
        return removed(*there);
      case JsonEdit::Kind::kRename: {
        if (!in_.object || !there || !edit_.value.is_string()) return refused("there is no such key");
        const auto other = find(in_, edit_.value.get_ref<const std::string&>());
        if (other && *other != *there)
          return refused(fmt::format("the name {} is taken", shown(edit_.value)));
        return replaced(in_.members[*there].key, edit_.value.dump());
      }
    }
    return refused("unknown change");
  }

  Splice set(const Member& member) const {
    if (Json::parse(walk_.part(member.value)) == edit_.value) return {member.value.begin, "", ""};
    return replaced(member.value, shaped(walk_.indent_at(member.begin(in_.object))));
  }

  // How many spaces one level more is indented here.
  [[nodiscard]] std::size_t unit() const {
    if (const std::size_t root = walk_.after_space(0); text_[root] == '{' || text_[root] == '[') {
      const Container all = walk_.container(root);
      if (!all.members.empty()) {
        const std::size_t first = walk_.indent_at(all.members.front().begin(all.object));
        if (first > 0 && first <= 8) return first;
      }
    }
    return 1;
  }

  // On one line where the file writes such things so.
  [[nodiscard]] std::string shaped(std::size_t indent) const {
    constexpr std::size_t kLine = 160;
    std::string line = on_one_line(edit_.value);
    if (indent + line.size() <= kLine) return line;
    return laid_out(edit_.value, indent, unit());
  }

  Splice inserted(std::size_t index, const std::string& key) const {
    if (in_.members.empty()) {
      const std::size_t outer = walk_.indent_at(in_.whole.begin);
      const bool own_line = edit_.value.is_structured();
      const std::string line = own_line ? "\n" + std::string(outer + unit(), ' ') : "";
      std::string put = line + key + shaped(own_line ? outer + unit() : outer);
      if (own_line) put += "\n" + std::string(outer, ' ');
      return replaced({in_.whole.begin + 1, in_.whole.end - 1}, std::move(put));
    }
    const std::size_t first = in_.members.front().begin(in_.object);
    const std::string_view lead = walk_.part(in_.whole.begin + 1, first);
    const bool own_line = lead.find('\n') != std::string_view::npos;
    std::string between = own_line ? std::string(lead) : " ";
    if (!own_line && in_.members.size() > 1) {
      const std::size_t comma = walk_.after_space(in_.members[0].value.end);
      between = std::string(walk_.part(comma + 1, in_.members[1].begin(in_.object)));
    }
    std::string value = key + shaped(walk_.indent_at(first));
    if (index < in_.members.size()) {
      const std::size_t at = in_.members[index].begin(in_.object);
      return {at, "", value + "," + between};
    }
    return {in_.members.back().value.end, "", "," + between + value};
  }

  Splice removed(std::size_t index) const {
    const auto& all = in_.members;
    if (all.size() == 1) return replaced({in_.whole.begin + 1, in_.whole.end - 1}, "");
    if (index + 1 < all.size())
      return replaced({all[index].begin(in_.object), all[index + 1].begin(in_.object)}, "");
    return replaced({all[index - 1].value.end, all[index].value.end}, "");
  }

  std::string_view text_;
  Walker walk_;
  const JsonEdit& edit_;
  Container in_;
};

}  // namespace

Result<Splice> splice_of(std::string_view text, const JsonEdit& edit) {
  return Splicer(text, edit).run();
}

std::string spliced(std::string_view text, const Splice& splice) {
  invariant(text.substr(splice.at, splice.removed.size()) == splice.removed, "a splice fits its text");
  std::string out;
  out.reserve(text.size() + splice.put.size());
  out += text.substr(0, splice.at);
  out += splice.put;
  out += text.substr(splice.at + splice.removed.size());
  return out;
}

Splice reversed(const Splice& splice) {
  return {splice.at, splice.put, splice.removed};
}

void apply_edit(Json& root, const JsonEdit& edit) {
  const std::vector<std::string> steps = steps_of(edit.pointer);
  if (steps.empty()) {
    root = edit.value;
    return;
  }
  Json* at = &root;
  for (std::size_t i = 0; i + 1 < steps.size(); ++i)
    at = at->is_object() ? &(*at)[steps[i]] : &(*at)[*index_of(steps[i])];
  const std::string& last = steps.back();
  switch (edit.kind) {
    case JsonEdit::Kind::kSet:
      (at->is_object() ? (*at)[last] : (*at)[*index_of(last)]) = edit.value;
      return;
    case JsonEdit::Kind::kInsert: {
      const std::size_t index = last == "-" ? at->size() : *index_of(last);
      at->insert(at->begin() + static_cast<std::ptrdiff_t>(index), edit.value);
      return;
    }
    case JsonEdit::Kind::kRemove:
      if (at->is_object()) {
        at->erase(last);
      } else {
        at->erase(*index_of(last));
      }
      return;
    case JsonEdit::Kind::kRename: {
      Json renamed = Json::object();
      for (auto& [key, value] : at->items())
        renamed[key == last ? edit.value.get_ref<const std::string&>() : key] = std::move(value);
      *at = std::move(renamed);
      return;
    }
  }
}

}  // namespace lastwright
