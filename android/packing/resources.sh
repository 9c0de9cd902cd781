#!/bin/bash
# Compiles the app's resources and manifest, and writes R.java. The manifest gets what Gradle gives it in
# a release (app/build.gradle.kts): the package and the versions of Android.
#   resources.sh OUT.ap_ GENERATED   in the app's folder; AAPT2 and FRAMEWORK may name others
set -euo pipefail
out=$1 generated=$2
aapt2=${AAPT2:-aapt2}
framework=${FRAMEWORK:-/usr/share/android-framework-res/framework-res.apk}
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
mkdir -p "$(dirname "$out")" "$generated"
manifest=$(dirname "$out")/AndroidManifest.xml
sed -e 's|<manifest |<manifest package="org.coldlug.phone" |' \
  -e '0,/<uses-permission/s|<uses-permission|<uses-sdk android:minSdkVersion="26" android:targetSdkVersion="35" />\n    <uses-permission|' \
  src/main/AndroidManifest.xml > "$manifest"
"$aapt2" compile --dir src/main/res -o "$work/res.zip"
"$aapt2" link -I "$framework" --manifest "$manifest" --java "$generated" \
  --min-sdk-version 26 --target-sdk-version 35 --auto-add-overlay -o "$out" "$work/res.zip"
