//! Home, a new trial and the set-up, as a browser without scripts uses them.

#![allow(clippy::unwrap_used)] // helpers of tests, outside the test functions

mod common;

use axum::http::StatusCode;
use common::{Answer, Browser, TestApp, fields_of};
use jiff::civil::{date, time};
use quantity::{Analyte, Means, Unit};
use trial::equipment::EquipmentKind;
use trial::plan::{PlanOutcome, Routine};
use trial::planting::{GrownIn, OriginForm};
use trial::supply::{ProductKind, WaterKind};
use trial::tank::{GasSupply, Walls};
use trial::types::{Better, Measure, PhaseKind};
use trial::{Bench, TrialId};

/// Values typed over what a form shows: a name that is not there yet is added.
struct Typed(Vec<(String, String)>);

impl Typed {
    fn over(page: &str, action: &str) -> Self {
        Self(fields_of(page, action))
    }

    fn set(mut self, name: &str, value: &str) -> Self {
        match self.0.iter_mut().find(|(n, _)| n == name) {
            Some((_, old)) => value.clone_into(old),
            None => self.0.push((name.to_owned(), value.to_owned())),
        }
        self
    }

    fn all(self, values: &[(&str, &str)]) -> Self {
        values
            .iter()
            .fold(self, |typed, (name, value)| typed.set(name, value))
    }

    fn without(mut self, name: &str) -> Self {
        self.0.retain(|(n, _)| n != name);
        self
    }

    async fn send(&self, browser: &Browser<'_>, action: &str) -> Answer {
        let fields: Vec<(&str, &str)> = self
            .0
            .iter()
            .map(|(n, v)| (n.as_str(), v.as_str()))
            .collect();
        browser.post(action, &fields).await
    }
}

async fn fill(browser: &Browser<'_>, path: &str, values: &[(&str, &str)]) -> Answer {
    let page = browser.get(path).await;
    assert_eq!(page.status, StatusCode::OK, "{path}");
    Typed::over(&page.body, path)
        .all(values)
        .send(browser, path)
        .await
}

async fn saved(browser: &Browser<'_>, path: &str, values: &[(&str, &str)]) {
    let answer = fill(browser, path, values).await;
    let errors: Vec<&str> = answer.body.split("<li><a href=\"#f-").skip(1).collect();
    let errors: Vec<&str> = errors
        .iter()
        .map(|e| e.split("</a>").next().unwrap())
        .collect();
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{path}: {errors:?}");
    let shown = browser
        .get(answer.location.split('#').next().unwrap())
        .await;
    assert_eq!(shown.status, StatusCode::OK);
}

const NEW: [(&str, &str); 9] = [
    (
        "new_question",
        "Does <more> light redden the \"bush\" & nothing else?",
    ),
    ("tank_name-1", "Ash"),
    ("tank_name-2", "Elm"),
    ("tank_name-3", "Fir"),
    ("tank_name-4", "Oak"),
    ("new_factor", "Light"),
    ("new_level-1", "Bright light"),
    ("new_level-2", "Usual light"),
    ("seed", "1234567"),
];

async fn new_trial(app: &TestApp, browser: &Browser<'_>) -> Bench {
    let page = browser.get("/trials/new").await;
    let typed = Typed::over(&page.body, "/trials/new")
        .all(&NEW)
        .set("new_zone", "Europe/Lisbon");
    let answer = typed.send(browser, "/trials/new").await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.body);
    let id = answer.location.split('/').nth(2).unwrap();
    assert_eq!(answer.location, format!("/trials/{id}/bench"));
    bench(app, id.parse().unwrap())
}

fn bench(app: &TestApp, trial: TrialId) -> Bench {
    app.notebook().bench(trial).unwrap()
}

fn setup(b: &Bench) -> String {
    format!("/trials/{}/setup", b.trial.id)
}

#[tokio::test]
async fn an_empty_notebook_says_what_would_be_here() {
    let app = TestApp::new();
    let home = Browser::new(&app).await.get("/").await;
    assert_eq!(home.status, StatusCode::OK);
    assert!(home.has("href=\"/trials/new\"") && home.has("fairtank demo"));
}

