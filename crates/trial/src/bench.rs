//! Everything set up for one trial, read together, with the look-ups every answer needs.

use crate::{
    Card, CardId, Equipment, Plan, Planting, PlantingId, Product, ProductId, Record, SourceWater,
    Tank, TankId, Trial, WaterId, WithdrawnRecord,
};

/// One trial's set-up: small (tens of records), read whole; entries are read in windows instead.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Bench {
    /// The trial.
    pub trial: Trial,
    /// Its tanks, from the left.
    pub tanks: Vec<Tank>,
    /// Its plantings.
    pub plantings: Vec<Planting>,
    /// Its equipment.
    pub equipment: Vec<Equipment>,
    /// Its plans.
    pub plans: Vec<Plan>,
    /// The notebook's cards.
    pub cards: Vec<Card>,
    /// The notebook's products.
    pub products: Vec<Product>,
    /// The notebook's source waters.
    pub waters: Vec<SourceWater>,
    /// What was taken back of all these: nothing offers it, only its history and old entries show it.
    pub withdrawn: Vec<WithdrawnRecord>,
}

impl Bench {
    /// A bench with only its trial.
    pub fn new(trial: Trial) -> Self {
        Bench {
            trial,
            tanks: vec![],
            plantings: vec![],
            equipment: vec![],
            plans: vec![],
            cards: vec![],
            products: vec![],
            waters: vec![],
            withdrawn: vec![],
        }
    }

    /// Puts a record in its list; the trial's own takes its place.
    pub fn put(&mut self, record: Record) {
        match record {
            Record::Trial(r) => self.trial = r,
            Record::Tank(r) => self.tanks.push(r),
            Record::Planting(r) => self.plantings.push(r),
            Record::Card(r) => self.cards.push(r),
            Record::Product(r) => self.products.push(r),
            Record::Water(r) => self.waters.push(r),
            Record::Equipment(r) => self.equipment.push(r),
            Record::Plan(r) => self.plans.push(r),
        }
    }

    /// The bench as if nothing had been taken back: for what old entries and old versions say.
    pub fn with_withdrawn(&self) -> Bench {
        let mut whole = self.clone();
        for gone in std::mem::take(&mut whole.withdrawn) {
            whole.put(gone.record);
        }
        whole
    }

    /// The tank of this id.
    pub fn tank(&self, id: TankId) -> Option<&Tank> {
        self.tanks.iter().find(|t| t.id == id)
    }

    /// The tank of this name, whatever its case.
    pub fn tank_named(&self, name: &str) -> Option<&Tank> {
        let wanted = name.trim().to_lowercase();
        self.tanks.iter().find(|t| t.name.to_lowercase() == wanted)
    }

    /// The ids of all tanks, from the left.
    pub fn tank_ids(&self) -> Vec<TankId> {
        self.tanks.iter().map(|t| t.id).collect()
    }

    /// The tanks of one arm.
    pub fn tanks_of_arm<'a>(&'a self, arm: &'a str) -> impl Iterator<Item = &'a Tank> {
        self.tanks
            .iter()
            .filter(move |t| t.arm.as_deref() == Some(arm))
    }

    /// The planting of this id.
    pub fn planting(&self, id: PlantingId) -> Option<&Planting> {
        self.plantings.iter().find(|p| p.id == id)
    }

    /// The plantings of one tank.
    pub fn plantings_in(&self, tank: TankId) -> impl Iterator<Item = &Planting> {
        self.plantings.iter().filter(move |p| p.tank == tank)
    }

    /// A planting and all that descend from it by cuttings, the planting first.
    pub fn family(&self, id: PlantingId) -> Vec<&Planting> {
        let mut family: Vec<&Planting> = self.planting(id).into_iter().collect();
        let mut next = 0;
        while let Some(parent) = family.get(next).map(|p| p.id) {
            let children = self.plantings.iter().filter(|p| p.parent == Some(parent));
            let new: Vec<&Planting> = children
                .filter(|c| !family.iter().any(|f| f.id == c.id))
                .collect();
            family.extend(new);
            next += 1;
        }
        family
    }

    /// The first of its line: the planting that `id` descends from by cuttings.
    pub fn founder(&self, id: PlantingId) -> PlantingId {
        let mut founder = id;
        // A line is no longer than the list; the bound ends a circle in damaged records.
        for _ in 0..self.plantings.len() {
            match self.planting(founder).and_then(|p| p.parent) {
                Some(parent) => founder = parent,
                None => break,
            }
        }
        founder
    }

    /// The card of this id.
    pub fn card(&self, id: CardId) -> Option<&Card> {
        self.cards.iter().find(|c| c.id == id)
    }

    /// The product of this id.
    pub fn product(&self, id: ProductId) -> Option<&Product> {
        self.products.iter().find(|p| p.id == id)
    }

    /// The source water of this id.
    pub fn water(&self, id: WaterId) -> Option<&SourceWater> {
        self.waters.iter().find(|w| w.id == id)
    }

    /// The scientific names planted, each once, in order of first planting.
    pub fn species(&self) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        for p in &self.plantings {
            if !names.contains(&p.scientific_name.as_str()) {
                names.push(&p.scientific_name);
            }
        }
        names
    }
}
