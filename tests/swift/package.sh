#!/bin/bash
# Puts the Swift package together with what was generated and built for it, and checks it.
#   package.sh assemble   into $SWIFT_PACKAGE, from ios/, $BINDINGS and $BUILT
#   package.sh test       compiles all of it, views included, and runs its tests
set -euo pipefail
cd "$(dirname "$0")/../.."
case ${1:-} in
assemble)
  mkdir -p "$SWIFT_PACKAGE"
  # What was compiled before stays: only sources are laid anew. But what was compiled against another
  # interface goes: the package manager does not see that a record has another layout, and tests read a
  # field in the place of its neighbour.
  against=$SWIFT_PACKAGE/.build/compiled-against
  if ! cmp -s "$BINDINGS/coldlug_phone.swift" "$against"; then
    rm -rf "$SWIFT_PACKAGE/.build"
    mkdir "$SWIFT_PACKAGE/.build"
    cp "$BINDINGS/coldlug_phone.swift" "$against"
  fi
  find "$SWIFT_PACKAGE" -mindepth 1 -maxdepth 1 ! -name .build -exec rm -rf {} +
  cp -a ios/. "$SWIFT_PACKAGE/"
  ffi=$SWIFT_PACKAGE/Generated/coldlug_phoneFFI
  mkdir -p "$ffi" "$SWIFT_PACKAGE/Generated/ColdlugCore" "$SWIFT_PACKAGE/lib"
  cp -a "$BINDINGS"/*.swift "$SWIFT_PACKAGE/Generated/ColdlugCore/"
  cp -a "$BINDINGS"/*.h "$ffi/"
  ios/module-map.sh "$ffi"
  cp -a "$BUILT/libcoldlug_phone.so" "$SWIFT_PACKAGE/lib/"
  "$BUILT/examples/ready_folder" "$SWIFT_PACKAGE/ready" ;;
test)
  log="$SWIFT_PACKAGE/test.log"
  # The library of observation that comes with Swift 6.0 for Linux names a symbol that it never uses.
  # Swift's newer test library would end its own empty run last, so it is left out.
  tests/swift/folder.sh run "$SWIFT_FOLDER" "$SWIFT_PACKAGE" swift test --disable-swift-testing \
    -Xlinker -L/pkg/lib -Xlinker -rpath -Xlinker /pkg/lib -Xlinker --allow-shlib-undefined 2>&1 | tee "$log"
  # One closing line for the whole run; the tool itself prints one for every class and their sums.
  sed -n 's/.*Executed \([0-9]*\) tests\{0,1\}, with \(\([0-9]*\) tests\{0,1\} skipped and \)\{0,1\}\([0-9]*\) failures\{0,1\}.* in \([0-9.]*\) (.*/\1 \4 \5 \3/p' "$log" |
    tail -1 | awk '{ printf "%d passed, %d failed, %d skipped in %ss\n", $1 - $2 - $4, $2, $4, $3 }' ;;
*)
  sed -n 2,4p "$0" >&2
  exit 2 ;;
esac
