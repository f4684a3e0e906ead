//! Embedded folders: files that come or go are seen only if cargo is told to look at the folders.

fn main() {
    for folder in ["content", "scenes"] {
        println!("cargo:rerun-if-changed={folder}");
    }
}
