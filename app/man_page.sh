#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Writes the manual page from what the program says of itself: man_page.sh PROGRAM OUTPUT.1
set -euo pipefail
program=$1
output=$2

# As it is printed, made safe for the typesetter of manual pages.
verbatim() {
  echo .nf
  sed -e 's/\\/\\e/g' -e 's/-/\\-/g' -e "s/^\([.']\)/\\\\\&\1/"
  echo .fi
}

version=$("$program" --version)
verbs=$("$program" --help | sed -n '/^Subcommands:/,$p' | sed -nE 's/^  ([a-z]+) .*/\1/p')
{
  echo ".TH AFTERSCOPE 1 \"\" \"Afterscope $version\" \"User Commands\""
  echo ".SH NAME"
  echo "afterscope \\- review, measure and teach from recorded cataract operations"
  echo ".SH SYNOPSIS"
  echo ".B afterscope"
  echo "[\\fICASEDIR\\fR|\\fIRECORDING\\fR...]"
  echo ".br"
  echo ".B afterscope"
  echo "\\fIVERB\\fR [\\fIOPTIONS\\fR]"
  echo ".SH DESCRIPTION"
  echo "Without a verb it opens the window on a case, a folder of cases, or recordings."
  "$program" --help | verbatim
  for verb in $verbs; do
    echo ".SH \"VERB $verb\""
    "$program" "$verb" --help | verbatim
  done
  echo ".SH EXIT STATUS"
  echo "0 done; 1 done, and something wrong was found; 2 the call is wrong; 3 nothing could be read of an input; 4 nothing"
  echo "of what was asked can be computed; 5 an output can't be written; 6 stopped by the user."
  echo ".SH CAUTIONS"
  echo "For review and teaching after the operation, never for decisions during one; not a medical device."
} >"$output.unfinished"
mv "$output.unfinished" "$output"
