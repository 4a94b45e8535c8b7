//! The trial's own record: question, arms, outcomes, phases, keeping.

use axum::http::StatusCode;
use jiff::civil::date;
use quantity::Analyte;
use trial::types::{Better, Measure, PhaseKind};

use super::common::{Browser, TestApp};
use super::{bench, fill, new_trial, saved, setup};

#[tokio::test]
async fn the_trials_own_record_goes_round_field_by_field() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let at = |part: &str| format!("{}/{part}", setup(&b));
    saved(
        &browser,
        &at("question"),
        &[
            ("title", "Bright or usual?"),
            ("keeper", "The club"),
            ("start", "2026-03-01"),
            ("zone", "Asia/Tokyo"),
            ("next_step", "Swap the lamps"),
            ("disclosures", "A lamp was a gift\n\n  Sand was lent "),
        ],
    )
    .await;
    saved(
        &browser,
        &at("outcomes"),
        &[
            ("outcome-1", "Redder leaves"),
            ("measure-1", "colour"),
            ("better-1", "more"),
            ("outcome-2", "Nodes of 2 cm"),
            ("measure-2", "node_distance"),
            ("better-2", "target"),
            ("target-2", "2,5"),
        ],
    )
    .await;
    saved(
        &browser,
        &at("phases"),
        &[
            ("phase_kind-1", "baseline"),
            ("phase_from-1", "2026-03-01"),
            ("phase_to-1", "2026-03-29"),
            ("phase_note-1", "All at 55 %"),
        ],
    )
    .await;
    saved(
        &browser,
        &at("phases"),
        &[
            ("phase_kind-2", "treatment"),
            ("phase_from-2", "2026-03-29"),
        ],
    )
    .await;
    saved(
        &browser,
        &at("keeping"),
        &[
            ("stop_rule", "Two fish breathe at the surface:\nend it"),
            ("range_analyte-1", "no3"),
            ("range_low-1", "5"),
            ("range_high-1", "20"),
            ("electricity_per_kwh", "0.25"),
            ("electricity_currency", "eur"),
            ("absent_from-1", "2026-05-01"),
            ("absent_to-1", "2026-05-09"),
            ("absent_who-1", "A neighbour"),
        ],
    )
    .await;
    let trial = bench(&app, b.trial.id).trial;
    assert_eq!(
        (trial.title.as_str(), trial.zone.as_str()),
        ("Bright or usual?", "Asia/Tokyo")
    );
    assert_eq!(trial.question, b.trial.question);
    assert_eq!(trial.keeper.as_deref(), Some("The club"));
    assert_eq!(trial.start, Some(date(2026, 3, 1)));
    assert_eq!(trial.next_step.as_deref(), Some("Swap the lamps"));
    assert_eq!(trial.disclosures, ["A lamp was a gift", "Sand was lent"]);
    let primary = trial.primary.clone().unwrap();
    assert_eq!(
        (primary.measure, primary.better),
        (Measure::Colour, Better::More)
    );
    assert_eq!(trial.secondary[0].better, Better::Target { value: 2.5 });
    assert_eq!(trial.phases[0].note, "All at 55 %");
    assert_eq!(trial.phases[1].kind, PhaseKind::Treatment);
    assert_eq!(
        (trial.phases[0].to, trial.phases[1].to),
        (Some(date(2026, 3, 29)), None)
    );
    assert_eq!(
        trial.stop_rule.as_deref(),
        Some("Two fish breathe at the surface:\nend it")
    );
    let range = &trial.kept_ranges[0];
    assert_eq!(
        (range.analyte, range.low, range.high),
        (Analyte::No3, 5.0, 20.0)
    );
    let away = trial.absence_on(date(2026, 5, 9)).unwrap();
    assert_eq!(
        (away.from, away.who_helps.as_str()),
        (date(2026, 5, 1), "A neighbour")
    );
    assert_eq!(trial.absence_on(date(2026, 5, 10)), None);
    let plans = browser.get(&format!("/trials/{}/plans", b.trial.id)).await;
    assert_eq!(plans.status, StatusCode::OK);
    assert!(plans.has("When you are away"), "{}", plans.body);
    assert_eq!(trial.electricity_per_kwh.unwrap().currency, "EUR");
    assert_eq!(trial.lot, b.trial.lot, "other parts stay as they were");
}

#[tokio::test]
async fn arms_are_renamed_added_and_tanks_moved_between_them() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let path = format!("{}/arms", setup(&b));
    saved(
        &browser,
        &path,
        &[
            ("arm_name-1", "Twice the light"),
            ("arm_name-3", "Dim light"),
            ("control", "2"),
            ("level3-1", "half"),
            ("factor-2", "Hours"),
            ("level1-2", "7"),
            ("equal-1", "Lamp"),
            ("equal_value-1", "3,000 lm"),
            ("tank_arm-4", "3"),
            ("tank_arm-2", ""),
        ],
    )
    .await;
    let now = bench(&app, b.trial.id);
    let arms: Vec<(&str, &str, bool)> = now
        .trial
        .arms
        .iter()
        .map(|a| (a.key.as_str(), a.name.as_str(), a.control))
        .collect();
    assert_eq!(
        arms,
        [
            ("bright", "Twice the light", false),
            ("usual", "Usual light", true),
            ("dim", "Dim light", false)
        ]
    );
    assert_eq!(now.trial.differ[0].levels[2].arm, "dim");
    assert_eq!(now.trial.differ[1].levels.len(), 1);
    assert_eq!(now.trial.equal[0].value, "3,000 lm");
    let of: Vec<Option<&str>> = now.tanks.iter().map(|t| t.arm.as_deref()).collect();
    assert_eq!(of, [Some("bright"), None, Some("usual"), Some("dim")]);
    // An arm that still holds a tank does not go; without its tanks it does.
    let refused = fill(&browser, &path, &[("arm_name-3", "")]).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(refused.has("choose one of the arms named above"));
    saved(
        &browser,
        &path,
        &[("arm_name-3", ""), ("tank_arm-4", "1"), ("control", "")],
    )
    .await;
    let now = bench(&app, b.trial.id);
    assert_eq!(now.trial.arms.len(), 2);
    assert!(now.trial.arms.iter().all(|a| !a.control));
}
