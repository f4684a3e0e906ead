//! Takes the compiled module apart: what the page starts with, and parts that it fetches when they are first wanted
//! (`web-ui/src/later.rs` marks where). The splitting itself is the work of `wasm_split_cli_support`.

use std::fs;
use std::path::{Path, PathBuf};

use wasm_encoder::{Module, RawSection};
use wasmparser::{Parser, Payload};

use crate::glue::hex;
use crate::{Error, Result};

/// The script that loads the parts, beside the loader.
pub const SCRIPT: &str = "parts.js";
/// The loader that this script asks for the running module.
const LOADER: &str = "./app.js";
/// What the module to start with is called until wasm-bindgen has made its own of it.
const MAIN: &str = "main.wasm";

/// Writes the parts and their script into `folder`, and gives the module to start with.
///
/// # Errors
/// The module was linked without relocations, or a file cannot be used.
pub fn split(raw: &Path, folder: &Path) -> Result<PathBuf> {
    let input = fs::read(raw).map_err(|e| Error::file("read the compiled module", raw, &e))?;
    fs::create_dir_all(folder).map_err(|e| Error::file("make a folder", folder, &e))?;
    let main = folder.join(MAIN);
    let link = format!("./{SCRIPT}");
    let mut options = wasm_split_cli_support::Options::new(&input);
    (options.output_dir, options.main_out_path) = (folder, &main);
    (options.link_name, options.main_module) = (&link, LOADER);
    let parts = wasm_split_cli_support::transform(options).map_err(|cause| {
        Error::new(
            format!("cannot take the compiled module apart: {cause:#}"),
            raw.display(),
            "it must be linked with --emit-relocs; delete target/wasm and retry",
        )
    })?;
    let script = folder.join(SCRIPT);
    let mut text = fs::read_to_string(&script).map_err(|e| Error::file("read the script of the parts", &script, &e))?;
    // A page that is still open must not get parts of a newer module, which would write into its memory at random.
    let tag = &hex(&input)[..8];
    for part in &parts.split_modules {
        let bytes = fs::read(part).map_err(|e| Error::file("read a part of the module", part, &e))?;
        let stem = part.file_stem().unwrap_or_default().to_string_lossy();
        let tagged = part.with_file_name(format!("{stem}.{tag}.wasm"));
        fs::write(&tagged, bare(&bytes, part)?).map_err(|e| Error::file("write a part of the module", &tagged, &e))?;
        fs::remove_file(part).map_err(|e| Error::file("remove a file", part, &e))?;
        text = text.replace(&format!("\"./{stem}.wasm\""), &format!("\"./{stem}.{tag}.wasm\""));
    }
    fs::write(&script, text).map_err(|e| Error::file("write the script of the parts", &script, &e))?;
    Ok(main)
}

/// A module without the sections that only tools read: names, producers, features.
fn bare(module: &[u8], place: &Path) -> Result<Vec<u8>> {
    let mut out = Module::new();
    for payload in Parser::new(0).parse_all(module) {
        let payload = payload.map_err(|cause| {
            Error::new(
                format!("a part of the module is damaged: {cause}"),
                place.display(),
                "delete target/wasm and retry",
            )
        })?;
        if let Some((id, range)) = payload.as_section()
            && !matches!(payload, Payload::CustomSection(_))
        {
            out.section(&RawSection { id, data: &module[range.start as usize..range.end as usize] });
        }
    }
    Ok(out.finish())
}

