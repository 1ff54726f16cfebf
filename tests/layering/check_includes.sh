#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# Fails on an include that points up the layers, or on a library used outside its folder.
# Usage: check_includes.sh SOURCE_ROOT
set -u
cd "$1" || exit 2
bad=0

# forbid WHERE PATTERN WHY [EXCLUDED_PATH_REGEX]
forbid() {
  local hits
  hits=$(grep -rnE --include='*.hpp' --include='*.cpp' "^\s*#\s*include\s*[<\"]($2)" $1 2>/dev/null)
  [ -n "${4:-}" ] && hits=$(printf '%s\n' "$hits" | grep -vE "^($4)")
  if [ -n "$hits" ]; then
    printf '%s:\n%s\n' "$3" "$hits"
    bad=1
  fi
}

forbid "metrics" 'annotate/|app/' 'metrics includes a layer above it'
forbid "annotate" 'app/' 'annotate includes app'
forbid "metrics/phantom" 'metrics/(geometry|scale|eye|rhexis|incision|path|timing|follow|series|agreement)/' \
  'the phantom shares code with what it verifies'
forbid "metrics" 'lib(av|sw)|sqlite3|nlohmann|cairo|pango|imgui|GLFW|GL/|EGL/|SDL|fstream|filesystem|opencv2/(highgui|videoio|imgcodecs)' \
  'metrics touches files, a window or a format'
forbid "annotate app" 'lib(av|sw)' 'FFmpeg outside annotate/media' 'annotate/media/'
forbid "annotate app" 'sqlite3|libpq' 'SQLite and PostgreSQL outside annotate/store' 'annotate/store/'
forbid "annotate app" 'cairo|pango' 'Cairo outside annotate/report and annotate/overlay' 'annotate/(report|overlay)/'
forbid "annotate app metrics" 'glib' 'GLib outside annotate/case and annotate/narration' 'annotate/(case|narration)/'
forbid "annotate" 'imgui|GLFW|GL/|EGL/|SDL' 'window code in annotate'
forbid "annotate app" 'opencv2/(highgui|videoio)' "OpenCV's own video reader or window"
forbid "app/cli" 'app/desktop/' 'a command includes the window'
forbid "app/desktop" 'app/cli/' 'the window includes a command'
forbid "app annotate metrics" 'unistd\.h|sys/|fcntl\.h|dirent\.h|signal\.h|spawn\.h|poll\.h|pwd\.h|dlfcn\.h|linux/' \
  'an operating system outside annotate/platform' 'annotate/platform/linux/'
exit $bad
