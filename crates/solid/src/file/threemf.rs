//! 3MF: units, names, colours, build items and metadata, by the Core
//! Specification 1.4.0 (3MF Consortium, repository spec_core).
//!
//! A print-in-place piece is one object; its bodies share no vertices. Parts
//! of several colours are an object of components. Objects stand before what
//! names them, metadata carry registered names only, and the package's dates
//! are fixed so that equal input gives equal bytes.

use std::collections::BTreeMap;
use std::io::{Cursor, Write as _};

use quick_xml::Writer;
use quick_xml::events::{BytesDecl, BytesEnd, BytesStart, BytesText, Event};
use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, DateTime, ZipWriter};

use crate::kernel::Move;
use crate::mesh::Mesh;

const CORE: &str = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02";
const MODEL_TYPE: &str = "application/vnd.ms-package.3dmanufacturing-3dmodel+xml";
const START: &str = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel";
const RELATIONSHIPS: &str = "http://schemas.openxmlformats.org/package/2006/relationships";
const THUMBNAIL: &str = "http://schemas.openxmlformats.org/package/2006/relationships/metadata/thumbnail";

/// Bodies of one colour.
pub(crate) struct Coloured<'a> {
    pub name: String,
    pub meshes: &'a [Mesh],
    /// `#RRGGBB`.
    pub colour: &'a str,
}

/// One thing to print, and where it stands on the bed.
pub(crate) struct Item<'a> {
    pub name: String,
    pub colours: Vec<Coloured<'a>>,
    pub place: Move,
}

/// What the package says about itself, by registered metadata names.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct About {
    /// `Title`.
    pub title: String,
    /// `Designer`.
    pub designer: String,
    /// `Description`.
    pub description: String,
    /// `Copyright`.
    pub copyright: String,
    /// `LicenseTerms`.
    pub licence: String,
    /// `CreationDate`, as the caller wants it; left out when empty, so that files stay equal.
    pub created: String,
}

/// A package with everything in `items` on one bed.
pub(crate) fn write(items: &[Item], about: &About, thumbnail: Option<&[u8]>) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Deflated)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    let mut parts: Vec<(&str, Vec<u8>)> =
        vec![("[Content_Types].xml", content_types()), ("_rels/.rels", relationships(thumbnail.is_some()))];
    parts.push(("3D/3dmodel.model", model(items, about)));
    if let Some(png) = thumbnail {
        parts.push(("Metadata/thumbnail.png", png.to_vec()));
    }
    for (name, bytes) in parts {
        zip.start_file(name, options).expect("a package in memory takes its parts");
        zip.write_all(&bytes).expect("writing to memory does not fail");
    }
    zip.finish().expect("writing to memory does not fail").into_inner()
}

/// An XML document under construction in memory.
struct Xml(Writer<Vec<u8>>);

impl Xml {
    fn new() -> Self {
        let mut xml = Xml(Writer::new_with_indent(Vec::new(), b' ', 1));
        xml.event(Event::Decl(BytesDecl::new("1.0", Some("UTF-8"), None)));
        xml
    }

    fn event(&mut self, event: Event) {
        self.0.write_event(event).expect("writing to memory does not fail");
    }

    fn open(&mut self, name: &str, attributes: &[(&str, &str)]) {
        self.event(Event::Start(BytesStart::new(name).with_attributes(attributes.iter().copied())));
    }

    fn close(&mut self, name: &str) {
        self.event(Event::End(BytesEnd::new(name)));
    }

    fn empty(&mut self, name: &str, attributes: &[(&str, &str)]) {
        self.event(Event::Empty(BytesStart::new(name).with_attributes(attributes.iter().copied())));
    }

    fn text(&mut self, name: &str, attributes: &[(&str, &str)], text: &str) {
        self.open(name, attributes);
        self.event(Event::Text(BytesText::new(text)));
        self.close(name);
    }

    fn finish(self) -> Vec<u8> {
        self.0.into_inner()
    }
}

fn content_types() -> Vec<u8> {
    let mut xml = Xml::new();
    xml.open("Types", &[("xmlns", "http://schemas.openxmlformats.org/package/2006/content-types")]);
    for (extension, kind) in [
        ("rels", "application/vnd.openxmlformats-package.relationships+xml"),
        ("model", MODEL_TYPE),
        ("png", "image/png"),
    ] {
        xml.empty("Default", &[("Extension", extension), ("ContentType", kind)]);
    }
    xml.close("Types");
    xml.finish()
}

fn relationships(thumbnail: bool) -> Vec<u8> {
    let mut xml = Xml::new();
    xml.open("Relationships", &[("xmlns", RELATIONSHIPS)]);
    xml.empty("Relationship", &[("Target", "/3D/3dmodel.model"), ("Id", "rel0"), ("Type", START)]);
    if thumbnail {
        xml.empty(
            "Relationship",
            &[("Target", "/Metadata/thumbnail.png"), ("Id", "rel1"), ("Type", THUMBNAIL)],
        );
    }
    xml.close("Relationships");
    xml.finish()
}

