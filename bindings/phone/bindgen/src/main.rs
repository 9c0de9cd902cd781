//! Writes the Kotlin, Swift and Python that call the phone's library.
fn main() {
    uniffi::uniffi_bindgen_main();
}
