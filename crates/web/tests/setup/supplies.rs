//! Cards, waters, products, equipment, plans.

use axum::http::StatusCode;
use jiff::civil::date;
use quantity::{Analyte, Means, Unit};
use trial::equipment::EquipmentKind;
use trial::plan::{PlanOutcome, Routine};
use trial::supply::{ProductKind, WaterKind};

use super::common::{Browser, TestApp};
use super::{bench, fill, new_trial, saved, setup};

#[tokio::test]
async fn supplies_go_round_field_by_field() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let at = |word: &str| format!("{}/{word}/new", setup(&b));
    assert!(browser.get(&at("cards")).await.has("Test reagents"));
    saved(
        &browser,
        &at("cards"),
        &[
            ("name", "phosphate"),
            ("analyte", "po4"),
            ("means", "element"),
            ("steps", "0; 0,06; 0,15"),
        ],
    )
    .await;
    saved(
        &browser,
        &at("waters"),
        &[
            ("name", "tap"),
            ("water_kind", "tap"),
            ("disinfectant", "chloramine"),
            ("neutraliser", "conditioner"),
            ("note", "From the corridor"),
        ],
    )
    .await;
    saved(
        &browser,
        &at("waters"),
        &[("name", "rain"), ("water_kind", "rain")],
    )
    .await;
    let ids: Vec<String> = bench(&app, b.trial.id)
        .waters
        .iter()
        .map(|w| w.id.to_string())
        .collect();
    let mix = [
        ("name", "mix"),
        ("water_kind", "mix"),
        ("part_water-1", ids[0].as_str()),
        ("share_pct-1", "30"),
    ];
    let half = fill(&browser, &at("waters"), &mix).await;
    assert_eq!(half.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(half.has("give at least two parts in a mix") && half.has("value=\"30\""));
    let whole = [
        mix.as_slice(),
        &[("part_water-2", ids[1].as_str()), ("share_pct-2", "70")],
    ]
    .concat();
    saved(&browser, &at("waters"), &whole).await;
    saved(
        &browser,
        &at("products"),
        &[
            ("name", "tablet"),
            ("product_kind", "tablet"),
            ("per", "piece"),
            ("brings_analyte-1", "fe"),
            ("brings_mg-1", "3"),
            ("note", "Label"),
        ],
    )
    .await;
    let product = browser.get(&at("products")).await;
    assert!(product.has("Oxidiser salts") && product.has("potassium nitrate"));
    saved(
        &browser,
        &at("products"),
        &[
            ("name", "evening mix"),
            ("product_kind", "stock"),
            ("per", "ml"),
            ("formula-1", "kh2po4"),
            ("grams-1", "20"),
            ("made_up_to_ml", "500"),
        ],
    )
    .await;
    let now = bench(&app, b.trial.id);
    let card = &now.cards[0];
    assert_eq!(
        (card.name.as_str(), card.analyte, card.means),
        ("phosphate", Analyte::Po4, Means::Element)
    );
    assert_eq!(
        (card.steps.as_slice(), card.invented),
        ([0.0, 0.06, 0.15].as_slice(), false)
    );
    let tap = &now.waters[0];
    assert_eq!((tap.name.as_str(), tap.kind), ("tap", WaterKind::Tap));
    assert_eq!(
        [&tap.disinfectant, &tap.neutraliser, &tap.note],
        ["chloramine", "conditioner", "From the corridor"]
    );
    let shares: Vec<f64> = now.waters[2].parts.iter().map(|p| p.share).collect();
    assert_eq!(shares, [0.3, 0.7]);
    let tablet = &now.products[0];
    assert_eq!(
        (tablet.kind, tablet.per),
        (ProductKind::Tablet, Unit::Piece)
    );
    assert_eq!(
        (tablet.brings[0].analyte, tablet.brings[0].mg),
        (Analyte::Fe, 3.0)
    );
    let stock = &now.products[1];
    assert_eq!(
        (stock.recipe[0].formula.as_str(), stock.recipe[0].grams),
        ("KH2PO4", 20.0)
    );
    assert_eq!(
        (stock.made_up_to_ml, stock.kind),
        (Some(500.0), ProductKind::Stock)
    );
}

