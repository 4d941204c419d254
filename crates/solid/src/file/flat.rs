//! Flat drawings for a cutter: SVG and DXF, in millimetres, cut and engrave
//! lines apart.
//!
//! The DXF is release 12 with the units in its header, written here: the crate
//! tried stamps local time and random marks into every file.

use std::fmt::Write as _;

use crate::area::Point;
use crate::file::threemf::number;

/// What a line is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Use {
    Cut,
    Engrave,
}

impl Use {
    fn layer(self) -> &'static str {
        match self {
            Use::Cut => "CUT",
            Use::Engrave => "ENGRAVE",
        }
    }
}

/// A line of a drawing.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Line {
    pub used: Use,
    pub points: Vec<Point>,
    pub closed: bool,
}

fn bounds(lines: &[Line]) -> (Point, Point) {
    let all = lines.iter().flat_map(|l| &l.points);
    all.fold(([f64::MAX; 2], [f64::MIN; 2]), |(lo, hi), p| {
        ([lo[0].min(p[0]), lo[1].min(p[1])], [hi[0].max(p[0]), hi[1].max(p[1])])
    })
}

/// SVG whose user unit is a millimetre; what is engraved comes before what is cut.
pub(crate) fn svg(lines: &[Line], title: &str) -> String {
    let (lo, hi) = bounds(lines);
    let (w, h) = (number(hi[0] - lo[0]), number(hi[1] - lo[1]));
    let title = title.replace('&', "&amp;").replace('<', "&lt;");
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{w}mm\" height=\"{h}mm\" viewBox=\"0 0 {w} {h}\">\n<title>{title}</title>\n"
    );
    for (used, colour) in [(Use::Engrave, "#808080"), (Use::Cut, "#000000")] {
        let id = used.layer().to_lowercase();
        let _ = writeln!(text, "<g id=\"{id}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"0.1\">");
        for line in lines.iter().filter(|l| l.used == used) {
            let mut d = String::new();
            for (i, p) in line.points.iter().enumerate() {
                let _ = write!(
                    d,
                    "{}{} {}",
                    if i == 0 { "M" } else { "L" },
                    number(p[0] - lo[0]),
                    number(hi[1] - p[1])
                );
            }
            let _ = writeln!(text, "<path d=\"{d}{}\"/>", if line.closed { "Z" } else { "" });
        }
        text.push_str("</g>\n");
    }
    text.push_str("</svg>\n");
    text
}

/// DXF with one layer a use and $INSUNITS = 4, millimetres.
pub(crate) fn dxf(lines: &[Line]) -> String {
    let (lo, hi) = bounds(lines);
    let mut text = String::new();
    let mut pair = |code: u32, value: &str| {
        let _ = writeln!(text, "{code:>3}\n{value}");
    };
    for (code, value) in [
        (0, "SECTION"),
        (2, "HEADER"),
        (9, "$ACADVER"),
        (1, "AC1009"),
        (9, "$INSUNITS"),
        (70, "4"),
        (9, "$MEASUREMENT"),
        (70, "1"),
        (9, "$EXTMIN"),
    ] {
        pair(code, value);
    }
    pair(10, &number(lo[0]));
    pair(20, &number(lo[1]));
    pair(9, "$EXTMAX");
    pair(10, &number(hi[0]));
    pair(20, &number(hi[1]));
    for (code, value) in [(0, "ENDSEC"), (0, "SECTION"), (2, "TABLES"), (0, "TABLE"), (2, "LAYER"), (70, "2")]
    {
        pair(code, value);
    }
    for (used, colour) in [(Use::Cut, "7"), (Use::Engrave, "8")] {
        for (code, value) in [(0, "LAYER"), (2, used.layer()), (70, "0"), (62, colour), (6, "CONTINUOUS")] {
            pair(code, value);
        }
    }
    for (code, value) in [(0, "ENDTAB"), (0, "ENDSEC"), (0, "SECTION"), (2, "ENTITIES")] {
        pair(code, value);
    }
    for line in lines {
        for (code, value) in [
            (0, "POLYLINE"),
            (8, line.used.layer()),
            (66, "1"),
            (10, "0"),
            (20, "0"),
            (30, "0"),
            (70, if line.closed { "1" } else { "0" }),
        ] {
            pair(code, value);
        }
        for p in &line.points {
            pair(0, "VERTEX");
            pair(8, line.used.layer());
            pair(10, &number(p[0]));
            pair(20, &number(p[1]));
            pair(30, "0");
        }
        pair(0, "SEQEND");
        pair(8, line.used.layer());
    }
    pair(0, "ENDSEC");
    pair(0, "EOF");
    text
}
