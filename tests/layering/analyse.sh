#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# cppcheck and clang-tidy (checks: .clang-tidy) over the sources, or over the given ones. Usage: analyse.sh ROOT BUILD [FILE...]
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
# What is found goes to stdout; of stderr only the counts of warnings in other people's headers are dropped.
printf '%s\n' "${files[@]}" | xargs -P "$(nproc)" -n 4 clang-tidy-14 -p "$build" --quiet \
  2> >(grep -vE '^[0-9]+ warnings?( and [0-9]+ errors?)? generated\.$' >&2) || status=1
exit $status
