//! A small sound project, on disk for the length of a test.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use tempfile::TempDir;

pub const SET: &str = r##"# The set, with the maker's remarks.
[set]
title = "Quayside"
turn_over = false
levels = 2
interlocked = false
reach = "any"

[[piece]]
name = "cleat"
colour = "#0072B2"
blocks = [[0, 0], [1, 0], [2, 0], [2, 1]]
hinges = [
  { pin = [1, 1], joins = [0, 1], level = 0 }, # low
  { pin = [2, 0], joins = [1, 2], level = 1 },
  { pin = [3, 1], joins = [2, 3] },
]

[[piece]]
name = "dinghy"
copies = 2
colour = "#E69F00"
blocks = [[0, 0], [1, 0]]
hinges = [{ pin = [1, 1], joins = [0, 1] }]

[[piece]]
name = "bollard"
colour = "#009E73"
rigid = true
blocks = [[0, 0], [1, 0], [1, 1]]

[sizes]
pitch = 15
gap = 0.3

[printer]
bed = [220, 220]
layer = 0.2
walls = 3

[[pack]]
name = "first-harbour"
outlines = ["pier", "tug"]
audience = "beginners"
"##;

pub const PIER: &str = "title = \"Pier\"
number = 1
drawing = \"\"\"
+ o + + + +
 # # # # #
+ + + + + o
 # # # # #
+ + + + + +
 # . . . .
+ + + + + +
\"\"\"
";

pub const TUG: &str = "# A tug, seen from the pier.
title = \"Tug\"   # its name
number = 2
spare = 1
note = \"\"

drawing = \"\"\"
  +   +  o   +   +

    #   #   #   #
  +   +   +   +   o
    #   #   #   #
  +   +   +   +   +
    #   #   #   #
  +   o   +   +   +
\"\"\"
# the end
";

/// The sound project in a new folder.
pub fn folder() -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("pinfold.toml"), SET).unwrap();
    fs::create_dir(folder.path().join("outlines")).unwrap();
    fs::write(folder.path().join("outlines/pier.toml"), PIER).unwrap();
    fs::write(folder.path().join("outlines/tug.toml"), TUG).unwrap();
    folder
}

/// Every file below a folder with its bytes.
pub fn bytes(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut all = BTreeMap::new();
    for below in [folder.to_owned(), folder.join("outlines")] {
        for entry in fs::read_dir(below).into_iter().flatten() {
            let path = entry.unwrap().path();
            if path.is_file() {
                all.insert(path.display().to_string(), fs::read(path).unwrap());
            }
        }
    }
    all
}
