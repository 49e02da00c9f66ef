#!/usr/bin/env bash
# Installs what is missing, builds everything and runs every test. Works on a bare Debian 12, as root or with sudo.
set -euo pipefail
cd "$(dirname "$0")/.."
. .ci/steps.sh
install_packages "${build_packages[@]}"
if [ -n "$(missing_packages "${test_packages[@]}")" ]; then
  # What only the tests need is fetched while the program is built, which needs the processors and hardly the disk.
  install_packages "${test_packages[@]}" &
  installing=$!
  trap 'wait "$installing"' EXIT
  step "configuring build/release" cmake --preset release -DLASTWRIGHT_TESTS=OFF
  step "building the program (some minutes the first time)" cmake --build --preset release --parallel "$(nproc)"
  trap - EXIT
  wait "$installing"
fi
# What compilers and tests write for a moment is kept in memory where there is room: a disk spends long on thousands of small files.
if [ -w /dev/shm ] && [ "$(df --output=avail -B 1M /dev/shm | tail -n 1)" -ge 2000 ]; then
  TMPDIR=$(mktemp -d /dev/shm/lastwright-XXXXXX)
  export TMPDIR
  trap 'rm -rf "$TMPDIR"' EXIT
fi
step "configuring build/release with the tests" cmake --preset release -DLASTWRIGHT_TESTS=ON
# As many compilers as processors: two more, as ninja would run, stand in each other's way (229 s against 262 s on two).
step "building (some minutes the first time)" cmake --build --preset release --parallel "$(nproc)"
printf -- '-- running the tests\n'
# Two more than there are processors: some wait for a page or a server.
ctest --preset release --parallel "$(($(nproc) + 2))" "$@"
