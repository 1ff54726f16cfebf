#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Installs the build into a fresh prefix, moves that elsewhere, and measures a case with it: the program must find its
# assets beside itself. Usage: check_install.sh BUILD_FOLDER CASE_FOLDER
set -euo pipefail
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
cmake --install "$1" --prefix "$work/first" >/dev/null
mv "$work/first" "$work/moved"
cp -r "$2" "$work/case"
cd /
env -u AFTERSCOPE_ASSETS "$work/moved/bin/afterscope" --version
env -u AFTERSCOPE_ASSETS "$work/moved/bin/afterscope" measure "$work/case" --json "$work/findings.json"
grep -q '"name"' "$work/findings.json"
data_files=$(find "$work/moved/share/afterscope" -name '*.json' | wc -l)
[ "$data_files" -ge 5 ] || { echo "only $data_files data files were installed"; exit 1; }
# Whatever is linked has its licence named.
copyright=$work/moved/share/doc/afterscope/copyright
readelf -d "$work/moved/bin/afterscope" | sed -n 's/.*(NEEDED).*\[\(.*\)\]/\1/p' >"$work/linked"
[ -s "$work/linked" ] || { echo "nothing is linked, by readelf"; exit 1; }
while read -r library; do
  case $library in
    libfmt.*) name=fmt ;;
    libopencv_*) name=OpenCV ;;
    libsqlite3.*) name=SQLite ;;
    libavcodec.* | libavformat.* | libavutil.* | libavfilter.* | libswscale.* | libswresample.*) name=${library%%.*} ;;
    libpango*) name=Pango ;;
    libglib-* | libgobject-*) name=GLib ;;
    libcairo.*) name=Cairo ;;
    libpq.*) name=libpq ;;
    libpng16.*) name=libpng ;;
    libturbojpeg.*) name=libjpeg-turbo ;;
    libstb.*) name=stb ;;
    libglfw.*) name=GLFW ;;
    libSDL2-*) name=SDL2 ;;
    libstdc++.*) name=libstdc++ ;;
    libgcc_s.*) name=libgcc ;;
    libc.* | libm.* | ld-linux*) name=glibc ;;
    libasan.* | libtsan.* | libubsan.*) continue ;;  # of a build with sanitizers, which nobody is handed
    *) name="no name known for $library" ;;
  esac
  grep -qF "$name" "$copyright" || { echo "the licence of $library is not named in $copyright"; exit 1; }
done <"$work/linked"
[ -f "$work/moved/share/doc/afterscope/LICENSE" ] || { echo "no licence was installed"; exit 1; }
