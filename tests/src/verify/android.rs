//! The Android app's checks: Debian's tools, and Maven with everything it downloads.

use std::process::Command;

use coldlug_tests::places;

use super::{debian, quiet};

const LOG: &str = "android.log";
const CHECK: &str = "android/packing/check.sh";
/// Java and Maven; Android's resources and their compiler; what packs, signs and looks into an APK.
const PACKAGES: [&str; 10] = [
    "openjdk-17-jdk-headless",
    "maven",
    "aapt",
    "android-framework-res",
    "zipalign",
    "apksigner",
    "dexdump",
    "proguard-cli",
    "zip",
    "unzip",
];

/// Installs the tools and downloads what Maven needs, the framework's true classes among it.
pub(crate) fn provide() -> Result<(), String> {
    let _lock = quiet::lock("android.lock")?;
    debian::provide(&PACKAGES)?;
    quiet::run(check().arg("fetch"), LOG)
}

/// A step of the app's check; which one, its argument says.
pub(crate) fn check() -> Command {
    let mut check = Command::new("bash");
    check.arg(places::root().join(CHECK)).env("COLDLUG_TARGET", places::target());
    // Without a cache of our own, Maven's is as good as any: it is kept between runs too.
    if places::cache() != places::root().join("target") {
        check.env("MAVEN_REPOSITORY", places::cache().join("maven"));
    }
    check
}
