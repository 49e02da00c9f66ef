#!/usr/bin/env bash
# Installs what is missing, builds the program and grades the demo style. Works on a bare Debian 12, as root or with sudo.
set -euo pipefail
cd "$(dirname "$0")/.."
. .ci/steps.sh
install_packages "${build_packages[@]}"
step "configuring build/release" cmake --preset release
step "building the program (some minutes the first time)" cmake --build --preset release --parallel "$(nproc)" --target lastwright
printf -- '-- grading demo-patterns/cindergarth/style.json\n'
build/release/lastwright grade demo-patterns/cindergarth/style.json --out demo-patterns/out --force
step "planning the dies" build/release/lastwright dies demo-patterns/cindergarth/style.json --out demo-patterns/dies --force
step "writing the report of the run" build/release/lastwright report demo-patterns/cindergarth/style.json --order demo-patterns/dies --out demo-patterns/report.html --force
printf '\nThe results are in %s/demo-patterns: open report.html first; everything else is in out/.\n' "$PWD"
