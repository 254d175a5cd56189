#!/bin/sh
# Prices a CSV of jobs and saves the answer; needs curl and awk.
#
#   sh batch.sh district-entrances.csv answer.csv
#
# The service's address comes from SERVICE_URL (http://127.0.0.1:8080 where it is not set), a key
# from SERVICE_KEY. Prints how many rows have which status.
set -eu

[ $# -eq 2 ] || { echo "usage: $0 JOBS.csv ANSWER.csv" >&2; exit 2; }
address=${SERVICE_URL:-http://127.0.0.1:8080}

# The key goes in by standard input: the words of a command can be read by everybody on the machine.
key=""
if [ -n "${SERVICE_KEY:-}" ]; then key="header = \"X-API-Key: $SERVICE_KEY\""; fi
status=$(printf '%s\n' "$key" | curl --silent --show-error --config - --max-time 600 \
    --header 'Content-Type: text/csv' --header 'Accept: text/csv' --data-binary "@$1" \
    --output "$2" --write-out '%{http_code}' "$address/v1/estimates/batch")
if [ "$status" != 200 ]; then
    echo "refused with $status:" >&2
    cat "$2" >&2
    exit 1
fi

# A cell in quotes may hold commas and line breaks, so the answer is read mark by mark.
awk '
function keep() {
    if (row == 0 && cell == "status") wanted = column
    if (row > 0 && column == wanted) counts[cell]++
    cell = ""
    column++
}
BEGIN { row = 0; column = 0; wanted = -1 }
{
    sub(/\r$/, "")
    for (at = 1; at <= length($0); at++) {
        mark = substr($0, at, 1)
        if (mark == "\"") quoted = !quoted
        else if (mark == "," && !quoted) keep()
        else cell = cell mark
    }
    if (quoted) { cell = cell " "; next }
    keep()
    row++
    column = 0
}
END {
    for (status in counts) print counts[status], status | "sort -k 2"
    close("sort -k 2")
    if (quoted || counts["aborted"]) { print "the answer breaks off: send the rows again"; exit 1 }
}' "$2"
