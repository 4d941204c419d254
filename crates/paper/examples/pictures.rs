//! Draws a made-up set into a folder: `cargo run -p paper --example pictures -- FOLDER`.

#[path = "../tests/harbour/mod.rs"]
mod harbour;

use std::error::Error;
use std::fs;
use std::path::Path;

use lattice::{Folding, Vertex};
use paper::{
    FoldNote, LayoutOptions, OutlineOptions, Picture, Tile, TileContent, contact_sheet, fold, folds, layout,
    outline, poses, terminal,
};

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args().nth(1).ok_or("usage: pictures FOLDER")?;
    let folder = Path::new(&folder);
    fs::create_dir_all(folder)?;
    let save = |name: &str, picture: &Picture, width: u32| -> Result<(), Box<dyn Error>> {
        fs::write(folder.join(format!("{name}.svg")), picture.svg())?;
        fs::write(folder.join(format!("{name}.png")), picture.png(width)?)?;
        println!("{name}: {} bytes of SVG, {:?} mm", picture.svg().len(), picture.size_mm());
        Ok(())
    };
    let (set, style) = (harbour::set(), harbour::style());
    let mut plates = Vec::new();
    for (name, plain) in [("Tug", harbour::tug()), ("Lighthouse", harbour::lighthouse())] {
        let folding = harbour::fill(&set, &plain).ok_or("no folding")?;
        let plate = harbour::pocketed(&set, &plain, &folding);
        plates.push((name, plate, folding));
    }
    for (name, plate, folding) in &plates {
        let file = name.to_lowercase();
        let blind: &[Vertex] = if *name == "Tug" { &plate.pockets()[..2] } else { &[] };
        save(&format!("{file}-outline"), &outline(plate, &OutlineOptions { title: name, blind })?, 400)?;
        let options = LayoutOptions { title: name, ..LayoutOptions::default() };
        save(&format!("{file}-layout"), &layout(&set, plate, folding, &style, &options)?, 400)?;
        println!("{}", terminal::outline(plate, terminal::Look::default())?);
        println!("{}", terminal::layout(&set, plate, folding, &style, terminal::Look::default())?);
    }
    let (name, plate, folding) = &plates[0];
    let hint = Folding { placed: folding.placed[..2].to_vec() };
    save(
        "hint",
        &layout(&set, plate, &hint, &style, &LayoutOptions { title: name, ..Default::default() })?,
        400,
    )?;
    for piece in [0, 3] {
        let all = set.folds(piece);
        let name = &style.pieces[piece].name;
        let notes: Vec<FoldNote> = (0..all.len())
            .map(|i| FoldNote { text: format!("{} swings", i % 5), unreached: i % 11 == 3 })
            .collect();
        let notes = if piece == 0 { &notes[..] } else { &[] };
        save(&format!("folds-{name}"), &folds(&set, piece, &all, &style.pieces[piece], "", notes)?, 1400)?;
        save(&format!("fold-{name}"), &fold(&set, piece, &all.folds()[7], &style.pieces[piece], name)?, 400)?;
        println!(
            "{}",
            terminal::fold(&set, piece, &all.folds()[7], &style.pieces[piece], terminal::Look::default())?
        );
    }
    let (blocks, style, rack, folding) = harbour::rack();
    let options = LayoutOptions { title: "Every pattern", key: true, order: false };
    save("patterns", &layout(&blocks, &rack, &folding, &style, &options)?, 800)?;
    let style = harbour::style();
    let way = harbour::way(&set.pieces[0], &[(0, 1), (1, 3), (2, 3), (1, 3), (0, 1)]);
    save("way", &poses(&set, 0, &way, &style.pieces[0], "A way for the cleat")?, 1000)?;
    let mut tiles = Vec::new();
    for _ in 0..3 {
        for (name, outline, folding) in &plates {
            tiles.push(Tile {
                title: name,
                note: "16 cells, grade 3",
                content: TileContent::Outline(outline),
            });
            let content = TileContent::Layout { set: &set, outline, folding, style: &style };
            tiles.push(Tile { title: name, note: "one layout", content });
        }
    }
    save("contact", &contact_sheet("Harbour pack", &tiles, 4)?, 1400)?;
    Ok(())
}