#[tokio::test]
async fn a_trial_is_made_by_lot_without_scripts() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    assert_eq!(b.trial.question, NEW[0].1);
    assert_eq!(
        b.trial.title,
        "Does <more> light redden the \"bush\" & nothing else?"
    );
    assert_eq!(b.trial.zone, "Europe/Lisbon");
    let arms: Vec<&str> = b.trial.arms.iter().map(|a| a.key.as_str()).collect();
    assert_eq!(arms, ["bright", "usual"]);
    assert_eq!(b.trial.differ[0].levels[1].value, "Usual light");
    // By hand, as in the tests of the lot: of A B C D the seed gives A C D B, dealt in turn.
    let given: Vec<(&str, &str)> = b
        .tanks
        .iter()
        .map(|t| (t.name.as_str(), t.arm.as_deref().unwrap()))
        .collect();
    assert_eq!(
        given,
        [
            ("Ash", "bright"),
            ("Elm", "usual"),
            ("Fir", "usual"),
            ("Oak", "bright")
        ]
    );
    let lot = b.trial.lot.unwrap();
    assert_eq!(lot.seed, 1_234_567);
    assert!(
        lot.method.contains("SplitMix64") && lot.method.ends_with("Bright light, Usual light.")
    );
    let home = browser.get("/").await;
    assert!(
        home.has("Does &lt;more&gt; light")
            && home.has("&amp; nothing else")
            && home.has("0 entries")
    );
    assert!(!home.has("<more>"));
}

#[tokio::test]
async fn the_same_form_twice_makes_one_trial_and_a_missing_seed_is_drawn() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let page = browser.get("/trials/new").await;
    let typed = Typed::over(&page.body, "/trials/new")
        .all(&NEW)
        .set("seed", "");
    for _ in 0..2 {
        let answer = typed.send(&browser, "/trials/new").await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER);
    }
    let trials = app.notebook().trials().unwrap();
    assert_eq!((trials.len(), trials[0].tanks.len()), (1, 4));
    let lot = trials[0].trial.lot.clone().unwrap();
    let names = ["Ash", "Elm", "Fir", "Oak"];
    for (name, arm) in answers::lot::dealt(lot.seed, &names, 2) {
        let tank = trials[0].tanks.iter().find(|t| t.name == name).unwrap();
        assert_eq!(tank.arm.as_deref(), Some(["bright", "usual"][arm]));
    }
}

#[tokio::test]
async fn a_new_trial_refused_keeps_every_value() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let answer = fill(
        &browser,
        "/trials/new",
        &[
            ("new_question", ""),
            ("tank_name-1", "two words"),
            ("tank_name-2", "Ash"),
            ("tank_name-3", "ash"),
            ("new_factor", "<b>Light"),
            ("new_level-3", "Bright"),
            ("new_zone", "Atlantis"),
            ("given", "hand"),
            ("tank_arm-2", "3"),
        ],
    )
    .await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    for part in [
        "Question is empty; write the question, or give a title.",
        "Tank, row 1: “two words” is not accepted; give one word of letters",
        "Tank, row 3: “ash” is not accepted; give a name that is not used yet.",
        "Arm, row 1 is empty; name at least two arms.",
        "“Atlantis” is not accepted; give a time zone of the IANA list",
        "Arm of the tank, row 1 is empty; choose one of the arms named above.",
        "value=\"two words\"",
        "value=\"&lt;b&gt;Light\"",
        "value=\"Bright\"",
        "<option value=\"3\" selected>Bright</option>",
        "value=\"hand\" checked",
    ] {
        assert!(answer.has(part), "{part}");
    }
    assert!(app.notebook().trials().unwrap().is_empty());
}

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
    let primary = trial.primary.unwrap();
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

