#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Runs each libFuzzer target for a time, from the seeds in tests/data/seeds: run_fuzz.sh FUZZ_PROGRAM [SECONDS [CORPUS_FOLDER]]
# What it finds of interest stays in CORPUS_FOLDER (fuzz-corpus beside the program), from which the next run goes on.
# Ends with 1 at the first input that makes trouble, which is left in that folder.
set -euo pipefail
program=$(realpath "$1")
seconds=${2:-300}
root=$(cd "$(dirname "$0")/../.." && pwd)
work=${3:-$(dirname "$program")/fuzz-corpus}
tried=0
for seeds in "$root"/tests/data/seeds/*/; do
  target=$(basename "$seeds")
  mkdir -p "$work/$target"
  echo "fuzz: $target, $seconds s, $(find "$work/$target" -type f | wc -l) entries of earlier runs"
  if ! AFTERSCOPE_FUZZ_TARGET=$target "$program" -max_total_time="$seconds" -timeout=20 -rss_limit_mb=4000 \
    -artifact_prefix="$work/$target-" -print_final_stats=1 "$work/$target" "$seeds" >"$work/$target.log" 2>&1; then
    tail -30 "$work/$target.log"
    echo "fuzz: $target failed; the input lies in $work"
    exit 1
  fi
  grep -E "stat::number_of_executed_units|stat::new_units_added" "$work/$target.log" | sed 's/^/  /'
  tried=$((tried + 1))
done
[ $tried -gt 0 ] || { echo "fuzz: there are no seeds" >&2; exit 1; }
