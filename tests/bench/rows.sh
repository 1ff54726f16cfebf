# SPDX-License-Identifier: Apache-2.0
# For the scripts beside this one: one row of figures, printed, and kept in the file that BENCH_ROWS names, if any.

# row WHAT OURS AGAINST LIMIT: with AGAINST, the limit is for their ratio; else for OURS. Each may be empty but OURS.
row() {
  [ -n "$2" ] || { printf '%-62s %9s\n' "$1" "no figure"; return; }
  awk -v what="$1" -v ours="$2" -v against="$3" -v limit="$4" 'BEGIN {
    judged = against == "" ? ours : ours / against
    verdict = limit == "" ? "" : judged <= limit ? "holds" : "MISSED"
    printf "%-62s %9.3f %9s %7s %8s %s\n", what, ours, against, against == "" ? "" : sprintf("%.2f", judged), limit, verdict
  }'
  [ -z "${BENCH_ROWS:-}" ] || printf '%s\t%s\t%s\t%s\n' "$1" "$2" "$3" "$4" >>"$BENCH_ROWS"
}
head_row() { printf '%-62s %9s %9s %7s %8s\n' "what" "ours" "against" "ratio" "limit"; }
# value NAME OUTPUT: of a "name value" line
value() { awk -v name="$1" '$1 == name { print $2 }' <<<"$2"; }
lesser() { awk -v a="$1" -v b="$2" 'BEGIN { print (a == "" || b < a) ? b : a }'; }
quiet() { ffmpeg -nostdin -v error -y "$@"; }
# seconds_of COMMAND...: wall time
seconds_of() {
  local start
  start=$(date +%s.%N)
  "$@" >/dev/null 2>&1
  awk -v from="$start" -v to="$(date +%s.%N)" 'BEGIN { printf "%.3f", to - from }'
}
# most_mib COMMAND...: the most memory that it held
most_mib() {
  python3 - "$@" <<'MOST'
import resource, subprocess, sys
subprocess.run(sys.argv[1:], check=True, stdout=subprocess.DEVNULL)
print(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024)
MOST
}
# least_of ROUNDS COMMAND...: of so many times
least_of() {
  local rounds=$1 least=
  shift
  for ((; rounds > 0; --rounds)); do least=$(lesser "$least" "$(seconds_of "$@")"); done
  echo "$least"
}
