use super::*;
use crate::cost::sample::{bench, id, tank};
use quantity::{Amount, Unit};
use trial::act::{Clean, Dose, DoseOf, Fate, Harvest, Into, Move, Part, Setting};
use trial::tank::{Gas, GasSupply};
use trial::{Act, Planting, PlantingId, ProductId, Record, RecordKind, TrialId};

#[test]
fn every_code_has_its_words_and_a_place() {
    let all = all(&Format::default());
    assert_eq!(all.len(), 12);
    for c in &all {
        assert!(!c.title.is_empty() && c.text.ends_with('.'), "{}", c.code);
        assert!(!c.where_it_matters.is_empty());
        assert!(
            !c.text.contains('{') && !c.title.starts_with("cautions."),
            "{}",
            c.text
        );
    }
    assert!(caution("sharks", &Format::default()).is_none());
}

#[test]
fn gas_in_a_room_by_two_routes() {
    // The molar volume of an ideal gas at 20 degC and 1 atm is 24.055 L/mol (22.413 969 54 L/mol at
    // 0 degC and 1 atm, NIST / CODATA 2018, times 293.15 / 273.15); CO2 is 44.009 g/mol (IUPAC 2021).
    let by_molar_volume = 2000.0 / 44.009 * 22.413_969_54e-3 * 293.15 / 273.15;
    assert!((co2_gas_m3(2.0) - by_molar_volume).abs() < 1e-6);
    // The real gas at 20 degC and 1 atm has 1.84 kg/m3 (from memory): within 1 %.
    assert!((co2_gas_m3(2.0) - 2.0 / 1.84).abs() < 0.01 * co2_gas_m3(2.0));
    let text = caution("gas_in_rooms", &Format::default()).unwrap().text;
    assert!(
        text.contains("about 1.1 m³") && text.contains("30 m³ by 3.6 %"),
        "{text}"
    );
}

#[test]
fn each_form_shows_the_caution_that_matters() {
    let first = |kind| for_act(kind, None)[0];
    assert_eq!(first("reading"), "reagents");
    assert_eq!(first("dose"), "oxidiser_salts");
    assert!(for_act("change", None).contains(&"siphon"));
    assert_eq!(first("clean"), "electricity");
    for kind in ["trim", "thin", "harvest", "move", "loss"] {
        assert!(for_act(kind, None).contains(&"release"), "{kind}");
    }
    assert!(for_act("note", None).is_empty() && for_act("nothing", None).is_empty());
    for kind in Act::KINDS {
        assert!(
            for_act(kind, None).iter().all(|c| CODES.contains(c)),
            "{kind}"
        );
    }
}

#[test]
fn an_act_narrows_it_down() {
    let dose = |of| {
        Act::Dose(Dose {
            of,
            amount: Amount::new(1.0, Unit::Gram),
            into: Into::Water,
        })
    };
    let salt = |f: &str| dose(DoseOf::Salt { formula: f.into() });
    for formula in [
        "KNO3",
        "kno3",
        "potassium nitrate",
        "Ca(NO3)2.4H2O",
        "NH4NO3",
    ] {
        assert!(
            for_act("dose", Some(&salt(formula))).contains(&"oxidiser_salts"),
            "{formula}"
        );
    }
    assert!(!for_act("dose", Some(&salt("KH2PO4"))).contains(&"oxidiser_salts"));
    let product = dose(DoseOf::Product {
        product: ProductId(id(1)),
    });
    assert!(!for_act("dose", Some(&product)).contains(&"oxidiser_salts"));

    let gas = Setting {
        gas_on_after_light_min: Some(-60.0),
        ..Setting::default()
    };
    assert!(!for_act("setting", Some(&Act::Setting(gas.clone()))).contains(&"electricity"));
    assert!(for_act("setting", Some(&Act::Setting(gas))).contains(&"gas_in_rooms"));
    let lamp = Setting {
        photoperiod_h: Some(7.0),
        ..Setting::default()
    };
    assert_eq!(
        for_act("setting", Some(&Act::Setting(lamp))),
        ["electricity"]
    );

    let clean = Clean {
        part: Part::Lamp,
        flow_before_l_h: None,
        flow_after_l_h: None,
    };
    assert_eq!(for_act("clean", Some(&Act::Clean(clean))), ["electricity"]);

    let planting = PlantingId(id(1));
    let harvest = |fate| {
        Act::Harvest(Harvest {
            planting,
            fresh_g: None,
            dry_g: None,
            fate,
        })
    };
    assert!(for_act("harvest", Some(&harvest(Fate::Disposed))).contains(&"release"));
    assert!(!for_act("harvest", Some(&harvest(Fate::PlantedBack))).contains(&"release"));
    let out = Act::Move(Move {
        planting,
        to: None,
        share: None,
        fresh_g: None,
    });
    assert!(for_act("move", Some(&out)).contains(&"release"));
    // An act of another kind does not narrow this form.
    assert_eq!(for_act("reading", Some(&out)), for_act("reading", None));
}

