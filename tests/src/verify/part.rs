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

    /// The same with environment variables.
    pub(crate) const fn with(self, env: &'static [(&'static str, &'static str)]) -> Self {
        Self { env, ..self }
    }

    /// The same with our crates optimised.
    pub(crate) const fn optimised(self) -> Self {
        Self { optimised: true, ..self }
    }
}
