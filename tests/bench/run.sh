#!/usr/bin/env bash
# All timings: bash tests/bench/run.sh. Builds in build/release, as the tests do, and writes the large run into memory where there is such a disk.
set -euo pipefail
cd "$(dirname "$0")/../.."
. .ci/steps.sh
install_packages "${build_packages[@]}" catch2 librapidcheck-dev libbenchmark-dev libgeos-dev libpolyclipping-dev python3-ezdxf python3-shapely python3-numpy
step "configuring build/release" cmake --preset release -DLASTWRIGHT_TESTS=ON -DLASTWRIGHT_BENCH=ON
step "building (some minutes the first time)" cmake --build --preset release --target lastwright lastwright-last operations_bench
scratch=$(mktemp -d -p "$([ -w /dev/shm ] && echo /dev/shm || echo "${TMPDIR:-/tmp}")" lastwright-bench-XXXXXX)
trap 'rm -rf "$scratch"' EXIT
printf -- '\n-- the whole run\n'
/usr/bin/python3 tests/bench/whole_run.py build/release/lastwright "$scratch"
printf -- '\n-- a script from general parts\n'
/usr/bin/python3 tests/bench/scripted_pipeline.py "$scratch/scripted" 200
printf -- '\n-- last verify beside reading its files\n'
/usr/bin/python3 tests/bench/verify_cost.py build/release/lastwright demo-patterns/cindergarth "$scratch/verify"
printf -- '\n-- single operations\n'
build/release/tests/bench/operations_bench --benchmark_min_time=0.3
