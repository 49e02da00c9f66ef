#!/usr/bin/env bash
# Installs what is missing, builds everything and runs every test. Works on a bare Debian 12, as root or with sudo.
set -euo pipefail
cd "$(dirname "$0")/.."
. .ci/steps.sh
install_packages "${build_packages[@]}" "${test_packages[@]}"
step "configuring build/release" cmake --preset release -DLASTWRIGHT_TESTS=ON
step "building (some minutes the first time)" cmake --build --preset release
printf -- '-- running the tests\n'
# One more than there are processors: some wait for a page or a server.
ctest --preset release --parallel "$(($(nproc) + 1))" "$@"
