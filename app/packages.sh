# SPDX-License-Identifier: Apache-2.0
# Sourced by app/run.sh and tests/run.sh: installs the Debian 12 packages that are missing.

build_packages=(
  g++ cmake ninja-build pkg-config ccache
  libopencv-dev libopencv-contrib-dev libimgui-dev libglfw3-dev libgl-dev libopengl-dev libegl-dev nlohmann-json3-dev catch2
  libavcodec-dev libavformat-dev libavutil-dev libswscale-dev libswresample-dev libavfilter-dev
  libsqlite3-dev libpq-dev libpng-dev libturbojpeg0-dev libcairo2-dev libpango1.0-dev libglib2.0-dev libcli11-dev libfmt-dev libeigen3-dev libboost-math-dev libsdl2-dev
  fonts-noto-core fonts-dejavu-core libgl1-mesa-dri libegl1
)
# What the tests compare with, drive the window with, and read back with.
test_packages=(ffmpeg opencv-doc xvfb xdotool x11-utils libx11-dev imagemagick poppler-utils strace clang-format-14 postgresql)
# What tests/run.sh --all runs beside them.
slow_test_packages=(valgrind clang-14 libclang-rt-14-dev llvm-14 clang clang-tidy-14 cppcheck debootstrap faketime tesseract-ocr g++-mingw-w64-x86-64-posix)

# install_missing PACKAGE...
install_missing() {
  local missing=()
  for package in "$@"; do
    dpkg-query -W -f '${Status}' "$package" 2>/dev/null | grep -q 'ok installed' || missing+=("$package")
  done
  [ ${#missing[@]} -eq 0 ] && return 0
  echo "Installing Debian packages: ${missing[*]}"
  local as_root=()
  if [ "$(id -u)" -ne 0 ]; then
    command -v sudo >/dev/null || { echo "Not root and no sudo: please install these packages and start again." >&2; return 1; }
    as_root=(sudo)
  fi
  "${as_root[@]}" apt-get update -qq &&
    "${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
}
