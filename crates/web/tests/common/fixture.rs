//! A small trial that logging is tried on: three tanks, two plants, a card, a product, a water.
//! All of it invented.

#![allow(dead_code, unreachable_pub, clippy::unwrap_used)] // each test file uses its own part

use quantity::{Analyte, Means, Unit};
use trial::equipment::EquipmentKind;
use trial::supply::{Brings, ProductKind, WaterKind};
use trial::tank::Livestock;
use trial::{
    Act, Bench, Card, CardId, Entry, EntryId, Equipment, EquipmentId, Planting, PlantingId,
    Product, ProductId, Record, SourceWater, Tank, TankId, Trial, TrialId, WaterId,
};
use uuid::Uuid;

use crate::common::TestApp;

pub const ZONE: &str = "Europe/Lisbon";
/// An ordinary picture of the demonstration.
pub const ORDINARY: &[u8] = include_bytes!("../../../../demo/pictures/ash-w00.jpg");
/// Names of the tanks, from the left.
pub const TANKS: [&str; 3] = ["Ash", "Elm", "Oak"];
pub const PLANT: &str = "Bacopa caroliniana";
pub const MOSS: &str = "Taxiphyllum barbieri";

/// An app with the trial in its notebook.
pub struct Desk {
    pub app: TestApp,
    pub trial: TrialId,
}

fn id<T>(make: impl Fn(Uuid) -> T) -> T {
    make(Uuid::now_v7())
}

impl Desk {
    pub fn new() -> Self {
        let app = TestApp::new();
        let trial = Trial::new(id(TrialId), "Two diets", ZONE);
        let desk = Self {
            trial: trial.id,
            app,
        };
        desk.keep(Record::Trial(trial));
        for (place, name) in TANKS.iter().enumerate() {
            let mut tank = Tank::new(id(TankId), desk.trial, *name, place as u32);
            tank.livestock = vec![Livestock {
                species: "Neocaridina davidi".into(),
                count: 8,
            }];
            let planting = Planting::new(id(PlantingId), desk.trial, tank.id, PLANT);
            let moss = Planting::new(id(PlantingId), desk.trial, tank.id, MOSS);
            let oak = *name == "Oak";
            desk.keep(Record::Tank(tank));
            desk.keep(Record::Planting(planting));
            // The moss does not stand in the last tank.
            if !oak {
                desk.keep(Record::Planting(moss));
            }
        }
        desk.supplies();
        desk
    }

    fn supplies(&self) {
        self.keep(Record::Card(Card {
            id: id(CardId),
            name: "nitrate card".into(),
            analyte: Analyte::No3,
            means: Means::Ion,
            steps: vec![0.0, 3.0, 6.0, 12.0, 24.0],
            invented: true,
        }));
        self.keep(Record::Product(Product {
            id: id(ProductId),
            name: "evening mix".into(),
            kind: ProductKind::Fertiliser,
            brings: vec![Brings {
                analyte: Analyte::Fe,
                mg: 0.5,
            }],
            per: Unit::Millilitre,
            recipe: vec![],
            made_up_to_ml: None,
            note: String::new(),
        }));
        self.keep(Record::Water(SourceWater {
            id: id(WaterId),
            name: "rain".into(),
            kind: WaterKind::Rain,
            parts: vec![],
            disinfectant: String::new(),
            neutraliser: String::new(),
            note: String::new(),
        }));
        self.keep(Record::Equipment(Equipment {
            id: id(EquipmentId),
            trial: self.trial,
            name: "new lamp".into(),
            tanks: vec![],
            kind: EquipmentKind::Durable,
            price: None,
            bought: None,
            life_months: None,
            power_w: None,
            hours_per_day: None,
            disclosure: String::new(),
        }));
    }

    fn keep(&self, record: Record) {
        let now = jiff::Timestamp::now();
        self.app
            .notebook()
            .write_record(&record, "Kim", now)
            .unwrap();
    }

    pub fn bench(&self) -> Bench {
        self.app.notebook().bench(self.trial).unwrap()
    }

