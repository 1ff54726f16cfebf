#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Nothing outside annotate/platform assumes Linux: compiles every other source of the program (syntax only) for
# Windows, with mingw-w64's g++ and this system's headers of the libraries, and says what could not be checked.
# Usage: check_portable.sh ROOT
set -euo pipefail
cd "$1"
compiler=x86_64-w64-mingw32-g++-posix
headers=$(mktemp -d)
trap 'rm -rf "$headers"' EXIT

# Only the libraries' own headers: the system's would come before those of the other system.
multiarch=/usr/include/$(gcc -print-multiarch)
for name in CLI GLFW SDL2 boost cairo eigen3 fmt glib-2.0 harfbuzz imgui libpq-fe.h nlohmann opencv4 pango-1.0 postgresql \
  postgres_ext.h pg_config_ext.h sqlite3.h; do
  [ ! -e "/usr/include/$name" ] || cp -rsL "/usr/include/$name" "$headers/"
done
for name in SDL2 libavcodec libavfilter libavformat libavutil libswresample libswscale; do
  [ ! -e "$multiarch/$name" ] || cp -rsfL "$multiarch/$name" "$headers/"
done
options=(-std=c++20 -fsyntax-only -w "-DAFTERSCOPE_VERSION=\"0\"" "-DAFTERSCOPE_SOURCE_ASSETS=\"\"" "-DAFTERSCOPE_SOURCE_SHADERS=\"\"" -I. -isystem "$headers")
for folder in SDL2 cairo eigen3 glib-2.0 harfbuzz imgui opencv4 pango-1.0 postgresql; do
  options+=(-isystem "$headers/$folder")
done
options+=(-isystem "/usr/lib/$(gcc -print-multiarch)/glib-2.0/include")

printf '%q\n' "${options[@]}" >"$headers/options"

# A header that is not there for the other system is no fault of ours; everything else is.
export headers compiler
check_one() {
  local said
  said=$("$compiler" "@$headers/options" "$1" 2>&1) && return 0
  if grep -q "fatal error: .*: No such file" <<<"$said"; then
    echo "not checked: $1: $(grep -m1 -o 'fatal error: .*' <<<"$said")"
  else
    echo "assumes Linux: $1"
    grep -m3 "error:" <<<"$said"
  fi
}
# Several files of a folder as one, which is quicker; one by one where that fails.
check_group() {
  local source
  printf '#include "%s"\n' "$@" | "$compiler" "@$headers/options" -x c++ - 2>/dev/null && return 0
  for source in "$@"; do check_one "$source"; done
}
export -f check_one check_group
sources=$(git ls-files 'metrics/*.cpp' 'annotate/*.cpp' 'app/*.cpp' | grep -v '^annotate/platform/')
groups=$(awk -F/ '{ folder = $0; sub("/[^/]*$", "", folder)
  printf "%s%s", NR == 1 ? "" : folder != last || ++n % 8 == 0 ? "\n" : " ", $0
  if (folder != last) n = 0
  last = folder } END { print "" }' <<<"$sources")
result=$(xargs -P "$(nproc)" -L 1 bash -c 'check_group "$@"' - <<<"$groups")
[ -z "$result" ] || echo "$result"
echo "$(wc -l <<<"$sources") files outside annotate/platform, $(grep -c '^not checked' <<<"$result" || true) not checked"
! grep -q '^assumes Linux' <<<"$result"
