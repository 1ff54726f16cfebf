#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# cppcheck and clang-tidy (checks: .clang-tidy) over the sources and cppcheck over the tests, or both over the given files.
# With --deep clang's static analyzer instead, which takes up to 80 s for a file, over sources and tests or the given files.
# BUILD: configured as a unity build. Usage: analyse.sh ROOT BUILD [--deep] [FILE...]
set -uo pipefail
root=$1 build=$(realpath "$2")
shift 2
deep=
if [ "${1:-}" = --deep ]; then
  deep=yes
  shift
fi
cd "$root" || exit 2
given=$#
if [ $given -eq 0 ]; then mapfile -t files < <(git ls-files 'metrics/*.cpp' 'annotate/*.cpp' 'app/*.cpp' 'tests/*.cpp'); else files=("$@"); fi
tidy=(clang-tidy-14 -p "$build" --quiet --extra-arg=-Wno-unknown-warning-option --extra-arg=-Wno-shadow)
# What is found goes to stdout; of stderr only the counts of warnings in other people's headers are dropped.
tidy_over() {  # FILE...
  printf '%s\n' "$@" | xargs -P "$(nproc)" -n 1 "${tidy[@]}" \
    2> >(grep -vE '^[0-9]+ warnings?( and [0-9]+ errors?)? generated\.$' >&2)
}
if [ -n "$deep" ]; then  # it looks only at what stands in the file itself: not at folders as one
  tidy+=('--checks=-*,clang-analyzer-*,-clang-analyzer-security.FloatLoopCounter')
  tidy_over "${files[@]}"
  exit
fi
status=0
# constStatement, invalidContainerReference: cppcheck 2.10 takes std::int64_t{x} for an array's use, and a reference to what
# emplace_back has just made for one to what was there before. unknownMacro: of libraries whose headers it does not read.
check=(cppcheck --enable=warning,performance,portability --std=c++20 --language=c++ --inline-suppr --quiet -I. --error-exitcode=1
  --suppress=unknownMacro --suppress=constStatement --suppress=invalidContainerReference --template='{file}:{line}: {id}: {message}')
mapfile -t sources < <(printf '%s\n' "${files[@]}" | grep -v '^tests/')
mapfile -t tests < <(printf '%s\n' "${files[@]}" | grep '^tests/')
[ ${#sources[@]} -eq 0 ] || "${check[@]}" "${sources[@]}" || status=1
# Catch's macros, whose headers it does not read, as it can read them; stlIfStrFind, useInitializationList: of speed.
# localMutex: does not see that threads made below share it.
[ ${#tests[@]} -eq 0 ] || "${check[@]}" '-DTEST_CASE(...)=void TestCase()' '-DSECTION(...)=if (true)' '-DINFO(...)=' \
  '-DREQUIRE(...)=if (!(__VA_ARGS__)) throw 1' '-DCHECK(...)=if (__VA_ARGS__) {}' '-DREQUIRE_FALSE(...)=if (__VA_ARGS__) throw 1' \
  '-DCHECK_FALSE(...)=if (__VA_ARGS__) {}' --suppress=stlIfStrFind --suppress=useInitializationList --suppress=localMutex "${tests[@]}" || status=1
# Whole folders as one, as a unity build has them, since reading the libraries' headers takes longest.
if [ $given -eq 0 ]; then
  mapfile -t files < <(grep -oE '"file": "[^"]*/Unity/unity_(metrics|annotate|app)_[^"]*"' "$build/compile_commands.json" | cut -d'"' -f4)
  [ ${#files[@]} -gt 0 ] || { echo "$build is no unity build" >&2; exit 2; }
  tidy+=('--checks=-clang-analyzer-*,-bugprone-suspicious-include,-misc-definitions-in-headers')
fi
tidy_over "${files[@]}" || status=1
exit $status
