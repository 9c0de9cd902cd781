//! Files in, bounded; files out, whole or not at all.

use std::{
    fs::{self, File},
    io::{BufWriter, Read, Write},
    path::Path,
};

use crate::trouble::Trouble;

/// The most that is read of any file, bytes: a county's map sheet has a tenth of it.
pub(crate) const MOST_BYTES: u64 = 256 * 1024 * 1024;

/// The bytes of a file, at most [`MOST_BYTES`].
pub(crate) fn read(path: &Path) -> Result<Vec<u8>, Trouble> {
    read_at_most(path, MOST_BYTES)
}

fn read_at_most(path: &Path, most: u64) -> Result<Vec<u8>, Trouble> {
    let unreadable = |source| Trouble::Unreadable { path: path.to_owned(), source };
    let mut bytes = Vec::new();
    let file = File::open(path).map_err(unreadable)?;
    file.take(most + 1).read_to_end(&mut bytes).map_err(unreadable)?;
    if bytes.len() as u64 > most {
        return Err(Trouble::TooLarge { path: path.to_owned(), most });
    }
    Ok(bytes)
}

/// The text of a file.
pub(crate) fn read_text(path: &Path) -> Result<String, Trouble> {
    String::from_utf8(read(path)?).map_err(|e| {
        Trouble::refused(
            path.display().to_string(),
            format!("byte {} is not UTF-8 text", e.utf8_error().valid_up_to()),
            "save the file as UTF-8",
        )
    })
}

/// Writes a file so that a reader finds all of it or nothing, also after a kill or a power cut.
pub(crate) fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Trouble> {
    let unwritable = |source| Trouble::Unwritable { path: path.to_owned(), source };
    write_whole_by(path, |out| out.write_all(bytes).map_err(unwritable))
}

/// The same for what is written bit by bit; gives what the writing gives.
pub(crate) fn write_whole_by<T>(
    path: &Path,
    write: impl FnOnce(&mut dyn Write) -> Result<T, Trouble>,
) -> Result<T, Trouble> {
    let unwritable = |source| Trouble::Unwritable { path: path.to_owned(), source };
    let mut draft = path.as_os_str().to_owned();
    draft.push(".draft");
    let draft = Path::new(&draft);
    let mut out = BufWriter::with_capacity(1 << 16, File::create(draft).map_err(unwritable)?);
    let given = write(&mut out).inspect_err(|_| drop(fs::remove_file(draft)))?;
    let file = out.into_inner().map_err(|why| unwritable(why.into_error()))?;
    file.sync_all().map_err(unwritable)?;
    fs::rename(draft, path).map_err(unwritable)?;
    // The rename itself is kept only when the folder is. Windows has no handle on folders.
    #[cfg(unix)]
    if let Some(folder) = path.parent().filter(|p| !p.as_os_str().is_empty()) {
        File::open(folder).and_then(|f| f.sync_all()).map_err(unwritable)?;
    }
    Ok(given)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn writes_whole_and_leaves_no_draft() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.json");
        write_whole(&path, b"one").unwrap();
        write_whole(&path, b"two").unwrap();
        assert_eq!(fs::read(&path).unwrap(), b"two");
        assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
    }

    #[test]
    fn a_file_that_is_too_large_or_missing_or_not_text_is_named() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("b.json");
        fs::write(&path, [0xff; 11]).unwrap();
        assert!(matches!(read_at_most(&path, 10), Err(Trouble::TooLarge { most: 10, .. })));
        assert!(matches!(read_text(&path), Err(Trouble::Refused { .. })));
        assert!(matches!(read(&dir.path().join("c")), Err(Trouble::Unreadable { .. })));
    }
}
