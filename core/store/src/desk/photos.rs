//! Photos: files in one folder, each named by the hash of its bytes.

use std::{
    fs::{self, File},
    io::{self, Write},
    path::{Path, PathBuf},
};

use coldlug_core::{event::Sha256Hex, log::sha256};

use crate::error::StoreError;

/// The folder of photos.
#[derive(Debug, Clone)]
pub struct Photos {
    folder: PathBuf,
}

impl Photos {
    /// Opens the folder, or makes it.
    pub fn open(folder: &Path) -> Result<Self, StoreError> {
        fs::create_dir_all(folder).map_err(|error| StoreError::CannotOpen {
            path: folder.to_owned(),
            reason: error.to_string(),
        })?;
        Ok(Self { folder: folder.to_owned() })
    }

    fn place(&self, hash: &Sha256Hex) -> PathBuf {
        self.folder.join(hash.to_string())
    }

    /// Keeps a photo. When this returns, it survives a kill and a battery pulled.
    pub fn keep(&self, bytes: &[u8]) -> Result<Sha256Hex, StoreError> {
        let hash = sha256(bytes);
        let place = self.place(&hash);
        if self.photo(&hash)?.is_none() {
            // Written beside its place and moved there whole: a photo is there or it is not.
            let beside = self.folder.join(format!("{hash}.part"));
            let mut file = File::create(&beside).map_err(|error| failed(&error))?;
            file.write_all(bytes).map_err(|error| failed(&error))?;
            file.sync_all().map_err(|error| failed(&error))?;
            fs::rename(&beside, &place).map_err(|error| failed(&error))?;
            File::open(&self.folder)
                .and_then(|folder| folder.sync_all())
                .map_err(|error| failed(&error))?;
        }
        Ok(hash)
    }

    /// Whether a photo is here.
    pub fn has(&self, hash: &Sha256Hex) -> bool {
        self.place(hash).is_file()
    }

    /// The bytes of a photo; none: not here, or not whole any more, so that it is asked for anew.
    pub fn photo(&self, hash: &Sha256Hex) -> Result<Option<Vec<u8>>, StoreError> {
        match fs::read(self.place(hash)) {
            Ok(bytes) if sha256(&bytes) == *hash => Ok(Some(bytes)),
            Ok(_) => Ok(None),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(error) => Err(failed(&error)),
        }
    }
}

fn failed(error: &io::Error) -> StoreError {
    match error.kind() {
        io::ErrorKind::StorageFull => StoreError::Full,
        _ => StoreError::Internal { reason: error.to_string() },
    }
}
