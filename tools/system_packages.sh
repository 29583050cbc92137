#!/bin/sh
# The browser tests drive Debian's own chromium; its fonts package makes text measurable in a bare container. The tests of
# the storage run on a PostgreSQL of their own as well.
# Installs them where it may, otherwise names what is missing: on a desk the browser tests are then skipped,
# but with CI=true a skipped test would look like a passed one, so this fails.
set -eu

missing=""
command -v chromium >/dev/null || missing="chromium"
[ -e /usr/share/fonts/truetype/dejavu/DejaVuSans.ttf ] || missing="$missing fonts-dejavu-core"
ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || missing="$missing postgresql"
[ -n "$missing" ] || exit 0

if [ "$(id -u)" = 0 ] && command -v apt-get >/dev/null; then
    export DEBIAN_FRONTEND=noninteractive
    apt-get update -qq
    # shellcheck disable=SC2086  # one word for each package
    exec apt-get install -y -qq --no-install-recommends $missing
fi

echo "Not installed, needed by the tests: $missing" >&2
[ "${CI:-}" != true ]
