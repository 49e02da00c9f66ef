#include "grading/features/filled_text.hpp"

#include <algorithm>
#include <iterator>
#include <utility>

namespace lastwright {

std::string filled_text(const std::string& text, const FeatureGround& ground) {
  const std::pair<std::string, const std::string&> words[] = {{"{style}", ground.plan.style},
                                                              {"{piece}", ground.piece.name},
                                                              {"{size}", ground.graded.at.size.label},
                                                              {"{width}", ground.graded.at.width.label}};
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    const auto word = std::find_if(std::begin(words), std::end(words), [&](const auto& one) {
      return text.compare(i, one.first.size(), one.first) == 0;
    });
    if (word == std::end(words)) {
      out += text[i++];
    } else {
      out += word->second;
      i += word->first.size();
    }
  }
  return out;
}

}  // namespace lastwright
