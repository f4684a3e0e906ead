//! What the lock file must hold for the page to build.

use countlight_host::workspace::Workspace;
use system_tests::Result;

/// The module and the tool that writes its loader speak a format that changes with each release.
#[test]
fn there_is_one_wasm_bindgen_and_its_tool_has_the_same_version() -> Result<()> {
    let text = std::fs::read_to_string(Workspace::locate()?.root().join("Cargo.lock"))?;
    let lock: toml::Table = text.parse()?;
    let packages = lock["package"].as_array().ok_or("Cargo.lock has no packages")?;
    let versions = |name: &str| -> Vec<&str> {
        packages.iter().filter(|p| p["name"].as_str() == Some(name)).filter_map(|p| p["version"].as_str()).collect()
    };
    assert_eq!(versions("wasm-bindgen").len(), 1, "{:?}", versions("wasm-bindgen"));
    assert_eq!(versions("wasm-bindgen"), versions("wasm-bindgen-cli-support"));
    Ok(())
}
