#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Sets up everything on a fresh Debian 12 and shows what the program does: installs what is missing, builds, makes the
# demo series with its reports, and opens the window on it where there is a display.
# Usage: bash app/run.sh [DEMO_FOLDER]     (default: ~/afterscope-demo)
set -euo pipefail
root=$(cd "$(dirname "$0")/.." && pwd)
demo=${1:-$HOME/afterscope-demo}
source "$root/app/packages.sh"

echo "1/4 Packages"
install_missing "${build_packages[@]}"
echo "2/4 Build"
cmake -S "$root" -B "$root/build" -G Ninja -DCMAKE_UNITY_BUILD=ON >/dev/null
cmake --build "$root/build" --parallel --target afterscope
program="$root/build/app/afterscope"
echo "3/4 Demo series in $demo"
if [ -e "$demo/demo.json" ]; then
  echo "It is there already; remove the folder to have it made again."
else
  "$program" demo "$demo"
fi
echo "4/4 Window"
if [ -n "${DISPLAY:-}${WAYLAND_DISPLAY:-}" ]; then
  exec "$program" "$demo"
else
  echo "No display here. Where there is one: $program $demo"
fi
