#include "tests/support/laws.hpp"

#include <rapidcheck/detail/TestListenerAdapter.h>

#include <catch2/catch.hpp>
#include <charconv>
#include <cstdlib>
#include <cstring>
#include <sstream>
#include <stdexcept>

namespace lastwright::test {

namespace {

constexpr std::uint64_t kSeed = 1;

std::uint64_t number_of(const char* variable, std::uint64_t otherwise) {
  const char* text = std::getenv(variable);
  if (text == nullptr || *text == '\0') return otherwise;
  std::uint64_t number = 0;
  const char* end = text + std::strlen(text);
  const auto read = std::from_chars(text, end, number);
  if (read.ec != std::errc() || read.ptr != end || number == 0)
    throw std::invalid_argument(std::string(variable) + "=" + text + " is not a whole number from 1 on");
  return number;
}

bool at_assertion = false;

// Of the cases that held: those that came to an assertion, or returned that they hold.
class ReachedCases : public rc::detail::TestListenerAdapter {
 public:
  void onTestCaseFinished(const rc::detail::CaseDescription& description) override {
    const bool held = description.result.type == rc::detail::CaseResult::Type::Success;
    if (held && (at_assertion || description.result.description == "Returned true")) ++reached;
    at_assertion = false;
  }
  int reached = 0;
};

}  // namespace

void assertion_reached() {
  at_assertion = true;
}

int law_rounds(int rounds) {
  return rounds * static_cast<int>(number_of("LAW_CASES", 1));
}

LawRun run_law(const std::string& name, const rc::detail::Property& law, int cases) {
  rc::detail::TestParams drawn;
  drawn.seed = number_of("LAW_SEED", kSeed);
  drawn.maxSuccess = law_rounds(cases);
  rc::detail::TestMetadata named;
  named.id = named.description = name;
  ReachedCases listener;
  at_assertion = false;
  const rc::detail::TestResult result = rc::detail::checkProperty(law, named, drawn, listener, {});
  rc::detail::SuccessResult success;
  LawRun run;
  run.holds = result.match(success) && success.numSuccess == drawn.maxSuccess;
  run.cases = drawn.maxSuccess;
  run.reached = listener.reached;
  std::ostringstream text;
  if (!run.holds) rc::detail::printResultMessage(result, text);
  run.told = text.str();
  return run;
}

void assert_law(const std::string& name, const rc::detail::Property& law, int cases, const char* file,
                int line) {
  const LawRun run = run_law(name, law, cases);
  INFO("the law \"" << name << "\", stated at " << file << ":" << line
                    << ", with LAW_SEED=" << number_of("LAW_SEED", kSeed) << ": " << run.reached << " of "
                    << run.cases << " cases came to an assertion\n"
                    << run.told);
  CHECK(run.holds);
  if (run.holds) CHECK(run.says_enough());
}

}  // namespace lastwright::test
