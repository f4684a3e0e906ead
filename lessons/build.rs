//! Embedded folders: files that come or go are seen only if cargo is told to look at the folders.

fn main() {
    for folder in ["callouts", "content", "scenes", "words"] {
        println!("cargo:rerun-if-changed={folder}");
    }
}
