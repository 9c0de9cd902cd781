//! Exit codes, the same for every command.

use std::process::ExitCode;

/// What a command came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Exit {
    /// 0: yes. The sheet holds together, the set is identified, there is a plan, the record is whole.
    Yes,
    /// 1: no. Findings, not settled yet, no plan, a record that is not whole.
    No,
    /// 2: the input cannot be understood: bad usage, a malformed file, a name nobody knows.
    BadInput,
    /// 3: contradicted: map and field do not agree.
    Contradicted,
    /// 4: a file cannot be read or written.
    File,
    /// 5: a mistake of the program itself.
    Fault,
}

/// The same list, as `--help` prints it.
pub(crate) const HELP: &str = "\
Exit codes:
  0  yes: the sheet holds together, the set is identified, there is a plan, the record is whole
  1  no: findings, not settled yet, no plan, a record that is not whole
  2  the input cannot be understood: bad usage, a malformed file, a name nobody knows
  3  contradicted: map and field do not agree
  4  a file cannot be read or written
  5  a mistake of the program itself";

impl Exit {
    fn code(self) -> u8 {
        match self {
            Self::Yes => 0,
            Self::No => 1,
            Self::BadInput => 2,
            Self::Contradicted => 3,
            Self::File => 4,
            Self::Fault => 5,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit.code())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn help_names_every_code() {
        for exit in
            [Exit::Yes, Exit::No, Exit::BadInput, Exit::Contradicted, Exit::File, Exit::Fault]
        {
            assert!(HELP.contains(&format!("\n  {}  ", exit.code())), "{exit:?}");
        }
    }
}
