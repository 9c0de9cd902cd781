//! What can keep a command from answering: the place, the reason, and what to do.

use std::{io, path::PathBuf};

use coldlug_store::import::ImportError;
use miette::Diagnostic;
use thiserror::Error;

use crate::exit::Exit;

/// A command that could not answer.
#[derive(Debug, Error, Diagnostic)]
pub(crate) enum Trouble {
    /// A file that cannot be read.
    #[error("cannot read {}", path.display())]
    #[diagnostic(code(file_unreadable), help("check that the file is there and may be read"))]
    Unreadable {
        /// Which.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// A file beyond the size that any honest one has.
    #[error("{} is larger than {most} bytes", path.display())]
    #[diagnostic(code(file_too_large), help("this is not a file of ours, or it is damaged"))]
    TooLarge {
        /// Which.
        path: PathBuf,
        /// The most that is read, bytes.
        most: u64,
    },
    /// A file that cannot be written.
    #[error("cannot write {}", path.display())]
    #[diagnostic(code(file_unwritable), help("check the folder, its rights and the space left"))]
    Unwritable {
        /// Which.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// Standard output is gone.
    #[error("cannot write the answer")]
    #[diagnostic(code(output_gone))]
    Output {
        /// Why.
        source: io::Error,
    },
    /// A file or argument that does not say what it should.
    #[error("{what} is refused: {reason}")]
    #[diagnostic(code(input_refused), help("{todo}"))]
    Refused {
        /// Which file or argument.
        what: String,
        /// Place and reason.
        reason: String,
        /// What to do about it.
        todo: String,
        /// Each thing that is wrong, when there are several.
        #[related]
        findings: Vec<Finding>,
    },
    /// Something that the program itself promised and did not keep.
    #[error("a mistake of the program: {detail}")]
    #[diagnostic(code(fault), help("please report it with the command and its input"))]
    Fault {
        /// What was expected and what came.
        detail: String,
    },
}

/// One thing that is wrong in a file.
#[derive(Debug, Error, Diagnostic)]
#[error("{place}: {reason}")]
pub(crate) struct Finding {
    /// Feature and field, or line.
    pub(crate) place: String,
    /// What is wrong there.
    pub(crate) reason: String,
}

impl Trouble {
    /// A refusal of one thing for one reason.
    pub(crate) fn refused(
        what: impl Into<String>,
        reason: impl Into<String>,
        todo: impl Into<String>,
    ) -> Self {
        Self::Refused {
            what: what.into(),
            reason: reason.into(),
            todo: todo.into(),
            findings: Vec::new(),
        }
    }

    /// A mistake of the program.
    pub(crate) fn fault(detail: impl Into<String>) -> Self {
        Self::Fault { detail: detail.into() }
    }

    /// The exit code it leads to.
    pub(crate) fn exit(&self) -> Exit {
        match self {
            Self::Unreadable { .. } | Self::Unwritable { .. } | Self::Output { .. } => Exit::File,
            Self::TooLarge { .. } | Self::Refused { .. } => Exit::BadInput,
            Self::Fault { .. } => Exit::Fault,
        }
    }
}

impl From<ImportError> for Trouble {
    fn from(why: ImportError) -> Self {
        match why {
            ImportError::Unreadable(why) => Self::Unreadable { path: why.path, source: why.source },
            ImportError::NoRoom(why) => {
                Self::Unwritable { path: why.folder, source: io::Error::other(why.source) }
            }
        }
    }
}
