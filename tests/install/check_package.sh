#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Makes the Debian package of a build, installs it on a minimal Debian 12 that debootstrap makes, and measures a case
# with it there. Needs root, debootstrap and Debian's packages. Usage: check_package.sh BUILD_FOLDER CASE_FOLDER
set -euo pipefail
build=$(cd "$1" && pwd)
case_folder=$(cd "$2" && pwd)
source "$(dirname "$0")/minimal_debian.sh"
work=$(mktemp -d)
debian=$work/root
trap 'leave_debian; rm -rf "$work"' EXIT
cmake --build "$build" --target manual >/dev/null
(cd "$work" && cpack -G DEB --config "$build/CPackConfig.cmake" -B "$work/package" >/dev/null)
package=$(ls "$work"/package/afterscope_*.deb)
dpkg-deb --info "$package" | sed -n '/Package:/,$p'
minimal_debian "$work/root"
cp "$package" "$debian/afterscope.deb"
cp -r "$case_folder" "$debian/case"
in_root apt-get install -y -qq --no-install-recommends /afterscope.deb >"$work/install.log" 2>&1 ||
  { tail -5 "$work/install.log"; exit 1; }
in_root afterscope --version
in_root afterscope measure /case --json /findings.json
grep -q '"name"' "$debian/findings.json"
in_root afterscope report /case -o /report.pdf
[ "$(head -c 4 "$debian/report.pdf")" = "%PDF" ]
in_root afterscope 2>"$work/window.txt" && { echo "a window opened without a display"; exit 1; }
cat "$work/window.txt"
for file in share/applications/afterscope.desktop share/icons/hicolor/scalable/apps/afterscope.svg \
  share/man/man1/afterscope.1 share/doc/afterscope/copyright; do
  ls "$debian/usr/$file"* >/dev/null || { echo "$file was not installed"; exit 1; }
done
in_root afterscope --help | sed -n '/^Subcommands:/,$p' | awk 'NR > 1 && NF > 1 {print $1}' >"$work/verbs"
[ -s "$work/verbs" ] || { echo "no verbs in --help"; exit 1; }
while read -r verb; do
  zcat -f "$debian"/usr/share/man/man1/afterscope.1* | grep -qw -- "$verb" || { echo "the manual page does not know $verb"; exit 1; }
done <"$work/verbs"
echo "the package works on a minimal Debian 12"
