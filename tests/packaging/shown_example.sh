#!/bin/sh
# DEVELOPERS.md shows tests/library_example as it is. shown_example.sh SOURCE
set -eu
cd "$1"
sed -n '/^```cpp$/,/^```$/p' DEVELOPERS.md | sed '1d;$d' | diff - tests/library_example/sweep_length.cpp
