#include "grading/planning/ticket_dies.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "geometry/counted.hpp"
#include "grading/json/json_text.hpp"

namespace lastwright {

namespace {

bool has_dies(const DieNumbers& dies, const std::string& style) {
  const auto from = dies.lower_bound({style, "", "", ""});
  return from != dies.end() && std::get<0>(from->first) == style;
}

// What of the tickets' pieces no die of the style's order cuts.
void find_without(const OrderedStyle& style, const WorksSpec& works, Tickets& all) {
  std::vector<PieceWithoutDie> found;
  for (CuttingTicket& ticket : all.tickets) {
    if (ticket.style != style.name) continue;
    const auto material = works.materials.find(ticket.material);
    if (material != works.materials.end() && material->second.bought_as == BoughtAs::kPieces) continue;
    for (TicketRow& row : ticket.rows) {
      if (!row.dies.empty()) continue;
      row.without_die = true;
      auto piece = std::find_if(found.begin(), found.end(),
                                [&](const PieceWithoutDie& one) { return one.piece == row.piece; });
      if (piece == found.end()) {
        found.push_back({style.name, row.piece, {}});
        piece = found.end() - 1;
      }
      const std::string at = row.size + " " + row.width;
      if (std::find(piece->at.begin(), piece->at.end(), at) == piece->at.end()) piece->at.push_back(at);
    }
  }
  for (const PieceWithoutDie& piece : found) {
    constexpr std::size_t kMostNamed = 12;  // sizes and widths, in a line for people
    all.die_doubts.push_back(
        {style.name,
         fmt::format("the die order has no die for {} in {}", piece.piece, some_of(piece.at, kMostNamed)),
         false});
  }
  all.without_die.insert(all.without_die.end(), found.begin(), found.end());
}

}  // namespace

Result<DieOrderDies> read_order_dies(std::string_view text, const std::string& file) {
  const Result<JsonDocument> document = parse_json(text, file);
  if (!document) return document.problem();
  DieOrderDies read;
  const Json& root = document->root;
  const auto dies = root.is_object() ? root.find("dies") : root.end();
  if (!root.is_object() || dies == root.end() || !dies->is_array())
    return document->bad("", "this is not a die order: it has no list \"dies\"");
  const auto style = root.find("style");
  if (style == root.end() || !style->is_string())
    return document->bad("", "the die order does not say of which style it is");
  for (std::size_t i = 0; i < dies->size(); ++i) {
    const Json& die = (*dies)[i];
    const std::string at = pointer_to("/dies", i);
    const auto text_of_key = [](const Json& from, const char* key) {
      const auto found = from.is_object() ? from.find(key) : from.end();
      return from.is_object() && found != from.end() && found->is_string() ? found->get<std::string>()
                                                                           : std::string();
    };
    const std::string number = text_of_key(die, "die");
    const std::string piece = text_of_key(die, "piece");
    const auto serves = die.is_object() ? die.find("serves") : die.end();
    if (number.empty() || piece.empty() || serves == die.end() || !serves->is_array())
      return document->bad(at, "a die has a number \"die\", a \"piece\" and what it \"serves\"");
    for (const Json& one : *serves) {
      const std::string size = text_of_key(one, "size");
      const std::string width = text_of_key(one, "width");
      if (size.empty() || width.empty())
        return document->bad(at + "/serves", "what a die serves has a \"size\" and a \"width\"");
      read.numbers[{style->get<std::string>(), piece, size, width}].push_back(number);
    }
  }
  if (const auto files = root.find("made_from"); files != root.end() && files->is_array()) {
    for (const Json& one : *files) {
      const auto name = one.is_object() ? one.find("file") : one.end();
      const auto digest = one.is_object() ? one.find("sha256") : one.end();
      if (!one.is_object() || name == one.end() || digest == one.end() || !name->is_string() ||
          !digest->is_string())
        return document->bad("/made_from", "what it was made from has a \"file\" and its \"sha256\"");
      read.made_from.emplace_back(name->get<std::string>(), digest->get<std::string>());
    }
  }
  read.style = style->get<std::string>();
  return read;
}

Status take_dies(const std::vector<OrderedStyle>& styles, const WorksSpec& works, const DieNumbers& dies,
                 Tickets& all) {
  std::string before;
  for (const auto& [at, numbers] : dies) {
    const std::string& name = std::get<0>(at);
    if (name == before) continue;
    before = name;
    const bool there = std::any_of(styles.begin(), styles.end(),
                                   [&](const OrderedStyle& style) { return style.spec->name == name; });
    if (!there)
      return bad_value(fmt::format("a die order is for the style \"{}\", which is not ordered", name));
  }
  for (std::size_t i = 0; i < styles.size(); ++i) {
    for (std::size_t k = 0; k < i; ++k) {
      if (dies.empty() || styles[i].spec->name != styles[k].spec->name) continue;
      return bad_value(
          fmt::format("the styles \"{}\" and \"{}\" both call themselves \"{}\": dies would be named "
                      "for the wrong one; give their files names of their own",
                      styles[k].name, styles[i].name, styles[i].spec->name));
    }
  }
  for (const OrderedStyle& style : styles) {
    if (has_dies(dies, style.spec->name)) {
      find_without(style, works, all);
    } else {
      all.notes.push_back(fmt::format("no die order of {} was given: its tickets name no dies", style.name));
    }
  }
  return Done{};
}

}  // namespace lastwright
