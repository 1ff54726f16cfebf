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
options=(-std=c++20 -fsyntax-only -w "-DAFTERSCOPE_VERSION=\"0\"" -I. -isystem "$headers")
for folder in SDL2 cairo eigen3 glib-2.0 harfbuzz imgui opencv4 pango-1.0 postgresql; do
  options+=(-isystem "$headers/$folder")
done
options+=(-isystem "/usr/lib/$(gcc -print-multiarch)/glib-2.0/include")

# A header that is not there for the other system is no fault of ours; everything else is.
export headers compiler
check_one() {
  local source=$1 said
  shift
  said=$("$compiler" "$@" "$source" 2>&1) && return 0
  if grep -q "fatal error: .*: No such file" <<<"$said"; then
    echo "not checked: $source: $(grep -m1 -o 'fatal error: .*' <<<"$said")"
  else
    echo "assumes Linux: $source"
    grep -m3 "error:" <<<"$said"
  fi
}
export -f check_one
sources=$(git ls-files 'metrics/*.cpp' 'annotate/*.cpp' 'app/*.cpp' | grep -v '^annotate/platform/')
result=$(xargs -P "$(nproc)" -I{} bash -c 'check_one "$0" "$@"' {} "${options[@]}" <<<"$sources")
[ -z "$result" ] || echo "$result"
echo "$(wc -l <<<"$sources") files outside annotate/platform, $(grep -c '^not checked' <<<"$result" || true) not checked"
! grep -q '^assumes Linux' <<<"$result"
