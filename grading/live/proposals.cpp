#include "grading/live/proposals.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

namespace lastwright {

namespace {

struct PencilMark {
  std::string was;  // its pointer before the change
  std::string at;
  bool gone = false;
};

bool stands_under(std::string_view pointer, std::string_view above) {
  return pointer.size() > above.size() && pointer.substr(0, above.size()) == above &&
         pointer[above.size()] == '/';
}
bool at_or_under(std::string_view pointer, std::string_view above) {
  return pointer == above || stands_under(pointer, above);
}

// Null where there is nothing.
const Json* value_at(const Json& root, const std::string& pointer) {
  const Json* at = &root;
  for (const std::string& step : steps_of(pointer)) {
    if (at->is_object()) {
      const auto found = at->find(step);
      if (found == at->end()) return nullptr;
      at = &*found;
    } else if (const auto index = index_of(step); at->is_array() && index && *index < at->size()) {
      at = &(*at)[*index];
    } else {
      return nullptr;
    }
  }
  return at;
}

// A list's items from `from` on have moved by one.
void shift(PencilMark& mark, const std::string& list, std::size_t from, int by) {
  if (!stands_under(mark.at, list)) return;
  const std::size_t start = list.size() + 1;
  const std::size_t end = std::min(mark.at.find('/', start), mark.at.size());
  const auto index = index_of(std::string_view(mark.at).substr(start, end - start));
  if (!index || *index < from) return;
  mark.at.replace(start, end - start, std::to_string(by > 0 ? *index + 1 : *index - 1));
}

// A piece or a forme is more than one decision: changing something in it leaves what is said of the whole.
bool is_whole_thing(std::string_view pointer) {
  return (pointer.substr(0, 8) == "/pieces/" || pointer.substr(0, 8) == "/formes/") &&
         std::count(pointer.begin(), pointer.end(), '/') == 2;
}

void follow(const Json& root, const JsonEdit& edit, bool decides, PencilMark& mark) {
  if (mark.gone || mark.at.empty()) return;
  const std::size_t slash = edit.pointer.rfind('/');
  if (slash == std::string::npos) return;
  const std::string parent = edit.pointer.substr(0, slash);
  const std::string last = edit.pointer.substr(slash + 1);
  const Json* holder = value_at(root, parent);
  const bool in_list = holder != nullptr && holder->is_array();
  switch (edit.kind) {
    case JsonEdit::Kind::kInsert:
      if (const auto index = index_of(last); index && in_list) shift(mark, parent, *index, 1);
      return;
    case JsonEdit::Kind::kRemove:
      mark.gone = at_or_under(mark.at, edit.pointer);
      if (const auto index = index_of(last); index && in_list && !mark.gone)
        shift(mark, parent, *index + 1, -1);
      return;
    case JsonEdit::Kind::kRename:
      if (at_or_under(mark.at, edit.pointer) && edit.value.is_string())
        mark.at = pointer_to(parent, edit.value.get<std::string>()) + mark.at.substr(edit.pointer.size());
      return;
    case JsonEdit::Kind::kSet:
      if (decides && (at_or_under(mark.at, edit.pointer) ||
                      (stands_under(edit.pointer, mark.at) && !is_whole_thing(mark.at))))
        mark.gone = true;
      return;
  }
}

const Json* proposed_in(const Json& root) {
  if (!root.is_object()) return nullptr;
  const auto found = root.find("proposed");
  return found != root.end() && found->is_array() ? &*found : nullptr;
}

std::string place_of(const Json& proposal) {
  if (!proposal.is_object()) return {};
  const auto at = proposal.find("at");
  return at != proposal.end() && at->is_string() ? at->get<std::string>() : std::string();
}

// From the last to the first, so that the places of the others hold; the list goes with its last entry.
void remove_proposals(const Json& root, std::vector<std::size_t> gone, std::vector<JsonEdit>& edits) {
  if (gone.empty()) return;
  if (gone.size() == proposed_in(root)->size()) {
    edits.push_back({JsonEdit::Kind::kRemove, "/proposed", {}});
    return;
  }
  std::sort(gone.rbegin(), gone.rend());
  for (const std::size_t i : gone) edits.push_back({JsonEdit::Kind::kRemove, pointer_to("/proposed", i), {}});
}

bool is_pointer(const std::string& text) {
  return text.empty() || text.front() == '/';
}

// What a proposal put in, taken out.
class Refusal {
 public:
  Refusal(const Json& root, std::vector<JsonEdit>& edits) : root_(root), edits_(edits) {}

  // False where the style cannot be without it.
  bool of(const std::string& at) {
    const Json* value = is_pointer(at) ? value_at(root_, at) : nullptr;
    if (value == nullptr) return true;  // it is not there any more
    const auto deep = std::count(at.begin(), at.end(), '/');
    if (at.rfind("/seams/", 0) == 0 && deep == 2) return item(at);
    if (at.rfind("/formes/", 0) == 0 && deep == 4 && at.find("/rules/") != std::string::npos) {
      leave_girths(at, *value);
      return item(at);
    }
    if (at.rfind("/pieces/", 0) != 0) return false;
    if (deep == 2) {
      key(at + "/drawn_foot");
      return key(at + "/per_pair");
    }
    if (at.find("/edges/") != std::string::npos && deep == 4) {
      for (const char* what : {"treatment", "allowance", "straight", "held"})
        key(pointer_to(at, std::string_view(what)));
      return true;
    }
    return deep == 3 && at.ends_with("/lies") && key(at);
  }
  // List items last to first: their places are those of the document.
  void finish() {
    std::sort(items_.begin(), items_.end(), [](const Item& a, const Item& b) {
      return a.list != b.list ? a.list < b.list : a.index > b.index;
    });
    for (std::size_t i = 0; i < items_.size(); ++i) {
      if (i > 0 && items_[i].list == items_[i - 1].list && items_[i].index == items_[i - 1].index) continue;
      edits_.push_back({JsonEdit::Kind::kRemove, pointer_to(items_[i].list, items_[i].index), {}});
    }
  }

