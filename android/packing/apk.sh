#!/bin/bash
# Packs what Maven compiled into an APK and checks it. No core for a phone is built here, so the APK
# holds none: it shows that the app can be packed, not that it runs.
#   apk.sh BUILD   the build folder: resources.ap_, classes and packing/ lie in it, the APK comes there
set -euo pipefail
here=$(dirname "$(realpath "$0")")
build=$(realpath "$1")
parts=$build/packing
apk=$build/coldlug.apk
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT

# The library of Kotlin has call sites that are made at run time, which a phone's old runtime knows
# nothing of. ProGuard turns them into classes and leaves everything else as it is.
cat > "$work/proguard.cfg" <<P
-injars $parts/kotlin-stdlib.jar(!META-INF/**,!module-info.class)
-injars $parts/jna.jar(com/**.class)
-outjars $work/libraries.jar
-target 1.7
-dontshrink
-dontobfuscate
-dontoptimize
-dontpreverify
-dontwarn **
-dontnote **
-ignorewarnings
-keepattributes Signature,InnerClasses,EnclosingMethod,Exceptions,RuntimeVisibleAnnotations,AnnotationDefault,SourceFile,LineNumberTable
P
proguard "@$work/proguard.cfg" > "$work/proguard.log" || { tail -20 "$work/proguard.log" >&2; exit 1; }
java -Xmx1g -cp "$parts/dx.jar" com.android.dx.command.Main --dex --min-sdk-version=26 --multi-dex \
  --output="$work" "$work/libraries.jar" "$build/classes"

mkdir -p "$work/lib/arm64-v8a"
unzip -q -p "$parts/jna.aar" jni/arm64-v8a/libjnidispatch.so > "$work/lib/arm64-v8a/libjnidispatch.so"
cp "$build/android/resources.ap_" "$work/unaligned.apk"
(cd "$work" && zip -q unaligned.apk classes*.dex && zip -q -r -0 unaligned.apk lib)
python3 "$here/align.py" "$work/unaligned.apk" "$work/aligned.apk"
key=$build/trial-key.p12
[ -e "$key" ] || keytool -genkeypair -keystore "$key" -storetype PKCS12 -storepass trial-key -alias trial \
  -keyalg EC -dname "CN=trial" -validity 10000 2> "$work/keytool.log" || { cat "$work/keytool.log" >&2; exit 1; }
apksigner sign --ks "$key" --ks-pass pass:trial-key --min-sdk-version 26 --out "$apk" "$work/aligned.apk"

fail() { echo "apk: $*" >&2; exit 1; }
python3 "$here/call_sites.py" "$work"/classes*.dex || fail "a call site is left"
apksigner verify --min-sdk-version 26 --verbose "$apk" > "$work/verified" || fail "not signed as it should be"
grep -q "v2 scheme (APK Signature Scheme v2): true" "$work/verified" || fail "no v2 signature"
zipalign -c 16384 "$apk" || fail "not aligned to pages of 16 KiB"
for dex in "$work"/classes*.dex; do dexdump "$dex" 2> /dev/null | grep "Class descriptor" || true; done > "$work/held"
for class in App screen/JobsActivity screen/JobActivity screen/ActActivity device/KeystoreWrapping device/ShotProvider; do
  grep -q "'Lorg/coldlug/phone/$class;'" "$work/held" || fail "holds no class $class"
done
! grep -q "Landroidx/\|Lorg/robolectric/\|Lorg/junit/" "$work/held" || fail "holds a test's classes"
"${AAPT2:-aapt2}" dump badging "$apk" > "$work/facts"
for fact in "package: name='org.coldlug.phone'" "sdkVersion:'26'" "targetSdkVersion:'35'" \
  "launchable-activity: name='org.coldlug.phone.screen.JobsActivity'" "uses-permission: name='android.permission.INTERNET'"; do
  grep -qF "$fact" "$work/facts" || fail "its manifest does not say $fact"
done
[ "$(grep -c '^uses-permission' "$work/facts")" = 1 ] || fail "asks for more than one permission"
! unzip -l "$apk" | grep -q libcoldlug || fail "holds a core, which nothing here can have built"
echo "an APK of $(stat -c %s "$apk") bytes, without a core, packed and checked: $apk"
