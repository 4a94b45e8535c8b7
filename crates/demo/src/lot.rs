//! Drawing tanks for arms by lot.

use sha2::{Digest, Sha256};

/// The names in the order of the draw: sorted by the SHA-256 of `seed:name`. Names are put in
/// alphabetical order first, so the order in which they are given does not matter.
pub fn by_lot<'a>(seed: u64, names: &[&'a str]) -> Vec<&'a str> {
    let mut drawn: Vec<&str> = names.to_vec();
    drawn.sort_unstable();
    drawn.sort_by_key(|name| Sha256::digest(format!("{seed}:{name}").as_bytes()));
    drawn
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_draw_agrees_with_another_programs_hashes() {
        // First digits of `printf 9:Oak | sha256sum` and so on (GNU coreutils).
        let first = |name: &str| Sha256::digest(format!("9:{name}").as_bytes())[0];
        assert_eq!(
            ["Oak", "Ash", "Elm", "Fir"].map(first),
            [0x34, 0xa6, 0xbf, 0xe4]
        );
        assert_eq!(
            by_lot(9, &["Fir", "Ash", "Oak", "Elm"]),
            ["Oak", "Ash", "Elm", "Fir"]
        );
    }
}
