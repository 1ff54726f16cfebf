#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# cppcheck and clang-tidy (checks: .clang-tidy) over the sources, or over the given ones. BUILD: configured as a unity build.
# Usage: analyse.sh ROOT BUILD [FILE...]
set -uo pipefail
root=$1 build=$(realpath "$2")
shift 2
cd "$root" || exit 2
if [ $# -eq 0 ]; then mapfile -t files < <(git ls-files 'metrics/*.cpp' 'annotate/*.cpp' 'app/*.cpp'); else files=("$@"); fi
status=0
# constStatement, invalidContainerReference: cppcheck 2.10 takes std::int64_t{x} for an array's use, and a reference to what
# emplace_back has just made for one to what was there before. unknownMacro: of libraries whose headers it does not read.
cppcheck --enable=warning,performance,portability --std=c++20 --language=c++ --inline-suppr --quiet -I. --error-exitcode=1 \
  --suppress=unknownMacro --suppress=constStatement --suppress=invalidContainerReference \
  --template='{file}:{line}: {id}: {message}' "${files[@]}" || status=1
# Whole folders as one, as a unity build has them, since reading the libraries' headers takes longest; clang's analyzer looks
# only at what stands in the file itself and takes up to 80 s for one, so it runs over files that are named.
tidy=(clang-tidy-14 -p "$build" --quiet --extra-arg=-Wno-unknown-warning-option --extra-arg=-Wno-shadow)
if [ $# -eq 0 ]; then
  mapfile -t files < <(grep -oE '"file": "[^"]*/Unity/unity_(metrics|annotate|app)_[^"]*"' "$build/compile_commands.json" | cut -d'"' -f4)
  [ ${#files[@]} -gt 0 ] || { echo "$build is no unity build" >&2; exit 2; }
  tidy+=('--checks=-clang-analyzer-*,-bugprone-suspicious-include,-misc-definitions-in-headers')
fi
# What is found goes to stdout; of stderr only the counts of warnings in other people's headers are dropped.
printf '%s\n' "${files[@]}" | xargs -P "$(nproc)" -n 1 "${tidy[@]}" \
  2> >(grep -vE '^[0-9]+ warnings?( and [0-9]+ errors?)? generated\.$' >&2) || status=1
exit $status