    /// An address within the trial.
    pub fn at(&self, rest: &str) -> String {
        format!("/trials/{}{rest}", self.trial)
    }

    pub fn tank(&self, name: &str) -> TankId {
        self.bench().tank_named(name).unwrap().id
    }

    pub fn planting(&self, plant: &str, tank: &str) -> PlantingId {
        let tank = self.tank(tank);
        let bench = self.bench();
        let mut here = bench.plantings_in(tank);
        here.find(|p| p.scientific_name == plant).unwrap().id
    }

    pub fn card(&self) -> CardId {
        self.bench().cards[0].id
    }

    pub fn product(&self) -> ProductId {
        self.bench().products[0].id
    }

    pub fn water(&self) -> WaterId {
        self.bench().waters[0].id
    }

    pub fn equipment(&self) -> EquipmentId {
        self.bench().equipment[0].id
    }

    /// Every entry that stands, in order of time.
    pub fn entries(&self) -> Vec<Entry> {
        let query = store::EntryQuery::of(self.trial);
        self.app.notebook().entries(&query).unwrap()
    }

    /// How many entries were ever written.
    pub fn written(&self) -> u64 {
        self.app.notebook().count_entries().unwrap()
    }

    pub fn entry(&self, id: EntryId) -> Entry {
        self.app.notebook().entry(id).unwrap().unwrap()
    }

    /// The entry a redirect confirms.
    pub fn confirmed(&self, location: &str) -> Entry {
        let id = location.split("done=").nth(1).unwrap();
        self.entry(id.parse().unwrap())
    }

    pub fn act(&self, location: &str) -> Act {
        self.confirmed(location).act
    }
}

/// Fields with some of them set to other values; a field set to nothing is taken out.
pub fn with(fields: &[(String, String)], set: &[(&str, &str)]) -> Vec<(String, String)> {
    let mut all = fields.to_vec();
    all.retain(|(name, _)| !set.iter().any(|(n, _)| n == name));
    all.extend(set.iter().map(|(n, v)| ((*n).to_owned(), (*v).to_owned())));
    all
}

pub fn refs(fields: &[(String, String)]) -> Vec<(&str, &str)> {
    fields
        .iter()
        .map(|(n, v)| (n.as_str(), v.as_str()))
        .collect()
}

/// The ordinary picture with an EXIF segment (CIPA DC-008; JPEG segments: ISO/IEC 10918-1 B): taken 2026-03-01 18:30:05, at 48 degrees north.
pub fn with_place() -> Vec<u8> {
    let entry = |tag: u16, kind: u16, count: u32, value: u32| {
        let mut e = tag.to_be_bytes().to_vec();
        e.extend(kind.to_be_bytes());
        e.extend(count.to_be_bytes());
        e.extend(value.to_be_bytes());
        e
    };
    // First directory at 8: two entries, ends at 38. EXIF directory at 38, text at 56, GPS
    // directory at 76, its value at 94.
    let mut tiff = b"MM\0\x2a\0\0\0\x08\0\x02".to_vec();
    tiff.extend(entry(0x8769, 4, 1, 38));
    tiff.extend(entry(0x8825, 4, 1, 76));
    tiff.extend(b"\0\0\0\0\0\x01");
    tiff.extend(entry(0x9003, 2, 20, 56));
    tiff.extend(b"\0\0\0\x002026:03:01 18:30:05\0\0\x01");
    tiff.extend(entry(0x0002, 5, 3, 94));
    tiff.extend(b"\0\0\0\0");
    for part in [48u32, 1, 8, 1, 14, 1] {
        tiff.extend(part.to_be_bytes());
    }
    let mut jpeg = vec![0xff, 0xd8, 0xff, 0xe1];
    jpeg.extend(u16::try_from(tiff.len() + 8).unwrap().to_be_bytes());
    jpeg.extend(b"Exif\0\0");
    jpeg.extend(tiff);
    jpeg.extend(&ORDINARY[2..]);
    jpeg
}
