//! The form of every kind of act: sent, it writes the act that was meant; opened as a correction and
//! sent untouched, it writes the same again.
//!
//! What each form should write is spelt out beside it by hand. Intervals of the card with the steps
//! 0, 3, 6, 12, 24: a step reaches to the midpoints of its neighbours (arithmetic).

#![allow(clippy::unwrap_used, clippy::panic)]

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/fixture.rs"]
mod fixture;
mod plants;
mod readings;

use axum::http::StatusCode;
use common::{Browser, fields_of};
use fixture::{Desk, refs, with};
use quantity::{Amount, Unit};
use trial::act::*;
use trial::tank::Livestock;
use trial::types::Money;
use trial::{Act, Entry};

/// Sends a form with some fields set and gives the entry; then its correction, untouched.
async fn write(desk: &Desk, form: &str, set: &[(&str, &str)]) -> Entry {
    let b = Browser::new(&desk.app).await;
    let action = desk.at(&format!("/log/{}", form.split('?').next().unwrap()));
    let page = b.get(&desk.at(&format!("/log/{form}"))).await;
    assert_eq!(page.status, StatusCode::OK, "{form}");
    // A label whose text is missing would show its key.
    assert!(!page.has("log.f_") && !page.has("log.h_"), "{form}");
    for label in ["<label for=\"f-", "<legend>"] {
        assert!(!page.has(&format!("{label}\"></label>")), "{form}");
    }
    let fields = with(&fields_of(&page.body, &action), set);
    let sent = b.post(&action, &refs(&fields)).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{form}: {}", sent.body);
    let entry = desk.confirmed(&sent.location);
    assert_eq!(b.get(&sent.location).await.status, StatusCode::OK);
    untouched(desk, &b, &entry).await;
    entry
}

async fn untouched(desk: &Desk, b: &Browser<'_>, entry: &Entry) {
    let action = desk.at(&format!("/entries/{}/correct", entry.id));
    let page = b.get(&action).await;
    let fields = fields_of(&page.body, &action);
    let sent = b.post(&action, &refs(&fields)).await;
    assert_eq!(sent.status, StatusCode::SEE_OTHER, "{}", sent.body);
    let same = desk.confirmed(&sent.location);
    assert_eq!(same.supersedes, Some(entry.id));
    assert_eq!(same.act, entry.act);
    assert_eq!(
        (&same.tanks, same.all_tanks),
        (&entry.tanks, entry.all_tanks)
    );
    assert_eq!(
        (&same.at, &same.who, same.minutes, &same.note),
        (&entry.at, &entry.who, entry.minutes, &entry.note)
    );
    let history = b.get(&desk.at(&format!("/entries/{}", same.id))).await;
    assert!(!history.has("class=\"changes\""), "{}", history.body);
}

#[tokio::test]
async fn every_kind_has_a_form() {
    let desk = Desk::new();
    let b = Browser::new(&desk.app).await;
    for kind in Act::KINDS.into_iter().filter(|k| *k != "undo") {
        let page = b.get(&desk.at(&format!("/log/{kind}"))).await;
        let expected = match kind {
            "picture" | "walk" => StatusCode::SEE_OTHER,
            _ => StatusCode::OK,
        };
        assert_eq!(page.status, expected, "{kind}");
        assert!(!page.has("log.f_") && !page.has("log.h_") && !page.has("<legend></legend>"));
        // Every form works without scripts: nothing inline, and a button that sends.
        assert!(!page.has("onclick=") && !page.has("style=\""), "{kind}");
    }
}

#[tokio::test]
async fn what_every_form_shares_is_kept() {
    let desk = Desk::new();
    let set = [
        ("note", "power was off\nfor an hour"),
        ("at", "2026-03-01T18:30"),
        ("who", "Kim"),
        ("minutes", "7,5"),
    ];
    let entry = write(&desk, "note", &set).await;
    assert_eq!(entry.act, Act::Note);
    assert_eq!(entry.note, "power was off\nfor an hour");
    assert_eq!((entry.who.as_str(), entry.minutes), ("Kim", Some(7.5)));
    assert_eq!(
        entry.at.to_string(),
        "2026-03-01T18:30:00+00:00[Europe/Lisbon]"
    );
    assert!(entry.all_tanks && entry.tanks.len() == 3);
    // The name stays for the next form.
    let b = Browser::new(&desk.app).await;
    let page = b.get(&desk.at("/log/note")).await;
    assert!(
        page.has("name=\"who\" type=\"text\" value=\"Kim\""),
        "{}",
        page.body
    );
}

