// The order in which people count: P2 before P10.
#pragma once

#include <string>
#include <utility>

namespace lastwright {

// Runs of digits stand where the number stands that they are; everything else by its bytes. Texts that differ
// only in leading zeros are in the order of their bytes, so that no two texts are taken for one.
struct NaturalOrder {
  bool operator()(const std::string& one, const std::string& other) const;
  template <class T>
  bool operator()(const std::pair<std::string, T>& one, const std::pair<std::string, T>& other) const {
    if (one.first != other.first) return (*this)(one.first, other.first);
    return one.second < other.second;
  }
};

}  // namespace lastwright
