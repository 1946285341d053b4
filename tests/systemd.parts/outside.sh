# What needs no container: how exposed the units are, and that a mistake in one is told.

exposure() {
    local unit figure_line
    for unit in evenwater evenwater-gave-up@ evenwater-watch; do
        claim "$unit.service is exposed by 1.5 at the most" systemd-analyze security --offline=yes --threshold=15 "systemd/$unit.service" >"$work/exposure" 2>&1
        figure_line=$(grep -o 'exposure level for .*: [0-9.]*' "$work/exposure" | grep -o '[0-9.]*$')
        figure "exposure of $unit.service: ${figure_line:-?} (systemd-analyze security --offline=yes systemd/$unit.service, $(systemd-analyze --version | head -n 1))"
    done
    # And the threshold is one: the same unit without its call filter and with all capabilities is over it.
    grep -v -e '^SystemCallFilter' -e '^CapabilityBoundingSet' systemd/evenwater.service >"$work/evenwater.service"
    claim_not "a unit that may do more is over the threshold" systemd-analyze security --offline=yes --threshold=15 "$work/evenwater.service" >/dev/null 2>&1
}

# The units with their programs where they are here, so that nothing but a mistake can be complained of.
verified() { # SED_EXPRESSION: what systemd says of the daemon's unit after that change
    mkdir -p "$work/units"
    local file
    for file in evenwater evenwater-gave-up@; do
        sed -e "s#/opt/evenwater/evenwater-#$PWD/systemd/evenwater-#; s#/opt/evenwater/evenwater #$PWD/$program/evenwater #" "systemd/$file.service" >"$work/units/$file.service"
    done
    sed -i -e "$1" "$work/units/evenwater.service"
    systemd-analyze verify --man=no "$work/units/evenwater.service" 2>&1 | grep -F evenwater
}

verify() {
    same "the unit as it is" "" "$(verified '')"
    has "a directive that does not exist" "'ProtectEverything'" "$(verified 's/^ProtectSystem=.*/ProtectEverything=yes/')"
    has "a value that cannot be" "soon" "$(verified 's/^WatchdogSec=.*/WatchdogSec=soon/')"
    has "a service without a program" "ExecStart=" "$(verified '/^ExecStart=/d')"
    has "a program that is not there" "is not executable" "$(verified 's#^ExecStart=.*#ExecStart=/opt/nowhere/evenwater serve#')"
}
