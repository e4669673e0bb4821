#!/bin/sh
# Chromium and a PostgreSQL server for the tests, from Debian's packages where they are missing.
set -eu

missing=""
command -v chromium >/dev/null || missing="$missing chromium"
command -v initdb >/dev/null || ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || missing="$missing postgresql"
[ -n "$missing" ] || exit 0

if [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null; then
    apt-get update -qq
    # shellcheck disable=SC2086 # one word a package
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $missing
else
    echo "The tests need$missing; install with your package manager." >&2
    exit 1
fi
