#!/usr/bin/env bash
# Installs what is missing, builds the program and grades the demo style. Works on a bare Debian 12, as root or with sudo.
set -euo pipefail
cd "$(dirname "$0")/.."
. .ci/steps.sh
install_packages "${build_packages[@]}"
step "configuring build/release" cmake --preset release
step "building the program (some minutes the first time)" cmake --build --preset release --target lastwright
printf -- '-- grading demo-patterns/cindergarth/style.json\n'
build/release/lastwright grade demo-patterns/cindergarth/style.json --out demo-patterns/out --force
printf '\nThe results are in %s/demo-patterns/out: open the SVG files in nests/ first.\n' "$PWD"
