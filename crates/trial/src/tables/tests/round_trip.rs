use super::super::{ENTRY_TABLES, read_table};
use super::{bench, id};
use crate::act::*;
use crate::tank::Livestock;
use crate::*;
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};
use proptest::option::of;
use proptest::prelude::*;
use quantity::{Amount, Analyte, Interval, Means, Unit};

fn text() -> impl Strategy<Value = String> {
    prop_oneof![
        Just(String::new()),
        "[a-z \"',;\n\u{e9}\u{1f331}=+@-]{1,12}",
    ]
}

fn words() -> impl Strategy<Value = String> {
    "[a-z][a-z ,\"=\u{fc}]{0,8}[a-z]"
}

/// A number with few digits, as people write them.
fn n(low: i32, high: i32) -> impl Strategy<Value = f64> {
    (low * 100..high * 100).prop_map(|v| f64::from(v) / 100.0)
}

fn plantings(tank: usize) -> Vec<PlantingId> {
    bench()
        .plantings_in(bench().tanks[tank].id)
        .map(|p| p.id)
        .collect()
}

fn reading() -> impl Strategy<Value = Act> {
    let step = proptest::sample::select(vec![0.0, 3.0, 6.0, 12.0, 24.0, 48.0]);
    let seen = prop_oneof![
        step.prop_map(|step| (Seen::Step { step }, Some(CardId(id(30))))),
        n(1, 90).prop_map(|value| (Seen::AtLeast { value }, None)),
        n(1, 90).prop_map(|value| (
            Seen::Meter {
                value,
                error: None,
                decimals: 2
            },
            None
        )),
        (n(1, 90), n(1, 2)).prop_map(|(value, e)| (
            Seen::Meter {
                value,
                error: Some(e),
                decimals: 2
            },
            None
        )),
        (n(1, 50), n(1, 50)).prop_map(|(low, w)| (Seen::Between { low, high: low + w }, None)),
    ];
    let means = proptest::sample::select(vec![Means::Ion, Means::Element]);
    (seen, means, of(n(1, 9)), words(), of(n(0, 60)), 0u8..3).prop_map(
        |((seen, card), means, dilution, lot, waited_min, what)| {
            let bench = bench();
            let bare = match card.and_then(|c| bench.card(c)) {
                Some(card) => card.interval(seen),
                None => seen.interval(),
            };
            let interval = bare
                .unwrap()
                .map_increasing(|v| v * dilution.unwrap_or(1.0));
            Act::Reading(Reading {
                analyte: Analyte::No3,
                seen,
                card,
                // A card's readings mean what its numbers mean.
                means: if card.is_some() { Means::Ion } else { means },
                interval: interval.unwrap_or(Interval::UNBOUNDED),
                water: None,
                dilution,
                of: match what {
                    0 => ReadingOf::Sample,
                    1 => ReadingOf::Blank,
                    _ => ReadingOf::Standard { value: 10.0 },
                },
                lot,
                opened: None,
                expires: Some(jiff::civil::date(2027, 3, 1)),
                waited_min,
                viewing_light: "daylight".into(),
            })
        },
    )
}

/// Acts for every tank, or for any of them.
fn shared() -> impl Strategy<Value = Act> {
    let salt = DoseOf::Salt {
        formula: "KNO3".into(),
    };
    let product = |n| DoseOf::Product {
        product: ProductId(id(n)),
    };
    prop_oneof![
        n(1, 9).prop_map(move |v| Act::Dose(Dose {
            of: salt.clone(),
            amount: Amount::new(v, Unit::Gram),
            into: Into::Substrate,
        })),
        n(1, 9).prop_map(move |v| Act::Dose(Dose {
            of: product(40),
            amount: Amount::new(v, Unit::Millilitre),
            into: Into::Water,
        })),
        (1u32..9).prop_map(move |v| Act::Dose(Dose {
            of: product(41),
            amount: Amount::new(f64::from(v), Unit::Piece),
            into: Into::Substrate,
        })),
        (1u32..100).prop_map(|v| Act::Change(Change {
            amount: WaterAmount::Share {
                share: f64::from(v) / 100.0
            },
            source: Some(WaterId(id(50))),
        })),
        n(1, 30).prop_map(|litres| Act::Change(Change {
            amount: WaterAmount::Litres { litres },
            source: None,
        })),
        (n(1, 5), of(n(0, 9))).prop_map(|(litres, level_below_cm)| Act::TopUp(TopUp {
            litres,
            source: Some(WaterId(id(50))),
            level_below_cm,
        })),
        (words(), of(n(1, 9))).prop_map(|(food, grams)| {
            Act::Feed(Feed {
                food,
                product: None,
                grams,
            })
        }),
        (n(1, 12), words()).prop_map(|(h, surface)| Act::Setting(Setting {
            photoperiod_h: Some(h),
            light_on_at: Some(jiff::civil::time(11, 0, 0, 0)),
            gas_on_after_light_min: Some(-h * 10.0),
            surface: Some(surface),
            ..Setting::default()
        })),
        of(n(1, 300)).prop_map(|flow_before_l_h| Act::Clean(Clean {
            part: Part::Filter,
            flow_before_l_h,
            flow_after_l_h: Some(250.0),
        })),
    ]
}

