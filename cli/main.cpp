#include "cli/app.hpp"
#include "geometry/files/file_system.hpp"

int main(int argc, char** argv) {
  lastwright::ignore_write_signals();
  return lastwright::run_lastwright(argc, argv);
}
