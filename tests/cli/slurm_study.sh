#!/usr/bin/env bash
# SPDX-License-Identifier: Apache-2.0
# A study as a Slurm job array on one node: each task answers its share of the cases, put together they are what one process answers.
# Needs Debian's slurm-wlm and munge, and root to start them; exit status 77 where that is not so.
# shellcheck source-path=SCRIPTDIR source=support.sh
source "$(dirname "$0")/support.sh"

[ -n "${BAKEWRIGHT_LONG:-}" ] || {
    echo "skipped: one of the long tests; BAKEWRIGHT_LONG=1 asks for it"
    exit 77
}
for needed in slurmctld slurmd sbatch munged; do
    command -v "$needed" >/dev/null || {
        echo "skipped: $needed is not there (Debian: slurm-wlm, munge)"
        exit 77
    }
done
[ "$(id -u)" -eq 0 ] || {
    echo "skipped: only root can start Slurm's daemons"
    exit 77
}

# Daemons of our own, with key, sockets and state in a folder of our own.
slurm=$(mktemp -d /tmp/slurm-test.XXXXXX)
node=$(hostname -s)
stop() {
    for pid in "$slurm"/*.pid; do [ -s "$pid" ] && kill "$(cat "$pid")" 2>/dev/null || true; done
    sleep 1
    rm -rf "$slurm" "$work"
}
trap stop EXIT
chmod 755 "$slurm"
dd if=/dev/urandom of="$slurm/munge.key" bs=128 count=1 status=none
chmod 400 "$slurm/munge.key"
munged --force --key-file="$slurm/munge.key" --socket="$slurm/munge.socket" --pid-file="$slurm/munge.pid" --log-file="$slurm/munge.log" \
    --seed-file="$slurm/munge.seed"
cat >"$slurm/slurm.conf" <<CONF
ClusterName=test
SlurmctldHost=$node(127.0.0.1)
SlurmctldPort=$((20000 + RANDOM % 10000))
SlurmdPort=$((30001 + RANDOM % 10000))
SlurmUser=root
AuthType=auth/munge
AuthInfo=socket=$slurm/munge.socket
CredType=cred/munge
ProctrackType=proctrack/pgid
TaskPlugin=task/none
SelectType=select/cons_tres
SelectTypeParameters=CR_CPU
ReturnToService=2
StateSaveLocation=$slurm/state
SlurmdSpoolDir=$slurm/spool
SlurmctldPidFile=$slurm/slurmctld.pid
SlurmdPidFile=$slurm/slurmd.pid
SlurmctldLogFile=$slurm/slurmctld.log
SlurmdLogFile=$slurm/slurmd.log
MpiDefault=none
NodeName=$node NodeAddr=127.0.0.1 CPUs=$(nproc) State=UNKNOWN
PartitionName=all Nodes=$node Default=YES MaxTime=30 State=UP
CONF
mkdir "$slurm/state" "$slurm/spool"
export SLURM_CONF=$slurm/slurm.conf
slurmctld
slurmd
for _ in $(seq 60); do
    sinfo --noheader --format=%T 2>/dev/null | grep -qE 'idle' && break
    sleep 1
done
sinfo --noheader --format=%T | grep -qE 'idle' || fail "the node does not come up: $(tail -5 "$slurm"/slurm*.log)"

for minutes in $(seq 10 3 127); do
    printf '{"id": %s, "shell": "library_van", "booth": "stirred_insulated", "coating": "clear_low_bake", "set-point": "61 degC", "hold": "%s min", "confidence": "none"}\n' \
        "$minutes" "$minutes"
done >cases.jsonl
split --lines=10 --numeric-suffixes --suffix-length=2 cases.jsonl part.
cat >task.sh <<SH
#!/bin/sh
part=\$(printf '%02d' "\$SLURM_ARRAY_TASK_ID")
exec "$program" study "$work/part.\$part" --threads 1 --out "$work/answers.\$part"
SH
sbatch --wait --array="0-$(($(find . -name 'part.*' | wc -l) - 1))" --export=ALL --chdir="$work" --output="$work/task-%a.log" task.sh >submitted ||
    fail "the array ended with $?: $(cat submitted task-*.log)"
cat answers.* >array
run 0 study cases.jsonl
[ "$(wc -l <array)" -eq "$(wc -l <cases.jsonl)" ] || fail "$(wc -l <array) answers to $(wc -l <cases.jsonl) cases"
diff <(sed 's/"line":[0-9]*,//' array) <(sed 's/"line":[0-9]*,//' <<<"$out") >/dev/null || fail "the array answers otherwise than one process"
echo "$(wc -l <array) cases in $(find . -name 'part.*' | wc -l) tasks of an array: none lost, each answered as by one process"
finish
