//! Which compiler makes WebAssembly: one pure decision over facts about the machine.
//!
//! The facts are gathered, and the decided step is taken, in [`crate::toolchain::setup`].

pub mod setup;

/// The target every page is compiled for.
pub const TARGET: &str = "wasm32-unknown-unknown";
/// The command that installs the target with rustup.
pub const RUSTUP_COMMAND: &str = "rustup target add wasm32-unknown-unknown";
/// Debian's packages that together compile for WebAssembly, its standard library from source.
pub const DEBIAN_PACKAGES: [&str; 4] = ["rustc-web", "cargo-web", "rust-web-src", "lld-22"];

/// The command that installs Debian's packages.
pub fn debian_command() -> String {
    format!(
        "apt-get update && DEBIAN_FRONTEND=noninteractive apt-get install -y --no-install-recommends {}",
        DEBIAN_PACKAGES.join(" ")
    )
}

/// A way to compile for WebAssembly that is present on this machine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Toolchain {
    /// The compiler that is first on the path has the target's standard library.
    Installed,
    /// Debian's packaged compiler, which builds the standard library from Debian's source package.
    Debian {
        /// The linker's program name, such as `wasm-ld-22`.
        linker: String,
    },
}

/// What the decision rests on.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Facts {
    /// `rustc` on the path has a standard library for the target.
    pub target_installed: bool,
    /// Debian's compiler, cargo and standard library source are there, and this is their linker's name.
    pub debian_linker: Option<String>,
    /// `rustup` is on the path.
    pub rustup: bool,
    /// `RUSTUP_AUTO_INSTALL` is `0`: the owner of this machine wants no download through rustup.
    pub rustup_forbidden: bool,
    /// rustup was asked in this run and did not help.
    pub rustup_failed: bool,
    /// We are root on a machine with `apt-get`.
    pub root_with_apt: bool,
    /// `apt-get` was asked in this run and did not help.
    pub apt_failed: bool,
}

/// What to do next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// Build with this.
    Use(Toolchain),
    /// Run [`RUSTUP_COMMAND`], then decide again.
    AddTarget,
    /// Run [`debian_command`], then decide again.
    InstallPackages,
    /// Nothing can be done without the person: show both commands and end.
    GiveUp,
}

/// Decides the next step: use what is there, else add to rustup where that is allowed, else install packages where
/// we may, else give up. A step that failed is not tried twice, so repeating this ends.
pub fn decide(facts: &Facts) -> Step {
    if facts.target_installed {
        return Step::Use(Toolchain::Installed);
    }
    if let Some(linker) = &facts.debian_linker {
        return Step::Use(Toolchain::Debian { linker: linker.clone() });
    }
    if facts.rustup && !facts.rustup_forbidden && !facts.rustup_failed {
        return Step::AddTarget;
    }
    if facts.root_with_apt && !facts.apt_failed {
        return Step::InstallPackages;
    }
    Step::GiveUp
}

#[cfg(test)]
mod tests {
    use super::*;

    fn linker() -> Option<String> {
        Some("wasm-ld-22".to_owned())
    }

    fn debian() -> Step {
        Step::Use(Toolchain::Debian { linker: "wasm-ld-22".to_owned() })
    }

    #[test]
    fn an_installed_target_wins_over_everything() {
        let facts = Facts {
            target_installed: true,
            debian_linker: linker(),
            rustup: true,
            root_with_apt: true,
            ..Facts::default()
        };
        assert_eq!(decide(&facts), Step::Use(Toolchain::Installed));
    }

    #[test]
    fn debians_toolchain_wins_over_any_download() {
        let facts = Facts { debian_linker: linker(), rustup: true, root_with_apt: true, ..Facts::default() };
        assert_eq!(decide(&facts), debian());
    }

    #[test]
    fn rustup_is_asked_before_packages() {
        let facts = Facts { rustup: true, root_with_apt: true, ..Facts::default() };
        assert_eq!(decide(&facts), Step::AddTarget);
    }

    #[test]
    fn a_forbidden_rustup_is_never_asked() {
        for root_with_apt in [false, true] {
            let facts = Facts { rustup: true, rustup_forbidden: true, root_with_apt, ..Facts::default() };
            let expected = if root_with_apt { Step::InstallPackages } else { Step::GiveUp };
            assert_eq!(decide(&facts), expected);
        }
    }

    #[test]
    fn without_rustup_root_installs_packages() {
        let facts = Facts { root_with_apt: true, ..Facts::default() };
        assert_eq!(decide(&facts), Step::InstallPackages);
    }

    #[test]
    fn a_failed_rustup_falls_back_to_packages() {
        let facts = Facts { rustup: true, rustup_failed: true, root_with_apt: true, ..Facts::default() };
        assert_eq!(decide(&facts), Step::InstallPackages);
    }

    #[test]
    fn when_nothing_helped_we_give_up() {
        let failed =
            Facts { rustup: true, rustup_failed: true, root_with_apt: true, apt_failed: true, ..Facts::default() };
        assert_eq!(decide(&failed), Step::GiveUp);
        assert_eq!(decide(&Facts::default()), Step::GiveUp);
    }

    #[test]
    fn deciding_again_after_failures_always_ends() {
        // Every combination of facts: two failed attempts at most, then the answer is final.
        for bits in 0u8..128 {
            let bit = |n: u8| bits >> n & 1 == 1;
            let mut facts = Facts {
                target_installed: bit(0),
                debian_linker: bit(1).then(|| "wasm-ld".to_owned()),
                rustup: bit(2),
                rustup_forbidden: bit(3),
                rustup_failed: bit(4),
                root_with_apt: bit(5),
                apt_failed: bit(6),
            };
            let mut attempts = 0;
            loop {
                match decide(&facts) {
                    Step::Use(_) | Step::GiveUp => break,
                    Step::AddTarget => facts.rustup_failed = true,
                    Step::InstallPackages => facts.apt_failed = true,
                }
                attempts += 1;
                assert!(attempts <= 2, "{facts:?}");
            }
        }
    }
}
