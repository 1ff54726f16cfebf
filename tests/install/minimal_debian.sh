# SPDX-License-Identifier: Apache-2.0
# Sourced by check_package.sh and check_fresh.sh.

# minimal_debian ROOT: a minimal Debian 12 by debootstrap in ROOT, its package lists read. Needs root. in_root runs a command
# there; leave_debian takes away what was mounted.
minimal_debian() {
  debian=$1
  local mirror
  mirror=$(grep -rhE '^(URIs:|deb )' /etc/apt/sources.list /etc/apt/sources.list.d 2>/dev/null |
    grep -oE '(http|https|file)://[^ ]+/debian/?( |$)' | head -1 | tr -d ' ' || true)
  debootstrap --variant=minbase bookworm "$debian" "$mirror" >"$debian.log" 2>&1 || { tail -5 "$debian.log"; exit 1; }
  cp /etc/apt/apt.conf.d/* "$debian/etc/apt/apt.conf.d/" 2>/dev/null || true  # how this machine reaches the mirror
  cp /etc/resolv.conf /etc/hosts "$debian/etc/" 2>/dev/null || true
  mount -t proc proc "$debian/proc"
  in_root apt-get update -qq
}
in_root() { chroot "$debian" env DEBIAN_FRONTEND=noninteractive LC_ALL=C.UTF-8 "$@"; }
leave_debian() {
  umount "$debian/dev/shm" "$debian/dev/pts" "$debian/proc" 2>/dev/null || true
}
