#!/bin/bash
# The completion in bash itself: the script is sourced and asked what it proposes. completion.sh PROGRAM MATERIALS
set -eu
program=$(realpath "$1")
export REEDWRIGHT_MATERIALS=$2
source <("$program" --completion bash)
[[ $(complete -p reedwright) == *_reedwright* ]]

cd "$(mktemp -d)"
trap 'rm -rf "$PWD"' EXIT
touch "brass a4.yaml" other.yaml

# The words of a command line, the last of which is being typed; what is proposed for it, one a line.
proposed() {
    COMP_WORDS=("$program" "$@")
    COMP_CWORD=$#
    COMPREPLY=()
    _reedwright
    printf '%s\n' "${COMPREPLY[@]}"
}
failures=0
expect() {
    local wanted=$1
    shift
    local got
    got=$(proposed "$@" | paste -sd '|')
    if [[ $got != "$wanted" ]]; then
        echo "reedwright $*: proposed '$got', wanted '$wanted'"
        failures=1
    fi
}
expect 'plan' pla
expect '--version' --ver
expect 'zsh' --completion z
expect '--tip-thickness|--tier' cut --ti
expect '--read' cut brass.yaml --rea
expect 'strip|beam' pitch --tier ''
expect 'beam' pitch --tier = b
expect 'round-groove|round-tip' cut --shape r
expect 'cuzn37-plate|cuzn37-r630' pitch --material cuzn37
expect 'cuzn37-plate|cuzn37-r630' materials cuzn37
expect 'brass a4.yaml' pitch br
expect 'other.yaml' pitch --lot o
expect '' pitch --length 1
# Every command and every long option of every command.
for command in $("$program" --help | sed -n '/^Subcommands/,/^$/s/^  \([a-z]*\) .*/\1/p'); do
    expect "$command" "$command"
    for option in $("$program" "$command" --help | sed -n 's/^ *\(-[a-z],\)\{0,1\}\(--[a-z0-9-]*\).*/\2/p'); do
        proposed "$command" "$option" | grep -qxe "$option" || { echo "$command $option is not proposed"; failures=1; }
    done
done
exit $failures
