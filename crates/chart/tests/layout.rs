//! What must hold for every plot at every width: legible, inside, nothing over anything else.

mod common;

use chart::{Item, TextMark};

fn texts(items: &[Item]) -> Vec<&TextMark> {
    items
        .iter()
        .flat_map(|item| match item {
            Item::Text(text) => vec![text],
            Item::Group(group) => texts(&group.items),
            _ => Vec::new(),
        })
        .collect()
}

const WIDTHS: [f64; 5] = [320.0, 360.0, 560.0, 900.0, 1400.0];

#[test]
fn no_text_is_too_small_or_outside() {
    for (name, draw) in common::all() {
        for width in WIDTHS {
            let scene = draw(width);
            for text in texts(&scene.items) {
                let words = text.text.to_plain();
                let (left, right) = text.extent();
                // 11 px is our own floor for legible text on a phone.
                assert!(
                    text.size >= 11.0,
                    "{name} at {width}: {words:?} is {} px",
                    text.size
                );
                assert!(
                    left >= -0.5 && right <= scene.width + 0.5,
                    "{name} at {width}: {words:?} runs from {left:.1} to {right:.1}"
                );
                assert!(
                    text.y - text.size > -0.5 && text.y <= scene.height,
                    "{name} at {width}: {words:?} stands at y {:.1} of {:.1}",
                    text.y,
                    scene.height
                );
            }
        }
    }
}

#[test]
fn no_text_covers_another() {
    for (name, draw) in common::all() {
        for width in WIDTHS {
            let scene = draw(width);
            let texts = texts(&scene.items);
            for (i, a) in texts.iter().enumerate() {
                for b in &texts[..i] {
                    let (a0, a1) = a.extent();
                    let (b0, b1) = b.extent();
                    let beside = a1 <= b0 + 0.5 || b1 <= a0 + 0.5;
                    // Capitals and ascenders fill about three quarters of the size.
                    let apart = (a.y - b.y).abs() >= 0.75 * a.size.min(b.size);
                    assert!(
                        beside || apart,
                        "{name} at {width}: {:?} and {:?} overlap",
                        a.text.to_plain(),
                        b.text.to_plain()
                    );
                }
            }
        }
    }
}

#[test]
fn odd_widths_do_not_break_a_plot() {
    for (_, draw) in common::all() {
        for width in [f64::NAN, 0.0, -10.0, 1.0, 1e9] {
            let scene = draw(width);
            assert!(scene.width.is_finite() && scene.height > 0.0);
        }
    }
}

#[test]
fn empty_plots_are_drawn() {
    use chart::plots::{Bars, PairedDots, ScaleInterval, TimeLanes};
    for width in [360.0, 900.0] {
        for scene in [
            TimeLanes::default().scene(width),
            PairedDots::default().scene(width),
            ScaleInterval::default().scene(width),
            Bars::default().scene(width),
        ] {
            assert!(scene.height > 0.0);
        }
    }
}
