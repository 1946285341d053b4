# The container: a root of a few folders, this machine's /usr read-only, the units under /etc, a systemd of its own as process 1.

why_no_container() { # prints why, and fails, when there can be none
    local program
    ((EUID == 0)) || { echo "a container needs root; this is $(id -un)"; return 1; }
    for program in systemd-nspawn:systemd-container nsenter:util-linux mosquitto:mosquitto mosquitto_pub:mosquitto-clients perl:perl-base; do
        command -v "${program%%:*}" >/dev/null || { echo "no ${program%%:*} here (apt install ${program##*:})"; return 1; }
    done
    [[ -x /usr/lib/systemd/systemd ]] || { echo "no /usr/lib/systemd/systemd here"; return 1; }
    [[ -L /bin && -L /lib ]] || { echo "/bin and /lib are not links into /usr here"; return 1; }
}

ask_key=000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f # of these tests alone

make_root() {
    local root=$work/root folder file
    mkdir -p "$root"/{etc,usr,var/lib,run,tmp,proc,sys,dev,root} "$root"/opt/{evenwater,dotnet,fake} "$root"/etc/{dotnet,sysusers.d,tmpfiles.d} \
        "$root"/etc/systemd/system/evenwater{,-gave-up@}.service.d "$root"/etc/evenwater/{stations,secret} || return 1
    for folder in bin sbin lib lib32 lib64 libx32; do [[ ! -L /$folder ]] || cp -a "/$folder" "$root/$folder"; done
    printf 'root:x:0:0::/root:/bin/sh\n' >"$root/etc/passwd"
    printf 'root:x:0:\n' >"$root/etc/group"
    echo 7b1f3a0c5d2e4f60918273645a5b6c7d >"$root/etc/machine-id"
    cp /etc/os-release "$root/etc/"
    cp -a /etc/ld.so.* /etc/alternatives "$root/etc/"
    echo /opt/dotnet >"$root/etc/dotnet/install_location"
    ln -s /dev/null "$root/etc/systemd/system/systemd-logind.service"

    cp -r "$program"/. systemd "$root/opt/evenwater/"
    cp systemd/evenwater-close systemd/evenwater-gave-up "$root/opt/evenwater/"
    cp systemd/*.service "$root/etc/systemd/system/"
    cp systemd/sysusers.conf "$root/etc/sysusers.d/evenwater.conf"
    cp systemd/tmpfiles.conf "$root/etc/tmpfiles.d/evenwater.conf"
    cp config/stations/sim-river.json "$root/etc/evenwater/stations/"
    cat >"$root/etc/evenwater/evenwater.json" <<'END'
{ "stations": ["stations/sim-river.json"], "store": { "batchSeconds": 0.5 },
  "mqtt": { "host": "127.0.0.1", "port": 1883, "user": "keeper", "passwordFile": "mqtt-password", "askKeyFile": "mqtt-ask-key" } }
END
    echo 'two words' >"$root/etc/evenwater/secret/mqtt-password"
    echo "$ask_key" >"$root/etc/evenwater/secret/mqtt-ask-key"
    for file in evenwater evenwater-gave-up@; do
        printf '[Service]\nLoadCredential=mqtt-password:/etc/evenwater/secret/mqtt-password\n' >"$root/etc/systemd/system/$file.service.d/secret.conf"
    done
    # As the unit has it, without the comment sign.
    sed -n 's/^#\(LoadCredential=mqtt-ask-key:\)/\1/p' systemd/evenwater.service >>"$root/etc/systemd/system/evenwater.service.d/secret.conf"
    make_fakes "$root"
    make_broker "$root"
}

# A chip with one line, and a gpioset that notes what it was told and when. The simulated station has no line, so one is put into the list.
make_fakes() { # ROOT
    cat >"$1/opt/fake/gpioset" <<'END'
#!/bin/sh
[ "$1" != --version ] || { echo 'gpioset (libgpiod) v1.6.3'; exit 0; }
echo "$(date +%s%3N) $*" >>"$STATE_DIRECTORY/gpioset-was-told"
END
    printf '#!/bin/sh\necho "gpiochip0 [a chip] (58 lines)"\n' >"$1/opt/fake/gpiodetect"
    chmod 755 "$1"/opt/fake/*
    cat >"$1/etc/systemd/system/evenwater.service.d/fakes.conf" <<'END'
[Service]
Environment=PATH=/opt/fake:/usr/bin:/bin
ExecStartPost=/bin/sh -c 'echo "17 a chip" >$RUNTIME_DIRECTORY/valve-lines; nice -n -5 nice >$RUNTIME_DIRECTORY/nicest'
END
}

make_broker() { # ROOT
    mkdir "$1/etc/broker"
    printf 'listener 1883 127.0.0.1\nallow_anonymous false\npassword_file /etc/broker/passwords\n' >"$1/etc/broker/broker.conf"
    mosquitto_passwd -b -c "$1/etc/broker/passwords" keeper 'two words' 2>/dev/null
    chmod 755 "$1/etc/broker"
    chmod 644 "$1/etc/broker"/*
    printf '[Service]\nExecStart=%s -c /etc/broker/broker.conf\n' "$(command -v mosquitto)" >"$1/etc/systemd/system/broker.service"
}

start_container() {
    make_root || return 1
    # Its own process group and no terminal: keys meant for this script are not for the container.
    SYSTEMD_NSPAWN_UNIFIED_HIERARCHY=1 setsid systemd-nspawn --register=no --keep-unit -q -D "$work/root" --bind-ro=/usr \
        --bind-ro="$(dirname "$(readlink -f "$(command -v dotnet)")"):/opt/dotnet" --private-network --console=pipe \
        -b systemd.unit=basic.target </dev/null >"$work/console" 2>&1 &
    nspawn=$!
    within 15000 eval 'find_leader || ! kill -0 $nspawn 2>/dev/null' && [[ -n $leader ]] && within 15000 booted || { stop_container; return 1; }
    in_it systemctl start broker
}

find_leader() {
    leader=$(pgrep -P "$nspawn" -f 'systemd systemd.unit=basic.target' | head -n 1)
    [[ -n $leader ]] || leader=$(pgrep -f "^/usr/lib/systemd/systemd systemd.unit=basic.target" -P "$(pgrep -P "$nspawn" | head -n 1)" 2>/dev/null | head -n 1)
    [[ -n $leader ]]
}

booted() { [[ $(in_it systemctl is-system-running 2>/dev/null) == @(running|degraded) ]]; }

in_it() { env -i PATH=/usr/bin:/bin:/usr/sbin:/sbin LC_ALL=C SYSTEMD_COLORS=0 nsenter -t "$leader" -a "$@"; }

stop_container() {
    [[ -z $leader ]] || kill -RTMIN+4 "$leader" 2>/dev/null # poweroff.target, systemd(1)
    within 5000 eval "! kill -0 $nspawn 2>/dev/null" || { kill -KILL ${leader:+"$leader"} "$nspawn" 2>/dev/null; }
    wait "$nspawn" 2>/dev/null
    nspawn='' leader=''
}

# ---- what the cases ask -------------------------------------------------------------------------------------------------

property() { in_it systemctl show evenwater -p "$1" --value; }
main_pid() { property MainPID; }
is() { [[ $(property ActiveState) == "$1" ]]; } # STATE
ready_as_other_than() { local pid; pid=$(main_pid); [[ $pid != "$1" && $pid != 0 ]] && is active; }
dripping() { [[ $(phase) == *dripping* ]]; }
gone_or_dead() { ! alive "$1" || [[ $(awk '/^State:/ { print $2 }' "/proc/$1/status" 2>/dev/null) == Z ]]; }
alive() { [[ -n $1 && -d /proc/$1 ]]; } # host's number
gone() { ! alive "$1"; }

outer() { # container's number of a process -> this machine's
    local file
    for file in /proc/[0-9]*/status; do
        awk -v pid="$1" '/^PPid:/ { parent = $2 } /^NSpid:/ && NF > 2 && $NF == pid { found = 1 } END { exit !found }' "$file" 2>/dev/null || continue
        [[ /proc/$leader/ns/pid -ef ${file%/status}/ns/pid ]] && { file=${file%/status}; echo "${file#/proc/}"; return 0; }
    done
    return 1
}

