//! The content security policy of the single file: its own blocks by their hash, and no request at all.

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};

/// What the finished page may run and show.
#[derive(Debug, Default)]
pub struct Policy {
    scripts: Vec<String>,
    styles: Vec<String>,
}

impl Policy {
    /// Lets this inline script run.
    pub fn allow_script(&mut self, text: &str) {
        self.scripts.push(Self::hash(text));
    }

    /// Lets this style block apply.
    pub fn allow_style(&mut self, text: &str) {
        self.styles.push(Self::hash(text));
    }

    fn hash(text: &str) -> String {
        format!("'sha256-{}'", STANDARD.encode(Sha256::digest(text)))
    }

    /// The tag that puts the policy in force; it holds for what follows it.
    pub fn meta(&self) -> String {
        let styles = if self.styles.is_empty() { "'none'".to_owned() } else { self.styles.join(" ") };
        format!(
            "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; script-src 'wasm-unsafe-eval' {}; \
             style-src {styles}; font-src data:; img-src blob: data:; worker-src blob:; base-uri 'none'; form-action 'none'\">",
            self.scripts.join(" ")
        )
    }
}