#[tokio::test]
async fn a_tank_goes_round_field_by_field_and_to_the_others() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let path = format!("{}/tanks/{}", setup(&b), b.tanks[1].id);
    let page = browser.get(&path).await;
    for caution in [
        "Glass and load",
        "Electricity and water",
        "CO2 in rooms",
        "Fermenting bottles",
        "CO2 cylinders",
    ] {
        assert!(page.has(caution), "{caution}");
    }
    let values = [
        ("name", "Alder"),
        ("place", "9"),
        ("length_cm", "60"),
        ("width_cm", "30,5"),
        ("height_cm", "36"),
        ("water_depth_cm", "33"),
        ("water_volume_l", "50"),
        ("walls", "black"),
        ("hardscape_l", "2"),
        ("material-1", "Sand"),
        ("depth_cm-1", "4"),
        ("mass_kg-1", "9"),
        ("lamp_name-1", "White LED"),
        ("lumens-1", "3000"),
        ("watts-1", "28"),
        ("ppf_umol_s-1", "42"),
        ("lamp_height_cm-1", "12"),
        ("lamp_length_cm-1", "50"),
        ("lamp_width_cm-1", "10"),
        ("dimming_pct-1", "55"),
        ("photoperiod_h-1", "7"),
        ("on_at-1", "11:30"),
        ("filter_kind", "Internal"),
        ("flow_l_h", "200"),
        ("heater", "yes"),
        ("heater_watts", "50"),
        ("set_c", "24"),
        ("gas_supply", "cylinder"),
        ("gas_note", "1 bubble/s"),
        ("species-1", "Snail"),
        ("count-1", "6"),
        ("note", "By the <window>"),
        ("copy", "lamps"),
    ];
    saved(&browser, &path, &values).await;
    let now = bench(&app, b.trial.id);
    let t = now.tank(b.tanks[1].id).unwrap();
    assert_eq!(
        (t.name.as_str(), t.place, t.walls),
        ("Alder", 8, Walls::Black)
    );
    assert_eq!(
        [
            t.length_cm,
            t.width_cm,
            t.height_cm,
            t.water_depth_cm,
            t.water_volume_l,
            t.hardscape_l
        ],
        [60.0, 30.5, 36.0, 33.0, 50.0, 2.0].map(Some)
    );
    let layer = &t.substrate[0];
    assert_eq!(
        (layer.material.as_str(), layer.depth_cm, layer.mass_kg),
        ("Sand", Some(4.0), Some(9.0))
    );
    let lamp = &t.lamps[0];
    assert_eq!(
        [
            lamp.lumens,
            lamp.watts,
            lamp.ppf_umol_s,
            lamp.height_cm,
            lamp.length_cm,
            lamp.width_cm,
            lamp.dimming_pct,
            lamp.photoperiod_h
        ],
        [3000.0, 28.0, 42.0, 12.0, 50.0, 10.0, 55.0, 7.0].map(Some)
    );
    assert_eq!(
        (lamp.name.as_str(), lamp.on_at),
        ("White LED", Some(time(11, 30, 0, 0)))
    );
    assert_eq!(t.filter.as_ref().unwrap().flow_l_h, Some(200.0));
    let heater = t.heater.as_ref().unwrap();
    assert_eq!((heater.watts, heater.set_c), (Some(50.0), Some(24.0)));
    assert_eq!(t.gas.as_ref().unwrap().supply, GasSupply::Cylinder);
    assert_eq!(
        (t.livestock[0].species.as_str(), t.livestock[0].count),
        ("Snail", 6)
    );
    assert_eq!(t.note, "By the <window>");
    assert_eq!(t.arm, b.tanks[1].arm);
    for other in now.tanks.iter().filter(|o| o.id != t.id) {
        assert_eq!(
            (&other.lamps, other.length_cm, &other.gas),
            (&t.lamps, None, &None)
        );
    }
    let overview = browser.get(&setup(&b)).await;
    assert!(overview.has("By the &lt;window&gt;") && !overview.has("<window>"));
}

#[tokio::test]
async fn a_tank_refused_keeps_what_was_typed_and_writes_nothing() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let path = format!("{}/tanks/{}", setup(&b), b.tanks[0].id);
    let answer = fill(
        &browser,
        &path,
        &[
            ("name", "elm"),
            ("height_cm", "30"),
            ("water_depth_cm", "33"),
            ("length_cm", "sixty"),
            ("photoperiod_h-1", "25"),
            ("on_at-1", "noon"),
            ("flow_l_h", "200"),
            ("gas_note", "fast"),
            ("species-1", "\"><script>alert(1)</script>"),
        ],
    )
    .await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    for part in [
        "Name: “elm” is not accepted; give a name that is not used yet.",
        "Water depth: “33” is not accepted; give at most 30 cm.",
        "Length: “sixty” is not accepted; give a number from 0",
        "Hours a day, row 1: “25” is not accepted; give a number from 0 to 24 h.",
        "On at, row 1: “noon” is not accepted; give a time of day like 11:00.",
        "Filter is empty; say what filter has this flow.",
        "How many, row 1 is empty; give how many there are.",
        "href=\"#f-photoperiod_h-1\"",
        "value=\"sixty\"",
        "&lt;script&gt;alert(1)&lt;/script&gt;",
    ] {
        assert!(answer.has(part), "{part}");
    }
    assert!(!answer.has("<script>alert"));
    assert_eq!(bench(&app, b.trial.id), b);
}

