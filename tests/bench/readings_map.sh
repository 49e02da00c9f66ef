#!/usr/bin/env bash
# The map of the readings model: how often planted faults are named and sound batches accused, over plans, noises and faults.
#   bash tests/bench/readings_map.sh [BATCHES [FIRST SEED]]
# Settings were chosen on seeds below 100,000; figures that are quoted come from 900,000 on.
set -euo pipefail
cd "$(dirname "$0")/../.."
batches=${1:-40}
seed=${2:-900000}
cmake --preset release -DLASTWRIGHT_TESTS=ON > /dev/null
cmake --build --preset release --target readings_map > /dev/null
echo "plan,noise,fault,batches,named,tied,accused,seconds each"
nice build/release/tests/bench/readings_map all all all "$batches" "$seed" 1.27
