#!/bin/sh
# The manual page: names every command and option, and groff and mandoc (where they are installed) have nothing to
# complain about. manual_page.sh PROGRAM
set -eu
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
"$1" --manual >"$work/reedwright.1"
if command -v groff >/dev/null; then
  complaints=$(groff -man -ww -Tutf8 "$work/reedwright.1" 2>&1 >"$work/page")
  [ -z "$complaints" ] || { echo "$complaints"; exit 1; }
fi
if command -v mandoc >/dev/null; then mandoc -Tlint -W warning "$work/reedwright.1"; fi
sed 's/\\f.//g; s/\\-/-/g' "$work/reedwright.1" >"$work/plain"
for command in $("$1" --help | sed -n '/^Subcommands/,/^$/s/^  \([a-z]*\) .*/\1/p'); do
  grep -q "^\.SS \"$command " "$work/plain" || { echo "$command is not on the page"; exit 1; }
  for option in $("$1" "$command" --help | sed -n 's/^ *\(-[a-z],\)\{0,1\}\(--[a-z0-9-]*\).*/\2/p'); do
    grep -qe "$option" "$work/plain" || { echo "$command $option is not on the page"; exit 1; }
  done
done