#[tokio::test]
async fn one_planting_goes_into_every_tank_and_is_edited_in_one() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let path = format!("{}/plantings/new", setup(&b));
    let page = browser.get(&path).await;
    // The catalogue's 79 plants are offered.
    let list = page
        .body
        .split("<datalist id=\"plants-known\">")
        .nth(1)
        .unwrap();
    assert_eq!(
        list.split("</datalist>")
            .next()
            .unwrap()
            .matches("<option ")
            .count(),
        79
    );
    assert!(page.has("Nothing into the wild"));
    let values = [
        ("scientific_name", "salvinia MOLESTA"),
        ("label", "first lot"),
        ("planted", "2026-03-02"),
        ("stems", "12"),
        ("fresh_g", "3.5"),
        ("divided", "by lot"),
        ("origin_form", "culture"),
        ("grown_in", "water"),
        ("batch", "B7"),
        ("quarantine", "two weeks"),
        ("zone_cm", "0 0; 20 0; 20 6,5"),
        ("floating", "yes"),
    ];
    // Looking at the zone first saves nothing.
    let typed = Typed::over(&page.body, &path).all(&values);
    let looked = Typed(typed.0.clone())
        .set("again", "1")
        .send(&browser, &path)
        .await;
    assert_eq!(looked.status, StatusCode::OK);
    assert!(
        looked.has("points=\"0,-0 20,-0 20,-6.5\"") || looked.has("points=\"0,0 20,0 20,-6.5\"")
    );
    assert!(looked.has("7 CFR 360.200") && looked.has("Regulated plant"));
    assert!(bench(&app, b.trial.id).plantings.is_empty());
    for _ in 0..2 {
        let answer = typed.send(&browser, &path).await;
        assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.body);
    }
    let now = bench(&app, b.trial.id);
    assert_eq!(now.plantings.len(), 4, "once per tank, though sent twice");
    for tank in &now.tanks {
        let p = now.plantings_in(tank.id).next().unwrap();
        assert_eq!(p.scientific_name, "Salvinia molesta");
        assert!(!p.common_name.is_empty() && p.floating && p.parent.is_none());
        assert_eq!(
            (p.label.as_str(), p.divided.as_str()),
            ("first lot", "by lot")
        );
        assert_eq!(
            (p.planted, p.stems, p.fresh_g),
            (Some(date(2026, 3, 2)), Some(12), Some(3.5))
        );
        assert_eq!(p.origin.form, Some(OriginForm::Culture));
        assert_eq!(p.origin.grown_in, Some(GrownIn::Water));
        assert_eq!(
            (p.origin.batch.as_str(), p.origin.quarantine.as_str()),
            ("B7", "two weeks")
        );
        assert_eq!(p.zone_cm, [[0.0, 0.0], [20.0, 0.0], [20.0, 6.5]]);
    }
    let overview = browser.get(&setup(&b)).await;
    assert!(overview.has("7 CFR 360.200") && overview.has("<i lang=\"la\">Salvinia molesta</i>"));
    // One of them turns out to be a cutting of another, of a plant nobody knows.
    let (first, second) = (&now.plantings[0], &now.plantings[1]);
    let path = format!("{}/plantings/{}", setup(&b), first.id);
    let parent = second.id.to_string();
    saved(
        &browser,
        &path,
        &[("scientific_name", "Corridor weed"), ("parent", &parent)],
    )
    .await;
    let now = bench(&app, b.trial.id);
    let p = now.planting(first.id).unwrap();
    assert_eq!(
        (p.scientific_name.as_str(), p.parent),
        ("Corridor weed", Some(second.id))
    );
    assert!(p.floating && p.tank == first.tank);
    let unticked = Typed::over(&browser.get(&path).await.body, &path).without("floating");
    unticked.send(&browser, &path).await;
    assert!(!bench(&app, b.trial.id).planting(first.id).unwrap().floating);
}

#[tokio::test]
async fn a_zone_that_is_none_is_refused() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let path = format!("{}/plantings/new", setup(&b));
    let answer = fill(
        &browser,
        &path,
        &[("scientific_name", ""), ("zone_cm", "0 0; 1 one")],
    )
    .await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(answer.has("“0 0; 1 one” is not accepted; give at least three corners"));
    assert!(answer.has("Plant is empty; give a few words."));
}

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

