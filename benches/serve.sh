#!/usr/bin/env bash
# How fast the service is, beside ceilings measured in the same run: benches/serve.sh [PAIRS]
#
# Builds the service, the ceiling server and the table benchmark, drives them on loopback in pairs
# (A B A B), takes CPU from the processes' own accounting, leaves out pairs with much foreign load and
# prints the median ratios. PROFILE=release builds faster and measures the profile of the tests.
# Needs: cargo, python3, wrk, curl; for a book in Postgres its server; for the peers (PEERS=1)
# python3-venv. ONLY=single,table measures some rows.
set -euo pipefail
cd "$(dirname "$0")/.."
profile=${PROFILE:-dist}
for program in cargo python3 wrk curl; do
    command -v "$program" >/dev/null || {
        echo "$program is missing (Debian: apt-get install python3 wrk curl)" >&2
        exit 1
    }
done
export CARGO_TARGET_DIR=${CARGO_TARGET_DIR:-target}
cargo build --quiet --profile "$profile" --bin crossfall
built=$(cargo bench --quiet --profile "$profile" --bench ceiling --bench table --no-run \
    --message-format=json | python3 -c '
import json, sys
for line in sys.stdin:
    message = json.loads(line)
    if message.get("executable") and "bench" in message["target"]["kind"]:
        print(message["target"]["name"] + "=" + message["executable"])')
# A database of its own, where Postgres is installed.
cluster=$(mktemp -d)
chmod 755 "$cluster"
trap '.ci/postgres stop "$cluster" >/dev/null 2>&1' EXIT
postgres=()
if ls /usr/lib/postgresql/*/bin/initdb >/dev/null 2>&1 || command -v initdb >/dev/null; then
    postgres=(--postgres "$(.ci/postgres start "$cluster" | tail -n 1)")
fi
peers=()
if [ "${PEERS:-}" = 1 ]; then
    python3 -m venv "$CARGO_TARGET_DIR/peers"
    "$CARGO_TARGET_DIR/peers/bin/pip" install -q 'uvicorn[standard]' pydantic orjson pandas polars
    peers=(--peers "$PWD/$CARGO_TARGET_DIR/peers/bin/python")
    case $CARGO_TARGET_DIR in /*) peers=(--peers "$CARGO_TARGET_DIR/peers/bin/python") ;; esac
fi
python3 benches/measure.py --pairs "${1:-5}" --service "$CARGO_TARGET_DIR/$profile/crossfall" \
    $(printf -- '--%s ' $built) "${postgres[@]}" "${peers[@]}" ${ONLY:+--only "$ONLY"}