/// Acts for exactly one tank; `tank` is its place.
fn single(tank: usize) -> impl Strategy<Value = Act> {
    let some = || proptest::sample::subsequence(plantings(tank), 1..=3);
    prop_oneof![
        reading(),
        (
            some(),
            of(n(0, 10)),
            of(n(0, 10)),
            of(n(1, 40)),
            of(any::<bool>()),
            words()
        )
            .prop_map(|(plantings, vigour, new_leaf, height_cm, emerged, sign)| {
                Act::Observation(Observation {
                    plantings,
                    vigour,
                    new_leaf,
                    height_cm,
                    cover_pct: Some(12.5),
                    emerged,
                    signs: vec![sign, "pale, at the tips".into()],
                    on_walk: vigour.map(|score| OnWalk {
                        walk: WalkId(id(61)),
                        masked: score > 5.0,
                        as_last: score < 8.0,
                    }),
                    ..Observation::default()
                })
            }),
        (0..3usize, n(1, 60), of(n(2, 9))).prop_map(move |(which, mass, dried)| Act::Trim(Trim {
            plantings: vec![plantings(tank)[which]],
            kept_share: Some(0.5),
            out_fresh_g: Some(mass + 20.0),
            dried: dried.map(|fresh_g| DriedSample {
                fresh_g,
                dry_g: fresh_g / 2.0
            }),
            left_out: vec![],
        })),
        (n(0, 5), of(n(0, 5))).prop_map(|(pane, plants)| Act::Algae(Algae {
            film: Surfaces {
                pane: Some(pane),
                plants,
                ..Surfaces::default()
            },
            thread: Surfaces {
                substrate: plants,
                ..Surfaces::default()
            },
            on_walk: plants.map(|score| OnWalk {
                walk: WalkId(id(60)),
                masked: score > 2.0,
                as_last: pane > 2.0,
            }),
        })),
        (1u32..9, words()).prop_map(|(count, species)| Act::Livestock(LivestockEvent {
            event: LivestockHappening::Missing,
            who: Livestock { species, count },
        })),
    ]
}

fn entries() -> impl Strategy<Value = Vec<Entry>> {
    let act = prop_oneof![
        shared().prop_map(|act| (act, vec![0, 1], true)),
        shared().prop_map(|act| (act, vec![1, 0], false)),
        single(0).prop_map(|act| (act, vec![0], false)),
        single(1).prop_map(|act| (act, vec![1], false)),
        Just((Act::Note, vec![], false)),
        Just((Act::Note, vec![0, 1], true)),
        Just((
            Act::Trim(Trim {
                plantings: vec![plantings(0)[0], plantings(1)[1]],
                kept_share: Some(0.25),
                out_fresh_g: None,
                dried: None,
                left_out: vec![plantings(0)[2]],
            }),
            vec![0, 1],
            true,
        )),
    ];
    let zone = proptest::sample::select(vec!["Europe/Berlin", "UTC", "Asia/Kathmandu"]);
    let one = (act, 0i64..1_800_000_000, zone, text(), text(), of(n(1, 90)));
    proptest::collection::vec(one, 1..12).prop_map(|all| {
        let bench = bench();
        let with_id = all.into_iter().enumerate();
        with_id
            .map(
                |(i, ((act, tanks, all_tanks), seconds, zone, note, who, minutes))| Entry {
                    id: EntryId(id(1000 + i as u128)),
                    trial: bench.trial.id,
                    at: ZonedDateTime::new(
                        Timestamp::from_second(seconds).unwrap(),
                        TimeZone::get(zone).unwrap(),
                    ),
                    written: Timestamp::UNIX_EPOCH,
                    tanks: tanks.iter().map(|t| bench.tanks[*t].id).collect(),
                    all_tanks,
                    who,
                    minutes,
                    note: if act == Act::Note {
                        format!("x{note}")
                    } else {
                        note
                    },
                    origin: Origin::Form,
                    supersedes: None,
                    act,
                },
            )
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]
    #[test]
    fn tables_say_everything(entries in entries()) {
        let bench = bench();
        let mut back = Vec::new();
        for table in ENTRY_TABLES.iter().filter(|t| t.is_read()) {
            let mut out = csv::Writer::from_writer(Vec::new());
            out.write_record(table.columns().iter().map(|c| c.name)).unwrap();
            let rows: Vec<_> = entries.iter().flat_map(|e| table.rows(&bench, e)).collect();
            if rows.is_empty() {
                continue;
            }
            for row in rows {
                out.write_record(row).unwrap();
            }
            let bytes = out.into_inner().unwrap();
            let found = read_table(&bench, table.name, &bytes)
                .map_err(|e| TestCaseError::fail(format!("{e}\n{}", String::from_utf8_lossy(&bytes))))?;
            back.extend(found.rows);
        }
        prop_assert_eq!(back.len(), entries.len());
        for row in back {
            let entry = entries.iter().find(|e| Some(e.id) == row.entry).unwrap();
            let d = row.draft;
            prop_assert_eq!(&d.act, &entry.act);
            prop_assert_eq!(d.at.to_string(), entry.at.to_string());
            prop_assert_eq!((d.tanks, d.all_tanks), (entry.tanks.clone(), entry.all_tanks));
            prop_assert_eq!((d.who, d.minutes), (entry.who.clone(), entry.minutes));
            prop_assert_eq!(d.note, entry.note.clone());
        }
    }
}