 private:
  struct Item {
    std::string list;
    std::size_t index;
  };

  bool key(const std::string& at) {
    const bool again =
        std::any_of(edits_.begin(), edits_.end(), [&](const JsonEdit& edit) { return edit.pointer == at; });
    if (!again && value_at(root_, at) != nullptr) edits_.push_back({JsonEdit::Kind::kRemove, at, {}});
    return true;
  }
  bool item(const std::string& at) {
    const std::size_t slash = at.rfind('/');
    const auto index = index_of(std::string_view(at).substr(slash + 1));
    if (index) items_.push_back({at.substr(0, slash), *index});
    return index.has_value();
  }
  // A line that goes counts in no girth.
  void leave_girths(const std::string& at, const Json& rule) {
    const Json* girths = value_at(root_, "/girths");
    if (girths == nullptr || !girths->is_object() || !rule.is_object()) return;
    std::string line;
    for (const char* kind : {"measure_line", "check_line"}) {
      if (const auto found = rule.find(kind); found != rule.end() && found->is_string()) line = *found;
    }
    const std::string forme = steps_of(at)[1];
    for (const auto& [measure, parts] : girths->items()) {
      if (!parts.is_array()) continue;
      for (std::size_t i = 0; i < parts.size(); ++i) {
        if (parts[i].is_object() && parts[i].value("line", Json()) == line &&
            parts[i].value("forme", Json()) == forme)
          items_.push_back({pointer_to("/girths", measure), i});
      }
    }
  }

  const Json& root_;
  std::vector<JsonEdit>& edits_;
  std::vector<Item> items_;
};

}  // namespace

std::vector<JsonEdit> with_proposals(const Json& root, std::vector<JsonEdit> edits, bool decides) {
  const Json* proposed = proposed_in(root);
  const bool own = std::any_of(edits.begin(), edits.end(), [](const JsonEdit& edit) {
    return edit.pointer.empty() || at_or_under(edit.pointer, "/proposed") || !is_pointer(edit.pointer);
  });
  if (proposed == nullptr || own) return edits;
  std::vector<PencilMark> marks;
  for (const Json& one : *proposed) marks.push_back({place_of(one), place_of(one)});
  for (const JsonEdit& edit : edits) {
    for (PencilMark& mark : marks) follow(root, edit, decides, mark);
  }
  std::vector<std::size_t> gone;
  for (std::size_t i = 0; i < marks.size(); ++i) {
    if (marks[i].gone) {
      gone.push_back(i);
    } else if (marks[i].at != marks[i].was) {
      edits.push_back({JsonEdit::Kind::kSet, pointer_to("/proposed", i) + "/at", marks[i].at});
    }
  }
  remove_proposals(root, std::move(gone), edits);
  return edits;
}

Result<std::vector<JsonEdit>> settled_proposals(const Json& root, const Json& asked) {
  const Json* proposed = proposed_in(root);
  const auto list = asked.find("proposals");
  const bool refuses = asked.value("what", Json()) == "refuse";
  if (list == asked.end() || !list->is_array() || list->empty())
    return bad_value("the change does not say which proposals");
  std::vector<std::size_t> places;
  for (const Json& one : *list) {
    if (!one.is_number_unsigned() || proposed == nullptr || one.get<std::size_t>() >= proposed->size())
      return bad_value("there is no such proposal");
    places.push_back(one.get<std::size_t>());
  }
  std::sort(places.begin(), places.end());
  places.erase(std::unique(places.begin(), places.end()), places.end());
  std::vector<JsonEdit> edits;
  if (refuses) {
    Refusal refusal(root, edits);
    for (const std::size_t i : places) {
      const std::string at = place_of((*proposed)[i]);
      if (!refusal.of(at))
        return bad_value("the style cannot be without this: change it where it stands, or accept it");
    }
    refusal.finish();
    // Others that stand where something goes, or behind it in a list, follow; those that are settled go.
    std::vector<JsonEdit> all = with_proposals(root, edits, false);
    const auto own = [](const JsonEdit& edit) { return at_or_under(edit.pointer, "/proposed"); };
    std::vector<std::size_t> gone = places;
    edits.clear();
    for (JsonEdit& edit : all) {
      if (!own(edit) || edit.kind == JsonEdit::Kind::kSet) {
        edits.push_back(std::move(edit));
      } else if (const auto index =
                     index_of(std::string_view(edit.pointer).substr(edit.pointer.rfind('/') + 1))) {
        gone.push_back(*index);
      } else {
        edits.push_back(std::move(edit));
        return edits;  // the whole list
      }
    }
    std::sort(gone.begin(), gone.end());
    gone.erase(std::unique(gone.begin(), gone.end()), gone.end());
    places = std::move(gone);
  }
  remove_proposals(root, std::move(places), edits);
  return edits;
}

}  // namespace lastwright