/// One classic script of the loader and the script of the parts, both module scripts as their tools write them: it
/// defines `wasm_bindgen`, as `file://` loads no module scripts. Parts come from `countlightPart(name)`.
///
/// # Errors
/// A tool has changed how it writes scripts.
pub fn classic(loader: &str, parts: &str) -> Result<String> {
    let changed = |what: &str| {
        Error::new(
            format!("the page's loader cannot be made one script: {what}"),
            "web-ui/host/src/parts.rs",
            "follow the new form of the scripts that wasm-bindgen and wasm_split_cli_support write",
        )
    };
    let import = format!("import {{ initSync }} from \"{LOADER}\";");
    let parts = parts.strip_prefix(&import).ok_or_else(|| changed("the parts do not begin with their import"))?;
    let (parts, loads) = without_exports(parts, "export const ");
    let parts = parts.replace("fetch(new URL(", "countlightPart((").replace(", import.meta.url)", ")");

    // One import for each part, all of the same script.
    let from = format!(" from \"./{SCRIPT}\"");
    let name_of = |line: &str| Some(line.strip_prefix("import * as ")?.strip_suffix(&from)?.to_owned());
    let names: Vec<String> = loader.lines().map_while(name_of).collect();
    if names.is_empty() {
        return Err(changed("the loader does not begin with the import of the parts"));
    }
    let loader = loader.splitn(names.len() + 1, '\n').last().unwrap_or_default();
    let loader = loader.trim_end().strip_suffix("export { initSync, __wbg_init as default };");
    let loader = loader.ok_or_else(|| changed("the loader does not end with its exports"))?;
    let (loader, functions) = without_exports(loader, "export function ");
    for (text, whose) in [(&parts, "parts"), (&loader, "loader")] {
        let left = text
            .lines()
            .find(|line| line.starts_with("import ") || line.starts_with("export ") || line.contains("import.meta"));
        if let Some(line) = left {
            return Err(changed(&format!("the {whose} still have the line {line}")));
        }
    }
    let helper = include_str!("packed_part.js");
    Ok(format!(
        "const wasm_bindgen = (() => {{\n{helper}{parts}\nconst [{}] = Array({}).fill({{ {} }});\n{loader}\n\
         return Object.assign(__wbg_init, {{ initSync, {} }});\n}})();\n",
        names.join(", "),
        names.len(),
        loads.join(", "),
        functions.join(", ")
    ))
}

/// The script with its exports made plain, and their names.
fn without_exports(script: &str, export: &str) -> (String, Vec<String>) {
    let mut names = Vec::new();
    let mut out = String::with_capacity(script.len());
    for line in script.lines() {
        match line.strip_prefix(export) {
            Some(rest) => {
                let end = rest.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(rest.len());
                names.push(rest[..end].to_owned());
                out += line.strip_prefix("export ").unwrap_or(line);
            }
            None => out += line,
        }
        out.push('\n');
    }
    (out, names)
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOADER_TEXT: &str = "import * as import1 from \"./parts.js\"\nimport * as import2 from \"./parts.js\"\n\nexport function start() {\n    go(import1);\n}\n\
        export { initSync, __wbg_init as default };\n";
    const PARTS_TEXT: &str = "import { initSync } from \"./app.js\";\n\nexport const load_a = wrap(() => {\n    \
        const src = fetch(new URL(\"./a.wasm\", import.meta.url));\n});\n";

    #[test]
    fn two_module_scripts_become_one_classic_script() {
        let script = classic(LOADER_TEXT, PARTS_TEXT).unwrap();
        assert!(script.contains("const src = countlightPart((\"./a.wasm\"));"), "{script}");
        assert!(script.contains("const [import1, import2] = Array(2).fill({ load_a });"), "{script}");
        assert!(script.contains("\nfunction start() {"), "{script}");
        assert!(script.ends_with("return Object.assign(__wbg_init, { initSync, start });\n})();\n"), "{script}");
    }

    #[test]
    fn another_form_of_the_scripts_is_refused() {
        let more = format!("{LOADER_TEXT}// more\n");
        for (loader, parts, what) in [
            (more.as_str(), PARTS_TEXT, "does not end"),
            (LOADER_TEXT, "let a;", "do not begin"),
            ("let a;\n", PARTS_TEXT, "does not begin"),
            (LOADER_TEXT, "import { initSync } from \"./app.js\";\nimport b from 'b';", "still have the line"),
        ] {
            let why = classic(loader, parts).unwrap_err().to_string();
            assert!(why.contains(what), "{why}");
        }
    }

    #[test]
    fn tools_sections_are_left_out_and_the_others_stay() {
        // WebAssembly Core Specification 5.5: magic, version, a custom section named "a", an empty type section.
        let module = b"\0asm\x01\0\0\0\0\x02\x01a\x01\x01\0";
        assert_eq!(bare(module, Path::new("x")).unwrap(), b"\0asm\x01\0\0\0\x01\x01\0");
        assert!(bare(b"\0asm\x01\0\0\0\x01\x09\0", Path::new("x")).is_err());
    }
}
