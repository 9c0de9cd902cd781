#!/bin/bash
# On a Mac with Xcode: builds core for devices and simulators, and lays what the package is made of
# into ios/Generated. Has not run where this was written.
#   ios/framework.sh
set -euo pipefail
cd "$(dirname "$0")/.."
export IPHONEOS_DEPLOYMENT_TARGET=17.0
name=coldlug_phone
device=aarch64-apple-ios
simulators=(aarch64-apple-ios-sim x86_64-apple-ios)
made=ios/Generated
built=$(cargo metadata --format-version 1 --no-deps | python3 -c 'import json, sys; print(json.load(sys.stdin)["target_directory"])')

rustup target add "$device" "${simulators[@]}"
for target in "$device" "${simulators[@]}"; do
  cargo build --locked --release --package coldlug-phone --lib --target "$target"
done

# The bindings are read out of a library for this Mac.
cargo build --locked --package coldlug-phone --lib
BINDINGS=$built/bindings BUILT=$built/debug tests/bindings.sh swift

rm -rf "$made" "$built/framework"
mkdir -p "$made/ColdlugCore" "$built/framework/headers/${name}FFI" "$built/framework/simulator"
cp "$built/bindings/swift/$name.swift" "$made/ColdlugCore/"
cp "$built/bindings/swift/${name}FFI.h" "$built/framework/headers/${name}FFI/"
# In a folder of its own: a map at the root would meet those of other packages.
ios/module-map.sh "$built/framework/headers/${name}FFI" no-link
lipo -create -output "$built/framework/simulator/lib$name.a" \
  "$built/aarch64-apple-ios-sim/release/lib$name.a" "$built/x86_64-apple-ios/release/lib$name.a"
xcodebuild -create-xcframework \
  -library "$built/$device/release/lib$name.a" -headers "$built/framework/headers" \
  -library "$built/framework/simulator/lib$name.a" -headers "$built/framework/headers" \
  -output "$made/${name}FFI.xcframework"
