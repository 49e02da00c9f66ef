#include "grading/json/json_splice.hpp"

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "grading/json/json_layout.hpp"
#include "grading/live/style_text.hpp"
#include "tests/support/laws.hpp"

namespace lastwright {

namespace {

using Kind = JsonEdit::Kind;

const std::vector<std::string> kKeys = {"name", "a/b", "til~de", "quo\"te", "back\\slash", "ü", "edges", ""};

std::string drawn_key() {
  return *rc::gen::elementOf(kKeys);
}

Json drawn_value(int depth) {
  switch (*rc::gen::inRange(0, depth > 0 ? 8 : 5)) {
    case 0:
      return *rc::gen::inRange(-1000, 1000);
    case 1:
      return *rc::gen::elementOf(std::vector<std::string>{"1/3 in", "a,b", "{", "]\"", "a\\", "", "ü ½"});
    case 2:
      return *rc::gen::arbitrary<bool>();
    case 3:
      return 0.5 * *rc::gen::inRange(-99, 99);
    case 4:
      return nullptr;
    case 5:
    case 6: {
      Json object = Json::object();
      for (int i = *rc::gen::inRange(0, 4); i > 0; --i) object[drawn_key()] = drawn_value(depth - 1);
      return object;
    }
    default: {
      Json list = Json::array();
      for (int i = *rc::gen::inRange(0, 4); i > 0; --i) list.push_back(drawn_value(depth - 1));
      return list;
    }
  }
}

std::string drawn_text(const Json& root) {
  switch (*rc::gen::inRange(0, 5)) {
    case 0:
      return root.dump();
    case 1:
      return root.dump(1) + "\n";
    case 2:
      return " " + root.dump(3);
    case 3:
      return laid_out(root, 0, 2);
    default:
      return on_one_line(root) + "\r\n";
  }
}

// A pointer to something that is there, not the root.
std::string drawn_pointer(const Json& root) {
  std::string pointer;
  const Json* at = &root;
  do {
    auto step = *rc::gen::inRange<std::size_t>(0, at->size());
    auto child = at->begin();
    for (std::size_t i = 0; i < step; ++i) ++child;
    pointer = at->is_object() ? pointer_to(pointer, child.key()) : pointer_to(pointer, step);
    at = &*child;
  } while (at->is_structured() && !at->empty() && *rc::gen::inRange(0, 3) > 0);
  return pointer;
}

JsonEdit drawn_edit(const Json& root) {
  JsonEdit edit;
  edit.kind = *rc::gen::elementOf(std::vector<Kind>{Kind::kSet, Kind::kInsert, Kind::kRemove, Kind::kRename});
  edit.pointer = drawn_pointer(root);
  const std::string parent = edit.pointer.substr(0, edit.pointer.rfind('/'));
  if (*rc::gen::inRange(0, 3) == 0) {
    edit.pointer = edit.kind == Kind::kInsert ? parent + "/-" : pointer_to(parent, drawn_key());
  }
  edit.value = edit.kind == Kind::kRename ? Json(drawn_key()) : drawn_value(2);
  return edit;
}

Json read_spliced(const std::string& text) {
  Result<JsonDocument> document = parse_json(text, "drawn.json");
  RC_ASSERT(document.ok());
  return document->root;
}

std::string after(const std::string& text, const JsonEdit& edit) {
  const Result<Splice> splice = splice_of(text, edit);
  REQUIRE(splice.ok());
  return spliced(text, *splice);
}

}  // namespace

TEST_CASE("a splice reads as the change it was made for, and can be taken back", "[splice]") {
  int made = 0;
  test::holds_for_all(
      "read(spliced(text, edit)) = edit(read_spliced(text))",
      [&made] {
        Json root = {{"drawn", drawn_value(4)}, {"list", Json::array({drawn_value(3), 1})}};
        const std::string text = drawn_text(root);
        const JsonEdit edit = drawn_edit(root);
        const Result<Splice> splice = splice_of(text, edit);
        if (!splice) {
          RC_ASSERT(splice.problem().place.pointer == edit.pointer);
          return;
        }
        const std::string changed = spliced(text, *splice);
        apply_edit(root, edit);
        RC_ASSERT(read_spliced(changed) == root);
        RC_ASSERT(read_spliced(changed).dump() == root.dump());  // the order of keys too
        RC_ASSERT(spliced(changed, reversed(*splice)) == text);
        ++made;
      },
      400);
  CHECK(made > 150);
}

TEST_CASE("steps taken back to the start give the same bytes, and done again the last ones", "[splice]") {
  test::holds_for_all("go_to(0) is the start, go_to(n) the end", [] {
    const Json root = {{"pieces", drawn_value(3)}, {"list", Json::array({1, drawn_value(2)})}};
    const std::string start = drawn_text(root);
    StyleText style(start);
    std::vector<std::string> texts = {start};
    for (int i = 0; i < 8; ++i) {
      const Status changed =
          style.change("a step", {drawn_edit(read_spliced(style.text())), drawn_edit(root)});
      if (style.done().size() == texts.size()) texts.push_back(style.text());
      RC_ASSERT(changed.ok() || style.text() == texts.back());
      if (!read_spliced(style.text()).is_structured() || read_spliced(style.text()).empty()) break;
    }
    for (int i = 0; i < 6; ++i) {
      const auto to = *rc::gen::inRange<std::size_t>(0, texts.size());
      style.go_to(to);
      RC_ASSERT(style.text() == texts[to]);
      const Result<StyleText> again = StyleText::resumed(style.text(), style.done(), style.undone());
      RC_ASSERT(again.ok());
    }
    style.go_to(0);
    RC_ASSERT(style.text() == start);
  });
}

TEST_CASE("a change is laid out as its neighbours are", "[splice]") {
  const std::string text =
      "{\n \"a\": {\"x\": 1,  \"y\": \"1/3 in\"},\n \"list\": [\n  {\"n\": 1},\n  {\"n\": 2}\n ],\n "
      "\"none\": []\n}\n";
  CHECK(after(text, {Kind::kSet, "/a/x", 4.5}) ==
        "{\n \"a\": {\"x\": 4.5,  \"y\": \"1/3 in\"},\n \"list\": [\n  {\"n\": 1},\n  {\"n\": 2}\n ],\n "
        "\"none\": []\n}\n");
  CHECK(after(text, {Kind::kSet, "/a/z", true}).find("\"y\": \"1/3 in\",  \"z\": true}") !=
        std::string::npos);
  CHECK(after(text, {Kind::kInsert, "/list/1", {{"n", 9}}})
            .find("{\"n\": 1},\n  {\"n\": 9},\n  {\"n\": 2}\n ]") != std::string::npos);
  CHECK(after(text, {Kind::kInsert, "/list/-", {{"n", 9}}}).find("{\"n\": 2},\n  {\"n\": 9}\n ]") !=
        std::string::npos);
  CHECK(after(text, {Kind::kInsert, "/none/0", {{"n", 9}}}).find("\"none\": [\n  {\"n\": 9}\n ]\n}") !=
        std::string::npos);
  CHECK(after(text, {Kind::kRemove, "/list/1", {}}).find("[\n  {\"n\": 1}\n ]") != std::string::npos);
  CHECK(after(text, {Kind::kRemove, "/list/0", {}}).find("[\n  {\"n\": 2}\n ]") != std::string::npos);
  CHECK(after(text, {Kind::kRename, "/a/x", "width"}).find("{\"width\": 1,  \"y\"") != std::string::npos);
  CHECK_FALSE(splice_of(text, {Kind::kRename, "/a/x", "y"}).ok());
  CHECK_FALSE(splice_of(text, {Kind::kSet, "/list/2/n", 1}).ok());
  CHECK_FALSE(splice_of(text, {Kind::kInsert, "/a/x", 1}).ok());
  CHECK_FALSE(splice_of(text, {Kind::kRemove, "/b", {}}).ok());
  CHECK_FALSE(splice_of(text, {Kind::kSet, "/a/x/deeper", 1}).ok());
}

}  // namespace lastwright
