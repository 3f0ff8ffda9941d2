#!/bin/sh
# The library as another project finds it: installs the build folder into a fresh prefix, then configures, builds and
# runs tests/library_example there. outside_project.sh SOURCE BUILD COMPILER
set -eu
source=$1 build=$2 compiler=$3
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

cmake --install "$build" --prefix "$work/prefix" >"$work/install.log" || { cat "$work/install.log"; exit 1; }
# The example stands alone, as in a folder of its own.
cp -r "$source/tests/library_example" "$work/example"
cmake -S "$work/example" -B "$work/build" -DCMAKE_PREFIX_PATH="$work/prefix" -DCMAKE_CXX_COMPILER="$compiler" \
  -DCMAKE_BUILD_TYPE=Release -DCMAKE_CXX_FLAGS="-Wall -Wconversion" >"$work/configure.log" 2>&1 ||
  { cat "$work/configure.log"; exit 1; }
cmake --build "$work/build" 2>&1 | tee "$work/build.log" | grep -i warning && { echo "the headers warn"; exit 1; }
"$work/build/sweep_length" | tee "$work/answer"

# Library and installed program say the same of the same tongue.
program=$("$work/prefix/bin/reedwright" pitch --material cuzn37-r630 --length 15mm --width 2mm --thickness 0.16mm \
  --tip-thickness 0.09mm --give 0.64 --json | sed -n 's/^ *"pitch_hz": \([0-9.]*\).*/\1/p')
awk -v program="$program" '$1 == "15.0" { found = 1; if (($2 - program) ^ 2 > 0.0051 ^ 2) { print "the program says " program; exit 1 } }
  END { if (!found) exit 1 }' "$work/answer"

# The headers that are installed compile by themselves, each alone.
for header in $(cd "$work/prefix/include/reedwright" && find cad_export core -name '*.hpp' | sort); do
  echo "#include <$header>"
done >"$work/all.cpp"
"$compiler" -std=c++20 -fsyntax-only -I"$work/prefix/include/reedwright" "$work/all.cpp"
