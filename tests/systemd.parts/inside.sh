# The daemon under systemd: started, stopped, hung, killed, in a crash loop, on a full disk.

start() {
    local began took pid
    began=$(now_ms)
    claim "it gets ready" fresh
    took=$(($(now_ms) - began))
    figure "from start to READY: $took ms"
    same "state" active "$(property ActiveState)"
    same "notify" notify/main "$(property Type)/$(property NotifyAccess)"
    pid=$(outer "$(main_pid)")
    has "other processes are hidden from it, and READY came all the same" "hidepid=invisible" "$(grep ' /proc ' "/proc/$pid/mounts")"
    same "its user" "$(awk -F: '$1 == "evenwater" { print $3 }' "$work/root/etc/passwd")" "$(awk '/^Uid:/ { print $2 }' "/proc/$pid/status")"
    same "capabilities" 0000000000000000 "$(awk '/^CapEff:/ { print $2 }' "/proc/$pid/status")"
    same "state folder" "700 evenwater" "$(in_it stat -c '%a %U' /var/lib/evenwater)"
    same "configuration" "750 root evenwater" "$(in_it stat -c '%a %U %G' /etc/evenwater)"
    same "secrets" "710 root evenwater" "$(in_it stat -c '%a %U %G' /etc/evenwater/secret)"
    claim "the broker took the password of the credential" within 5000 eval '[[ $(told state) == *online* ]]'
    same "its share of the processor" "10000 -.slice" "$(property CPUWeight) $(property Slice)"
    # In a container without the processor's controller the share is only noted.
    [[ ! -e /sys/fs/cgroup/cpu ]] || figure "its group of the processor: $(sed -n "s/^[0-9]*:cpu://p" "/proc/$pid/cgroup")"
    # Seen only where the machine that this container is on lets limits be raised at all.
    if in_it prlimit --nice=30:30 true 2>/dev/null; then
        same "the niceness that guard and pulses may ask for, without any capability" -10 "$(in_it cat /run/evenwater/nicest)"
    else
        figure "not tried: LimitNICE=, because no limit can be raised here (no CAP_SYS_RESOURCE)"
    fi
    same "complaints of systemd about the unit" "" "$(in_it systemd-analyze verify --man=no evenwater.service 2>&1 | grep evenwater)"
    has "check finds the unit good" "ok   unit" "$(evenwater check)"
}

# The key comes as a credential, so what is signed with it is heard. A reset opens nothing, and is refused here for want of a trip.
signed_ask() {
    local challenge nonce
    claim "it is ready" fresh
    claim "it is at the broker" within 5000 eval '[[ $(told state) == *online* ]]'
    challenge=$(asked challenge '{"verb":"reset"}')
    has "a challenge" '"nonce"' "$challenge"
    nonce=$(word_of nonce "$challenge")
    has "what is signed with another key is not" "mac: does not fit" "$(asked reset "$(signed "$nonce" "${ask_key/0/f}")")"
    nonce=$(word_of nonce "$(asked challenge '{"verb":"reset"}')")
    has "what is signed with the unit's key is heard" "has not tripped" "$(asked reset "$(signed "$nonce" "$ask_key")")"
    has "others may not read the key" "0;" "$(in_it stat -c '%a;' "/proc/$(main_pid)/root/run/credentials/evenwater.service/mqtt-ask-key")"
}

signed() { # NONCE KEY
    printf '{"nonce":"%s","millilitres":0,"seconds":0,"mac":"%s"}' "$1" \
        "$(printf 'evenwater/v1 sim-river reset 0 0 %s' "$1" | openssl dgst -sha256 -mac HMAC -macopt "hexkey:$2" | grep -o '[0-9a-f]*$')"
}

begin_run() { evenwater begin sim-river --start-volume 1.6 --jug true --flow 15 --matched true --attended --yes; }
closings() { in_it cat /var/lib/evenwater/gpioset-was-told 2>/dev/null; }

# Ends the daemon by a signal while it drips, and measures. SIGNAL WORD
ended_by() {
    local pid inner began dead ready before closed
    claim "it is ready" fresh
    has "a run begins" "opens" "$(begin_run)"
    claim "it drips" within 5000 dripping
    before=$(closings | wc -l)
    inner=$(main_pid) pid=$(outer "$inner")
    began=$(now_ms)
    kill "-$1" "$pid"
    claim "it is dead" within 10000 gone "$pid"
    dead=$(($(now_ms) - began))
    claim "it is ready again, as another process" within 15000 ready_as_other_than "$inner"
    ready=$(($(now_ms) - began))
    at_most "dead after $2" 3000 "$dead"
    at_most "ready again after $2" 5000 "$ready"
    has "what the closer told the line" "17=0" "$(closings | tail -n +$((before + 1)))"
    lacks "nothing ever told it to open" "=1" "$(closings)"
    closed=$(($(closings | tail -n +$((before + 1)) | head -n 1 | cut -d' ' -f1) - began))
    figure "$2 while dripping: dead after $dead ms, the closer drove the line low after $closed ms, ready again after $ready ms"
    has "after the restart" idle "$(phase)"
}

stopped() {
    local began
    began=$(date +%s)
    ended_by STOP SIGSTOP
    has "why" "Watchdog timeout" "$(journal "$began")"
}

