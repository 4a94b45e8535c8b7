//! Tanks and plantings.

use axum::http::StatusCode;
use jiff::civil::{date, time};
use trial::planting::{GrownIn, OriginForm};
use trial::tank::{GasSupply, Walls};

use super::common::{Browser, TestApp};
use super::{Typed, bench, fill, new_trial, saved, setup};

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
