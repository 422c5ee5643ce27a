#!/usr/bin/env bash
# `make image-base`: where no registry of images can be reached, a base for `make image` out of Debian's
# packages, as localhost/base:bookworm. Needs root, mmdebstrap and buildah (Debian's packages).
set -euo pipefail
for tool in mmdebstrap buildah; do
  command -v "$tool" >/dev/null || { echo "make image-base needs $tool (Debian: apt-get install $tool)" >&2; exit 1; }
done
suite=bookworm
root=$(mktemp -d)
trap 'rm -rf "$root"' EXIT
# What is thrown away if the machine stops need not be on its disk at each step.
mmdebstrap --quiet --variant=minbase --include=python3,python3-venv,ca-certificates \
  --dpkgopt=force-unsafe-io "$suite" "$root" >&2
made=$(buildah from scratch)
buildah add --quiet "$made" "$root" / >/dev/null
buildah commit --quiet "$made" "localhost/base:$suite"
buildah rm "$made" >/dev/null
