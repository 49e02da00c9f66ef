// What each finding says of itself, whatever the check: whoever reads it must know what to look at.
#pragma once

#include <algorithm>
#include <catch2/catch.hpp>
#include <vector>

#include "grading/grade/finding.hpp"

namespace lastwright::test {

// Every finding has a name and a subject, and says what to do or what its figure means where it fails or has
// to be looked at.
inline const std::vector<StyleFinding>& placed(const std::vector<StyleFinding>& findings) {
  const auto lost = std::find_if(findings.begin(), findings.end(), [](const StyleFinding& one) {
    const bool told = !one.passed || one.doubtful;
    return one.check.empty() || one.subject.empty() || (told && one.note.empty());
  });
  if (lost != findings.end())
    FAIL_CHECK("a finding without a name, a subject or a note: check \""
               << lost->check << "\", subject \"" << lost->subject << "\", note \"" << lost->note << "\"");
  return findings;
}

}  // namespace lastwright::test
