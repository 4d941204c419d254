//! A list in a TOML file as text: items changed, taken out and put in, while
//! what stays keeps its bytes, its comments and its line.

use std::ops::Range;

/// One item that the new list has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Entry {
    /// The old item at a position, as it stands.
    Kept(usize),
    /// The old item at a position, with another text in its place.
    Changed(usize, String),
    /// An item that was not there.
    New(String),
}

/// What becomes of `old` so that it is `new`: the longest common run of items
/// is kept; between its parts, items are changed one for one, then taken out or
/// put in.
pub(crate) fn entries<T: PartialEq>(old: &[T], new: &[T], text: impl Fn(&T) -> String) -> Vec<Entry> {
    let mut best = vec![vec![0usize; new.len() + 1]; old.len() + 1];
    for i in (0..old.len()).rev() {
        for j in (0..new.len()).rev() {
            best[i][j] =
                if old[i] == new[j] { best[i + 1][j + 1] + 1 } else { best[i + 1][j].max(best[i][j + 1]) };
        }
    }
    let mut all = Vec::new();
    let (mut i, mut j) = (0, 0);
    let (mut gone, mut come) = (Vec::new(), Vec::new());
    let settle = |gone: &mut Vec<usize>, come: &mut Vec<usize>, all: &mut Vec<Entry>| {
        let mut gone = gone.drain(..);
        for j in come.drain(..) {
            let text = text(&new[j]);
            all.push(
                gone.next().map_or_else(|| Entry::New(text.clone()), |i| Entry::Changed(i, text.clone())),
            );
        }
    };
    while i < old.len() || j < new.len() {
        if i < old.len() && j < new.len() && old[i] == new[j] {
            settle(&mut gone, &mut come, &mut all);
            all.push(Entry::Kept(i));
            (i, j) = (i + 1, j + 1);
        } else if j == new.len() || (i < old.len() && best[i + 1][j] >= best[i][j + 1]) {
            gone.push(i);
            i += 1;
        } else {
            come.push(j);
            j += 1;
        }
    }
    settle(&mut gone, &mut come, &mut all);
    all
}

/// The list's text with its entries changed. `whole` is the list in `file`
/// with its brackets, `items` its items in order.
pub(crate) fn spliced(file: &str, whole: Range<usize>, items: &[Range<usize>], entries: &[Entry]) -> String {
    let inner_end = whole.end - 1;
    // Of each item: from the end of the one before it to past its comma and the comment on its line.
    let mut segments: Vec<Range<usize>> = Vec::new();
    let mut at = whole.start + 1;
    for (n, item) in items.iter().enumerate() {
        let limit = items.get(n + 1).map_or(inner_end, |next| next.start);
        let end = segment_end(file, item.end, limit);
        segments.push(at..end);
        at = end;
    }
    let lead = match (segments.first(), items.first()) {
        (Some(segment), Some(item)) => {
            // Of a list over several lines, the line's end and its indentation.
            let text = &file[segment.start..item.start];
            text.rfind('\n').map_or(" ".to_owned(), |line| {
                let indent: String = text[line..].chars().take_while(|c| c.is_whitespace()).collect();
                if file[..segment.start + line].ends_with('\r') { format!("\r{indent}") } else { indent }
            })
        }
        _ => " ".to_owned(),
    };
    let mut text = String::from("[");
    for (n, entry) in entries.iter().enumerate() {
        let last = n + 1 == entries.len();
        let (before, item, after) = match entry {
            Entry::New(item) => (lead.as_str(), item.as_str(), ""),
            Entry::Kept(i) | Entry::Changed(i, _) => {
                let (segment, span) = (&segments[*i], &items[*i]);
                let own = &file[span.clone()];
                let item = if let Entry::Changed(_, item) = entry { item.as_str() } else { own };
                (&file[segment.start..span.start], item, &file[span.end..segment.end])
            }
        };
        let first_on_line = n == 0 && !before.contains('\n');
        text += if first_on_line {
            before.trim_start()
        } else if before.is_empty() {
            " "
        } else {
            before
        };
        text += item;
        if last || has_comma(after) {
            text += after;
        } else {
            text.push(',');
            text += after;
        }
        let wants_comma = last && matches!(entry, Entry::New(_)) && lead.contains('\n');
        if wants_comma {
            text.push(',');
        }
    }
    // What stood after the last item, without a comma of its own.
    let rest = &file[segments.last().map_or(whole.start + 1, |s| s.end)..inner_end];
    text + rest + "]"
}

fn has_comma(after: &str) -> bool {
    after.split('#').next().is_some_and(|code| code.contains(','))
}

/// Where an item's own text ends: past its comma, and past a comment on its line.
fn segment_end(file: &str, from: usize, limit: usize) -> usize {
    let mut end = from;
    // The comma may stand on a later line, after comments.
    let mut in_comment = false;
    for (i, c) in file[from..limit].char_indices() {
        match c {
            '#' => in_comment = true,
            '\n' => in_comment = false,
            ',' if !in_comment => {
                end = from + i + 1;
                break;
            }
            _ => {}
        }
    }
    let rest = &file[end..limit];
    let line = rest.split('\n').next().unwrap_or("").trim_end_matches('\r');
    if line.trim_start().starts_with('#') { end + line.len() } else { end }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn change(list: &str, new: &[&str]) -> String {
        let mut items: Vec<Range<usize>> = Vec::new();
        let mut comment = false;
        for (i, c) in list.char_indices() {
            comment = (comment || c == '#') && c != '\n';
            if !comment && c.is_alphanumeric() {
                items.push(i..i + 1);
            }
        }
        let old: Vec<&str> = items.iter().map(|s| &list[s.clone()]).collect();
        spliced(list, 0..list.len(), &items, &entries(&old, new, |t| (*t).to_owned()))
    }

    #[test]
    fn a_list_on_one_line_keeps_its_spaces() {
        assert_eq!(change("[a, b,  c]", &["a", "x", "c"]), "[a, x,  c]");
        assert_eq!(change("[a, b,  c]", &["a", "c"]), "[a,  c]");
        assert_eq!(change("[a, b]", &["a", "b", "c"]), "[a, b, c]");
        assert_eq!(change("[ a, b ]", &["b"]), "[b ]");
        assert_eq!(change("[]", &["a", "b"]), "[a, b]");
        assert_eq!(change("[a]", &[]), "[]");
    }

    #[test]
    fn a_list_over_several_lines_keeps_comments_and_indentation() {
        let list = "[\n  a,   # the bow\n  b,\n  # the stern\n  c,  # painted\n]";
        assert_eq!(
            change(list, &["a", "x", "c", "d"]),
            "[\n  a,   # the bow\n  x,\n  # the stern\n  c,  # painted\n  d,\n]"
        );
        assert_eq!(change(list, &["a", "b"]), "[\n  a,   # the bow\n  b,\n]");
        let bare = "[\n  a,\n  b  # last\n]";
        assert_eq!(change(bare, &["a", "b", "c"]), "[\n  a,\n  b,  # last\n  c,\n]");
    }
}
