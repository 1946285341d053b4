# Counting, comparing and timing for tests/systemd. A case is a function of that name; it fails when any of its claims does.

claims=0 broken=()

run_case() { # CASE
    local began=$SECONDS
    claims=0 broken=()
    "$1"
    ((claims > 0)) || broken+=("it claimed nothing")
    if ((${#broken[@]})); then
        failed=$((failed + 1))
        printf 'FAILED %s (%s s)\n' "$1" $((SECONDS - began))
        printf '       %s\n' "${broken[@]}"
        [[ -z $leader ]] || in_it journalctl -q --no-pager -o short-precise -n 25 -u evenwater -u 'evenwater-gave-up@*' | sed 's/^/       | /'
    else
        passed=$((passed + 1))
        printf 'passed %s (%s claims, %s s)\n' "$1" "$claims" $((SECONDS - began))
    fi
}

skip() { # CASE REASON
    skipped=$((skipped + 1))
    printf 'SKIPPED %s: %s\n' "$1" "$2"
}

claim() { # TEXT COMMAND...: the command must succeed
    local text=$1
    shift
    claims=$((claims + 1))
    "$@" || broken+=("not so: $text")
}

claim_not() { # TEXT COMMAND...
    local text=$1
    shift
    claims=$((claims + 1))
    ! "$@" || broken+=("not so: $text")
}

same() { # TEXT EXPECTED ACTUAL
    claims=$((claims + 1))
    [[ $2 == "$3" ]] || broken+=("$1: expected '$2', was '$3'")
}

has() { # TEXT PATTERN ACTUAL: actual holds the glob pattern
    claims=$((claims + 1))
    # shellcheck disable=SC2053
    [[ $3 == *$2* ]] || broken+=("$1: nothing like '$2' in '$3'")
}

lacks() { # TEXT PATTERN ACTUAL
    claims=$((claims + 1))
    # shellcheck disable=SC2053
    [[ $3 != *$2* ]] || broken+=("$1: '$2' in '$3'")
}

now_ms() { local t=$EPOCHREALTIME; echo $((${t/./} / 1000)); }

at_most() { # TEXT LIMIT_MS ACTUAL_MS
    claims=$((claims + 1))
    (($3 <= $2)) || broken+=("$1: $3 ms, at most $2 ms")
}

at_least() { # TEXT LIMIT_MS ACTUAL_MS
    claims=$((claims + 1))
    (($3 >= $2)) || broken+=("$1: $3 ms, at least $2 ms")
}

figure() { figures+=("figure: $*"); }

within() { # MS COMMAND...: until it succeeds, or false when the time is up
    local until=$(($(now_ms) + $1))
    shift
    while ! "$@"; do
        (($(now_ms) < until)) || return 1
        sleep 0.02
    done
}
