//! Contrast and the difference between series, with and without colour vision.

use chart::{Rgb, Role, SeriesId, Theme};

fn themes() -> [(&'static str, Theme); 3] {
    [
        ("light", Theme::light()),
        ("dark", Theme::dark()),
        ("print", Theme::print()),
    ]
}

#[test]
fn text_and_series_stand_out() {
    // WCAG 2.2: 1.4.3 asks 4.5:1 for text, 1.4.11 asks 3:1 for graphical objects.
    for (name, theme) in themes() {
        for ground in [Role::Surface, Role::Panel, Role::Kept] {
            let ground_colour = theme.colour(ground);
            for role in [Role::Ink, Role::Muted, Role::Guide] {
                let contrast = theme.colour(role).contrast(ground_colour);
                assert!(
                    contrast >= 4.5,
                    "{name}: {role:?} on {ground:?} is {contrast:.2}"
                );
            }
            for id in SeriesId::all() {
                let contrast = theme.colour(Role::Series(id)).contrast(ground_colour);
                assert!(
                    contrast >= 3.0,
                    "{name}: {id:?} on {ground:?} is {contrast:.2}"
                );
            }
        }
    }
}

type Matrix = [[f64; 3]; 3];

/// Machado, Oliveira and Fernandes 2009, "A physiologically-based model for simulation of color
/// vision deficiency", IEEE TVCG 15(6), severity 1.0, on linear RGB (from memory).
const SEEN: [(&str, Matrix); 4] = [
    (
        "full colour vision",
        [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]],
    ),
    (
        "protanopia",
        [
            [0.152286, 1.052583, -0.204868],
            [0.114503, 0.786281, 0.099216],
            [-0.003882, -0.048116, 1.051998],
        ],
    ),
    (
        "deuteranopia",
        [
            [0.367322, 0.860646, -0.227968],
            [0.280085, 0.672501, 0.047413],
            [-0.011820, 0.042940, 0.968881],
        ],
    ),
    (
        "tritanopia",
        [
            [1.255528, -0.076749, -0.178779],
            [-0.078411, 0.930809, 0.147602],
            [0.004733, 0.691367, 0.303900],
        ],
    ),
];

fn times(m: &Matrix, v: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|i| m[i][0] * v[0] + m[i][1] * v[1] + m[i][2] * v[2])
}

/// Oklab (B. Ottosson 2020, "A perceptual color space for image processing", from memory).
fn oklab(linear: [f64; 3]) -> [f64; 3] {
    const TO_CONES: Matrix = [
        [0.4122214708, 0.5363325363, 0.0514459929],
        [0.2119034982, 0.6806995451, 0.1073969566],
        [0.0883024619, 0.2817188376, 0.6299787005],
    ];
    const TO_LAB: Matrix = [
        [0.2104542553, 0.7936177850, -0.0040720468],
        [1.9779984951, -2.4285922050, 0.4505937099],
        [0.0259040371, 0.7827717662, -0.8086757660],
    ];
    times(
        &TO_LAB,
        times(&TO_CONES, linear.map(|c| c.max(0.0))).map(f64::cbrt),
    )
}

#[test]
fn the_eye_models_are_right_at_known_points() {
    // White is L = 1, a = b = 0 in Oklab, and stays white for every kind of eye.
    for (eye, matrix) in SEEN {
        let [l, a, b] = oklab(times(&matrix, Rgb(255, 255, 255).linear()));
        assert!(
            (l - 1.0).abs() < 2e-3 && a.abs() < 2e-3 && b.abs() < 2e-3,
            "{eye}"
        );
    }
}

#[test]
fn series_stay_apart_for_every_eye() {
    // About 0.02 in Oklab is a just noticeable difference (from memory); lines and points are
    // small, so all pairs keep three times that and the first four, used most, six times.
    for (name, theme) in themes() {
        for (eye, matrix) in SEEN {
            let seen = theme.series.map(|c| oklab(times(&matrix, c.linear())));
            for i in 0..SeriesId::COUNT {
                for j in 0..i {
                    let d: f64 = (0..3).map(|k| (seen[i][k] - seen[j][k]).powi(2)).sum();
                    let least = if i < 4 { 0.12 } else { 0.06 };
                    let d = d.sqrt();
                    assert!(
                        d >= least,
                        "{name}, {eye}: series {} and {} differ by {d:.3}",
                        j + 1,
                        i + 1
                    );
                }
            }
        }
    }
}
