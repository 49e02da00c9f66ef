// What a nick stands for besides its place.
#pragma once

namespace lastwright {

// Of one nick by the code that made it, or of several together.
struct NickTells {
  bool size = false;
  bool width = false;
  bool operator==(const NickTells&) const = default;
  // No die for several of these can make it.
  [[nodiscard]] bool any() const { return size || width; }
  NickTells& operator|=(const NickTells& other) {
    size = size || other.size;
    width = width || other.width;
    return *this;
  }
  // "the size", "the width", "the size and the width"; empty: nothing.
  [[nodiscard]] const char* words() const { return both() ? "the size and the width" : one(); }
  // After "none tells": "the size or the width".
  [[nodiscard]] const char* words_of_none() const { return both() ? "the size or the width" : one(); }

 private:
  [[nodiscard]] bool both() const { return size && width; }
  [[nodiscard]] const char* one() const { return size ? "the size" : width ? "the width" : ""; }
};

}  // namespace lastwright
