//! Makes everything of a small set and writes it, with its records as JSON, to
//! a folder: what the outside judges read.
//!
//!     cargo run -p solid --example specimens -- FOLDER

#[path = "../src/samples.rs"]
mod samples;

use std::fmt::Write as _;
use std::path::Path;

use lattice::Set;
use solid::{About, BoardOrder, Label, Made, PieceOrder, PlateOrder, Printer, Request, Sizes, make};

const COLOURS: [&str; 5] = ["#E69F00", "#56B4E9", "#009E73", "#F0E442", "#CC79A7"];

fn request() -> Request {
    let named = samples::pieces();
    let set = Set { pieces: named.iter().map(|p| p.1.clone()).collect(), levels: 2, turn_over: false };
    let pieces = named
        .iter()
        .enumerate()
        .map(|(i, (name, _))| PieceOrder {
            name: (*name).into(),
            mark: (i + 1).to_string(),
            colour: COLOURS[i].into(),
            made: true,
        })
        .collect();
    let mut plates: Vec<PlateOrder> = samples::plates(&set, 3)
        .into_iter()
        .enumerate()
        .map(|(i, (outline, folding))| PlateOrder {
            name: format!("plate {}", i + 1),
            outline,
            label: Label { number: (i + 1).to_string(), grade: "B".into() },
            colour: "#4477AA".into(),
            foldings: vec![folding],
        })
        .collect();
    for (name, outline) in samples::outlines() {
        let label =
            if name == "barge" { Label::default() } else { Label { number: "7".into(), grade: "C".into() } };
        plates.push(PlateOrder {
            name: name.into(),
            outline,
            label,
            colour: "#4477AA".into(),
            foldings: vec![],
        });
    }
    Request {
        about: About { title: "Specimens <&>".into(), designer: "Pinfold".into(), ..About::default() },
        set,
        pieces,
        sizes: Sizes::default(),
        printer: Printer::default(),
        board: BoardOrder { width: 8, height: 8, colours: ["#333333".into(), "#DDDDDD".into()] },
        make_board: true,
        plates,
        coupon: true,
        backing: true,
        beds: true,
        stl: true,
        pictures: true,
    }
}

fn record(made: &Made, request: &Request) -> String {
    let s = &request.sizes;
    let mut json = format!(
        "{{\"sizes\":{{\"pitch\":{},\"gap\":{},\"clearance\":{},\"knuckle\":{},\"height\":{},\"kerf\":{},\"fit\":{},\"layer\":{}}},\n\"board\":[{},{}],\"density\":{},\"filament\":{},\n\"beds\":{},\n\"parts\":[",
        s.pitch,
        s.gap,
        s.clearance,
        s.knuckle,
        s.height,
        s.kerf,
        s.fit,
        s.layer,
        request.board.width,
        request.board.height,
        request.printer.density,
        request.printer.filament,
        made.beds.len(),
    );
    let pieces = samples::pieces();
    for (i, p) in made.parts.iter().enumerate() {
        let hinges: Vec<String> = pieces
            .iter()
            .find(|(name, _)| *name == p.name)
            .map(|(_, piece)| {
                let blocks = piece.blocks();
                piece
                    .hinges()
                    .iter()
                    .zip(&p.hinge_gaps)
                    .map(|(h, gaps)| {
                        let [a, b] = h.joins.map(|b| [blocks[b].x, blocks[b].y]);
                        format!(
                            "{{\"pin\":[{},{}],\"leaf\":{a:?},\"eye\":{b:?},\"at\":{:?}}}",
                            h.pin.x, h.pin.y, gaps.at
                        )
                    })
                    .collect()
            })
            .unwrap_or_default();
        let failures: Vec<String> = p.failures.iter().map(ToString::to_string).collect();
        let _ = write!(
            json,
            "{}\n{{\"name\":{:?},\"kind\":\"{:?}\",\"file\":{:?},\"bodies\":{},\"volume\":{},\"size\":{:?},\"gap\":{},\"wall\":{},\"minutes\":{},\"metres\":{},\"grams\":{},\"filament_mm3\":{},\"layers\":{},\"small\":{},\"failures\":{:?},\"hinges\":[{}]}}",
            if i == 0 { "" } else { "," },
            p.name,
            p.kind,
            p.file.clone().unwrap_or_default(),
            p.bodies,
            p.volume_mm3,
            p.size,
            p.min_gap_mm.map_or("null".into(), |g| g.to_string()),
            p.least_wall.map_or("null".into(), |w| w.thickness.to_string()),
            p.estimate.minutes,
            p.estimate.metres,
            p.estimate.grams,
            p.estimate.filament_mm3,
            p.estimate.layers,
            p.small_part,
            failures,
            hinges.join(","),
        );
    }
    json.push_str("\n]}\n");
    json
}

fn main() {
    let Some(folder) = std::env::args().nth(1) else {
        eprintln!("say where: cargo run -p solid --example specimens -- FOLDER");
        std::process::exit(2);
    };
    let request = request();
    let made = match make(&request) {
        Ok(made) => made,
        Err(errors) => {
            errors.iter().for_each(|e| eprintln!("{e}"));
            std::process::exit(2);
        }
    };
    for file in &made.files {
        let path = Path::new(&folder).join(&file.name);
        std::fs::create_dir_all(path.parent().expect("a file stands in a folder"))
            .expect("the folder can be made");
        std::fs::write(path, &file.bytes).expect("the file can be written");
    }
    std::fs::write(Path::new(&folder).join("record.json"), record(&made, &request))
        .expect("the record can be written");
    for part in &made.parts {
        for failure in &part.failures {
            eprintln!("{}: {failure}", part.name);
        }
    }
}