killed() { ended_by KILL SIGKILL; }

# One thread alone is held by ptrace(2), the rest of the process goes on: the watchdog must not be fed by those who are left.
frozen_thread() {
    local pid inner tid began dead holder since
    since=$(date +%s)
    claim "it is ready" fresh
    inner=$(main_pid) pid=$(outer "$inner")
    tid=$(grep -l -x sim-river "/proc/$pid/task"/*/comm | head -n 1 | cut -d/ -f5)
    claim "the station's thread is there" test -n "$tid"
    began=$(now_ms)
    # PTRACE_SEIZE and PTRACE_INTERRUPT, linux/ptrace.h; the number of the call is the architecture's.
    perl -e 'my $n = shift() + 0; my $t = shift() + 0; syscall($n, 0x4206, $t, 0, 0) == 0 or die "seize: $!"; syscall($n, 0x4207, $t, 0, 0); sleep 20' \
        "$([[ $(uname -m) == aarch64 ]] && echo 117 || echo 101)" "$tid" &
    holder=$!
    claim "it is killed though it is alive" within 12000 gone_or_dead "$pid"
    dead=$(($(now_ms) - began))
    kill "$holder" 2>/dev/null
    wait "$holder" 2>/dev/null
    at_least "not before the thread may be silent" 2900 "$dead"
    at_most "and soon after" 7500 "$dead"
    has "it says who stands still" "The watchdog is not fed: 'sim-river cycle' has stood still" "$(journal "$since")"
    figure "one thread held, the others alive: dead after $dead ms (3 s of silence are allowed, then the watchdog's 2 s)"
    claim "it is ready again" within 10000 ready_as_other_than "$inner"
}

stop() {
    local before since
    claim "it is ready" fresh
    since=$(date +%s)
    before=$(closings | wc -l)
    claim "it stops" in_it systemctl stop evenwater
    same "result" "success 0" "$(property Result) $(property ExecMainStatus)"
    has "the closer ran" "17=0" "$(closings | tail -n +$((before + 1)))"
    lacks "watchdog" "Watchdog timeout" "$(journal "$since")"
    claim_not "nobody gave up" in_it test -e /var/lib/evenwater/gave-up
}

crash_loop() {
    local pid deaths=0 since
    claim "it is ready" fresh
    since=$(($(date +%s) + 1))
    sleep 1 # the journal is asked by whole seconds, and the case before this ended with a closing
    while ((deaths < 9)) && ! is failed; do
        pid=$(main_pid)
        if [[ $pid != 0 ]] && in_it kill -KILL "$pid" 2>/dev/null; then deaths=$((deaths + 1)); fi
        within 1500 eval "[[ \$(main_pid) != $pid ]]" || break
        within 1500 eval '[[ $(main_pid) != 0 ]] || is failed'
    done
    same "deaths until it stays down" 5 "$deaths"
    same "state" failed "$(property ActiveState)"
    claim "the alarm is kept by the broker" within 8000 eval '[[ $(told alarm/gave-up) == *\"state\":\"unacknowledged\"* ]]'
    has "the alarm says what to do" "valve's plug" "$(told alarm/gave-up)"
    same "at the level that is written to the disk at once" 1 "$(in_it journalctl -q -o cat -p crit --since "@$since" -u 'evenwater-gave-up@*' | grep -c 'given up')"
    same "the closer ran after each death" 5 "$(journal "$since" | grep -c '^evenwater-close:')"
    sleep 1
    same "it stays down" failed "$(property ActiveState)"
    claim "started by hand it gets ready" fresh
    claim "and the alarm is cleared" within 3000 eval '[[ $(told alarm/gave-up) == *\"state\":\"normal\"* ]]'
    claim_not "and forgotten" in_it test -e /var/lib/evenwater/gave-up
}

disk_full() {
    local pid since
    in_it systemctl stop evenwater
    in_it mkdir -p /var/lib/evenwater
    in_it mount -t tmpfs -o size=2M,mode=700,uid="$(in_it id -u evenwater)",gid="$(in_it id -g evenwater)" tmpfs /var/lib/evenwater ||
        { claim "a small disk can be had" false; return; } # and never fill this machine's own
    claim "it is ready" fresh
    since=$(date +%s)
    pid=$(main_pid)
    has "a run begins" "opens" "$(begin_run)"
    claim "it drips" within 5000 dripping
    in_it sh -c 'head -c 4M /dev/zero >/var/lib/evenwater/filling' 2>/dev/null
    claim "it says that it cannot write" within 8000 eval '[[ $(journal '"$since"') == *"log can not commit"* ]]'
    claim "it closes" within 3000 eval '[[ $(phase) == *tripped* ]]'
    has "nothing opens unrecorded" "Refused: the log" "$(evenwater reset)"
    sleep 2 # with the command before: longer than the watchdog's patience
    same "it lives and is fed: a full disk is no hung daemon" "active $pid" "$(property ActiveState) $(main_pid)"
    in_it rm /var/lib/evenwater/filling
    claim "with room again it says so" within 5000 eval '[[ $(journal '"$since"') == *"log commits again"* ]]'
    has "and may open" "may be opened again" "$(evenwater reset)"
    same "by itself" "$pid" "$(main_pid)"
    in_it systemctl stop evenwater
    in_it umount /var/lib/evenwater
}
