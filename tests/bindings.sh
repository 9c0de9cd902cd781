#!/bin/bash
# Writes the phone's bindings in one language from its built library. They are never committed.
#   bindings.sh kotlin|swift|python   from $BUILT into $BINDINGS/LANGUAGE, with $CARGO
set -euo pipefail
cd "$(dirname "$0")/.."
language=$1
built=${BUILT:-target/debug}
into=${BINDINGS:-target/bindings}/$language
for library in "$built"/libcoldlug_phone.so "$built"/libcoldlug_phone.dylib; do
  [ -e "$library" ] && break
done
rm -rf "$into"
"${CARGO:-cargo}" run --quiet --locked --package coldlug-bindgen -- \
  generate --language "$language" --no-format --out-dir "$into" "$library"
