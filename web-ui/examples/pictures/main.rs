//! Writes SVG pictures of the drawings in a set of states, both themes, for looking at:
//! `cargo run -p web-ui --example pictures -- some/folder`.

mod instruments;

use std::path::Path;
use web_ui::draw::chain::chain;
use web_ui::draw::head_scale::HeadScale;
use web_ui::draw::machine::machine;
use web_ui::draw::machine_layout::MachineLayout;
use web_ui::draw::plan::{PlanLayout, plan};
use web_ui::draw::positions::positions;
use web_ui::draw::room::Area;
use web_ui::draw::samples;
use web_ui::draw::scene_words::SceneWords;
use web_ui::draw::section::section;
use web_ui::draw::section_layout::SectionLayout;
use web_ui::draw::shape::Shape;
use web_ui::draw::svg::document;
use web_ui::draw::tokens::Theme;
use web_ui::draw::view::{HeadView, Lies, MachineView};

const WORDS: SceneWords = SceneWords::ENGLISH;

fn main() -> std::io::Result<()> {
    let folder = std::env::args().nth(1).unwrap_or_else(|| "target/pictures".to_owned());
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder)?;
    let save = |name: &str, shapes: &[Shape], w: f64, h: f64, k: f64| -> std::io::Result<()> {
        for (theme, word) in [(Theme::Light, "light"), (Theme::Dark, "dark")] {
            std::fs::write(folder.join(format!("{name}-{word}.svg")), document(shapes, w, h, k, theme))?;
        }
        Ok(())
    };
    for (name, view) in machines() {
        for (size, w, h, k) in [
            ("laptop", 1130.0, 220.0, 1.0),
            ("projector", 1200.0, 300.0, 1.6),
            ("phone", 350.0, 160.0, 1.08),
            ("tight", 340.0, 200.0, 1.6),
        ] {
            let at = MachineLayout::new(&view, Area::new(0.0, 0.0, w, h), k, None);
            save(&format!("machine-{name}-{size}"), &machine(&view, &at, &WORDS), w, h, k)?;
        }
        for (size, w, h, k) in [("laptop", 300.0, 110.0, 1.0), ("phone", 340.0, 120.0, 1.08)] {
            let area = Area::new(6.0, 4.0, w - 12.0, h - 8.0);
            let (shapes, _) = positions(&view, area, k, 300.0, 2, &WORDS);
            save(&format!("positions-{name}-{size}"), &shapes, w, h, k)?;
        }
    }
    for (name, view) in heads() {
        for (size, w, h, low, k) in [
            ("laptop", 350.0, 270.0, 176.0, 1.0),
            ("projector", 1000.0, 470.0, 300.0, 1.6),
            ("phone", 350.0, 300.0, 180.0, 1.08),
            ("tight", 340.0, 420.0, 240.0, 1.6),
        ] {
            let scale = HeadScale::fit(&view, 2.0, w - 4.0, k);
            let k = scale.k;
            let at = SectionLayout::new(&view, Area::new(2.0, 2.0, w - 4.0, h - 4.0), scale.clone());
            let mut shapes = section(&view, &at, &WORDS);
            shapes.extend(plan(&view, &PlanLayout::new(&view, Area::new(2.0, h, w - 4.0, low - 4.0), scale), &WORDS));
            save(&format!("head-{name}-{size}"), &shapes, w, h + low, k)?;
        }
    }
    for (name, links) in [("broken", samples::broken_chain()), ("good", samples::good_chain())] {
        for (size, w, h, k) in
            [("laptop", 1130.0, 48.0, 1.0), ("narrow", 700.0, 78.0, 1.0), ("phone", 350.0, 48.0, 1.08)]
        {
            let area = Area::new(4.0, 2.0, w - 8.0, h - 4.0);
            save(&format!("chain-{name}-{size}"), &chain(&links, area, k, None).0, w, h, k)?;
        }
    }
    instruments::save_all(save)?;
    instruments::print_cost();
    Ok(())
}

fn machines() -> Vec<(&'static str, MachineView)> {
    let (gantry, mill) = (samples::gantry(), samples::mill());
    let at = |view: &MachineView, x: f64, lag: f64| MachineView {
        table_m: x,
        command_m: x + lag,
        counted_m: x,
        home_pressed: x < view.home_switch_m,
        ..view.clone()
    };
    vec![
        ("left", at(&gantry, -0.012, 0.0)),
        ("right", at(&gantry, 3.2, 0.0033)),
        ("smear", gantry),
        ("mill-home", at(&mill, 0.002, -0.0015)),
        ("mill-right", at(&mill, 0.5, 0.0005)),
        (
            "ghost",
            MachineView { ghost: true, healthy_m: 1.5145, table_m: 1.5110, command_m: 1.518, ..samples::gantry() },
        ),
        ("hanging", MachineView { lies: Lies::Hanging, ghost: true, healthy_m: 0.2, ..mill.clone() }),
        ("turning", samples::rotary()),
        ("mill", mill),
    ]
}

fn heads() -> Vec<(&'static str, HeadView)> {
    let mut out = samples::heads(0.01512);
    let close =
        |view: &HeadView| HeadView { gap_m: view.gap_range_m.0, tilt_rad: -0.02, yaw_rad: -0.03, ..view.clone() };
    let far = |view: &HeadView| HeadView {
        gap_m: view.gap_range_m.1,
        tilt_rad: 0.08,
        yaw_rad: 0.2,
        lamp: 0.3,
        ..view.clone()
    };
    out.push(("smeared-close", close(&samples::smeared(0.3))));
    out.push(("smeared-far", far(&samples::smeared(0.3))));
    out.push(("glass-close", close(&samples::glass(0.3))));
    out.push(("glass-far", far(&samples::glass(0.3))));
    out
}
