//! Names of kinds, measures and phases, and the anchors of the scores.

use crate::types::{Measure, PhaseKind};
use text::t;

/// The name of a kind of act, from its key (`top_up` is a top-up); a key nobody knows is its own
/// name.
pub fn kind_name(kind: &str) -> &str {
    match kind {
        "dose" => t!("act.kind_dose"),
        "change" => t!("act.kind_change"),
        "top_up" => t!("act.kind_top_up"),
        "feed" => t!("act.kind_feed"),
        "reading" => t!("act.kind_reading"),
        "observation" => t!("act.kind_observation"),
        "algae" => t!("act.kind_algae"),
        "trim" => t!("act.kind_trim"),
        "replant" => t!("act.kind_replant"),
        "thin" => t!("act.kind_thin"),
        "clean" => t!("act.kind_clean"),
        "setting" => t!("act.kind_setting"),
        "picture" => t!("act.kind_picture"),
        "plantlets" => t!("act.kind_plantlets"),
        "loss" => t!("act.kind_loss"),
        "move" => t!("act.kind_move"),
        "livestock" => t!("act.kind_livestock"),
        "swap" => t!("act.kind_swap"),
        "harvest" => t!("act.kind_harvest"),
        "walk" => t!("act.kind_walk"),
        "note" => t!("act.kind_note"),
        "undo" => t!("act.kind_undo"),
        other => other,
    }
}

/// The name of a measure.
pub fn measure_name(measure: Measure) -> &'static str {
    match measure {
        Measure::Growth => t!("act.measure_growth"),
        Measure::Height => t!("act.measure_height"),
        Measure::Spread => t!("act.measure_spread"),
        Measure::NodeDistance => t!("act.measure_node_distance"),
        Measure::Cover => t!("act.measure_cover"),
        Measure::Vigour => t!("act.measure_vigour"),
        Measure::NewLeaf => t!("act.measure_new_leaf"),
        Measure::Density => t!("act.measure_density"),
        Measure::Colour => t!("act.measure_colour"),
        Measure::Film => t!("act.measure_film"),
        Measure::Thread => t!("act.measure_thread"),
        Measure::Plantlets => t!("act.measure_plantlets"),
        Measure::Survival => t!("act.measure_survival"),
        Measure::Minutes => t!("act.measure_minutes"),
        Measure::Money => t!("act.measure_money"),
    }
}

/// The unit of a measure; empty for money, whose currency is its unit.
pub fn measure_unit(measure: Measure) -> &'static str {
    match measure {
        Measure::Growth => t!("act.unit_growth"),
        Measure::Height | Measure::Spread | Measure::NodeDistance => t!("act.unit_length"),
        Measure::Cover => t!("act.unit_cover"),
        Measure::Vigour | Measure::NewLeaf | Measure::Density | Measure::Colour => {
            t!("act.unit_score")
        }
        Measure::Film | Measure::Thread => t!("act.unit_algae"),
        Measure::Plantlets => t!("act.unit_count"),
        Measure::Survival => t!("act.unit_survival"),
        Measure::Minutes => t!("act.unit_minutes"),
        Measure::Money => "",
    }
}

/// The name of a phase.
pub fn phase_name(kind: PhaseKind) -> &'static str {
    match kind {
        PhaseKind::Establishing => t!("act.phase_establishing"),
        PhaseKind::Baseline => t!("act.phase_baseline"),
        PhaseKind::Treatment => t!("act.phase_treatment"),
        PhaseKind::AfterSwitch => t!("act.phase_after_switch"),
        PhaseKind::End => t!("act.phase_end"),
    }
}

/// The written anchors of a score, lowest first; empty for what is not scored.
///
/// Our own scale, no source. Plant scores run from 0 to 10 with words at the even numbers, an odd
/// number lying between its neighbours; algae scores run from 0 to 5 with words at each.
pub fn anchors(measure: Measure) -> Vec<(f64, &'static str)> {
    let words: [&'static str; 6] = match measure {
        Measure::Vigour => [
            t!("act.vigour_0"),
            t!("act.vigour_2"),
            t!("act.vigour_4"),
            t!("act.vigour_6"),
            t!("act.vigour_8"),
            t!("act.vigour_10"),
        ],
        Measure::NewLeaf => [
            t!("act.new_leaf_0"),
            t!("act.new_leaf_2"),
            t!("act.new_leaf_4"),
            t!("act.new_leaf_6"),
            t!("act.new_leaf_8"),
            t!("act.new_leaf_10"),
        ],
        Measure::Density => [
            t!("act.density_0"),
            t!("act.density_2"),
            t!("act.density_4"),
            t!("act.density_6"),
            t!("act.density_8"),
            t!("act.density_10"),
        ],
        Measure::Colour => [
            t!("act.colour_0"),
            t!("act.colour_2"),
            t!("act.colour_4"),
            t!("act.colour_6"),
            t!("act.colour_8"),
            t!("act.colour_10"),
        ],
        Measure::Film => [
            t!("act.film_0"),
            t!("act.film_1"),
            t!("act.film_2"),
            t!("act.film_3"),
            t!("act.film_4"),
            t!("act.film_5"),
        ],
        Measure::Thread => [
            t!("act.thread_0"),
            t!("act.thread_1"),
            t!("act.thread_2"),
            t!("act.thread_3"),
            t!("act.thread_4"),
            t!("act.thread_5"),
        ],
        _ => return vec![],
    };
    let step = match measure {
        Measure::Film | Measure::Thread => 1.0,
        _ => 2.0,
    };
    words
        .into_iter()
        .enumerate()
        .map(|(i, words)| (i as f64 * step, words))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Act;

    #[test]
    fn every_kind_has_a_name_of_its_own() {
        let names: std::collections::HashSet<&str> =
            Act::KINDS.iter().map(|k| kind_name(k)).collect();
        assert_eq!(names.len(), Act::KINDS.len());
        assert!(names.iter().all(|n| !n.contains('_') && !n.contains('.')));
        assert_eq!(kind_name("dance"), "dance");
    }

    #[test]
    fn scores_reach_from_end_to_end_of_their_scale() {
        let ends = |m| {
            let a = anchors(m);
            (a[0].0, a[a.len() - 1].0)
        };
        assert_eq!(ends(Measure::Vigour), (0.0, 10.0));
        assert_eq!(ends(Measure::Thread), (0.0, 5.0));
        assert!(anchors(Measure::Height).is_empty());
        for m in [
            Measure::Vigour,
            Measure::NewLeaf,
            Measure::Density,
            Measure::Colour,
            Measure::Film,
            Measure::Thread,
        ] {
            assert!(
                anchors(m)
                    .iter()
                    .all(|(_, words)| !words.starts_with("act."))
            );
        }
    }
}
