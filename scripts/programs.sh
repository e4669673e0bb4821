#!/bin/sh
# What the tests and the lint need beside Python, from Debian's packages where it is missing; all of it, or what is named.
set -eu

has() {
    case $1 in
        chromium) command -v chromium ;;
        postgresql) command -v initdb || ls /usr/lib/postgresql/*/bin/initdb ;;
        nodejs) command -v node ;;
        *) command -v "$1" ;;
    esac >/dev/null 2>&1
}

missing=""
for program in ${*:-chromium postgresql nodejs npm}; do
    has "$program" || missing="$missing $program"
done
[ -n "$missing" ] || exit 0

if [ "$(id -u)" -eq 0 ] && command -v apt-get >/dev/null; then
    apt-get update -qq
    # shellcheck disable=SC2086 # one word a package
    DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $missing
else
    echo "Needed:$missing; install with your package manager." >&2
    exit 1
fi