#[tokio::test]
async fn equipment_and_plans_go_round_field_by_field() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let at = |word: &str| format!("{}/{word}/new", setup(&b));
    let elm = b.tanks[1].id.to_string();
    saved(
        &browser,
        &at("equipment"),
        &[
            ("name", "Lamp"),
            ("equipment_kind", "durable"),
            ("tanks", &elm),
            ("price", "49,90"),
            ("currency", "usd"),
            ("bought", "2026-02-01"),
            ("life_months", "60"),
            ("power_w", "28"),
            ("hours_per_day", "7"),
            ("disclosure", "At half the price"),
        ],
    )
    .await;
    saved(
        &browser,
        &at("plans"),
        &[
            ("what", "Water change"),
            ("from", "2026-03-08"),
            ("expects", "Nothing new"),
            ("act", "change"),
            ("every_days", "7"),
            ("until", "2026-06-01"),
        ],
    )
    .await;
    let now = bench(&app, b.trial.id);
    let lamp = &now.equipment[0];
    assert_eq!(
        (lamp.name.as_str(), lamp.kind),
        ("Lamp", EquipmentKind::Durable)
    );
    assert_eq!(lamp.tanks, [b.tanks[1].id]);
    let price = lamp.price.as_ref().unwrap();
    assert_eq!((price.amount, price.currency.as_str()), (49.9, "USD"));
    assert_eq!(lamp.bought, Some(date(2026, 2, 1)));
    assert_eq!(
        [lamp.life_months, lamp.power_w, lamp.hours_per_day],
        [60.0, 28.0, 7.0].map(Some)
    );
    assert_eq!(lamp.disclosure, "At half the price");
    let plan = &now.plans[0];
    assert_eq!(
        (plan.what.as_str(), plan.from, &plan.outcome),
        ("Water change", date(2026, 3, 8), &PlanOutcome::Open)
    );
    assert_eq!(plan.expects, "Nothing new");
    assert!(plan.tanks.is_empty(), "every tank is no list of tanks");
    let routine = Routine {
        act: "change".into(),
        every_days: 7,
        until: Some(date(2026, 6, 1)),
    };
    assert_eq!(plan.routine, Some(routine));
    let path = format!("{}/plans/{}", setup(&b), plan.id);
    let lost = fill(&browser, &path, &[("seen", "All well")]).await;
    assert_eq!(lost.status, StatusCode::UNPROCESSABLE_ENTITY);
    saved(
        &browser,
        &path,
        &[
            ("plan_is", "done"),
            ("done_on", "2026-03-09"),
            ("seen", "All well"),
        ],
    )
    .await;
    let outcome = bench(&app, b.trial.id).plans[0].outcome.clone();
    assert_eq!(
        outcome,
        PlanOutcome::Done {
            on: date(2026, 3, 9),
            entries: vec![],
            seen: "All well".into()
        }
    );
    saved(
        &browser,
        &path,
        &[
            ("plan_is", "dropped"),
            ("done_on", ""),
            ("seen", ""),
            ("why", "Ill"),
        ],
    )
    .await;
    let outcome = bench(&app, b.trial.id).plans[0].outcome.clone();
    assert_eq!(outcome, PlanOutcome::Dropped { why: "Ill".into() });
}

#[tokio::test]
async fn bad_money_and_routines_are_refused() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let at = |word: &str| format!("{}/{word}/new", setup(&b));
    let answer = fill(
        &browser,
        &at("equipment"),
        &[
            ("name", "Lamp"),
            ("price", "10"),
            ("currency", "euros"),
            ("hours_per_day", "30"),
        ],
    )
    .await;
    assert!(answer.has("“euros” is not accepted; give three letters such as EUR."));
    assert!(answer.has("“30” is not accepted; give a number from 0 to 24 h."));
    let answer = fill(
        &browser,
        &at("plans"),
        &[("what", "Feed"), ("act", "feed"), ("every_days", "0")],
    )
    .await;
    assert!(answer.has("Every: “0” is not accepted; give a whole number of at least 1."));
    let answer = fill(
        &browser,
        &at("cards"),
        &[("name", "x"), ("analyte", ""), ("steps", "0, 3, 2")],
    )
    .await;
    assert!(answer.has("“0, 3, 2” is not accepted; give at least two rising numbers"));
    assert!(answer.has("Tests is empty; choose what it is of."));
    assert!(bench(&app, b.trial.id).equipment.is_empty());
}
