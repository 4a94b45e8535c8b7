//! Giving tanks to arms by lot, in a way that anyone can repeat from the seed.
//!
//! The lot: the names in alphabetical order (by code points), shuffled by Fisher and Yates from the
//! last place down, with SplitMix64 from the seed; then dealt to the arms in turn, as cards are. So
//! the arms get equally many tanks, or differ by one, and the order in which names were typed does
//! not matter.

use crate::types::Lot;
use text::t;

/// SplitMix64 (Steele, Lea and Flood 2014, "Fast splittable pseudorandom number generators",
/// OOPSLA '14): small, exactly specified, and the same in every language.
#[derive(Debug, Clone)]
struct SplitMix64 {
    state: u64,
}

impl SplitMix64 {
    fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `n`, each equally likely: outputs of the last, incomplete run of `n` are
    /// drawn again. `n` must not be 0.
    fn below(&mut self, n: u64) -> u64 {
        let whole = u64::MAX - (u64::MAX % n + 1) % n;
        loop {
            let drawn = self.next();
            if drawn <= whole {
                return drawn % n;
            }
        }
    }
}

/// The names in the order of the lot: a pure function of the seed and of which names there are.
pub fn shuffled<'a>(seed: u64, names: &[&'a str]) -> Vec<&'a str> {
    let mut order = names.to_vec();
    order.sort_unstable();
    let mut random = SplitMix64 { state: seed };
    for last in (1..order.len()).rev() {
        let other = random.below(last as u64 + 1) as usize;
        order.swap(last, other);
    }
    order
}

/// Each name with the place of its arm (from 0), in the order of the lot: the first name goes to
/// the first arm, the second to the second, and round again. Without arms nothing is dealt.
pub fn dealt<'a>(seed: u64, names: &[&'a str], arms: usize) -> Vec<(&'a str, usize)> {
    if arms == 0 {
        return Vec::new();
    }
    let order = shuffled(seed, names);
    let places = (0..arms).cycle();
    order.into_iter().zip(places).collect()
}

/// The record of a lot, with its method in words: `arms` in the order in which they were dealt to.
pub fn record(seed: u64, arms: &[&str], drawn: jiff::civil::Date) -> Lot {
    Lot {
        seed: Some(seed),
        method: t!("setup.lot_method", arms = arms.join(", ")),
        drawn,
        by: String::new(),
        result: String::new(),
    }
}

/// The record of a lot that was drawn on paper: `given` is each tank with the name of its arm.
pub fn on_paper(
    drawn: jiff::civil::Date,
    method: &str,
    by: &str,
    given: &[(String, String)],
) -> Lot {
    let result = given.iter().map(|(tank, arm)| format!("{tank}: {arm}"));
    Lot {
        seed: None,
        method: method.to_string(),
        drawn,
        by: by.to_string(),
        result: result.collect::<Vec<_>>().join("; "),
    }
}

/// The lot in words: when and how, by whom, and whether anyone can repeat it.
pub fn sentence(lot: &Lot) -> String {
    match lot.seed {
        Some(seed) => t!("setup.lot_is", seed = seed, day = lot.drawn),
        None if lot.by.is_empty() => t!("setup.lot_paper", day = lot.drawn, how = lot.method),
        None => t!(
            "setup.lot_paper_by",
            day = lot.drawn,
            how = lot.method,
            who = lot.by
        ),
    }
}

/// What stands beside the sentence: the method of a seed, or what the paper gave.
pub fn details(lot: &Lot) -> &str {
    match lot.seed {
        Some(_) => &lot.method,
        None => &lot.result,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeMap;

    fn five(seed: u64) -> [u64; 5] {
        let mut random = SplitMix64 { state: seed };
        std::array::from_fn(|_| random.next())
    }

    #[test]
    fn splitmix64_gives_the_published_numbers() {
        // Rosetta Code, task "Pseudo-random numbers/Splitmix64": the first five for seed 1234567.
        assert_eq!(
            five(1_234_567),
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423,
                4_593_380_528_125_082_431,
                16_408_922_859_458_223_821,
            ]
        );
        // The first for seed 0, as in the tests of many libraries (from memory).
        assert_eq!(five(0)[0], 0xe220_a839_7b1d_cdaf);
    }

    #[test]
    fn counts_of_fifths_are_the_published_ones() {
        // The same task: of 100,000 numbers for seed 987654321, scaled to 0..5, so many are 0, 1, ...
        let mut random = SplitMix64 { state: 987_654_321 };
        let mut counts = [0u32; 5];
        for _ in 0..100_000 {
            // floor(5 z / 2^64), exactly.
            counts[((u128::from(random.next()) * 5) >> 64) as usize] += 1;
        }
        assert_eq!(counts, [20_027, 19_892, 20_073, 19_978, 20_030]);
    }

    #[test]
    fn a_shuffle_by_hand() {
        // From the published numbers for seed 1234567 and four names A B C D:
        // 6457827717110365317 mod 4 = 1: swap places 3 and 1: A D C B
        // 3203168211198807973 mod 3 = 1 (digit sum 79): swap 2 and 1: A C D B
        // 9817491932198370423 mod 2 = 1: 1 stays: A C D B
        assert_eq!(
            shuffled(1_234_567, &["D", "B", "A", "C"]),
            ["A", "C", "D", "B"]
        );
        assert_eq!(
            dealt(1_234_567, &["A", "B", "C", "D"], 2),
            [("A", 0), ("C", 1), ("D", 0), ("B", 1)]
        );
    }

    #[test]
    fn every_order_comes_equally_often() {
        // 24 orders of four names over 24,000 seeds: 1,000 each, standard deviation
        // sqrt(24000 x 1/24 x 23/24) = 31; five of them either way.
        let mut seen: BTreeMap<Vec<&str>, u32> = BTreeMap::new();
        for seed in 0..24_000 {
            *seen
                .entry(shuffled(seed, &["A", "B", "C", "D"]))
                .or_default() += 1;
        }
        assert_eq!(seen.len(), 24);
        assert!(seen.values().all(|n| (845..=1155).contains(n)), "{seen:?}");
    }

    #[test]
    fn arms_differ_by_one_tank_at_most() {
        let names = ["A", "B", "C", "D", "E", "F", "G"];
        let lots = dealt(9, &names, 3);
        let of = |arm| lots.iter().filter(|(_, a)| *a == arm).count();
        assert_eq!([of(0), of(1), of(2)], [3, 2, 2]);
        assert!(dealt(9, &names, 0).is_empty() && dealt(9, &[], 2).is_empty());
    }

    #[test]
    fn the_last_incomplete_run_is_left_out() {
        // 2^64 = 3 x 6148914691236517205 + 1: only the largest output is drawn again for n = 3,
        // none for a power of two.
        let whole = |n: u64| u64::MAX - (u64::MAX % n + 1) % n;
        assert_eq!(whole(3), u64::MAX - 1);
        assert_eq!((whole(1), whole(4)), (u64::MAX, u64::MAX));
    }
}
