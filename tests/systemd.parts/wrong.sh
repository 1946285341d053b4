# Units and configurations that are wrong: told, never silent. The last two are the negative controls of the cases before.

wrong_configuration() {
    local file=$work/root/etc/evenwater/evenwater.json since
    since=$(date +%s)
    cp "$file" "$work/good.json"
    echo '{ "stations": ["stations/nowhere.json"] }' >"$file"
    fresh >/dev/null 2>&1
    claim "it stays down" within 5000 is failed
    same "at once: another start would not help" "0 2" "$(property NRestarts) $(property ExecMainStatus)"
    has "and says what is wrong" "nowhere.json" "$(journal "$since")"
    claim "the alarm is kept by the broker that was last known" within 8000 eval '[[ $(told alarm/gave-up) == *\"state\":\"unacknowledged\"* ]]'
    cp "$work/good.json" "$file"
    claim "mended, it gets ready" fresh
}

wrong_unit() {
    local said
    drop_in $'Type=simple\nWatchdogSec=0\nWatchdogSignal=SIGABRT\nRestart=no\nExecStopPost=\nRuntimeDirectory=\nLoadCredential=\nProtectEverything=yes'
    said=$(evenwater check)
    drop_in
    has "no notify" "BAD  unit: Type=simple" "$said"
    has "no watchdog" "WatchdogSec=0" "$said"
    has "a watchdog that asks first" "WatchdogSignal=SIGABRT" "$said"
    has "no restart" "Restart=no" "$said"
    has "no closer" "ExecStopPost=:" "$said"
    has "no folder for the closer's list" "RuntimeDirectory=:" "$said"
    has "a credential that the configuration names and the unit does not load" "LoadCredential=mqtt-password" "$said"
    has "a directive that does not exist" "ProtectEverything" "$said"

    mv "$work/root/etc/evenwater/secret/mqtt-password" "$work/secret"
    claim_not "with a secret missing it does not start" fresh 2>/dev/null
    has "check says which, systemd itself does not" "/etc/evenwater/secret/mqtt-password: the file is missing" "$(evenwater check)"
    mv "$work/secret" "$work/root/etc/evenwater/secret/mqtt-password"
    claim "with it, it does" fresh
}

# Without the watchdog a hung daemon stays hung: what kills it in the case 'stopped' is the watchdog and nothing else.
no_watchdog() {
    local pid since
    drop_in 'WatchdogSec=0'
    since=$(date +%s)
    claim "it gets ready" fresh
    has "it says what is wrong" "The service's unit has WatchdogSec=0 s" "$(journal "$since")"
    has "the log keeps it and tells it" "unit-broken" "$(in_it grep -a -r -h -o unit-broken /var/lib/evenwater | head -n 1)"
    has "no run may be left alone" "Refused: not to be left alone. The service's unit" "$(evenwater begin sim-river --start-volume 1.6 --jug true --flow 15 --matched true --yes)"
    same "it stays closed" idle "$(phase | grep -o idle)"
    pid=$(outer "$(main_pid)")
    kill -STOP "$pid"
    sleep 4 # longer than 'stopped' takes to be dead, by a second
    claim "it is still there" alive "$pid"
    same "still stopped" T "$(awk '/^State:/ { print $2 }' "/proc/$pid/status")"
    same "and systemd takes it for active" active "$(property ActiveState)"
    kill -KILL "$pid"
    drop_in
}

# Without the socket to notify nothing is heard of READY, and running is not enough: what makes the case 'start' ready is the message and nothing else.
no_notify() {
    drop_in $'UnsetEnvironment=NOTIFY_SOCKET\nTimeoutStartSec=4\nRestart=no'
    claim_not "it never gets ready" fresh 2>/dev/null
    same "state" "failed timeout" "$(property ActiveState) $(property Result)"
    drop_in
    claim "as it is, it gets ready" fresh
}
