//! Debian packages that a part needs, installed when they are missing.

use std::process::Command;

use super::quiet;

const LOG: &str = "debian.log";

/// Sees to it that `packages` are installed: as root, or by sudo without a password.
///
/// # Errors
/// What is missing and why it could not be installed.
pub(crate) fn provide(packages: &[&str]) -> Result<(), String> {
    let _lock = quiet::lock("debian.lock")?;
    let missing: Vec<&str> = packages.iter().copied().filter(|name| !is_installed(name)).collect();
    if missing.is_empty() { Ok(()) } else { install(&missing) }
}

fn is_installed(package: &str) -> bool {
    Command::new("dpkg-query")
        .args(["--show", "--showformat=${db:Status-Status}", package])
        .output()
        .is_ok_and(|out| out.status.success() && out.stdout == b"installed")
}

fn install(packages: &[&str]) -> Result<(), String> {
    let apt = |sudo: bool, args: &[&str]| {
        let mut command = if sudo { Command::new("sudo") } else { Command::new("apt-get") };
        if sudo {
            command.args(["-n", "apt-get"]);
        }
        quiet::run(command.args(args).env("DEBIAN_FRONTEND", "noninteractive"), LOG)
    };
    let whole = |sudo: bool| {
        apt(sudo, &["update"])?;
        let mut args = vec!["install", "--yes", "--no-install-recommends"];
        args.extend(packages);
        apt(sudo, &args)
    };
    whole(false)
        .or_else(|_| whole(true))
        .map_err(|why| format!("please install {}: {why}", packages.join(" and ")))
}
