#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Fails on two types of the same name in the same namespace: in one program they would be taken for one another
# (the compiler sees one file at a time, the linker no types), and the wrong one destroyed.
# Usage: check_names.sh SOURCE_ROOT
set -u
cd "$1" || exit 2
twice=$(find app annotate metrics -name '*.hpp' -print0 | xargs -0 awk '
  FNR == 1 { space = "" }
  /^namespace [a-z]/ { space = $2 }
  /^(struct|class|enum class|enum|using) [A-Z]/ && (!/;$/ || /[{=]/) {
    name = $0
    sub(/^(struct|class|enum class|enum|using) /, "", name)
    if (name ~ /^[A-Za-z0-9]+</) next  # one of many specialisations
    sub(/[^A-Za-z0-9].*/, "", name)
    key = space "::" name
    if (key in first && first[key] != FILENAME) print key " is in " first[key] " and in " FILENAME
    first[key] = FILENAME
  }')
[ -z "$twice" ] && exit 0
printf 'types of one name:\n%s\n' "$twice"
exit 1
