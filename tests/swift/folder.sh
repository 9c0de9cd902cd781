#!/bin/bash
# Swift for Linux in a folder, made from Debian's packages, and commands run in it. Root only, since
# a command runs with the folder as its root.
#   folder.sh make DIR               does nothing when DIR is complete; about 2.5 minutes, 2.7 GB
#   folder.sh run DIR PACKAGE CMD..  runs CMD in PACKAGE, seen as /pkg, with mounts nobody else sees
set -euo pipefail
what=$1 dir=$(realpath -m "$2")
if [ "$(id -u)" != 0 ]; then
  echo "Swift runs in a folder as its root, which only root may do: run this part as root" >&2
  exit 1
fi
case $what in
make)
  [ -e "$dir/.complete" ] && exit 0
  rm -rf --one-file-system "$dir"
  mkdir -p "$dir"
  debootstrap --variant=minbase trixie "$dir"
  # How this machine reaches its package source.
  cp -a /etc/apt/apt.conf.d/. "$dir/etc/apt/apt.conf.d/"
  unshare -m bash -c '
    mount -t proc proc "$0/proc" # Swift finds its own libraries by it.
    exec chroot "$0" sh -c "apt-get update -qq &&
      apt-get install -y -qq --no-install-recommends swiftlang libc6-dev libstdc++-14-dev ca-certificates git &&
      apt-get clean && swift --version"' "$dir"
  touch "$dir/.complete" ;;
run)
  package=$(realpath "$3")
  shift 3
  mkdir -p "$dir/pkg"
  exec unshare -m bash -c '
    dir=$0 package=$1
    shift
    mount -t proc proc "$dir/proc"
    mount --bind "$package" "$dir/pkg"
    exec chroot "$dir" env -i -C /pkg HOME=/root LANG=C.UTF-8 PATH=/usr/bin:/bin "$@"' "$dir" "$package" "$@" ;;
*)
  sed -n 2,5p "$0" >&2
  exit 2 ;;
esac
