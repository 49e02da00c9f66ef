#include "cli/app.hpp"

int main(int argc, char** argv) { return lastwright::run_lastwright(argc, argv); }
