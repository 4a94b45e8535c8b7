//! The one style sheet of the page, with its fonts, and the policy that allows nothing else.

use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};
use std::sync::OnceLock;

/// The style sheet as it stands between `<style>` and `</style>`.
pub(super) fn sheet() -> &'static str {
    static SHEET: OnceLock<String> = OnceLock::new();
    SHEET.get_or_init(|| {
        let faces = [
            (400, "normal", chart::INTER_REGULAR_WOFF2),
            (400, "italic", chart::INTER_ITALIC_WOFF2),
            (600, "normal", chart::INTER_SEMIBOLD_WOFF2),
        ];
        let fonts: String = faces
            .iter()
            .map(|(weight, style, bytes)| {
                format!(
                    "@font-face{{font-family:Inter;font-weight:{weight};font-style:{style};\
                     src:url(data:font/woff2;base64,{}) format(\"woff2\")}}\n",
                    STANDARD.encode(bytes)
                )
            })
            .collect();
        format!("{fonts}{}{}", chart::css(), include_str!("update.css"))
    })
}

/// What the page may load: its own style sheet, told by its hash, and pictures and fonts that are in
/// the page itself. Nothing else and from nowhere else.
pub fn policy() -> &'static str {
    static POLICY: OnceLock<String> = OnceLock::new();
    POLICY.get_or_init(|| {
        let hash = STANDARD.encode(Sha256::digest(sheet().as_bytes()));
        format!(
            "default-src 'none'; style-src 'sha256-{hash}'; img-src data:; font-src data:; \
             base-uri 'none'; form-action 'none'"
        )
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sheet_ends_no_element_and_names_no_address() {
        let sheet = sheet();
        assert!(!sheet.contains("</"), "a style element would end there");
        assert!(!sheet.contains("http:") && !sheet.contains("https:"));
        assert!(!sheet.contains("@import"));
        assert_eq!(sheet.matches("data:font/woff2").count(), 3);
    }
}
