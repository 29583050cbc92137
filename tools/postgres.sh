#!/bin/sh
# Run a command against a PostgreSQL of its own: made for it, on this machine only, and thrown away after it.
#   tools/postgres.sh COMMAND...     the command finds the storage in DRAWNDOSE_DATABASE
# Nothing is installed and nothing outside one temporary folder is touched. PostgreSQL refuses to run as root, so root hands it to
# the user postgres.
set -eu

here=$(ls -d /usr/lib/postgresql/*/bin 2>/dev/null | sort -V | tail -1 || true)
bin=${PG_BIN:-$here}
if [ ! -x "$bin/initdb" ]; then
    echo "PostgreSQL is not installed here: its programs initdb and pg_ctl are wanted (package postgresql), or PG_BIN names their folder." >&2
    # On a desk the run is left out; with CI=true a run that was left out would look like one that passed.
    [ "${CI:-}" = true ] && exit 3
    exit 0
fi
folder=$(mktemp -d "${TMPDIR:-/tmp}/drawndose-postgres.XXXXXX")
as=""
if [ "$(id -u)" = 0 ]; then
    chown postgres "$folder"
    as="runuser -u postgres --"
fi
stop() {
    $as "$bin/pg_ctl" -D "$folder/data" -m immediate stop >/dev/null 2>&1 || true
    rm -rf "$folder"
}
trap stop EXIT INT TERM
port=$(python3 -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])')
$as "$bin/initdb" -D "$folder/data" -A trust -U drawndose -E UTF8 --no-sync >/dev/null
$as "$bin/pg_ctl" -D "$folder/data" -w -l "$folder/log" -o "-p $port -k $folder -c listen_addresses=127.0.0.1 -c max_connections=200 -c fsync=${PG_FSYNC:-off}" start >/dev/null
$as "$bin/createdb" -h 127.0.0.1 -p "$port" -U drawndose drawndose
DRAWNDOSE_DATABASE="postgresql://drawndose@127.0.0.1:$port/drawndose" "$@"
