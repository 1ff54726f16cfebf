#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Runs each libFuzzer target for a time, from the seeds in tests/data/seeds: run_fuzz.sh FUZZ_PROGRAM [SECONDS]
# Ends with 1 at the first input that makes trouble, which is left in the folder that is named.
set -euo pipefail
program=$1
seconds=${2:-300}
root=$(cd "$(dirname "$0")/../.." && pwd)
work=$(mktemp -d)
for seeds in "$root"/tests/data/seeds/*/; do
  target=$(basename "$seeds")
  mkdir -p "$work/$target"
  echo "fuzz: $target, $seconds s"
  if ! AFTERSCOPE_FUZZ_TARGET=$target "$program" -max_total_time="$seconds" -timeout=10 -rss_limit_mb=3000 \
    -artifact_prefix="$work/$target-" -print_final_stats=1 "$work/$target" "$seeds" >"$work/$target.log" 2>&1; then
    tail -30 "$work/$target.log"
    echo "fuzz: $target failed; the input lies in $work"
    exit 1
  fi
  grep -E "stat::number_of_executed_units|stat::new_units_added" "$work/$target.log" | sed 's/^/  /'
done
rm -rf "$work"
