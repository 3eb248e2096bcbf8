//! What comes out, looked at: pages and plots stay inside their sheets, no text lies over another, and
//! pictures are left in the target's temporary folder for the eye.

mod boxes;
mod drawing;
mod figures;
mod measuring;
mod papers;
mod surveys;
mod tuning;

use std::path::PathBuf;

/// Leaves `bytes` for the eye under `name` and says where.
fn leave(name: &str, bytes: &[u8]) -> PathBuf {
    let path = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::write(&path, bytes).expect("the temporary folder can be written");
    path
}
