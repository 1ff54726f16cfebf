#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Installs what is missing, builds, runs every test. With --all also the slow ones: coverage of limits and of lines, sanitizers,
# faults of the disk and of the surroundings, the check that nothing assumes Linux, valgrind, fuzzing, the package and both
# commands of README on a minimal system. AFTERSCOPE_FUZZ_SECONDS: how long each reader of files is fuzzed (300).
set -euo pipefail
root=$(cd "$(dirname "$0")/.." && pwd)
source "$root/app/packages.sh"

install_missing "${build_packages[@]}" "${test_packages[@]}"

# run_suite BUILD_FOLDER CMAKE_OPTION...: builds and runs all tests, and closes with a line that counts them.
run_suite() {
  local build=$1
  shift
  cmake -S "$root" -B "$build" -G Ninja -DAFTERSCOPE_TESTS=ON -DAFTERSCOPE_WINDOW=ON -DCMAKE_UNITY_BUILD=ON "$@" >/dev/null
  cmake --build "$build" --parallel
  # Scripts that drive the window wait more than they compute: the others run meanwhile and give way, for no key press may be lost.
  local log="$build/tests.log" status=0
  ctest --test-dir "$build" --output-on-failure --tests-regex '^drive_' >"$build/window.log" 2>&1 &
  nice -n 15 ctest --test-dir "$build" --output-on-failure --exclude-regex '^drive_' --parallel 2 2>&1 | tee "$log" || status=1
  wait $! || status=1
  tee -a "$log" <"$build/window.log"
  local failed
  failed=$(grep -cE '\*\*\*(Failed|Exception|Timeout|Not Run)|\*\*\*[A-Z]' "$log" || true)
  local total
  total=$(sed -nE 's/^.*tests failed out of ([0-9]+).*$/\1/p' "$log" | awk '{ n += $1 } END { print n }')
  [ "${total:-0}" -gt 0 ] || status=1  # a run without tests proves nothing
  echo "$((${total:-0} - failed)) passed, $failed failed"
  return $status
}

run_suite "$root/build" -DCMAKE_BUILD_TYPE=Release
if [ "${1:-}" = --all ]; then
  install_missing "${slow_test_packages[@]}"
  for layer in metrics annotate; do "$root/build/tests/${layer}_tests" "[.coverage]"; done
  # Asserts stay on; leaks are those of the drivers and fonts that the libraries load.
  rm -rf "$root/build-checked/profiles"
  LLVM_PROFILE_FILE="$root/build-checked/profiles/%m.profraw" ASAN_OPTIONS=detect_leaks=0 UBSAN_OPTIONS=halt_on_error=1 \
    run_suite "$root/build-checked" -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_BUILD_TYPE=Debug \
    "-DCMAKE_CXX_FLAGS_DEBUG=-O1 -fprofile-instr-generate -fcoverage-mapping" "-DAFTERSCOPE_SANITIZE=address;undefined"
  bash "$root/tests/coverage.sh" "$root/build-checked"
  TSAN_OPTIONS="suppressions=$root/tests/support/tsan.supp" run_suite "$root/build-tsan" -DCMAKE_BUILD_TYPE=RelWithDebInfo -DAFTERSCOPE_SANITIZE=thread
  "$root/build/tests/annotate_tests" "[.clip_long],[.jumps]"
  "$root/build/tests/app_tests" "[.published]"
  "$root/build/tests/app_desktop_tests" "[.clip_window]"
  bash "$root/tests/app/play_in_browser.sh" "$root/build"
  LD_PRELOAD="$root/build/tests/libbroken_disk.so" "$root/build/tests/app_tests" "[.faults]"
  bash "$root/tests/app/environment_faults.sh" "$root/build/app/afterscope"
  bash "$root/tests/app/no_network.sh" "$root/build/app/afterscope" --window
  bash "$root/tests/layering/check_portable.sh" "$root"
  bash "$root/tests/layering/analyse.sh" "$root" "$root/build"
  bash "$root/tests/layering/analyse.sh" "$root" "$root/build" --deep
  valgrind -q --error-exitcode=1 "$root/build/tests/annotate_tests" "[store]~[crash]"
  valgrind -q --error-exitcode=1 "$root/build/tests/metrics_tests" "[series],[agreement]"
  cmake -S "$root" -B "$root/build-fuzz" -G Ninja -DCMAKE_CXX_COMPILER=clang++ -DCMAKE_BUILD_TYPE=Debug \
    -DCMAKE_CXX_FLAGS_DEBUG=-O1 -DAFTERSCOPE_WINDOW=OFF -DAFTERSCOPE_FUZZ=ON "-DAFTERSCOPE_SANITIZE=address;undefined" >/dev/null
  cmake --build "$root/build-fuzz" --parallel --target fuzz
  bash "$root/tests/fuzz/run_fuzz.sh" "$root/build-fuzz/tests/fuzz" "${AFTERSCOPE_FUZZ_SECONDS:-300}"
  if [ "$(id -u)" -eq 0 ]; then
    bash "$root/tests/install/check_package.sh" "$root/build" "$root/tests/data/cases/format-1.0"
    fresh=$(mktemp -u)
    bash "$root/tests/install/check_fresh.sh" "$fresh"
    rm -rf --one-file-system "$fresh"
  fi
fi
