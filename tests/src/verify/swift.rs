//! Swift for Linux in a folder of its own, made from Debian's packages.

use std::path::PathBuf;
use std::process::Command;

use coldlug_tests::places;

use super::{debian, quiet};

const LOG: &str = "swift.log";
const FOLDER: &str = "tests/swift/folder.sh";
const PACKAGE: &str = "tests/swift/package.sh";

fn folder() -> PathBuf {
    places::cache().join("swift")
}

/// Makes the folder, unless that was done. Only root may: its programs run under another root.
pub(crate) fn provide() -> Result<(), String> {
    let _lock = quiet::lock("swift.lock")?;
    debian::provide(&["debootstrap"])?;
    let mut make = Command::new("bash");
    quiet::run(make.arg(places::root().join(FOLDER)).arg("make").arg(folder()), LOG)
}

/// A step of the package's check; which one, its arguments say.
pub(crate) fn package() -> Command {
    let mut package = Command::new("bash");
    package
        .arg(places::root().join(PACKAGE))
        .env("SWIFT_FOLDER", folder())
        .env("SWIFT_PACKAGE", places::target().join("swift-package"))
        .env("BUILT", places::target().join("debug"))
        .env("BINDINGS", places::target().join("bindings").join("swift"));
    package
}
