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

}  // namespace

void assert_law(const std::string& name, const rc::detail::Property& law, int cases,
                std::source_location stated) {
  rc::detail::TestParams drawn;
  drawn.seed = number_of("LAW_SEED", kSeed);
  drawn.maxSuccess = cases * static_cast<int>(number_of("LAW_CASES", 1));
  rc::detail::TestMetadata named;
  named.id = named.description = name;
  rc::detail::TestListenerAdapter silent;
  const rc::detail::TestResult result = rc::detail::checkProperty(law, named, drawn, silent, {});
  rc::detail::SuccessResult success;
  const bool holds = result.match(success) && success.numSuccess == drawn.maxSuccess;
  std::ostringstream text;
  if (!holds) rc::detail::printResultMessage(result, text);
  INFO("the law \"" << name << "\", stated at " << stated.file_name() << ":" << stated.line()
                    << ", with LAW_SEED=" << drawn.seed << "\n"
                    << text.str());
  CHECK(holds);
}

}  // namespace lastwright::test
