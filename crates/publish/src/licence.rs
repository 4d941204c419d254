//! `LICENCE.txt`: the maker's own text, or a short notice.

/// The notice of a licence by its SPDX identifier, or of none; `who`: the
/// designer, if named.
pub(crate) fn notice(title: &str, who: Option<&str>, spdx: Option<&str>) -> String {
    let of = who.map_or(String::new(), |who| format!(", by {who}"));
    match spdx {
        Some(own) if own.starts_with("LicenseRef-") => format!(
            "{title}{of}\n\nSPDX-License-Identifier: {own}\n\nThis licence is the maker's own. Its text is \
             not in this pack:\nask the maker for it before you use more than the law allows anyway.\n"
        ),
        Some(spdx) => format!(
            "{title}{of}\n\nSPDX-License-Identifier: {spdx}\n\nYou may use, share and change what is in this \
             pack under the terms of this\nlicence. Its text is at https://spdx.org/licenses/{spdx}.html\n"
        ),
        None => format!(
            "{title}{of}\n\nThe maker has named no licence. Until one is named, all rights are reserved:\n\
             print and play for yourself, and ask before you share or sell.\n"
        ),
    }
}
