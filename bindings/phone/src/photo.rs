//! Photos: kept under the hash of their bytes, as entries name them.

use coldlug_core::{event::Sha256Hex, exchange::PhotoForm};
use coldlug_store::BlobKind;

use crate::{
    error::PhoneError,
    phone::{Phone, job_id},
    trouble::Trouble,
};

#[uniffi::export]
impl Phone {
    /// Keeps a photo of a job: its hash, which is the answer to an ask for a photo. It goes to the
    /// desk once an entry names it.
    pub fn photo(&self, job: String, bytes: Vec<u8>) -> Result<String, PhoneError> {
        self.with(|held| {
            held.whole(&job_id(job)?)?;
            PhotoForm::of(&bytes).map_err(Trouble::NotFit)?;
            Ok(held.store()?.keep(BlobKind::Photo, &bytes)?.to_string())
        })
    }

    /// The bytes of a photo that was taken here or came with a sync.
    pub fn picture(&self, job: String, hash: String) -> Result<Vec<u8>, PhoneError> {
        self.with(|held| {
            held.whole(&job_id(job)?)?;
            let hash: Sha256Hex =
                hash.parse().map_err(|reason| Trouble::Invalid { place: "hash", reason })?;
            held.store()?.blob(BlobKind::Photo, &hash)?.ok_or(Trouble::NoPicture)
        })
    }
}