#[test]
fn set_up_shows_load_and_the_gas_in_use() {
    let mut tank = bench().tanks.remove(0);
    let of = |t: &trial::Tank| for_record(RecordKind::Tank, Some(&Record::Tank(t.clone())));
    assert_eq!(of(&tank), ["glass_load", "electricity"]);
    tank.gas = Some(Gas {
        supply: GasSupply::Fermenting,
        note: String::new(),
    });
    assert!(of(&tank).contains(&"yeast") && !of(&tank).contains(&"gas_cylinder"));
    tank.gas = Some(Gas {
        supply: GasSupply::Cylinder,
        note: String::new(),
    });
    assert!(of(&tank).contains(&"gas_cylinder") && !of(&tank).contains(&"yeast"));
    assert!(for_record(RecordKind::Tank, None).contains(&"glass_load"));
}

#[test]
fn regulated_plants_of_the_bench_are_named_once_with_their_tanks() {
    let mut b = bench();
    for (n, name, t) in [
        (1, "Salvinia molesta", 1),
        (2, "Salvinia molesta", 3),
        (3, "Salvinia molesta", 3),
        (4, "Eleocharis acicularis", 1),
        (5, "a plant in no catalogue", 1),
    ] {
        b.plantings.push(Planting::new(
            PlantingId(id(n)),
            TrialId(id(100)),
            tank(t),
            name,
        ));
    }
    let answer = cautions(&b);
    // 7 CFR 360.200, the federal list of noxious weeds of the United States.
    let [plant] = answer.plants.as_slice() else {
        panic!("{:?}", answer.plants)
    };
    assert_eq!(
        (plant.plant.as_str(), plant.tanks.clone()),
        ("Salvinia molesta", vec![tank(1), tank(3)])
    );
    assert!(plant.text.contains("7 CFR 360.200") && plant.text.contains("check current law"));
    assert_eq!(answer.general.len(), 12);
    assert!(
        answer
            .standing
            .contains("not veterinary, electrical or legal advice")
    );
}

#[test]
fn gas_where_animals_live_is_a_conflict() {
    let mut b = bench();
    b.tanks[0].gas = Some(Gas {
        supply: GasSupply::Cylinder,
        note: String::new(),
    });
    b.tanks[1].livestock = vec![Livestock {
        species: "shrimp".into(),
        count: 5,
    }];
    assert!(cautions(&b).conflicts.is_empty(), "gas here, animals there");
    b.tanks[0].livestock = vec![Livestock {
        species: "small fish".into(),
        count: 6,
    }];
    let found = cautions(&b).conflicts;
    assert_eq!(found.len(), 1);
    assert_eq!(
        (found[0].code, found[0].severity),
        ("co2_with_livestock", Severity::Serious)
    );
    // A common target of fish medicine, below 20 mg/L; 30 mg/L is common practice, no source.
    for words in ["30 mg/L", "20 mg/L", "6 small fish", "Ash"] {
        assert!(found[0].what.contains(words), "{words}");
    }
    assert!(found[0].remedy.contains("no figure here means safe"));
}

#[test]
fn the_chapter_names_every_caution() {
    let chapter = include_str!("../../../../docs/cautions.md");
    for code in CODES {
        assert!(chapter.contains(&format!("| `{code}` |")), "{code}");
    }
}