evenwater() { in_it setpriv --reuid=evenwater --regid=evenwater --clear-groups env STATE_DIRECTORY=/var/lib/evenwater /opt/evenwater/evenwater "$@" 2>&1; }
# What the daemon says on its socket, without the second that the program would take to start.
phase() {
    in_it perl -MIO::Socket::UNIX -e 'my $s = IO::Socket::UNIX->new(Peer => "/var/lib/evenwater/control.sock") or exit 1;
        print $s "{\"verb\":\"phase\"}\n"; print scalar <$s>' 2>/dev/null
}
journal() { in_it journalctl -q --no-pager -o cat --since "@$1" -u evenwater -u 'evenwater-gave-up@*'; }
told() { in_it timeout 3 mosquitto_sub -h 127.0.0.1 -u keeper -P 'two words' -C 1 -W 2 -t "evenwater/v1/sim-river/$1" 2>/dev/null; }

asked() { # VERB MESSAGE: what the daemon answers over MQTT
    in_it mosquitto_rr -V 5 -h 127.0.0.1 -u keeper -P 'two words' -W 5 -t "evenwater/v1/sim-river/ask/$1" -e evenwater/v1/sim-river/answer/test -m "$2" 2>/dev/null
}
word_of() { grep -o "\"$1\":\"\?[0-9a-f]*" <<<"$2" | tail -n 1 | grep -o '[0-9a-f]*$'; } # KEY JSON

fresh() { # starts the daemon anew, whatever was before; false when it does not get ready
    in_it systemctl stop evenwater 'evenwater-gave-up@*'
    in_it systemctl reset-failed evenwater 'evenwater-gave-up@*' 2>/dev/null
    in_it systemctl start evenwater
}

drop_in() { # TEXT, or nothing to take it away
    local file=$work/root/etc/systemd/system/evenwater.service.d/zz-case.conf
    if (($#)); then printf '[Service]\n%s\n' "$1" >"$file"; else rm -f "$file"; fi
    in_it systemctl daemon-reload
}
