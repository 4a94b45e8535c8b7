//! Readings: on a card, with everything said, without a card, and not clear.

use axum::http::StatusCode;
use quantity::{Analyte, Interval, Means};
use trial::act::{Reading, ReadingOf};
use trial::{Act, Seen};

use crate::common::{Browser, fields_of};
use crate::fixture::{Desk, refs, with};
use crate::write;

fn reading(desk: &Desk, seen: Seen, low: Option<f64>, high: Option<f64>) -> Reading {
    Reading {
        analyte: Analyte::No3,
        seen,
        card: Some(desk.card()),
        means: Means::Ion,
        interval: Interval::new(low, high).unwrap(),
        water: None,
        dilution: None,
        of: ReadingOf::Sample,
        lot: String::new(),
        opened: None,
        expires: None,
        waited_min: None,
        viewing_light: String::new(),
    }
}

#[tokio::test]
async fn readings_on_a_card() {
    let desk = Desk::new();
    let form = format!("reading?card={}", desk.card());
    let b = Browser::new(&desk.app).await;
    let chooser = b.get(&desk.at("/log/reading")).await;
    assert!(chooser.has(&desk.at(&format!("/log/{form}"))));
    let page = b.get(&desk.at(&format!("/log/{form}"))).await;
    assert!(
        page.has("4.5 to 9"),
        "the step 6 says what it says: {}",
        page.body
    );
    let oak = desk.tank("Oak").to_string();
    for (saw, seen, low, high) in [
        ("step:6", Seen::Step { step: 6.0 }, Some(4.5), Some(9.0)),
        ("step:0", Seen::Step { step: 0.0 }, None, Some(1.5)),
        ("step:24", Seen::Step { step: 24.0 }, Some(18.0), None),
        (
            "between:6:12",
            Seen::Between {
                low: 6.0,
                high: 12.0,
            },
            Some(6.0),
            Some(12.0),
        ),
        (
            "at_least:24",
            Seen::AtLeast { value: 24.0 },
            Some(24.0),
            None,
        ),
    ] {
        let entry = write(&desk, &form, &[("saw", saw), ("tanks", &oak)]).await;
        assert_eq!(
            entry.act,
            Act::Reading(reading(&desk, seen, low, high)),
            "{saw}"
        );
        assert_eq!(entry.tanks, [desk.tank("Oak")]);
    }
    // Steps further apart, and at most one of them.
    let set = [
        ("saw", "other"),
        ("low", "3"),
        ("high", "12"),
        ("tanks", &oak),
    ];
    let seen = Seen::Between {
        low: 3.0,
        high: 12.0,
    };
    let act = Act::Reading(reading(&desk, seen, Some(3.0), Some(12.0)));
    assert_eq!(write(&desk, &form, &set).await.act, act);
    let seen = Seen::AtMost { value: 3.0 };
    let act = Act::Reading(reading(&desk, seen, None, Some(3.0)));
    let set = [("saw", "other"), ("high", "3"), ("tanks", &oak)];
    assert_eq!(write(&desk, &form, &set).await.act, act);
}

#[tokio::test]
async fn readings_with_everything_said() {
    let desk = Desk::new();
    let form = format!("reading?card={}", desk.card());
    // Diluted five times: 6 to 12 says 30 to 60.
    let seen = Seen::Between {
        low: 6.0,
        high: 12.0,
    };
    let rain = desk.water().to_string();
    let full = Reading {
        dilution: Some(5.0),
        water: Some(desk.water()),
        lot: "L7".into(),
        opened: Some(jiff::civil::date(2026, 1, 2)),
        expires: Some(jiff::civil::date(2027, 6, 30)),
        waited_min: Some(10.0),
        viewing_light: "daylight".into(),
        ..reading(&desk, seen, Some(30.0), Some(60.0))
    };
    let set = [
        ("saw", "between:6:12"),
        ("dilution", "5"),
        ("water", &rain),
        ("lot", "L7"),
        ("opened", "2026-01-02"),
        ("expires", "2027-06-30"),
        ("waited_min", "10"),
        ("viewing_light", "daylight"),
        ("tanks", "-"),
    ];
    let entry = write(&desk, &form, &set).await;
    assert_eq!(entry.act, Act::Reading(full));
    assert!(entry.tanks.is_empty());
    let standard = Reading {
        of: ReadingOf::Standard { value: 10.0 },
        ..reading(&desk, seen, Some(6.0), Some(12.0))
    };
    let set = [
        ("saw", "between:6:12"),
        ("reading_of", "standard"),
        ("standard", "10"),
        ("tanks", "-"),
    ];
    assert_eq!(write(&desk, &form, &set).await.act, Act::Reading(standard));
}

