// Where the text of a style says the names of its pieces, edges, corners and points, and the edits that say
// others there. Nothing of the style need be sound: what is not there is a null.
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "grading/json/json_splice.hpp"

namespace lastwright {

// Thrown where a change cannot be made; `why` is for the user.
struct ChangeRefused {
  std::string why;
};

// Base of what makes a change: looks a style through and gathers edits.
class StyleNames {
 protected:
  // `asked` holds the names that a change gives.
  StyleNames(const Json& root, const Json& asked) : root_(root), asked_(asked) {}

  // What stands under a key, or null.
  static const Json& under(const Json& value, const std::string& key);
  static bool says(const Json& value, const std::string& text);

  // A text of the change, which must be there.
  std::string text(const char* key) const;

  // A new name, free in `taken`.
  std::string free_name(const char* key, const std::function<bool(const std::string&)>& taken) const;

  void set(std::string pointer, Json value);
  void set_if(const Json& value, const std::string& pointer, const std::string& old, const std::string& now);
  void set_key(const Json& in, const std::string& pointer, const char* key, const std::string& old,
               const std::string& now);
  void set_list(const Json& list, const std::string& pointer, const std::string& old, const std::string& now);

  static std::optional<std::size_t> place_in(const Json& list, const char* key, const std::string& name);

  struct FoundPiece {
    std::string name;
    std::string pointer;
    std::size_t index;
    const Json& json;
  };
  FoundPiece piece() const;

  struct FoundEdge {
    std::string name;
    std::string pointer;
    std::size_t index;
    const Json& json;
  };
  static FoundEdge edge(const FoundPiece& in, const std::string& name);
  static bool has_edge(const FoundPiece& in, const std::string& name);

  // Every place that another piece, or the piece itself, says it lies on.
  void each_meeting(
      const std::function<void(const std::string& piece, const Json&, const std::string&)>& seen) const;
  void each_seam_side(const std::function<void(const Json&, const std::string&)>& seen) const;

  // A reference to a point, or a line of one: whose corners
  // and edges it names, and the forme its points are of.
  struct Stated {
    const Json& json;
    std::string pointer;
    std::string piece;
    std::string forme;
    std::string place;  // of the style that is stated so: "/formes/shell/points/toe"
  };
  using SeeStated = std::function<void(const Stated&)>;
  void stated_in(const Json& value, const std::string& pointer, const std::string& own,
                 const std::string& of_forme, const std::string& place, const SeeStated& seen) const;
  void each_stated(const SeeStated& seen) const;
  static bool names_in(const Json& list, const std::string& name);
  static bool names_edge(const Stated& stated, const std::string& name);
  static bool names_corner(const Stated& stated, const std::string& name);

  // `old` wherever a feature names it: as the value of `key`, or in the list of `list`.
  void rename_in_features(const Json& value, const std::string& pointer, const std::vector<std::string>& keys,
                          const std::string& list, const std::string& old, const std::string& now);

  const Json& root_;
  const Json& asked_;
  std::vector<JsonEdit> edits_;
};

}  // namespace lastwright
