# What the scripts share; sourced, not run. Messages go to stderr, so that stdout stays the answer's.
# shellcheck shell=bash

say() { printf '%s\n' "$*" >&2; }

fail() {
    say "$*"
    exit 1
}

# Run a command as root; fails where that needs a password or can't be done.
as_root() {
    if [ "$(id -u)" = 0 ]; then
        "$@"
    elif command -v sudo >/dev/null 2>&1; then
        sudo -n "$@"
    else
        return 1
    fi
}

may_install() {
    command -v apt-get >/dev/null 2>&1 && as_root true 2>/dev/null
}

# Install Debian packages. The lists of packages are fetched only when they turn out to be missing
# or old.
apt_install() {
    local get=(env DEBIAN_FRONTEND=noninteractive apt-get -qq)
    as_root "${get[@]}" install -y --no-install-recommends "$@" >/dev/null 2>&1 && return
    as_root "${get[@]}" update >/dev/null && as_root "${get[@]}" install -y --no-install-recommends "$@" >/dev/null
}

installed() {
    [ "$(dpkg-query --show --showformat='${db:Status-Status}' "$1" 2>/dev/null)" = installed ]
}

# Each argument is "PACKAGE MARKER WHAT": a Debian package, the pytest marker of the tests that need
# it, and what they test. Installs what is missing where it may, and prints the markers of the tests
# that have to be left out. With CI=true nothing may be left out.
left_out() {
    local need package marker what missing=()
    for need in "$@"; do
        installed "${need%% *}" || missing+=("$need")
    done
    [ "${#missing[@]}" = 0 ] && return
    if may_install && apt_install "${missing[@]%% *}"; then
        return
    fi
    for need in "${missing[@]}"; do
        read -r package marker what <<<"$need"
        if [ "${CI:-}" = true ]; then
            fail "The Debian package $package can't be installed, and its tests may not be left out."
        fi
        say "Left out: $what (needs the Debian package $package)."
        printf '%s\n' "$marker"
    done
}