#[tokio::test]
async fn doses() {
    let desk = Desk::new();
    let set = [
        ("of", "Potassium nitrate"),
        ("amount", "1,2"),
        ("unit", "g"),
    ];
    let of = DoseOf::Salt {
        formula: "KNO3".into(),
    };
    let amount = Amount::new(1.2, Unit::Gram);
    let entry = write(&desk, "dose", &set).await;
    let into = Into::Water;
    assert_eq!(entry.act, Act::Dose(Dose { of, amount, into }));
    let set = [
        ("of", "EVENING MIX"),
        ("amount", "5"),
        ("into", "substrate"),
    ];
    let of = DoseOf::Product {
        product: desk.product(),
    };
    let amount = Amount::new(5.0, Unit::Millilitre);
    let into = Into::Substrate;
    let entry = write(&desk, "dose", &set).await;
    assert_eq!(entry.act, Act::Dose(Dose { of, amount, into }));
}

#[tokio::test]
async fn water() {
    let desk = Desk::new();
    let rain = desk.water().to_string();
    let source = Some(desk.water());
    // 29 % is a share that does not come back from a hundred exactly.
    let entry = write(&desk, "change", &[("amount", "29"), ("source", &rain)]).await;
    let amount = WaterAmount::Share { share: 0.29 };
    assert_eq!(entry.act, Act::Change(Change { amount, source }));
    let entry = write(
        &desk,
        "change",
        &[("amount", "12.5"), ("measure", "litres")],
    )
    .await;
    let amount = WaterAmount::Litres { litres: 12.5 };
    let change = Change {
        amount,
        source: None,
    };
    assert_eq!(entry.act, Act::Change(change));
    let set = [
        ("litres", "2"),
        ("level_below_cm", "1.5"),
        ("source", rain.as_str()),
    ];
    let top_up = TopUp {
        litres: 2.0,
        source,
        level_below_cm: Some(1.5),
    };
    assert_eq!(write(&desk, "top_up", &set).await.act, Act::TopUp(top_up));
}

#[tokio::test]
async fn keeping() {
    let desk = Desk::new();
    let feed = Feed {
        food: "flakes".into(),
        product: None,
        grams: Some(0.3),
    };
    let set = [("food", "flakes"), ("grams", "0.3")];
    assert_eq!(write(&desk, "feed", &set).await.act, Act::Feed(feed));
    let clean = Clean {
        part: Part::Filter,
        flow_before_l_h: Some(180.0),
        flow_after_l_h: Some(320.0),
    };
    let set = [
        ("part", "filter"),
        ("flow_before_l_h", "180"),
        ("flow_after_l_h", "320"),
    ];
    assert_eq!(write(&desk, "clean", &set).await.act, Act::Clean(clean));
    let lamp = desk.equipment().to_string();
    let swap = Swap {
        left: "old lamp".into(),
        came: "new lamp".into(),
        price: Some(Money {
            amount: 39.9,
            currency: "EUR".into(),
        }),
        equipment: Some(desk.equipment()),
    };
    let oak = desk.tank("Oak").to_string();
    let set = [
        ("left", "old lamp"),
        ("came", "new lamp"),
        ("price", "39,90"),
        ("currency", "eur"),
        ("equipment", &lamp),
        ("tanks", &oak),
    ];
    let entry = write(&desk, "swap", &set).await;
    assert_eq!(entry.act, Act::Swap(swap));
    assert_eq!(entry.tanks, [desk.tank("Oak")]);
    let event = LivestockEvent {
        event: LivestockHappening::Death,
        who: Livestock {
            species: "Neocaridina davidi".into(),
            count: 2,
        },
    };
    let set = [
        ("event", "death"),
        ("species", "Neocaridina davidi"),
        ("count", "2"),
        ("tanks", &oak),
    ];
    assert_eq!(
        write(&desk, "livestock", &set).await.act,
        Act::Livestock(event)
    );
}

#[tokio::test]
async fn settings() {
    let desk = Desk::new();
    let setting = Setting {
        photoperiod_h: Some(7.5),
        light_on_at: Some(jiff::civil::time(11, 0, 0, 0)),
        timer_clock: Some("Europe/Paris".into()),
        dimming_pct: Some(60.0),
        lamp_height_cm: Some(12.0),
        gas_on_after_light_min: Some(-90.0),
        gas_off_after_light_min: Some(0.0),
        surface: Some("still".into()),
        temperature_c: Some(23.5),
        flow_l_h: Some(250.0),
    };
    let set = [
        ("photoperiod_h", "7,5"),
        ("light_on_at", "11:00"),
        ("timer_clock", "Europe/Paris"),
        ("dimming_pct", "60"),
        ("lamp_height_cm", "12"),
        ("gas_on_after_light_min", "\u{2212}90"),
        ("gas_off_after_light_min", "0"),
        ("surface", "still"),
        ("temperature_c", "23.5"),
        ("flow_l_h", "250"),
    ];
    assert_eq!(
        write(&desk, "setting", &set).await.act,
        Act::Setting(setting)
    );
    let one = Setting {
        dimming_pct: Some(50.0),
        ..Setting::default()
    };
    let set = [("dimming_pct", "50")];
    assert_eq!(write(&desk, "setting", &set).await.act, Act::Setting(one));
}
