#!/bin/bash
# The app's checks, one step a call; where things lie comes from `cargo verify`.
#   check.sh fetch   downloads what Maven needs
#   check.sh test    compiles the app and runs its tests on the real framework and the real core
#   check.sh apk     packs an APK and checks it
set -euo pipefail
cd "$(dirname "$0")/../app"
target=${COLDLUG_TARGET:-$(realpath -m ../../target)}
maven=(mvn --batch-mode --no-transfer-progress "-Dcoldlug.target=$target")
# Kept between runs with everything else that was downloaded; else where Maven keeps things.
if [ -n "${MAVEN_REPOSITORY:-}" ]; then maven+=("-Dmaven.repo.local=$MAVEN_REPOSITORY"); fi
case ${1:-} in
fetch)
  "${maven[@]}" dependency:resolve dependency:resolve-plugins dependency:copy@sandbox-sdk dependency:copy@packing ;;
test)
  mkdir -p "$target/verify"
  log=$target/verify/android-test.log
  # Two jobs on a made-up sheet, as a phone has them after a sync. The example is built beside the core.
  "$target/debug/examples/ready_folder" "$target/android-folder"
  code=0
  "${maven[@]}" test > "$log" 2>&1 || code=$?
  # One closing line for all classes; Maven prints one for each and then their sum.
  sed -n 's/.*Tests run: \([0-9]*\), Failures: \([0-9]*\), Errors: \([0-9]*\), Skipped: \([0-9]*\)$/\1 \2 \3 \4/p' "$log" |
    tail -1 | awk '{ printf "%d passed, %d failed, %d skipped in 0s\n", $1 - $2 - $3 - $4, $2 + $3, $4 }'
  [ "$code" = 0 ] || { grep -E "ERROR|FAIL" "$log" | head -40 >&2; echo "all of it: $log" >&2; }
  exit "$code" ;;
apk)
  [ -e "$target/android/packing/dx.jar" ] || "${maven[@]}" --quiet dependency:copy@packing
  ../packing/apk.sh "$target/android" ;;
*)
  sed -n 2,6p "$0" >&2
  exit 2 ;;
esac
