// Changes of a JSON document made in its text: what is not spoken of keeps its bytes, layout and order.
//
//   Result<Splice> splice = splice_of(text, {JsonEdit::Kind::kSet, "/pieces/3/edges/2/allowance", 4});
//   text = spliced(text, *splice);
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "grading/json/json_text.hpp"

namespace lastwright {

// The bytes `removed`, which stand at `at`, become `put`.
struct Splice {
  std::size_t at = 0;
  std::string removed;
  std::string put;
};

struct JsonEdit {
  enum class Kind {
    kSet,     // the value there, or a new last member of an object that has not got this key
    kInsert,  // into a list, before the index that ends the pointer; its length or "-": at the end
    kRemove,
    kRename,  // the key that ends the pointer becomes `value`, a text
  };
  Kind kind = Kind::kSet;
  std::string pointer;
  Json value = {};
};

// Precondition: parse_json has taken the text. Refuses a pointer to what is not there, a key that the object
// has already, and whatever does not fit the kind of the container. A value that is there already gives a
// splice that changes nothing.
Result<Splice> splice_of(std::string_view text, const JsonEdit& edit);

std::string spliced(std::string_view text, const Splice& splice);
// What takes it back.
Splice reversed(const Splice& splice);

// The same change of a document itself: what the spliced text reads as. Precondition: splice_of takes it.
void apply_edit(Json& root, const JsonEdit& edit);

}  // namespace lastwright
