#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Makes the Debian package of a build, installs it on a minimal Debian 12 that debootstrap makes, and measures a case
# with it there. Needs root, debootstrap and Debian's packages. Usage: check_package.sh BUILD_FOLDER CASE_FOLDER
set -euo pipefail
build=$(cd "$1" && pwd)
case_folder=$(cd "$2" && pwd)
work=$(mktemp -d)
trap 'umount "$work/root/proc" 2>/dev/null || true; rm -rf "$work"' EXIT
cmake --build "$build" --target manual >/dev/null
(cd "$work" && cpack -G DEB --config "$build/CPackConfig.cmake" -B "$work/package" >/dev/null)
package=$(ls "$work"/package/afterscope_*.deb)
dpkg-deb --info "$package" | sed -n '/Package:/,$p'
root=$work/root
mirror=$(grep -rhE '^(URIs:|deb )' /etc/apt/sources.list /etc/apt/sources.list.d 2>/dev/null |
  grep -oE '(http|https|file)://[^ ]+/debian/?( |$)' | head -1 | tr -d ' ' || true)
debootstrap --variant=minbase bookworm "$root" "$mirror" >"$work/debootstrap.log" 2>&1 ||
  { tail -5 "$work/debootstrap.log"; exit 1; }
cp /etc/apt/apt.conf.d/* "$root/etc/apt/apt.conf.d/" 2>/dev/null || true  # how this machine reaches the mirror
cp /etc/resolv.conf /etc/hosts "$root/etc/" 2>/dev/null || true
cp "$package" "$root/afterscope.deb"
cp -r "$case_folder" "$root/case"
in_root() { chroot "$root" env DEBIAN_FRONTEND=noninteractive LC_ALL=C.UTF-8 "$@"; }
mount -t proc proc "$root/proc"
in_root apt-get update -qq
in_root apt-get install -y -qq --no-install-recommends /afterscope.deb >"$work/install.log" 2>&1 ||
  { tail -5 "$work/install.log"; exit 1; }
in_root afterscope --version
in_root afterscope measure /case --json /findings.json
grep -q '"name"' "$root/findings.json"
in_root afterscope report /case -o /report.pdf
[ "$(head -c 4 "$root/report.pdf")" = "%PDF" ]
in_root afterscope 2>"$work/window.txt" && { echo "a window opened without a display"; exit 1; }
cat "$work/window.txt"
for file in share/applications/afterscope.desktop share/icons/hicolor/scalable/apps/afterscope.svg \
  share/man/man1/afterscope.1 share/doc/afterscope/copyright; do
  ls "$root/usr/$file"* >/dev/null || { echo "$file was not installed"; exit 1; }
done
echo "the package works on a minimal Debian 12"
