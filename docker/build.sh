#!/usr/bin/env bash
# `make image`: with the engine that answers here, or with buildah, which needs none running.
#   IMAGE  its name, without a tag (surface-takeoff); the tag is the version
#   LOCK   which packages: requirements.lock, requirements-traces.lock or requirements-bulk.lock
#   BASE   the image with Python that it stands on (that of docker/Dockerfile)
#   ENGINE docker, podman or buildah, where another is wanted than the first that answers
#   BUILD_OPTIONS  more options for the engine, as --volume /etc/pip.conf:/etc/pip.conf:ro
set -euo pipefail
cd "$(dirname "$0")/.."

answers() { command -v "$1" >/dev/null && { [ "$1" = buildah ] || "$1" info >/dev/null 2>&1; }; }
engine=${ENGINE:-}
for one in docker podman buildah; do
  [ -n "$engine" ] || ! answers "$one" || engine=$one
done
[ -n "$engine" ] || {
  echo 'make image needs docker or podman running, or buildah (Debian: apt-get install buildah)' >&2
  exit 1
}

version=$(sed -n 's/^__version__ = "\(.*\)"$/\1/p' service/__init__.py)
options=(
  --file docker/Dockerfile --tag "${IMAGE:-surface-takeoff}:$version"
  --build-arg "LOCK=${LOCK:-requirements.lock}" --build-arg "VERSION=$version"
  --build-arg "REVISION=$(git rev-parse HEAD 2>/dev/null || echo unknown)"
)
[ -z "${BASE:-}" ] || options+=(--build-arg "BASE=$BASE")
# The format of docker keeps the health check; in a chroot no privilege is needed that a build has not.
[ "$engine" != buildah ] || options+=(--format docker --isolation chroot --network host)
# shellcheck disable=SC2086 # several options
exec "$engine" build "${options[@]}" ${BUILD_OPTIONS:-} .
