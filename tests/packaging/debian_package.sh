#!/bin/sh
# The Debian package as it comes out: built by cpack, unpacked into a folder, and the program run from there, with an
# empty environment, in a folder of its own and with nothing in it that names the source tree.
# debian_package.sh SOURCE BUILD
set -eu
source=$1 build=$2
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
fail() { echo "$*"; exit 1; }

(cd "$build" && cpack -G DEB -B "$work/package") >"$work/cpack.log" 2>&1 || { cat "$work/cpack.log"; exit 1; }
deb=$(echo "$work"/package/*.deb)
depends=$(dpkg-deb --field "$deb" Depends)
for library in libc6 libstdc++6 libyaml-cpp0.7 libfmt9 libcairo2 libsndfile1 libssl3 libocct-data-exchange-7.6 fonts-dejavu-core; do
  case "$depends," in
    *"$library,"* | *"$library ("*) ;;
    *) fail "the package does not depend on $library: $depends" ;;
  esac
done
[ -z "$(dpkg-deb --info "$deb" conffiles 2>/dev/null)" ] || fail "there are conffiles"

dpkg-deb -x "$deb" "$work/root"
usr=$work/root/usr
for file in share/man/man1/reedwright.1.gz share/bash-completion/completions/reedwright share/doc/reedwright/copyright \
  share/zsh/vendor-completions/_reedwright share/fish/vendor_completions.d/reedwright.fish \
  share/reedwright/materials/cuzn37-r630.yaml share/reedwright/designs/03_ten_hole_brass/equal.yaml \
  lib/cmake/reedwright/reedwright-config.cmake include/reedwright/core/vibration/pitch.hpp; do
  [ -s "$usr/$file" ] || fail "no usr/$file in the package"
done
[ -z "$(find "$work/root" -type f ! -path "*/usr/*")" ] || fail "files outside /usr"
named=$(grep -rlF "$source" "$work/root" || true)
[ -z "$named" ] || fail "the source tree is named in: $named"

mkdir "$work/bench"
cd "$work/bench"
run() { env -i PATH=/usr/bin:/bin HOME="$work/bench" "$usr/bin/reedwright" "$@"; }
[ "$(run --version)" = "reedwright $(dpkg-deb --field "$deb" Version)" ] || fail "versions differ"
designs=$usr/share/reedwright/designs
run cut "$designs/01_three_tongues/brass_a4.yaml" --read -12c --want A4 >cut.txt
grep -q '^best  *outer' cut.txt || fail "$(cat cut.txt)"
run plan "$designs/03_ten_hole_brass/equal.yaml" >plan.txt
[ "$(grep -c '^ *[0-9][0-9]* .*\(blow\|draw\)' plan.txt)" = 20 ] || fail "$(cat plan.txt)"
run shop "$designs/01_three_tongues/steel_e5.yaml" --out steel_e5 >shop.txt
grep -q 'ISO-10303-21' steel_e5/reed.step || fail "no STEP file"
run shop "$designs/03_ten_hole_brass/equal.yaml" --out ten_hole >shop.txt
for file in assembly.step drawings.pdf contents.json; do [ -s "ten_hole/$file" ] || fail "no ten_hole/$file"; done