#[tokio::test]
async fn earlier_versions_say_what_changed() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let path = format!("{}/tanks/{}", setup(&b), b.tanks[0].id);
    saved(&browser, &path, &[("walls", "white"), ("length_cm", "60")]).await;
    saved(&browser, &path, &[]).await;
    let earlier = browser.get(&format!("{path}/earlier")).await;
    assert_eq!(
        earlier.body.matches("<li class=\"card\">").count(),
        2,
        "the same again is no version"
    );
    assert!(
        earlier.has("<del>Clear glass, air behind</del> <ins>White, bonded to the glass</ins>")
    );
    assert!(earlier.has("<del>not said</del> <ins>60</ins>") && earlier.has("The first version."));
    let trial = format!("{}/question/{}/earlier", setup(&b), b.trial.id);
    assert!(browser.get(&trial).await.has("1234567"));
    // Another trial's records are not shown here, nor is anything under a made-up address.
    let other = new_trial(&app, &browser).await;
    for gone in [
        format!("{}/tanks/{}/earlier", setup(&other), b.tanks[0].id),
        format!("{}/tanks/{}", setup(&other), b.tanks[0].id),
        format!("{}/plans/new/earlier", setup(&b)),
        format!("{}/nothing", setup(&b)),
        format!("{}/cards/{}", setup(&b), b.tanks[0].id),
    ] {
        assert_eq!(
            browser.get(&gone).await.status,
            StatusCode::NOT_FOUND,
            "{gone}"
        );
    }
}

#[tokio::test]
async fn the_overview_tells_every_gap_once_and_every_text_exists() {
    let app = TestApp::new();
    let browser = Browser::new(&app).await;
    let b = new_trial(&app, &browser).await;
    let overview = browser.get(&setup(&b)).await;
    let gaps = answers::setup::gaps_of(app.notebook(), &b, date(2026, 3, 1)).unwrap();
    assert!(gaps.len() > 8);
    for gap in gaps {
        let what = gap
            .what
            .replace('&', "&amp;")
            .replace('<', "&lt;")
            .replace('>', "&gt;");
        assert_eq!(
            overview.body.matches(&what.replace('"', "&quot;")).count(),
            1,
            "{what}"
        );
    }
    for word in ["question", "arms", "outcomes", "phases", "keeping"] {
        let page = browser.get(&format!("{}/{word}", setup(&b))).await;
        assert!(!page.has("setup."), "{word}");
    }
    for word in [
        "tanks",
        "plantings",
        "cards",
        "waters",
        "products",
        "equipment",
        "plans",
    ] {
        let page = browser.get(&format!("{}/{word}/new", setup(&b))).await;
        assert!(!page.has("setup."), "{word}");
        let list = browser.get(&format!("{}/{word}", setup(&b))).await;
        assert_eq!(list.location, format!("{}#{word}", setup(&b)));
    }
    assert!(!overview.has("setup.") && !browser.get("/trials/new").await.has("setup."));
}

/// The demonstration's records have every field in use: each form, sent as it was shown, changes
/// nothing.
#[tokio::test]
async fn an_untouched_form_changes_nothing() {
    let app = TestApp::new();
    demo::make(app.notebook()).unwrap();
    let browser = Browser::new(&app).await;
    assert!(browser.get("/").await.has("Invented for demonstration."));
    let before = app.notebook().all_revisions().unwrap().len();
    let mut forms = 0;
    for line in app.notebook().trials().unwrap() {
        let b = bench(&app, line.trial.id);
        let base = setup(&b);
        let mut paths: Vec<String> = ["question", "arms", "outcomes", "phases", "keeping"]
            .map(|w| format!("{base}/{w}"))
            .into();
        paths.extend(b.tanks.iter().map(|r| format!("{base}/tanks/{}", r.id)));
        paths.extend(
            b.plantings
                .iter()
                .map(|r| format!("{base}/plantings/{}", r.id)),
        );
        paths.extend(b.cards.iter().map(|r| format!("{base}/cards/{}", r.id)));
        paths.extend(b.waters.iter().map(|r| format!("{base}/waters/{}", r.id)));
        paths.extend(
            b.products
                .iter()
                .map(|r| format!("{base}/products/{}", r.id)),
        );
        paths.extend(
            b.equipment
                .iter()
                .map(|r| format!("{base}/equipment/{}", r.id)),
        );
        paths.extend(b.plans.iter().map(|r| format!("{base}/plans/{}", r.id)));
        for path in paths {
            saved(&browser, &path, &[]).await;
            forms += 1;
            let now = app.notebook().all_revisions().unwrap();
            assert_eq!(now.len(), before, "{path}: {}", now.last().unwrap().payload);
        }
    }
    assert!(forms > 40, "{forms}");
}