#[tokio::test]
async fn readings_without_a_card() {
    let desk = Desk::new();
    let ash = desk.tank("Ash").to_string();
    // 6.80 rounds from 6.795 to 6.805.
    let entry = write(
        &desk,
        "reading?analyte=ph",
        &[("value", "6,80"), ("tanks", &ash)],
    )
    .await;
    let Act::Reading(r) = entry.act else { panic!() };
    let seen = Seen::Meter {
        value: 6.8,
        error: None,
        decimals: 2,
    };
    assert_eq!((r.analyte, r.seen, r.card), (Analyte::Ph, seen, None));
    let (low, high) = (r.interval.low().unwrap(), r.interval.high().unwrap());
    assert!((low - 6.795).abs() < 1e-12 && (high - 6.805).abs() < 1e-12);
    let set = [("value", "25"), ("error", "0.5"), ("tanks", &ash)];
    let entry = write(&desk, "reading?analyte=temperature", &set).await;
    let Act::Reading(r) = entry.act else { panic!() };
    assert_eq!(r.interval, Interval::closed(24.5, 25.5).unwrap());
    let set = [("low", "0.5"), ("means", "element"), ("tanks", &ash)];
    let entry = write(&desk, "reading?analyte=po4", &set).await;
    let Act::Reading(r) = entry.act else { panic!() };
    assert_eq!(
        (r.means, r.interval),
        (Means::Element, Interval::at_least(0.5).unwrap())
    );
}

#[tokio::test]
async fn a_reading_that_is_not_clear_is_refused_at_its_field() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let at = desk.at("/log/reading");
    let page = b.get(&format!("{at}?card={}", desk.card())).await;
    let ash = desk.tank("Ash").to_string();
    for (set, field) in [
        (vec![("tanks", ash.as_str())], "f-saw"),
        (
            vec![("tanks", &ash), ("saw", "step:6"), ("low", "3")],
            "f-saw",
        ),
        (
            vec![
                ("tanks", &ash),
                ("saw", "other"),
                ("low", "4"),
                ("high", "12"),
            ],
            "f-low",
        ),
        (
            vec![("tanks", &ash), ("saw", "other"), ("low", "x")],
            "f-low",
        ),
        (vec![("tanks", "-"), ("saw", "step:6")], "f-tanks"),
        (vec![("saw", "step:6")], "f-tanks"),
        (
            vec![("tanks", &ash), ("saw", "step:6"), ("dilution", "0.5")],
            "f-dilution",
        ),
    ] {
        let fields = with(&fields_of(&page.body, &at), &set);
        let sent = b.post(&at, &refs(&fields)).await;
        assert_eq!(sent.status, StatusCode::UNPROCESSABLE_ENTITY, "{set:?}");
        assert!(
            sent.has(&format!("href=\"#{field}\"")),
            "{set:?}: {}",
            sent.body
        );
        assert!(
            sent.has(&format!("id=\"{field}\"")),
            "{set:?} has its field"
        );
    }
    assert_eq!(desk.written(), 0);
}

#[tokio::test]
async fn one_form_goes_from_tank_to_tank() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    let tanks: Vec<String> = desk
        .bench()
        .tanks
        .iter()
        .map(|t| t.id.to_string())
        .collect();
    let action = desk.at("/log/reading");
    let mut page = b.get(&format!("{action}?card={}", desk.card())).await;
    for (n, tank) in tanks.iter().enumerate() {
        let fields = fields_of(&page.body, &action);
        let chosen = fields.iter().find(|(name, _)| name == "tanks");
        if n > 0 {
            assert_eq!(
                chosen.map(|(_, id)| id),
                Some(tank),
                "the next from the left"
            );
            assert!(
                !fields.iter().any(|(name, _)| name == "saw"),
                "what was seen is cleared"
            );
            assert!(
                fields.contains(&("lot".into(), "A12".into())),
                "the kit stays"
            );
            assert!(page.has(&format!("{n} of {} tanks done.", tanks.len())));
        }
        let set = [
            ("tanks", tank.as_str()),
            ("saw", "step:6"),
            ("lot", "A12"),
            ("next_tank", "1"),
        ];
        let sent = b.post(&action, &refs(&with(&fields, &set))).await;
        assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.body);
        page = b.get(&sent.location).await;
        assert_eq!(page.status, StatusCode::OK);
    }
    assert!(page.has("All tanks done."), "{}", page.body);
    assert_eq!(desk.written(), tanks.len() as u64);
}
