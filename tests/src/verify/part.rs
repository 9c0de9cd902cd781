//! What a part of `cargo verify` is: a name, a line about it, what must be there first, and steps.

/// One part, run alone by its name or with all others.
#[derive(Debug)]
pub(crate) struct Part {
    /// As typed on the command line.
    pub(crate) name: &'static str,
    /// One line for `--list`.
    pub(crate) does: &'static str,
    /// What must have been made or fetched before the first step.
    pub(crate) needs: &'static [Need],
    /// Run in this order; the first that fails ends the part.
    pub(crate) steps: &'static [Step],
}

/// Something made or fetched once, in the background, before the parts that want it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Need {
    /// The Python environment with the reference engines.
    Venv,
    /// The SMART-DS piece, unpacked.
    SmartDs,
    /// Outside feeders, and the Python environment with the engines that answer for them.
    Feeders,
    /// The checker of workflow files.
    Actionlint,
    /// The compiler that checks the phone's crate for other targets.
    CrossCompiler,
    /// Swift for Linux.
    Swift,
    /// Java, Maven and its downloads, what packs an APK.
    Android,
    /// The browser and what drives it.
    Browser,
}

/// One process.
#[derive(Debug)]
pub(crate) struct Step {
    /// What is started.
    pub(crate) program: Program,
    /// Its arguments.
    pub(crate) args: &'static [&'static str],
    /// Environment variables set for it.
    pub(crate) env: &'static [(&'static str, &'static str)],
    /// How its success is judged.
    pub(crate) judged: Judged,
    /// Our own crates are compiled with full optimisation for it.
    pub(crate) optimised: bool,
}

/// Which program a step starts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Program {
    /// The cargo that runs us.
    Cargo,
    /// The Python of [`Need::Venv`].
    Python,
    /// What writes the questions on the networks of [`Need::Feeders`].
    FeederCases,
    /// Cargo with the compiler of [`Need::CrossCompiler`].
    CrossCargo,
    /// What writes the phone's bindings from its built library; the argument is the language.
    Bindings,
    /// The checker of [`Need::Actionlint`].
    Actionlint,
    /// The check of the Swift package with [`Need::Swift`]; the argument is the step.
    SwiftPackage,
    /// The check of the Android app with [`Need::Android`]; the argument is the step.
    AndroidApp,
    /// Node, in the folder of [`Need::Browser`].
    Node,
}

impl Program {
    /// What has to be there before it can start.
    #[cfg(test)]
    pub(crate) const fn need(self) -> Option<Need> {
        match self {
            Self::Cargo | Self::Bindings => None,
            Self::Python => Some(Need::Venv),
            Self::FeederCases => Some(Need::Feeders),
            Self::CrossCargo => Some(Need::CrossCompiler),
            Self::Actionlint => Some(Need::Actionlint),
            Self::SwiftPackage => Some(Need::Swift),
            Self::AndroidApp => Some(Need::Android),
            Self::Node => Some(Need::Browser),
        }
    }

    /// As a person would call it.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Cargo => "cargo",
            Self::Python => "python",
            Self::FeederCases => "tests/feeders/cases.py",
            Self::CrossCargo => "cargo, for another target,",
            Self::Bindings => "bindings",
            Self::Actionlint => "actionlint",
            Self::SwiftPackage => "tests/swift/package.sh",
            Self::AndroidApp => "android/packing/check.sh",
            Self::Node => "node",
        }
    }
}

/// How the success of a step is judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Judged {
    /// By exit status alone; counts as one check.
    ByStatus,
    /// By exit status, and it must print the closing line of a test suite with at least one check
    /// passed: a suite that ran nothing has shown nothing.
    BySuite,
}

impl Step {
    const fn new(program: Program, args: &'static [&'static str], judged: Judged) -> Self {
        Self { program, args, env: &[], judged, optimised: false }
    }

    /// A cargo command judged by its exit status.
    pub(crate) const fn cargo(args: &'static [&'static str]) -> Self {
        Self::new(Program::Cargo, args, Judged::ByStatus)
    }

    /// A cargo command that runs tests.
    pub(crate) const fn tests(args: &'static [&'static str]) -> Self {
        Self::new(Program::Cargo, args, Judged::BySuite)
    }

    /// A Python command that runs tests.
    pub(crate) const fn pytest(args: &'static [&'static str]) -> Self {
        Self::new(Program::Python, args, Judged::BySuite)
    }

    /// Writes the questions on outside feeders.
    pub(crate) const fn feeder_cases() -> Self {
        Self::new(Program::FeederCases, &[], Judged::ByStatus)
    }

    /// A cargo command for another target, judged by its exit status.
    pub(crate) const fn cross(args: &'static [&'static str]) -> Self {
        Self::new(Program::CrossCargo, args, Judged::ByStatus)
    }

    /// Writes the phone's bindings in a language.
    pub(crate) const fn bindings(language: &'static [&'static str]) -> Self {
        Self::new(Program::Bindings, language, Judged::ByStatus)
    }

    /// Checks workflow files.
    pub(crate) const fn actionlint(files: &'static [&'static str]) -> Self {
        Self::new(Program::Actionlint, files, Judged::ByStatus)
    }

    /// Puts the Swift package together.
    pub(crate) const fn swift_assemble() -> Self {
        Self::new(Program::SwiftPackage, &["assemble"], Judged::ByStatus)
    }

    /// Runs the Swift package's tests.
    pub(crate) const fn swift_tests() -> Self {
        Self::new(Program::SwiftPackage, &["test"], Judged::BySuite)
    }

    /// A Node command that runs tests in the browser.
    pub(crate) const fn node(args: &'static [&'static str]) -> Self {
        Self::new(Program::Node, args, Judged::BySuite)
    }

    /// Runs the Android app's tests.
    pub(crate) const fn android_tests() -> Self {
        Self::new(Program::AndroidApp, &["test"], Judged::BySuite)
    }

    /// Packs the Android app and checks what was packed.
    pub(crate) const fn android_apk() -> Self {
        Self::new(Program::AndroidApp, &["apk"], Judged::ByStatus)
    }

    /// The same with environment variables.
    pub(crate) const fn with(self, env: &'static [(&'static str, &'static str)]) -> Self {
        Self { env, ..self }
    }

    /// The same with our crates optimised.
    pub(crate) const fn optimised(self) -> Self {
        Self { optimised: true, ..self }
    }
}
