//! Writes every drawing in both themes as SVG files into the folder given as argument, to be looked
//! at beside each other.

mod models;

use std::path::Path;
use std::{env, fs, io};

use draw::{Scene, Shape, Theme, Token, pos};

fn main() -> io::Result<()> {
    let folder = env::args()
        .nth(1)
        .ok_or_else(|| io::Error::other("which folder?"))?;
    fs::create_dir_all(&folder)?;
    for (name, scene) in models::all() {
        for (theme, suffix) in [(Theme::Day, "day"), (Theme::Night, "night")] {
            fs::write(
                Path::new(&folder).join(format!("{name}-{suffix}.svg")),
                on_sheet(&scene).to_svg(theme),
            )?;
        }
    }
    Ok(())
}

/// The drawing on a sheet with a margin, as it will lie on a page.
fn on_sheet(scene: &Scene) -> Scene {
    let mut sheet = Scene::new(scene.width + 32.0, scene.height + 32.0, &scene.title);
    let (min, max) = (pos(0.0, 0.0), pos(sheet.width, sheet.height));
    sheet.add(Shape::Rect {
        min,
        max,
        corner: 0.0,
        fill: Some(Token::Sheet),
        stroke: None,
    });
    sheet.append(scene, pos(16.0, 16.0));
    sheet
}
