#!/usr/bin/env bash
# `make image-base`: where no registry of images can be reached, a base for `make image` out of Debian's
# packages, as localhost/base:bookworm. Needs root, debootstrap and buildah (Debian's packages).
set -euo pipefail
for tool in debootstrap buildah; do
  command -v "$tool" >/dev/null || { echo "make image-base needs $tool (Debian: apt-get install $tool)" >&2; exit 1; }
done
suite=bookworm
root=$(mktemp -d)
trap 'rm -rf "$root"' EXIT
debootstrap --variant=minbase --include=python3,python3-venv,ca-certificates "$suite" "$root" >&2
rm -rf "$root"/var/cache/apt/archives/*.deb "$root"/var/lib/apt/lists/*
made=$(buildah from scratch)
buildah add --quiet "$made" "$root" / >/dev/null
buildah commit --quiet "$made" "localhost/base:$suite"
buildah rm "$made" >/dev/null