fn model(items: &[Item], about: &About) -> Vec<u8> {
    let mut xml = Xml::new();
    xml.open("model", &[("unit", "millimeter"), ("xml:lang", "en-US"), ("xmlns", CORE)]);
    for (name, value) in [
        ("Title", about.title.as_str()),
        ("Designer", &about.designer),
        ("Description", &about.description),
        ("Copyright", &about.copyright),
        ("LicenseTerms", &about.licence),
        ("CreationDate", &about.created),
        ("Application", "Pinfold"),
    ] {
        if !value.is_empty() {
            xml.text("metadata", &[("name", name)], value);
        }
    }
    xml.open("resources", &[]);
    // One base material a colour, in order of first use.
    let mut colours: BTreeMap<String, usize> = BTreeMap::new();
    let mut bases: Vec<String> = Vec::new();
    for coloured in items.iter().flat_map(|i| &i.colours) {
        let colour = coloured.colour.to_uppercase();
        colours.entry(colour.clone()).or_insert_with(|| {
            bases.push(colour);
            bases.len() - 1
        });
    }
    xml.open("basematerials", &[("id", "1")]);
    for (i, colour) in bases.iter().enumerate() {
        xml.empty("base", &[("name", &format!("Colour {}", i + 1)), ("displaycolor", colour)]);
    }
    xml.close("basematerials");
    let mut next = 2u32;
    let mut built = Vec::new();
    for item in items {
        let mut ids = Vec::new();
        for coloured in &item.colours {
            let name = if item.colours.len() == 1 { &item.name } else { &coloured.name };
            let index = colours[&coloured.colour.to_uppercase()];
            object(&mut xml, next, name, index, coloured.meshes);
            ids.push(next);
            next += 1;
        }
        let id = if ids.len() == 1 {
            ids[0]
        } else {
            xml.open("object", &[("id", &next.to_string()), ("type", "model"), ("name", &item.name)]);
            xml.open("components", &[]);
            for id in ids {
                xml.empty("component", &[("objectid", &id.to_string())]);
            }
            xml.close("components");
            xml.close("object");
            next += 1;
            next - 1
        };
        built.push((id, item));
    }
    xml.close("resources");
    xml.open("build", &[]);
    for (id, item) in built {
        let place = transform(&item.place);
        xml.empty(
            "item",
            &[("objectid", &id.to_string()), ("transform", &place), ("partnumber", &item.name)],
        );
    }
    xml.close("build");
    xml.close("model");
    xml.finish()
}

fn object(xml: &mut Xml, id: u32, name: &str, colour: usize, meshes: &[Mesh]) {
    let mesh = Mesh::together(meshes);
    xml.open(
        "object",
        &[
            ("id", &id.to_string()),
            ("type", "model"),
            ("name", name),
            ("pid", "1"),
            ("pindex", &colour.to_string()),
        ],
    );
    xml.open("mesh", &[]);
    xml.open("vertices", &[]);
    for p in &mesh.points {
        let [x, y, z] = p.map(number);
        xml.empty("vertex", &[("x", &x), ("y", &y), ("z", &z)]);
    }
    xml.close("vertices");
    xml.open("triangles", &[]);
    for t in &mesh.triangles {
        let [a, b, c] = t.map(|v| v.to_string());
        xml.empty("triangle", &[("v1", &a), ("v2", &b), ("v3", &c)]);
    }
    xml.close("triangles");
    xml.close("mesh");
    xml.close("object");
}

/// A number as the standard's pattern wants it: no exponent, at most six places.
pub(crate) fn number(v: f64) -> String {
    let text = format!("{v:.6}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" || text.is_empty() { "0".into() } else { text.into() }
}

/// The twelve numbers m00 m01 m02 m10 … m32: rows of a matrix for row vectors.
fn transform(by: &Move) -> String {
    let all: Vec<String> = by.columns.iter().flatten().chain(&by.shift).map(|&v| number(v)).collect();
    all.join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{piece, samples, sizes::Sizes};
    use std::io::Read as _;

    #[test]
    fn names_are_escaped_and_bytes_are_equal() {
        let (_, sample) = &samples::pieces()[0];
        let made = piece::build(sample, &Sizes::default(), 2, "1").unwrap();
        let write_once = || {
            let colours = vec![Coloured { name: "all".into(), meshes: &made.meshes, colour: "#0072b2" }];
            let item = Item { name: "cleat <&\">".into(), colours, place: Move::shift(5.0, 5.0, 0.0) };
            let about = About { title: "Quay & side".into(), ..About::default() };
            write(&[item], &about, None)
        };
        let bytes = write_once();
        assert_eq!(bytes, write_once());
        let mut zip = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
        let mut text = String::new();
        zip.by_name("3D/3dmodel.model").unwrap().read_to_string(&mut text).unwrap();
        assert!(text.contains("cleat &lt;&amp;&quot;&gt;") && text.contains(">Quay &amp; side<"));
        assert!(text.contains("displaycolor=\"#0072B2\"") && text.contains("unit=\"millimeter\""));
        assert_eq!(text.matches("<object ").count(), 1);
    }

    #[test]
    fn numbers_follow_the_pattern() {
        let all: Vec<String> = [0.0, -0.0, 1.0, -2.5, 1e-9, 123.456_789_12, -1e-7].map(number).to_vec();
        assert_eq!(all, ["0", "0", "1", "-2.5", "0", "123.456789", "0"]);
    }
}
