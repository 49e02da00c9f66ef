// Slips on the command line: named, with what may have been meant, and exit code 2 as the README says.
#include <catch2/catch.hpp>

#include "tests/support/places.hpp"
#include "tests/support/run_binary.hpp"

using namespace lastwright;
using lastwright::test::run_binary;

TEST_CASE("slips on the command line are named and end with 2", "[usage]") {
  const std::string folder = test::project_dir() + "/demo-patterns/cindergarth/";
  const std::string style = folder + "style.json";
  struct Case {
    std::string line;
    const char* says;
  };
  const std::vector<Case> cases{
      {"", "name a command: areas, check, girths, grade"},
      {"grad", "there is no command \"grad\" (did you mean \"grade\"?)"},
      {"last foo", "last: there is no command \"foo\"; there are measure, grade, verify"},
      {"--vershion", "did you mean --version?"},
      {"plot " + style, "--out is required; see lastwright plot --help"},
      {"plot " + style + " --papr A4 --out x.pdf", "there is no option --papr (did you mean --paper?)"},
      {"grade " + style + " --nest x", "there is no option --nest (did you mean --nest-line?)"},
      {"check " + style + " more", "not expected: more"},
      {"plot " + style + " --out x.pdf --paper A9", "--paper: there is no paper \"A9\""},
      {"new x.dxf --units ft", "--units: ft not in"},
      {"girths " + style + " --against foo", "--against: there is no printed or measures table \"foo\""},
      {"girths " + style + " --against golding-male-3 --width Z", "--width: the ladder"},
      {"girths " + style + " --limits-table foo --readings " + folder + "readings.csv", "--limits-table: "},
      {"sizes --from 5 --to 40", "--to: the scale \"english\" has no size \"40\""},
      {"sizes --from x", "--from: "},
      {"sizes --by 1/3", "--by 1/3: steps of 1/3"},
      {"sizes --scale foo", "--scale: there is no scale table \"foo\""},
      {"girths " + style + " --sure 0.9", "--sure requires --readings"},
      {"girths " + style + " --limits-table common", "--limits-table requires --readings"},
      {"girths " + style + " --confidence 0.9", "--confidence requires --readings"},
      {"girths " + style + " --inches 32 --readings x.csv", "--inches excludes --readings"},
      {"grade " + style + " --out x --date 2026-03-31", "--date would have no effect"},
      {"grade " + style + " --out x --sewn-tolerance 0.2", "--sewn-tolerance would have no effect"},
      {"grade " + style + " --out x --profile sewn --merge-nicks", "--merge-nicks would have no effect"},
      {"grade " + style + " --out x --profile sewn --dxf R12", "--dxf would have no effect"},
      {"grade " + style + " --out x --profile sewn --pictures none", "--pictures would have no effect"},
      {"grade " + style + " --out x --profile sewn --date 2026-13-45", "--date: the calendar has no day"},
      {"grade " + style + " --out x --profile sewn --date 2027-02-29", "--date: the calendar has no day"},
      {"cut " + style + " --out x --as hpgl --roll 1400 --feed 300", "--feed would have no effect"},
      {"cut " + style + " --out x --as hpgl --roll 1400 --end M30", "--end would have no effect"},
      {"dies " + style + " --out x --no-ties --tolerance 0.3", "--tolerance would have no effect"},
      {"dies " + style + " --out x --tolerance 1,5",
       "--tolerance: \"1,5\": \"5\" would be a tolerance for all edges, of which there is one, and first"},
      {"dies " + style + " --out x --no-ties --own-outlines-only",
       "--own-outlines-only would have no effect"},
      {"plot " + style + " --out x.pdf --sizes 8,all", "--sizes: all stands alone"},
      {"plot " + style + " --out x.pdf --widths all,F", "--widths: all stands alone"},
      {"sizes " + style + " --scale english", "excludes"},
      {"sizes " + style + " --list", "excludes"},
      {"sizes --list --from 5", "excludes"},
      {"new --explain x.dxf", "excludes"},
      {"new --explain --units mm", "excludes"},
      {"sizes --list scales", "did you mean \"scale\"?); the kinds are increments, ladder,"}};
  for (const Case& one : cases) {
    INFO(one.line);
    const auto run = run_binary(one.line);
    INFO(run.output);
    CHECK(run.exit_code == 2);
    CHECK(run.output.starts_with("lastwright: "));
    CHECK(run.output.find(one.says) != std::string::npos);
  }
  // What a file named by an option holds is not the command line's fault.
  CHECK(run_binary("sizes --table " + folder + "readings.csv").exit_code == 3);
  CHECK(run_binary("sizes --list scale").exit_code == 0);
}
