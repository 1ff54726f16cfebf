#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Both commands of README on a minimal Debian 12 that debootstrap makes in FOLDER (absent; it stays, for a look), from a clean
# copy of what is committed, and how long each took. Needs root and debootstrap. Usage: check_fresh.sh FOLDER
set -euo pipefail
[ $# -eq 1 ] && [ ! -e "$1" ] || { sed -n '4p' "$0" >&2; exit 2; }
tree=$(cd "$(dirname "$0")/../.." && pwd)
source "$tree/tests/install/minimal_debian.sh"
mkdir -p "$(dirname "$1")"
trap leave_debian EXIT
minimal_debian "$(realpath "$1")"
mkdir -p "$debian/dev/pts" "$debian/dev/shm"
mount -t devpts devpts "$debian/dev/pts"
mount -t tmpfs tmpfs "$debian/dev/shm"
in_root apt-get install -y -qq --no-install-recommends git >/dev/null  # check-outs come by it, and some tests ask it for the files
git clone -q "$tree" "$debian/afterscope"
for command in app/run.sh tests/run.sh; do
  started=$SECONDS
  in_root HOME=/root bash "/afterscope/$command"
  echo "$command on a minimal Debian 12: $((SECONDS - started)) s"
done
