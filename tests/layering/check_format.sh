#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# check_format.sh ROOT: every source file is as clang-format 14 writes it with .clang-format.
set -euo pipefail
cd "$1"
find app annotate metrics tests \( -name '*.cpp' -o -name '*.hpp' \) -print0 |
  xargs -0 -n 40 clang-format-14 --dry-run --Werror --style=file
